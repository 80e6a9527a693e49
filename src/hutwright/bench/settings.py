"""A described project as the settings of its controller, sealed.

Until a calibration exists the described trip current is the residual over a profile of nothing, the same all
over the travel, in every weather and at every supply. The detector that compares a residual with its own slow
mean stays off: alone it misses soft slow contacts, and without a profile it would trip at every seal.
"""

from __future__ import annotations

import math

import numpy as np

from hutwright import units
from hutwright.bench import choices as chosen
from hutwright.bench.electrics import (
    PERFECT_RANGE,
    brown_out,
    in_supply_lead,
    sensing,
    supply_voltage,
)
from hutwright.bench.plant import rod
from hutwright.errors import ModelError
from hutwright.laws.motor_line import ROOM
from hutwright.layout.linkage import linkage_of
from hutwright.model.circuit import PresentKind
from hutwright.model.controller import Command, Controller, ProtectiveLayer
from hutwright.model.drive import EndSwitches
from hutwright.model.project import Project
from hutwright.model.remembered import once_a_project
from hutwright.native import engine
from hutwright.native.records import PLACE_OPEN, SETTINGS, SETTINGS_VERSION, Record, blank
from hutwright.native.words import Commands, Ends, Eyes, LinkLost, Refusal, Sense, spoken
from hutwright.plant.circuit import motor_loop
from hutwright.plant.conditions import nominal
from hutwright.plant.mechanism import rod_force
from hutwright.plant.motion import shares
from hutwright.plant.motor import drive_constants, line
from hutwright.plant.swing import detection_of, rotor_mass
from hutwright.plant.travel import drive_of, travel

OFF = 65535  # of a detector
PER_MILLE = 1000.0
TICK = 1e-3  # of the controller [s]


_WAYS = {
    Command.BUTTON: Commands.BUTTON,
    Command.RELAY: Commands.RELAY,
    Command.REMOTE: Commands.LINE,
    Command.SENSOR: Commands.SENSOR,
}
Part = dict[str, int]


def core_settings(project: Project) -> Record:
    """The settings of a project's controller.

    Parameters
    ----------
    project : Project
        The project, with door, linkage, drive and controller.

    Returns
    -------
    ndarray of SETTINGS, shape ()
        Sealed, and accepted by the core; not to be written to: make a copy, and seal that.

    Raises
    ------
    RequestError
        Where door, linkage, drive or controller is not described.
    ModelError
        Where something described is outside of what the core can do.
    """
    return _core_settings(project)


@once_a_project
def _core_settings(project: Project) -> Record:
    detection_of(project)  # which says where no controller is described
    controller = project.controller
    assert controller is not None
    record = blank(SETTINGS)
    ends = ends_of(project)
    for part in (
        {"version": SETTINGS_VERSION, "ends": ends},
        _speed(project, controller),
        _caps(project, controller),
        _detector(controller),
        _supply(project),
        _place(project, ends),
        _sensor(project, ends),
        _commands(project, controller),
    ):
        for name, value in part.items():
            record[name] = value
    trip = _whole("controller.detection.trip", controller.detection.trip, 1e3, (20, 40000), units.CURRENT)
    for way in ("opening", "closing"):
        record[way]["trip_mA"] = trip
        record[way]["rise_mA"] = OFF
    found = sealed(record)
    refusal = engine.refusal(found)
    if refusal is not Refusal.GOOD:
        raise ModelError(
            "controller",
            spoken(refusal),
            "settings that the door's core accepts",
            "look at what [controller], [drive] and [supplies] say about it",
        )
    return found


def sealed(settings: Record) -> Record:
    """Settings with their checksum, not to be written to.

    Parameters
    ----------
    settings : record of SETTINGS
        As they are to be.
    """
    found = np.array(engine.sealed(settings))
    found.flags.writeable = False
    return found


def _whole(
    field: str,
    value: float,
    scale: float,
    bounds: tuple[int, int],
    dimension: units.Dimension,
    remedy: str = "the door's core cannot be set to that; change it in the description",
) -> int:
    """A value in the core's own unit, rounded, or a refusal.

    Parameters
    ----------
    field : str
        Where it is described.
    value : float
        In SI. [dimension]
    scale : float
        The core's units in one of SI.
    bounds : tuple
        Least and greatest that the core takes, in its own unit.
    dimension : Dimension
        What it is.
    remedy : str
        What to do where it does not fit.
    """
    low, high = bounds
    if not low <= round(value * scale) <= high:
        raise ModelError(
            field,
            units.show(value, dimension),
            units.show_range(low / scale, high / scale, dimension),
            remedy,
        )
    return round(value * scale)


