"""Greatest current that is asked of a power supply."""

from __future__ import annotations

from hutwright import units
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.lever import Dial, Effort
from hutwright.checks.step import Step
from hutwright.model.circuit import BRIDGE
from hutwright.model.project import Project
from hutwright.model.supplies import Supply
from hutwright.plant.circuit import feed, motor_loop
from hutwright.plant.protection import logic_draw
from hutwright.sources import OHM, Source, Standing
from hutwright.trades.wiring.feeding import amperes, ohms, volts

RATING = Source("the supply as described", "rated current", Standing.READ)
RATINGS = (2.0, 3.0, 5.0, 8.0, 10.0, 15.0, 20.0)  # power supplies on sale; standing: practice [A]


def ask(project: Project) -> tuple[Check, ...]:
    """What hangs on each supply that has a rating, the motor with its start current on the coldest day.

    A start of a tenth of a second counts in full, for power supplies limit or shut down at once.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One for each supply with a rating that feeds something of known current.
    """
    rated = ((name, supply, supply.rating) for name, supply in project.supplies.items())
    found = (_check(project, name, supply, rating) for name, supply, rating in rated if rating is not None)
    return tuple(check for check in found if check is not None)


def _check(project: Project, name: str, supply: Supply, rating: float) -> Check | None:
    loop, fed, logic = (
        motor_loop(project, project.site.air.coldest),
        feed(project, BRIDGE),
        logic_draw(project),
    )
    start, own, beside, steps = 0.0, 0.0, 0.0, []
    if loop is not None and fed is not None and fed.supply == name:
        bridge = project.electronics.bridge if project.electronics is not None else None
        start, own = loop.stall_current, bridge.quiescent if bridge is not None else 0.0
        steps.append(
            Step(
                symbol="I_start",
                formula="max(0, U_supply - U_bridge) / R_loop",
                numbers={
                    "U_supply": volts(loop.voltage),
                    "U_bridge": volts(loop.offset),
                    "R_loop": ohms(loop.total),
                },
                result=amperes(start),
                words="what the motor draws when it is switched on, on the coldest day",
            )
        )
    if logic is not None and logic[0].supply == name:
        beside = logic[1]
    total = start + own + beside
    if total == 0.0:
        return None
    steps.append(
        Step(
            symbol="I_supply",
            formula="I_start + I_bridge + I_logic",
            numbers={"I_start": amperes(start), "I_bridge": amperes(own), "I_logic": amperes(beside)},
            result=amperes(total),
            words=f"all that hangs on {name} at the same time",
        )
    )
    larger = Dial(
        path=("supplies", name, "rating"),
        dimension=units.CURRENT,
        lowest=0.1,
        highest=RATINGS[-1],
        words=f"take a power supply as {name} that gives for ever",
        effort=Effort.BUY_LARGE,
        sizes=RATINGS,
    )
    return Check(
        subject=name,
        value=total,
        limit=rating,
        dimension=units.CURRENT,
        sense=Sense.AT_MOST,
        method=OHM,
        limit_from=RATING,
        working=tuple(steps),
        levers=(larger,),
        meaning=f"Above its rating {supply.kind} may limit or shut down at every start; a battery would not.",
    )


QUESTION = Question(
    key="wiring.supply_current",
    title="Current asked of a power supply",
    concern=Concern.FUNCTION,
    needs=(("supplies",),),
    ask=ask,
)
