"""Doors, settings and scenarios for the tests of the native part: invented, each of its kind.

A hinged hatch of 4 kg and 0.5 m with a 300 N, 22 mm/s screw drive; a sliding leaf of 6 kg with a 180 N,
110 mm/s belt; a lift of 8 kg with a counterweight.
"""

from __future__ import annotations

import math

import numpy as np

from hutwright.native import records
from hutwright.native.engine import sealed
from hutwright.native.records import Record, blank
from hutwright.native.scenario import Event, obstacle
from hutwright.native.words import Commands, Ends, EventKind, Eye, Eyes, Linkage, Sense, When

G = 9.81
# A hatch hinged at its upper edge, seen from the side: hinge at the origin, the shut leaf hangs along -y.
HATCH_MASS, HATCH_HEIGHT = 4.0, 0.5
HATCH_HEAD, HATCH_FOOT = (0.02, -0.12), (-0.16, -0.05)


def _plain(full: float) -> Record:
    """What all three have in common."""
    door = blank(records.DOOR)
    door["full"] = full
    door["way"] = 1.0
    door["rod_low"], door["rod_high"] = -1e9, 1e9
    door["slip_force"] = 1e30
    door["board_switches"] = 1
    door["temperature"] = 293.15
    door["voltage"], door["source_resistance"], door["logic_current"] = 12.6, 0.15, 0.06
    door["bridge_offset"], door["series_resistance"], door["brown_out"] = 0.9, 0.25, 4.5
    door["sensor_gain"] = door["sensor_seen"] = 1.0
    door["sensor_range"] = 30.0
    return door


def drive(door: Record, *, resistance: float, inductance: float, constant: float, efficiency: float,
          friction_current: float, rotor_mass: float) -> None:  # fmt: skip
    """Set a drive's fields."""
    door["resistance"], door["inductance"], door["constant"] = resistance, inductance, constant
    door["efficiency"], door["friction_current"], door["rotor_mass"] = (
        efficiency,
        friction_current,
        rotor_mass,
    )


def rod(door: Record, foot: tuple[float, float], head: tuple[float, float]) -> None:
    """Coefficients of a rod between two pins, the head turning with the leaf about the origin by +q."""
    (ax, ay), (px, py) = foot, head
    door["linkage"] = Linkage.ROD_TURNING
    door["k0"] = ax * ax + ay * ay + px * px + py * py
    door["k1"] = -2.0 * (ax * px + ay * py)
    door["k2"] = 2.0 * (ax * py - ay * px)


def hinged() -> Record:
    """A hatch: 4 kg, 0.5 m, 75 degrees; a self-locking 300 N, 22 mm/s screw."""
    mass, height = HATCH_MASS, HATCH_HEIGHT
    door = _plain(math.radians(75.0))
    rod(door, HATCH_FOOT, HATCH_HEAD)
    door["inertia"] = mass * height**2 / 3.0
    door["edge_radius"] = height
    q = door["full"] * records.SHARES
    door["gravity"] = -mass * G * 0.5 * height * np.sin(q)
    door["wind"] = 60.0 * 0.5 * height * height * 0.6 * np.cos(q)
    door["resist_open"], door["resist_close"] = 0.3, 0.3
    # 12 V, 22 mm/s free, 300 N near 5 A: a small motor on a steep screw.
    drive(door, resistance=1.1, inductance=0.9e-3, constant=430.0, efficiency=0.35, friction_current=0.5,
          rotor_mass=900.0)  # fmt: skip
    door["self_locking"] = 1
    door["mount_stiffness"], door["mount_damping"] = 4.0e5, 300.0
    door["stop_stiffness"], door["stop_damping"] = 5.0e3, 20.0
    door["limit_shut"], door["limit_open"] = 0.01, door["full"] - 0.01
    return door


def sliding() -> Record:
    """A leaf of 6 kg on a level track, 0.55 m; a 180 N, 110 mm/s belt drive."""
    door = _plain(0.55)
    door["linkage"], door["k0"], door["k1"] = Linkage.DIRECT, 0.0, 1.0
    door["inertia"], door["edge_radius"] = 6.0, 1.0
    door["wind_drag"] = 4.0
    door["resist_open"], door["resist_close"] = 6.0, 6.0
    drive(door, resistance=1.6, inductance=1.2e-3, constant=88.0, efficiency=0.7, friction_current=0.25,
          rotor_mass=14.0)  # fmt: skip
    door["mount_stiffness"], door["mount_damping"] = 6.0e4, 120.0
    door["stop_stiffness"], door["stop_damping"] = 2.0e5, 600.0
    door["limit_shut"], door["limit_open"] = 0.004, 0.546
    return door


