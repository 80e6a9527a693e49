"""A described project as the record of a simulated door.

What the description does not tell is chosen here, each choice with its reason. Two things are told apart
that `hutwright.plant.loads` gives together: loads that are there whichever way the leaf moves (gravity, wind
on a hinged leaf) and resistance that only ever works against the motion (friction, seal, snow, wind across a
track).
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from hutwright.bench.electrics import Part, sensor_part, supply_part
from hutwright.layout.frame import door_of
from hutwright.layout.leaf import hinge_line, track_direction
from hutwright.layout.linkage import foot_pin, head_pin, is_direct, linkage_of
from hutwright.model.drive import EndSwitches
from hutwright.model.project import Project
from hutwright.model.remembered import once_a_project
from hutwright.native.records import DOOR, SHARES, Record, blank
from hutwright.native.words import Linkage
from hutwright.plant.conditions import Conditions
from hutwright.plant.loads import ICE_OVER, loads
from hutwright.plant.masses import inertia
from hutwright.plant.mechanism import rod_force
from hutwright.plant.motion import shares
from hutwright.plant.motor import line
from hutwright.plant.swing import rotor_mass
from hutwright.plant.travel import DEAD_ARM, Travel, drive_of, travel

# Of critical damping, of the leaf on its mount: 3 to 10 % is common for bolted brackets on timber.
# Standing: practice
MOUNT_DAMPING = 0.05  # [-]
# A wooden frame with its strip pressed, at the closing edge: a push of 200 N gives a millimetre.
# Standing: practice
STOP_STIFFNESS = 200e3  # [N/m]
# Of critical damping, of a leaf on its frame: wood on a rubber strip hardly rebounds. Standing: practice
STOP_DAMPING = 0.3  # [-]
# Way of the closing edge before shut at which a switch at the board is made: a roller or magnet switch wants
# 1 to 3 mm, and the leaf runs on a little. Standing: practice
SWITCH_BEFORE_SHUT = 2e-3  # [m]
NEVER = 1e9  # a stop that nothing reaches [m]
NO_SLIP = 1e30  # a mount that does not slide [N]


class Rod(NamedTuple):
    """How the rod's length follows the leaf; see `sim.h`."""

    linkage: Linkage
    k0: float  # [m2, direct m]
    k1: float  # [m2 turning, m sliding, - direct]
    k2: float  # [m2]
    way: float  # 1 where opening makes the rod longer at first, -1 where it makes it shorter [-]

    def length(self, place: float) -> float:
        """Between the pins at a travel from shut [rad or m]; of a direct drive the travel [m]."""
        if self.linkage is Linkage.DIRECT:
            return self.k0 + self.k1 * place
        if self.linkage is Linkage.ROD_SLIDING:
            return float(np.sqrt(self.k0 + self.k1 * place + place * place))
        return float(np.sqrt(self.k0 + self.k1 * np.cos(place) + self.k2 * np.sin(place)))

    def travel(self, place: float) -> float:
        """The rod's travel from shut, above zero towards open [m]."""
        return self.way * (self.length(place) - self.length(0.0))


@once_a_project
def rod(project: Project) -> Rod:
    r"""The rod's length over the leaf's travel, exactly, however the rod leans out of the leaf's plane.

    A pin on a hinged leaf goes round the hinge line: with its spoke d from the hinge line, the foot's a, and
    the axis u,

    .. math::
        L^2 = d^2 + a^2 - 2 (a u)(d u) - 2 \cos q\,(a d - (a u)(d u)) - 2 \sin q\,a (u \times d)

    Parameters
    ----------
    project : Project
        The project.
    """
    way = _way(travel(project))
    if is_direct(project):
        return Rod(Linkage.DIRECT, 0.0, 1.0, 0.0, way)
    foot, head = foot_pin(project), head_pin(project)
    if not door_of(project).kind.hinged:
        spoke = head - foot
        along = float(spoke @ track_direction(project))
        return Rod(Linkage.ROD_SLIDING, float(spoke @ spoke), 2.0 * along, 0.0, way)
    point, axis = hinge_line(project)
    d, a = head - point, foot - point
    level = float(a @ axis) * float(d @ axis)
    return Rod(
        Linkage.ROD_TURNING,
        float(d @ d + a @ a) - 2.0 * level,
        -2.0 * (float(a @ d) - level),
        -2.0 * float(a @ np.cross(axis, d)),
        way,
    )


def _way(over: Travel) -> float:
    """Sign of the arm where the leaf leaves its frame; 1 where it has none anywhere."""
    alive = np.flatnonzero(np.abs(over.arm) > DEAD_ARM)
    return -1.0 if len(alive) and over.arm[alive[0]] < 0.0 else 1.0


def stroke_ends(project: Project) -> tuple[float, float]:
    """The rod's own hard stops, as its travel from shut; far away where no length is described [m]."""
    length = drive_of(project).length
    if length is None:
        return -NEVER, NEVER
    found = rod(project)
    shortest = 0.0 if is_direct(project) else length.shortest
    ends = [found.way * (end - found.length(0.0)) for end in (shortest, shortest + length.stroke)]
    return min(ends), max(ends)


