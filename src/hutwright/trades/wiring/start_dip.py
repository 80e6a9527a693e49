"""Voltage left at the controller while the motor stands and draws all it can."""

from __future__ import annotations

from hutwright import units
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.step import Step
from hutwright.model.circuit import BRIDGE
from hutwright.model.project import Project
from hutwright.plant.circuit import behind, cables_resistance, drawn, feed, logic_regulators, motor_loop
from hutwright.sources import CONTROLLER_DATA_SHEET_BROWN_OUT, OHM
from hutwright.trades.wiring.feeding import (
    amperes,
    logic_entry,
    ohms,
    own_feed,
    shared_with_motor,
    shorter,
    thicker,
    volts,
)


def ask(project: Project) -> tuple[Check, ...]:
    """Board voltage against the level below which the controller resets.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One, or none where the circuit between supply, motor and board is not described.
    """
    coldest = project.site.air.coldest
    loop, entry, chain = motor_loop(project, coldest), logic_entry(project), logic_regulators(project)
    electronics = project.electronics
    if (
        loop is None
        or entry is None
        or electronics is None
        or electronics.board is None
        or electronics.logic is None
    ):
        return ()
    shared = shared_with_motor(project)
    supply = project.supplies[entry.supply]
    motor = feed(project, BRIDGE)
    together = motor is not None and motor.supply == entry.supply
    common = (supply.resistance if together else 0.0) + cables_resistance(project, shared, coldest)
    own = cables_resistance(project, tuple(each for each in entry.cables if each not in shared), coldest)
    own += 0.0 if together else supply.resistance
    load = electronics.logic.load
    for name in chain:
        load = drawn(project.regulators[name], load, supply.voltage)
    stall = loop.stall_current
    node = supply.voltage - common * (stall + load) - own * load
    steps = [
        Step(
            symbol="I_stall",
            formula="(U_supply - U_bridge) / R_loop",
            numbers={
                "U_supply": volts(loop.voltage),
                "U_bridge": volts(loop.offset),
                "R_loop": ohms(loop.total),
            },
            result=amperes(stall),
            words="what the motor draws while its rotor stands, on the coldest day",
        ),
        Step(
            symbol="U_feed",
            formula="U_supply - R_shared * (I_stall + I_logic) - R_own * I_logic",
            numbers={
                "U_supply": volts(supply.voltage),
                "R_shared": ohms(common),
                "I_stall": amperes(stall),
                "I_logic": amperes(load),
                "R_own": ohms(own),
            },
            result=volts(node),
            words="what is left where the logic is fed",
        ),
    ]
    left = node
    for name in reversed(chain):
        regulator = project.regulators[name]
        before, left = left, behind(regulator, left)
        drop = regulator.diode_drop if regulator.diode else 0.0
        steps.append(
            Step(
                symbol=f"U_{name}",
                formula="max(0, min(U_out, U_in - U_diode - U_dropout))",
                numbers={
                    "U_out": volts(regulator.output),
                    "U_in": volts(before),
                    "U_diode": volts(drop),
                    "U_dropout": volts(regulator.dropout),
                },
                result=volts(left),
                words=f"what {name} makes of it",
            )
        )
    feed_lever = own_feed(project)
    levers = [each(project, name) for name in shared for each in (shorter, thicker)]
    return (
        Check(
            value=left,
            limit=electronics.board.resets_below,
            dimension=units.VOLTAGE,
            sense=Sense.AT_LEAST,
            method=OHM,
            limit_from=CONTROLLER_DATA_SHEET_BROWN_OUT,
            working=tuple(steps),
            levers=(*((feed_lever,) if feed_lever else ()), *levers),
            meaning="Below this the controller starts again in the middle of a move.",
        ),
    )


QUESTION = Question(
    key="wiring.start_dip",
    title="Voltage left at the controller while the motor stalls",
    concern=Concern.FUNCTION,
    needs=(
        ("supplies",),
        ("cables",),
        ("drive",),
        ("electronics", "bridge"),
        ("electronics", "logic"),
        ("electronics", "board"),
    ),
    ask=ask,
)