def lift() -> Record:
    """A leaf of 8 kg that rises by 0.6 m, 5 kg of it balanced, on a spindle that holds by itself."""
    door = _plain(0.6)
    door["linkage"], door["k0"], door["k1"] = Linkage.DIRECT, 0.0, 1.0
    door["inertia"], door["edge_radius"] = 13.0, 1.0
    door["gravity"] = -3.0 * G
    door["resist_open"], door["resist_close"] = 4.0, 4.0
    drive(door, resistance=1.3, inductance=1.0e-3, constant=150.0, efficiency=0.45, friction_current=0.4,
          rotor_mass=60.0)  # fmt: skip
    door["self_locking"] = 1
    door["mount_stiffness"], door["mount_damping"] = 1.2e5, 250.0
    door["stop_stiffness"], door["stop_damping"] = 3.0e5, 800.0
    door["limit_shut"], door["limit_open"] = 0.004, 0.596
    return door


DOORS = {"hinged": hinged, "sliding": sliding, "lift": lift}


def settings_for(door: Record) -> Record:
    """Settings with which the door opens and shuts, sealed; the detectors judge by the backstop mostly."""
    made = blank(records.SETTINGS)
    made["version"] = records.SETTINGS_VERSION
    made["sense"] = Sense.SUPPLY if door["sense_supply_lead"] else Sense.MOTOR
    made["ends"] = Ends.SWITCHES if door["board_switches"] else Ends.STALL
    made["commands"] = Commands.BUTTON | Commands.LINE
    made["eyes"] = Eyes.PRESENT
    made["most_reversals"] = 3
    made["normal_permille"], made["last_permille"], made["start_permille"] = 1000, 500, 200
    made["ramp_ms"], made["dead_ms"] = 300, 50
    made["last_shut_permille"], made["last_open_permille"] = 60, 60
    made["opening_cap_ms"] = made["closing_cap_ms"] = 40000
    made["backstop_mA"], made["backstop_ms"] = 6000, 5
    made["filter_q16"], made["slow_q16"] = 6000, 400
    made["after_ms"], made["blind_ms"], made["start_step_ms"] = 8, 400, 50
    made["reference_dC"], made["reference_mV"] = 200, 12600
    made["trained_low_dC"], made["trained_high_dC"] = -200, 500
    made["trained_low_mV"], made["trained_high_mV"] = 9000, 16000
    made["start_above_mV"], made["stop_below_mV"], made["stop_below_ms"] = 9500, 8000, 50
    travel = _travel(door)
    # Share of the travel [2^30, 1/256] per mV and ms.
    per_mv_ms = 1e-3 * 1e-3 / float(door["constant"]) / travel
    made["place_gain_q8"] = round(per_mv_ms * 2**30 * 256.0)
    made["resistance_mohm"] = round(1e3 * float(door["resistance"] + door["series_resistance"]))
    made["drop_mV"] = round(1e3 * float(door["bridge_offset"]))
    made["end_permille"], made["slip_permille"] = 50, 150
    made["zero_ms"], made["zero_most_mA"] = 32, 2000
    made["range_mA"], made["none_mA"], made["none_ms"] = 25000, 60, 200
    made["relax_permille"], made["back_permille"] = 20, 100
    made["debounce_ms"], made["clear_ms"] = 20, 2000
    made["present_hold_ms"] = 500
    for way in ("opening", "closing"):
        made[way]["profile_mA"] = 3000
        made[way]["trip_mA"], made[way]["rise_mA"] = 1500, 65535
    return sealed(made)


def _travel(door: Record) -> float:
    from hutwright.native.engine import rod as rod_of

    return rod_of(door, float(door["full"]))[0]


def pressing(door: Record, time: float, *, face: float, stiffness: float) -> list[Event]:
    """Something in the way of a closing leaf, and an edge that from a time on says so at the first touch."""
    place = face / float(door["edge_radius"])
    meets, leaves = When.PASSING_CLOSING, When.PASSING_OPENING
    return [
        obstacle(0.0, face=face, stiffness=stiffness),
        Event(EventKind.EDGE, time, Eye.SEES, when=meets, place=place),
        Event(EventKind.EDGE, time, Eye.CLEAR, when=leaves, place=place),
    ]