def _between(value: float, low: int, high: int) -> int:
    """A choice of ours, rounded and kept within what the core takes."""
    return min(max(round(value), low), high)


def ends_of(project: Project) -> Ends:
    """How the controller knows that the leaf has arrived."""
    return {
        EndSwitches.INSIDE: Ends.INSIDE,
        EndSwitches.TO_THE_BOARD: Ends.SWITCHES,
        EndSwitches.NONE: Ends.STALL,
    }[drive_of(project).end_switches]


# ---- speed and caps ---------------------------------------------------------------------------------------


def _speed(project: Project, controller: Controller) -> Part:
    speed = controller.speed
    normal = _whole("controller.speed.normal", speed.normal, PER_MILLE, (100, 1000), units.RATIO)
    last = _whole("controller.speed.last", speed.last, PER_MILLE, (50, normal), units.RATIO)
    return {
        "normal_permille": normal,
        "last_permille": last,
        "start_permille": min(round(chosen.START_SHARE * normal), last),
        "ramp_ms": round(chosen.RAMP / TICK),
        "dead_ms": round(chosen.DEAD_TIME / TICK),
        # rounded up: the slow stretch is never shorter than described
        "last_shut_permille": _between(
            math.ceil(PER_MILLE * rod_share(project, speed.last_over) - 1e-9), 0, 1000
        ),
        "last_open_permille": 0,
    }


def rod_share(project: Project, edge_way: float) -> float:
    """Share of the rod's travel that the edge's way from shut takes.

    Parameters
    ----------
    project : Project
        The project.
    edge_way : float
        Of the closing edge. [m]

    Returns
    -------
    float
        From 0 to 1. [-]
    """
    found, over = rod(project), travel(project)
    whole = found.travel(over.full)
    if not whole > 0.0:
        return 0.0
    return min(max(found.travel(min(edge_way / over.edge_radius, over.full)) / whole, 0.0), 1.0)


def _caps(project: Project, controller: Controller) -> Part:
    caps, trip = controller.longest_run, controller.detection.trip
    stall = line(project, nominal(project), duty=controller.speed.normal).stall_current
    backstop = max(
        min(chosen.BACKSTOP_OF_STALL * stall, chosen.BACKSTOP_OF_TRIP * trip),
        chosen.LEAST_BACKSTOP_OF_TRIP * trip,
    )
    longest = "controller.longest_run"
    return {
        "opening_cap_ms": _whole(f"{longest}.opening", caps.opening, 1e3, (500, 60000), units.TIME),
        "closing_cap_ms": _whole(f"{longest}.closing", caps.closing, 1e3, (500, 60000), units.TIME),
        "backstop_mA": _between(backstop * 1e3, 100, 40000),
        "backstop_ms": round(chosen.BACKSTOP_TIME / TICK),
    }


def _share_of_reading(time_constant: float) -> float:
    """Share of a new reading in a filtered one, in 1/65536."""
    return 65536.0 * (1.0 - math.exp(-TICK / time_constant)) if time_constant > 0.0 else 65535.0


def _detector(controller: Controller) -> Part:
    seen, field = controller.detection, "controller.detection"
    slowest = -TICK / math.log1p(-64.0 / 65536.0)
    if seen.filter > slowest:
        raise ModelError(
            f"{field}.filter",
            units.show(seen.filter, units.TIME),
            f"at most {units.show(slowest, units.TIME)}",
            "so slow a filter sees no obstacle; give milliseconds",
        )
    return {
        "filter_q16": _between(_share_of_reading(seen.filter), 64, 65535),
        "slow_q16": _between(_share_of_reading(chosen.SLOW_MEAN), 16, 65535),
        "after_ms": max(_whole(f"{field}.after", seen.after, 1e3, (0, 1000), units.TIME), 1),
        "blind_ms": _whole(f"{field}.blind_after_start", seen.blind_after_start, 1e3, (0, 3000), units.TIME),
        "start_step_ms": round(chosen.START_STEP / TICK),
        "trained_low_dC": chosen.WIDEST_TEMPERATURES[0],
        "trained_high_dC": chosen.WIDEST_TEMPERATURES[1],
        "trained_low_mV": chosen.WIDEST_SUPPLY[0],
        "trained_high_mV": chosen.WIDEST_SUPPLY[1],
        "reference_dC": 200,
    }


