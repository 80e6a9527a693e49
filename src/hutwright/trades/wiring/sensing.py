"""What the questions about the current sensor share: its kinds, its zero, the converter's steps."""

from __future__ import annotations

from hutwright import units
from hutwright.catalogue.boards import BOARDS
from hutwright.catalogue.sensors import SENSORS, SensorKind
from hutwright.checks.lever import Dial, Effort, Option, Pick
from hutwright.checks.step import Number
from hutwright.model.circuit import Board, CurrentSensor, SensorPlace
from hutwright.model.project import Project

SENSOR = ("electronics", "current_sensor")
# What follows from a sensor's kind and must not outlive it.
SENSOR_FIELDS = ("range", "sensitivity", "noise")
TRIP_STEP = 0.01  # in which the trip is told to the controller: a choice of this project [A]


def sensitivity(sensor: CurrentSensor) -> Number:
    """A sensor's sensitivity put into a step."""
    return Number(sensor.sensitivity, units.SENSITIVITY)


def steps_of_converter(board: Board) -> float:
    """Number of steps [-] that the board's converter divides its reference into."""
    return float(1 << BOARDS[board.kind].converter_bits)


def zero_output(sensor: CurrentSensor) -> float:
    """Output [V] of a sensor without current."""
    kind = SENSORS[sensor.kind]
    return kind.zero_ratio * kind.supply


def in_place(name: str) -> Option:
    """Another kind of sensor in place of the one described."""
    changes: dict[tuple[str, ...], object] = {(*SENSOR, "kind"): name}
    changes |= {(*SENSOR, field): None for field in SENSOR_FIELDS}
    return Option(f"fit a {name} current sensor", changes)


def suits(kind: SensorKind, place: SensorPlace) -> bool:
    """Whether a kind can sit in a lead: the current of a motor lead flows both ways."""
    return kind.both_ways or place is SensorPlace.SUPPLY_LEAD


def other_kinds(sensor: CurrentSensor) -> Pick:
    """The choice of another kind that suits the place, the smallest range first."""
    kinds = sorted(SENSORS.values(), key=lambda kind: kind.range)
    others = [each for each in kinds if each.name != sensor.kind and suits(each, sensor.place)]
    options = tuple(in_place(each.name) for each in others)
    return Pick(words="another current sensor", options=options, effort=Effort.BUY_SMALL)


def other_trip(project: Project, sensor: CurrentSensor) -> Dial | None:
    """The current that means an obstacle, as a lever; None where no controller is described."""
    if project.controller is None:
        return None
    return Dial(
        path=("controller", "detection", "trip"),
        dimension=units.CURRENT,
        lowest=TRIP_STEP,
        highest=max(sensor.range, project.controller.detection.trip),
        words="let the door reverse from a current of",
        effort=Effort.SETTING,
        step=TRIP_STEP,
    )