def sim_door(
    project: Project, conditions: Conditions, *, sensed: bool = True, voltage: float | None = None
) -> Record:
    """The simulated door of a project.

    Parameters
    ----------
    project : Project
        The project, with door, linkage and drive.
    conditions : Conditions
        In what weather; its wind is the wind factor 1 of the scenario.
    sensed : bool
        Whether current and supply are seen through noise and the steps of a converter; else as they are.
    voltage : float or None
        Of the supply without load; None for that of the description. [V]

    Returns
    -------
    ndarray of DOOR, shape ()
        The record, not to be written to: make a copy.

    Raises
    ------
    RequestError
        Where door, linkage or drive is not described.
    """
    record = _sim_door(project, conditions, sensed)
    if voltage is None:
        return record
    own = record.copy()
    own["voltage"] = voltage
    return own


@once_a_project
def _sim_door(project: Project, conditions: Conditions, sensed: bool) -> Record:  # noqa: FBT001
    record = blank(DOOR)
    over = travel(project)
    for part in (
        _geometry(project, over),
        _loads(project, over, conditions),
        _drive(project, conditions),
        _ends(project, over, conditions),
        _mount(project, over),
        supply_part(project, conditions),
        sensor_part(project, sensed=sensed),
    ):
        for name, value in part.items():
            record[name] = value
    record["temperature"] = conditions.temperature
    record.flags.writeable = False
    return record


def _geometry(project: Project, over: Travel) -> Part:
    found = rod(project)
    edge = door_of(project).edge
    return {
        "linkage": found.linkage,
        "k0": found.k0,
        "k1": found.k1,
        "k2": found.k2,
        "way": found.way,
        "full": over.full,
        "edge_radius": over.edge_radius,
        "inertia": inertia(project),
        "edge_stiffness": edge.stiffness or 0.0,
        "edge_depth": edge.depth or 0.0,
    }


def _loads(project: Project, over: Travel, conditions: Conditions) -> Part:
    """Loads over places that lie evenly in the square root of the travel."""
    places = over.full * SHARES
    opening, closing = (loads(project, conditions, opening=way) for way in (True, False))
    wind = {"wind": -opening.wind} if over.hinged else {"wind_drag": opening.wind}
    tables = {
        "gravity": -opening.gravity,
        **wind,
        "resist_open": opening.friction + opening.snow,
        "resist_close": -(closing.friction + closing.seal),
    }
    part: Part = {name: np.interp(places, over.places, values) for name, values in tables.items()}
    part["ice"] = float(opening.ice[0])
    part["ice_over"] = ICE_OVER / over.edge_radius
    return part


def _drive(project: Project, conditions: Conditions) -> Part:
    """A listing that contradicts itself by an efficiency above 1 counts as one without losses."""
    constants = line(project, conditions).constants
    drive = drive_of(project)
    return {
        "self_locking": drive.screw.self_locking,
        "resistance": constants.resistance,
        "inductance": drive.motor.inductance,
        "constant": constants.constant,
        "efficiency": min(constants.efficiency, 1.0),
        "friction_current": constants.friction_current,
        "rotor_mass": rotor_mass(project),
    }


# ---- ends and mount ---------------------------------------------------------------------------------------


def _ends(project: Project, over: Travel, conditions: Conditions) -> Part:
    """Stops and switches.

    A listing does not tell where the switches inside a drive sit. They count as set to the leaf: shut they
    open as the leaf meets its frame, open they open as much earlier as the drive coasts on; never beyond the
    rod's own ends. A switch at the board is set the same way at open.
    """
    low, high = stroke_ends(project)
    found, switches = rod(project), drive_of(project).end_switches
    whole = found.travel(over.full)
    coasting = _coasting(project, over, conditions)
    early = min(coasting * _per_rod(over), 0.5 * over.full)
    return {
        "inside_switches": switches is EndSwitches.INSIDE,
        "board_switches": switches is EndSwitches.TO_THE_BOARD,
        "rod_low": low,
        "rod_high": high,
        "switch_shut": max(0.0, low),
        "switch_open": min(max(whole - coasting, 0.5 * whole), high),
        "limit_shut": SWITCH_BEFORE_SHUT / over.edge_radius,
        "limit_open": over.full - early,
    }


def _per_rod(over: Travel) -> float:
    """Travel of the leaf per travel of the rod, fully open [rad/m or -]."""
    return 0.0 if over.dead[-1] else 1.0 / abs(float(over.arm[-1]))


def _coasting(project: Project, over: Travel, conditions: Conditions) -> float:
    """How far the rod runs on when its current is cut as the leaf gets fully open [m]."""
    drive = line(project, conditions, duty=shares(project).normal)
    force = float(rod_force(project, conditions, opening=True)[-1])
    if over.dead[-1]:
        return 0.0
    speed, constants = float(drive.speed(force)), drive.constants
    braking = constants.friction_current * constants.constant + max(force, 0.0) / constants.efficiency
    mass = rotor_mass(project) + inertia(project) / float(over.arm[-1]) ** 2
    return 0.5 * mass * speed**2 / braking if braking > 0.0 else 0.0


def _mount(project: Project, over: Travel) -> Part:
    stiffness, moved = linkage_of(project).mount_stiffness, inertia(project)
    # At the middling arm, because one number serves the whole travel.
    arm = max(abs(float(over.rod_length[-1] - over.rod_length[0])) / over.full, DEAD_ARM)
    stop = STOP_STIFFNESS * over.edge_radius**2
    return {
        "mount_stiffness": stiffness,
        "mount_damping": 2.0 * MOUNT_DAMPING * float(np.sqrt(stiffness * moved)) / arm,
        "slip_force": NO_SLIP,
        "stop_stiffness": stop,
        "stop_damping": 2.0 * STOP_DAMPING * float(np.sqrt(stop * moved)),
    }