# ---- supply and place -------------------------------------------------------------------------------------


def supply_levels(project: Project) -> tuple[float, float]:
    """Voltage at the bridge above which a move may start, and below which it ends.

    Returns
    -------
    tuple of float
        Start above, stop below. [V, V]

    Raises
    ------
    ModelError
        Where the supply is too low for board and bridge.
    """
    voltage = supply_voltage(project)
    bridge = project.electronics.bridge if project.electronics else None
    needed = max(brown_out(project), 0.0 if bridge is None else bridge.lowest_supply)
    stop = needed + chosen.SUPPLY_MARGIN if needed > 0.0 else chosen.STOP_OF_SUPPLY * voltage
    start = max(chosen.START_OF_SUPPLY * voltage, stop + chosen.SUPPLY_MARGIN)
    if not start < voltage:
        raise ModelError(
            "supplies",
            units.show(voltage, units.VOLTAGE),
            f"more than {units.show(start, units.VOLTAGE)}, with which board and bridge work",
            "take a supply of a higher voltage, or a regulator and a bridge that want less",
        )
    return start, stop


def _supply(project: Project) -> Part:
    start, stop = supply_levels(project)
    remedy = "the door's core works with supplies from 3 to 60 V"
    volts = (3000, 60000)
    return {
        "start_above_mV": _whole("supplies", start, 1e3, volts, units.VOLTAGE, remedy),
        "stop_below_mV": _whole("supplies", stop, 1e3, (2000, 60000), units.VOLTAGE, remedy),
        "stop_below_ms": round(chosen.LOW_SUPPLY_TIME / TICK),
        "reference_mV": _whole("supplies", supply_voltage(project), 1e3, volts, units.VOLTAGE, remedy),
    }


def _place(project: Project, ends: Ends) -> Part:
    """The back-EMF over the constant is the rod's speed; its share of the travel is summed every tick."""
    constants, loop = drive_constants(project), motor_loop(project, ROOM)
    over = travel(project)
    whole = rod(project).travel(over.full)
    a_volt = constants.constant * whole  # seconds that one volt takes over the whole travel
    speed = drive_of(project).no_load.speed
    gain = PLACE_OPEN * 256.0 * 1e-3 * TICK / a_volt if a_volt > 0.0 else math.inf
    if not 1.0 <= gain <= 65535.0:
        raise ModelError(
            "drive.no_load",
            f"{units.show(speed, units.SPEED)} over {units.show(whole, units.LENGTH)}",
            "a drive that takes at least some seconds over its whole travel",
            "measure speed, travel and pins again; the core cannot follow the place of so quick a drive",
        )
    resistance = constants.resistance + (0.0 if loop is None else loop.bridge + loop.lead)
    drop = 0.0 if loop is None else loop.offset
    unwound = line(project, nominal(project)).stall_force / linkage_of(project).mount_stiffness
    return {
        "place_gain_q8": round(gain),
        "resistance_mohm": _whole("drive.motor.resistance", resistance, 1e3, (0, 60000), units.RESISTANCE),
        "drop_mV": _whole("electronics.bridge.offset", drop, 1e3, (0, 5000), units.VOLTAGE),
        "end_permille": round(PER_MILLE * chosen.END_WINDOW[ends]),
        "slip_permille": round(PER_MILLE * chosen.SLIP),
        "relax_permille": _between(PER_MILLE * (unwound + chosen.RELAX_MORE) / whole, 1, 200),
        "back_permille": _between(PER_MILLE * chosen.BACK_EDGE / float(over.edge_way[-1]), 0, 1000),
    }


# ---- sensor and commands ----------------------------------------------------------------------------------


def _sensor(project: Project, ends: Ends) -> Part:
    found = sensing(project)
    reach = PERFECT_RANGE if found is None else found.range
    return {
        "sense": Sense.SUPPLY if in_supply_lead(project) else Sense.MOTOR,
        "zero_ms": round(chosen.ZERO_TIME / TICK),
        "zero_most_mA": _between(1e3 * chosen.ZERO_SHARE * reach, 1, 10000),
        "range_mA": _whole(
            "electronics.current_sensor.range", chosen.RANGE_SHARE * reach, 1e3, (1000, 32000), units.CURRENT
        ),
        "stuck_ms": 0 if found is None else stuck_time(found.noise, found.step),
        "none_mA": _between(1e3 * no_current(project, ends), 1, 5000),
        "none_ms": _between((chosen.NO_CURRENT_TIME + slowing_time(project)) / TICK, 5, 2000),
    }


