"""How long a battery carries everything with nothing charging it."""

from __future__ import annotations

from hutwright import units
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.lever import Dial, Effort, WhenWanted
from hutwright.checks.step import Number, Step
from hutwright.laws.autonomy import RATED_TEMPERATURE, autonomy_time, cold_capacity_factor
from hutwright.model.project import Project
from hutwright.sources import Source, Standing
from hutwright.trades.wiring.drain import Drain, drain, seconds, share, smaller_drain
from hutwright.trades.wiring.feeding import amperes

# Common practice of the trade: a weekend with a failed charger, and a day to notice; standing: practice.
LEAST = 3.0 * 86400.0  # [s]
WEEKEND = Source("common practice of the trade", "three days without charge", Standing.PRACTICE)
BALANCE = Source("elementary physics", "balance of charge", Standing.DERIVED)
AMPERE_HOUR = 3600.0  # [C]
# Sealed batteries on sale; common practice of the trade. [C]
SIZES = tuple(size * AMPERE_HOUR for size in (7.0, 12.0, 18.0, 26.0, 35.0, 50.0, 75.0, 100.0))


def ask(project: Project) -> tuple[Check, ...]:
    """Time from full to the least charge allowed, on the coldest day, against three days.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One for each battery that feeds the board or the bridge.
    """
    found = []
    for name in project.supplies:
        drained = drain(project, name)
        if drained is not None and drained.current > 0.0:
            found.append(_check(project, name, drained))
    return tuple(found)


def _check(project: Project, name: str, drained: Drain) -> Check:
    battery, coldest = project.supplies[name], project.site.air.coldest
    charge = battery.capacity or 0.0
    factor = cold_capacity_factor(coldest, battery.cold_loss)
    # The law overstates what quick currents leave; those end within a day, far from the limit.
    lasts = autonomy_time(charge * factor, drained.current, battery.usable)
    steps = (
        *drained.steps,
        Step(
            symbol="f_cold",
            formula="min(1, max(0, 1 - c * (T_25 - T_cold)))",
            numbers={
                "c": Number(battery.cold_loss, units.TEMPERATURE_COEFFICIENT),
                "T_25": Number(RATED_TEMPERATURE, units.TEMPERATURE),
                "T_cold": Number(coldest, units.TEMPERATURE),
            },
            result=share(factor),
            words="what the coldest day leaves of its capacity",
        ),
        Step(
            symbol="t",
            formula="s_usable * f_cold * Q / I_mean",
            numbers={
                "s_usable": share(battery.usable),
                "f_cold": share(factor),
                "Q": Number(charge, units.CHARGE),
                "I_mean": amperes(drained.current),
            },
            result=seconds(lasts),
            words="how long the part of its charge that may be used lasts",
        ),
    )
    larger = Dial(
        path=("supplies", name, "capacity"),
        dimension=units.CHARGE,
        lowest=AMPERE_HOUR,
        highest=1000.0 * AMPERE_HOUR,
        words=f"replace {name} by one of",
        effort=Effort.BUY_LARGE,
        sizes=SIZES,
    )
    return Check(
        subject=name,
        value=lasts,
        limit=LEAST,
        dimension=units.TIME,
        sense=Sense.AT_LEAST,
        method=BALANCE,
        limit_from=WEEKEND,
        working=steps,
        levers=WhenWanted(lambda: (*smaller_drain(project, drained), larger)),
        meaning="So long the door works after charging has failed, without harm to the battery.",
    )


QUESTION = Question(
    key="wiring.autonomy",
    title="Time without charge on the coldest day",
    concern=Concern.FUNCTION,
    needs=(("supplies",), ("electronics", "logic")),
    ask=ask,
)
