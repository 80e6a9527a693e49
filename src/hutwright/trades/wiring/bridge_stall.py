"""The drive's stall current against the peak that the bridge stands."""

from __future__ import annotations

from hutwright import units
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.lever import WhenWanted
from hutwright.checks.step import Step
from hutwright.model.project import Project
from hutwright.plant.circuit import motor_loop
from hutwright.sources import OHM
from hutwright.trades.wiring.bridge_choice import choices, limits_source
from hutwright.trades.wiring.feeding import amperes, ohms, volts


def ask(project: Project) -> tuple[Check, ...]:
    """Current with the rotor held, on the coldest day, against the bridge's repeated peak.

    Every start begins with it, and every obstacle ends in it.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One, or none where the motor's way to a supply is not described.
    """
    bridge = project.electronics.bridge if project.electronics is not None else None
    loop = motor_loop(project, project.site.air.coldest)
    if bridge is None or loop is None:
        return ()
    loop_step = Step(
        symbol="R_loop",
        formula="R_supply + R_feed + R_bridge + R_lead + R_winding",
        numbers={
            "R_supply": ohms(loop.source),
            "R_feed": ohms(loop.feed),
            "R_bridge": ohms(loop.bridge),
            "R_lead": ohms(loop.lead),
            "R_winding": ohms(loop.winding),
        },
        result=ohms(loop.total),
        words="all that stands in the motor's way on the coldest day, when copper resists least",
    )
    stall = Step(
        symbol="I_stall",
        formula="max(0, U_supply - U_bridge) / R_loop",
        numbers={"U_supply": volts(loop.voltage), "U_bridge": volts(loop.offset), "R_loop": ohms(loop.total)},
        result=amperes(loop.stall_current),
        words="what flows while the rotor stands",
    )
    return (
        Check(
            value=loop.stall_current,
            limit=bridge.peak_limit,
            dimension=units.CURRENT,
            sense=Sense.AT_MOST,
            method=OHM,
            limit_from=limits_source(bridge),
            working=(loop_step, stall),
            levers=WhenWanted(lambda: choices(project, bridge)),
            meaning="Each start and each obstacle drives this through the bridge, which may fail.",
        ),
    )


QUESTION = Question(
    key="wiring.bridge_stall",
    title="Stall current against the bridge's peak",
    concern=Concern.FUNCTION,
    needs=(("supplies",), ("drive",), ("electronics", "bridge")),
    ask=ask,
)
