"""Whether what is charged on a day makes up for what the day takes."""

from __future__ import annotations

from hutwright import units
from hutwright.catalogue.supplies import SUPPLIES
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.lever import Dial, Effort, WhenWanted
from hutwright.checks.step import Number, Step
from hutwright.model.project import Project
from hutwright.model.supplies import Charger
from hutwright.plant.energy import DAY
from hutwright.sources import Source, Standing
from hutwright.trades.wiring.drain import Drain, drain, seconds, share, smaller_drain
from hutwright.trades.wiring.feeding import amperes

# Common practice of the trade: lead gives back 0.8 to 0.9 of what is put in, lithium more.
GIVEN_BACK = 0.85
EVEN = 1.0  # what goes in makes up for what goes out
DAILY_BALANCE = Source("elementary physics", "balance of charge over a day", Standing.DERIVED)
RUNS_EMPTY = Source("elementary physics", "what gets less than it gives runs empty", Standing.DERIVED)
# Chargers on sale; common practice of the trade. [A]
SIZES = (0.3, 0.5, 0.8, 1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 8.0, 10.0)


def ask(project: Project) -> tuple[Check, ...]:
    """Charge put in on a midwinter day as a share of the charge taken out.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One for each battery with a charger that feeds the board or the bridge.
    """
    found = []
    for name, supply in project.supplies.items():
        drained = drain(project, name)
        if supply.charger is not None and drained is not None and drained.current > 0.0:
            found.append(_check(project, name, supply.charger, drained))
    return tuple(found)


def _check(project: Project, name: str, charger: Charger, drained: Drain) -> Check:
    given = GIVEN_BACK * charger.current * charger.time_a_day
    taken = drained.current * DAY
    ratio = given / taken
    steps = (
        *drained.steps,
        Step(
            symbol="Q_in",
            formula="s_back * I_charger * t_charging",
            numbers={
                "s_back": share(GIVEN_BACK),
                "I_charger": amperes(charger.current),
                "t_charging": seconds(charger.time_a_day),
            },
            result=Number(given, units.CHARGE),
            words="what a midwinter day puts in, less what charging loses",
        ),
        Step(
            symbol="Q_out",
            formula="I_mean * t_day",
            numbers={"I_mean": amperes(drained.current), "t_day": seconds(DAY)},
            result=Number(taken, units.CHARGE),
            words="what the day takes",
        ),
        Step(
            symbol="r",
            formula="Q_in / Q_out",
            numbers={"Q_in": Number(given, units.CHARGE), "Q_out": Number(taken, units.CHARGE)},
            result=share(ratio),
            words="one as a share of the other",
        ),
    )
    stronger = Dial(
        path=("supplies", name, "charger", "current"),
        dimension=units.CURRENT,
        lowest=1e-3,
        highest=100.0,
        words=f"charge {name} with",
        effort=Effort.BUY_LARGE,
        sizes=SIZES,
    )
    return Check(
        subject=name,
        value=ratio,
        limit=EVEN,
        dimension=units.RATIO,
        sense=Sense.AT_LEAST,
        method=DAILY_BALANCE,
        limit_from=RUNS_EMPTY,
        working=steps,
        levers=WhenWanted(lambda: (*smaller_drain(project, drained), stronger)),
        meaning=_meaning(project, name),
    )


def _meaning(project: Project, name: str) -> str:
    least = SUPPLIES[project.supplies[name].kind].coldest_charging
    said = "Below the whole the battery runs emptier from day to day"
    if least is None or project.site.air.coldest >= least:
        return f"{said}."
    warm = units.show(least, units.TEMPERATURE)
    return f"{said}; below {warm} this kind must not be charged at all, so such days pass without charge."


QUESTION = Question(
    key="wiring.recharge",
    title="Charge put in on a midwinter day, as a share of what the day takes",
    concern=Concern.FUNCTION,
    needs=(("supplies",), ("electronics", "logic")),
    ask=ask,
)
