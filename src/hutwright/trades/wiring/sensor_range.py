"""Whether the current sensor still shows the greatest current of the motor."""

from __future__ import annotations

from hutwright import units
from hutwright.catalogue.sensors import SENSORS
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.step import Step
from hutwright.model.project import Project
from hutwright.plant.circuit import motor_loop
from hutwright.sources import OHM
from hutwright.trades.wiring.feeding import amperes, ohms, volts
from hutwright.trades.wiring.sensing import other_kinds, sensitivity, zero_output


def ask(project: Project) -> tuple[Check, ...]:
    """Stall current on the coldest day against what sensor and converter can show.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One, or none where the way to the motor or the sensor is not described.
    """
    loop = motor_loop(project, project.site.air.coldest)
    electronics = project.electronics
    if loop is None or electronics is None or electronics.current_sensor is None:
        return ()
    sensor, board = electronics.current_sensor, electronics.board
    limit, steps = sensor.range, []
    if board is not None:
        zero = zero_output(sensor)
        limit = min(sensor.range, (board.reference - zero) / sensor.sensitivity)
        steps.append(
            Step(
                symbol="I_shown",
                formula="min(I_range, (U_ref - U_zero) / k)",
                numbers={
                    "I_range": amperes(sensor.range),
                    "U_ref": volts(board.reference),
                    "U_zero": volts(zero),
                    "k": sensitivity(sensor),
                },
                result=amperes(limit),
                words="the greatest current that sensor and converter show",
            )
        )
    steps.append(
        Step(
            symbol="I_stall",
            formula="max(0, U_supply - U_bridge) / R_loop",
            numbers={
                "U_supply": volts(loop.voltage),
                "U_bridge": volts(loop.offset),
                "R_loop": ohms(loop.total),
            },
            result=amperes(loop.stall_current),
            words="what the motor draws while its rotor stands, and as a start begins, on the coldest day",
        )
    )
    return (
        Check(
            value=loop.stall_current,
            limit=limit,
            dimension=units.CURRENT,
            sense=Sense.AT_MOST,
            method=OHM,
            limit_from=SENSORS[sensor.kind].source,
            working=tuple(steps),
            levers=(other_kinds(sensor),),
            meaning="Above its range the sensor shows the same whatever flows: a stall looks like a start.",
        ),
    )


QUESTION = Question(
    key="wiring.sensor_range",
    title="Greatest motor current at the current sensor",
    concern=Concern.FUNCTION,
    needs=(
        ("supplies",),
        ("cables",),
        ("drive",),
        ("electronics", "bridge"),
        ("electronics", "current_sensor"),
    ),
    ask=ask,
)