def stuck_time(noise: float, step: float) -> int:
    """For how long a sensor that is well hardly ever shows the very same reading.

    In the middle of a step a reading stays with the chance that its noise is less than half a step, at the
    worst; readings in a row count as independent, and the answer is doubled because they are not quite.

    Parameters
    ----------
    noise : float
        Standard deviation of one reading. [A]
    step : float
        Of the converter. [A]

    Returns
    -------
    int
        Milliseconds; 0 where noise is too little against a step to tell.
    """
    stays = math.erf(0.5 * step / (math.sqrt(2.0) * noise)) if noise > 0.0 else 1.0
    if not stays < 1.0:
        return 0
    time = 2.0 * TICK * math.log(chosen.STUCK_CHANCE) / math.log(stays) if stays > 0.0 else 0.0
    return round(max(time, chosen.LEAST_STUCK) / TICK) if time <= chosen.MOST_STUCK else 0


def slowing_time(project: Project) -> float:
    """How long the rotor takes to fall from the normal to the last speed, by its friction alone.

    Returns
    -------
    float
        Nothing where there is no slower last stretch. [s]
    """
    calm, duties = nominal(project), shares(project)
    quick, slow = (line(project, calm, duty=duty) for duty in (duties.normal, duties.last))
    braking = quick.constants.friction_current * quick.constants.constant
    lost = rotor_mass(project) * (quick.free_speed - slow.free_speed)
    return lost / braking if braking > 0.0 and duties.last_over > 0.0 else 0.0


def no_current(project: Project, ends: Ends) -> float:
    """Current below which none flows.

    Half of the least current that moves the free leaf. Where a load that helps turns the motor by itself
    there is no such current: then none is looked for, unless switches inside the drive must be told by it.

    Parameters
    ----------
    project : Project
        The project.
    ends : Ends
        How the controller knows that the leaf has arrived.

    Returns
    -------
    float
        The current. [A]
    """
    calm, found = nominal(project), sensing(project)
    drive = line(project, calm)
    least = min(float(np.min(drive.current(rod_force(project, calm, opening=way)))) for way in (True, False))
    sure = chosen.LEAST_NO_CURRENT if found is None else chosen.NO_CURRENT_STEPS * found.step
    half = chosen.NO_CURRENT_SHARE * least
    if half >= sure or ends is Ends.INSIDE:
        return max(half, sure)
    return 0.0


def _commands(project: Project, controller: Controller) -> Part:
    bits = sum(int(_WAYS[way]) for way in set(controller.commands))
    if not bits:
        raise ModelError(
            "controller.commands",
            "none",
            "at least one way to command the door",
            'write commands = ["button"]',
        )
    return {
        "commands": bits,
        "eyes": int(eyes_of(project)),
        "link_lost": LinkLost.STAY,
        "link_lost_ms": round(chosen.LINK_LOST / TICK) if Command.REMOTE in controller.commands else 0,
        "most_reversals": chosen.MOST_REVERSALS,
        "present_hold_ms": round(chosen.PRESENT_HOLD / TICK),
        "auto_close_s": 0,
        "debounce_ms": round(chosen.DEBOUNCE / TICK),
        "clear_ms": round(chosen.CLEAR / TICK),
    }


def eyes_of(project: Project) -> Eyes:
    """The eyes that the controller has: of its layers, the present sensor only where it is described.

    A present sensor that is a beam is the beam, where both are among the layers.
    """
    layers = set(project.controller.layers) if project.controller else set()
    present = project.electronics.present_sensor if project.electronics else None
    beam, eyes = ProtectiveLayer.BEAM in layers, Eyes(0)
    if ProtectiveLayer.PRESENT_SENSOR in layers and present is not None:
        eyes |= Eyes(0) if beam and present.kind is PresentKind.BEAM else Eyes.PRESENT
    if beam:
        eyes |= Eyes.BEAM
    if ProtectiveLayer.PRESSURE_EDGE in layers:
        eyes |= Eyes.EDGE
    return eyes
