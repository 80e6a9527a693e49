"""The electrical side of the simulated door: supply, cables, bridge, and how the board sees the current."""

from __future__ import annotations

from typing import NamedTuple

from hutwright.catalogue.boards import BOARDS
from hutwright.catalogue.sensors import SENSORS
from hutwright.laws.hall_sensor import current_per_count
from hutwright.laws.motor_line import ROOM
from hutwright.layout.frame import Floats
from hutwright.model.circuit import BRIDGE, CurrentSensor, SensorPlace
from hutwright.model.project import Project
from hutwright.model.remembered import once_a_project
from hutwright.plant.circuit import feed, logic_regulators, lowest_feed, motor_loop
from hutwright.plant.conditions import Conditions
from hutwright.plant.energy import stages
from hutwright.plant.travel import drive_of

Part = dict[str, float | Floats]  # some of its fields, by name

# Noise from peak to peak, as data sheets give it, over its standard deviation: 6 to 6.6 is common.
# Standing: practice
PEAK_TO_PEAK = 6.0  # [-]
PERFECT_RANGE = 32.0  # of a sensor that is not described: what the controller can be told at all [A]
# The supply is measured through a divider that brings so many times its voltage to the converter's end: room
# for a battery that is charged. Standing: practice
DIVIDER_ROOM = 1.5  # [-]
SUPPLY_NOISE = 0.5  # of the reading of the supply, in its own steps. Standing: practice [-]
# A capacitor that the supply's own resistance fills quicker than this does not show at all in steps of the
# simulation: a choice of this project [s]
SHORTEST_RESERVOIR = 2e-4


def supply_voltage(project: Project) -> float:
    """Of the motor's supply without load; the drive's rated voltage where no circuit is described [V]."""
    loop = motor_loop(project, ROOM)
    return drive_of(project).rating.voltage if loop is None else loop.voltage


def supply_part(project: Project, conditions: Conditions) -> Part:
    """What the record of the simulated door says of supply, cables and bridge.

    Parameters
    ----------
    project : Project
        The project.
    conditions : Conditions
        Whose temperature counts.
    """
    loop = motor_loop(project, conditions.temperature)
    if loop is None:
        return {"voltage": drive_of(project).rating.voltage}
    source = loop.source + loop.feed
    held = _reservoir(project)
    return {
        "voltage": loop.voltage,
        "source_resistance": source,
        "reservoir": held if held * source >= SHORTEST_RESERVOIR else 0.0,
        "logic_current": _logic_current(project),
        "bridge_offset": loop.offset,
        "series_resistance": loop.bridge + loop.lead,
        "brown_out": brown_out(project),
    }


def _reservoir(project: Project) -> float:
    """Capacitors across the bridge's terminals: of the regulators there that no diode keeps apart [F]."""
    there = (each for each in project.regulators.values() if each.fed_by == BRIDGE and not each.diode)
    return sum(each.input_capacitor + each.reservoir for each in there)


def _logic_hangs_on_it(project: Project) -> bool:
    """Whether the board is fed by the motor's supply."""
    chain, motor = logic_regulators(project), feed(project, BRIDGE)
    entry = feed(project, chain[-1]) if chain else None
    return motor is not None and entry is not None and entry.supply == motor.supply


def _logic_current(project: Project) -> float:
    electronics = project.electronics
    if electronics is None:
        return 0.0
    own = 0.0 if electronics.bridge is None else electronics.bridge.quiescent
    if electronics.logic is None or not _logic_hangs_on_it(project):
        return own
    found = stages(project, electronics.logic.load)
    return own + (found[-1].current if found else 0.0)


@once_a_project
def brown_out(project: Project) -> float:
    """Voltage at the bridge below which the board resets; 0 where the motor's supply does not feed it.

    What a capacitor behind a diode holds for some milliseconds is left out, and so is a feed of the board's
    own on the same supply, whose voltage is higher than the bridge's: both are cautious. [V]
    """
    electronics = project.electronics
    if electronics is None or electronics.board is None or not _logic_hangs_on_it(project):
        return 0.0
    level = electronics.board.resets_below
    for name in logic_regulators(project):
        level = lowest_feed(project.regulators[name], level)
    return level


class Sensed(NamedTuple):
    """How the board sees the motor's current."""

    step: float  # of the converter [A]
    noise: float  # standard deviation of one reading [A]
    range: float  # greatest current either way [A]


@once_a_project
def sensing(project: Project) -> Sensed | None:
    """How the board sees the motor's current; None where no sensor is described.

    Without a described board its converter counts as one of ten bits over the sensor's own supply.
    """
    sensor = _sensor_of(project)
    if sensor is None:
        return None
    board = project.electronics.board if project.electronics else None
    bits = 10 if board is None else BOARDS[board.kind].converter_bits
    reference = SENSORS[sensor.kind].supply if board is None else board.reference
    return Sensed(
        step=current_per_count(reference, bits, sensor.sensitivity),
        noise=sensor.noise / PEAK_TO_PEAK / sensor.sensitivity,
        range=min(sensor.range, PERFECT_RANGE),
    )


def _sensor_of(project: Project) -> CurrentSensor | None:
    return project.electronics.current_sensor if project.electronics else None


def in_supply_lead(project: Project) -> bool:
    """Whether the current sensor sits in the supply lead; else, or without one, in the motor's."""
    sensor = _sensor_of(project)
    return sensor is not None and sensor.place is SensorPlace.SUPPLY_LEAD


def sensor_part(project: Project, *, sensed: bool) -> Part:
    """What the record of the simulated door says of what the board sees.

    Parameters
    ----------
    project : Project
        The project.
    sensed : bool
        Whether it is seen through noise and the steps of a converter.
    """
    found = sensing(project)
    step = DIVIDER_ROOM * supply_voltage(project) / 1024.0
    part: Part = {
        "sense_supply_lead": in_supply_lead(project),
        "sensor_gain": 1.0,
        "sensor_seen": 1.0,
        "sensor_range": PERFECT_RANGE if found is None else found.range,
    }
    if not sensed:
        return part
    if found is not None:
        part |= {"sensor_noise": found.noise, "sensor_step": found.step}
    return part | {"supply_step": step, "supply_noise": SUPPLY_NOISE * step}
