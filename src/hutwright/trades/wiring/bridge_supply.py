"""Voltage left at the bridge while the drive runs at its rating."""

from __future__ import annotations

from hutwright import units
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.step import Step
from hutwright.model.circuit import BRIDGE
from hutwright.model.project import Project
from hutwright.plant.circuit import cables_resistance, feed, shared_cables
from hutwright.plant.protection import logic_draw
from hutwright.sources import OHM
from hutwright.trades.wiring.bridge_choice import limits_source, other_bridge
from hutwright.trades.wiring.feeding import amperes, ohms, shorter, thicker, volts


def ask(project: Project) -> tuple[Check, ...]:
    """Voltage at the bridge on the warmest day, when copper resists most, against the least it switches at.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One, or none without a drive or a bridge that a supply feeds.
    """
    electronics, drive, fed = project.electronics, project.drive, feed(project, BRIDGE)
    if electronics is None or electronics.bridge is None or drive is None or fed is None:
        return ()
    bridge, supply, logic = electronics.bridge, project.supplies[fed.supply], logic_draw(project)
    warmest, motor = project.site.air.warmest, drive.rating.current + bridge.quiescent
    way = supply.resistance + cables_resistance(project, fed.cables, warmest)
    common, beside = 0.0, 0.0
    if logic is not None and logic[0].supply == fed.supply:
        common = supply.resistance + cables_resistance(project, shared_cables(fed, logic[0]), warmest)
        beside = logic[1]
    left = supply.voltage - way * motor - common * beside
    step = Step(
        symbol="U_bridge",
        formula="U_supply - R_way * I_motor - R_shared * I_logic",
        numbers={
            "U_supply": volts(supply.voltage),
            "R_way": ohms(way),
            "I_motor": amperes(motor),
            "R_shared": ohms(common),
            "I_logic": amperes(beside),
        },
        result=volts(left),
        words="at the bridge on the warmest day, the bridge's own current counted with the motor's",
    )
    other = other_bridge(project, bridge)
    levers = [each(project, name) for name in fed.cables for each in (shorter, thicker)]
    return (
        Check(
            value=left,
            limit=bridge.lowest_supply,
            dimension=units.VOLTAGE,
            sense=Sense.AT_LEAST,
            method=OHM,
            limit_from=limits_source(bridge),
            working=(step,),
            levers=(*levers, *((other,) if other is not None else ())),
            meaning="Below this the bridge does not switch as it should, and the door stops on its way.",
        ),
    )


QUESTION = Question(
    key="wiring.bridge_supply",
    title="Voltage left at the bridge while the drive runs",
    concern=Concern.FUNCTION,
    needs=(("supplies",), ("drive",), ("electronics", "bridge")),
    ask=ask,
)
