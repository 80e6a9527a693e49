"""The smallest change of the motor's current that stands out from noise and rounding."""

from __future__ import annotations

import math

from hutwright import units
from hutwright.catalogue.boards import BOARDS
from hutwright.catalogue.sensors import SENSORS
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.lever import Dial, Effort
from hutwright.checks.step import Number, Step
from hutwright.laws.hall_sensor import current_per_count
from hutwright.model.circuit import Board, CurrentSensor
from hutwright.model.controller import Detection
from hutwright.model.project import Project
from hutwright.sources import Source, Standing
from hutwright.trades.wiring.feeding import amperes, volts
from hutwright.trades.wiring.sensing import other_kinds, other_trip, sensitivity, steps_of_converter
from hutwright.units import NUMBER

READING_TIME = 1e-3  # between two readings of the controller: a choice of this project [s]
FILTER_STEP = 1e-3  # in which the filter is told to the controller: a choice of this project [s]
LONGEST_FILTER = 0.1  # a slower one notices an obstacle too late: a choice of this project [s]
# Common practice of the trade: a step four times smaller than what is to be told apart; standing: practice.
SHARE_OF_GAP = 0.25
QUARTER = Source("common practice of the trade", "a quarter of what is told apart", Standing.PRACTICE)


def ask(project: Project) -> tuple[Check, ...]:
    """Noise and converter error as a current, against a quarter of the gap between running and trip.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One, or none where sensor, board, drive or controller is not described.
    """
    electronics, controller, drive = project.electronics, project.controller, project.drive
    if electronics is None or electronics.current_sensor is None or electronics.board is None:
        return ()
    if controller is None or drive is None:
        return ()
    sensor, detection = electronics.current_sensor, controller.detection
    limit = SHARE_OF_GAP * (detection.trip - drive.rating.current)
    steps, seen = _seen(sensor, electronics.board, detection)
    gap = Step(
        symbol="I_wanted",
        formula="s * (I_trip - I_running)",
        numbers={
            "s": Number(SHARE_OF_GAP, units.RATIO),
            "I_trip": amperes(detection.trip),
            "I_running": amperes(drive.rating.current),
        },
        result=amperes(limit),
        words="a quarter of the gap between running under full load and the trip",
    )
    trip = other_trip(project, sensor)
    filtered = Dial(
        path=("controller", "detection", "filter"),
        dimension=units.TIME,
        lowest=0.0,
        highest=max(LONGEST_FILTER, detection.filter),
        words="smooth the readings with a time constant of",
        effort=Effort.SETTING,
        step=FILTER_STEP,
    )
    return (
        Check(
            value=seen,
            limit=limit,
            dimension=units.CURRENT,
            sense=Sense.AT_MOST,
            method=SENSORS[sensor.kind].noise_source,
            limit_from=QUARTER,
            working=(gap, *steps),
            levers=(*((trip,) if trip is not None else ()), filtered, other_kinds(sensor)),
            meaning="A smaller rise of the current is lost in noise: the door reverses late or for nothing.",
        ),
    )


def _seen(sensor: CurrentSensor, board: Board, detection: Detection) -> tuple[tuple[Step, ...], float]:
    kind = BOARDS[board.kind]
    noise = sensor.noise / sensor.sensitivity
    smoothed = noise / math.sqrt(max(1.0, 2.0 * detection.filter / READING_TIME))
    count = current_per_count(board.reference, kind.converter_bits, sensor.sensitivity)
    seen = smoothed + kind.converter_error * count
    return (
        Step(
            symbol="I_noise",
            formula="U_noise / k",
            numbers={"U_noise": volts(sensor.noise), "k": sensitivity(sensor)},
            result=amperes(noise),
            words="the sensor's noise from peak to peak, as a current",
        ),
        Step(
            symbol="I_smooth",
            formula="I_noise / sqrt(max(1, 2 * t_filter / t_reading))",
            numbers={
                "I_noise": amperes(noise),
                "t_filter": Number(detection.filter, units.TIME),
                "t_reading": Number(READING_TIME, units.TIME),
            },
            result=amperes(smoothed),
            words="what is left of it behind the filter, which evens out readings one after another",
        ),
        Step(
            symbol="I_count",
            formula="U_ref / (n_steps * k)",
            numbers={
                "U_ref": volts(board.reference),
                "n_steps": Number(steps_of_converter(board), NUMBER),
                "k": sensitivity(sensor),
            },
            result=amperes(count),
            words="one count of the converter",
        ),
        Step(
            symbol="I_seen",
            formula="I_smooth + n_error * I_count",
            numbers={
                "I_smooth": amperes(smoothed),
                "n_error": Number(kind.converter_error, NUMBER),
                "I_count": amperes(count),
            },
            result=amperes(seen),
            words="the smallest change that is sure to be seen, with the converter's own error",
        ),
    ), seen


QUESTION = Question(
    key="wiring.sensor_noise",
    title="Smallest change of the motor's current that is seen",
    concern=Concern.FUNCTION,
    needs=(("electronics", "current_sensor"), ("electronics", "board"), ("controller",), ("drive",)),
    ask=ask,
)
