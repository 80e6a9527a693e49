"""The machine on its lane against the moving leaf: how near they come.

The machine's way is counted from where it is parked, straight out along -y, positive. Distances are exact for
the two boxes and negative where they overlap. What the machine climbs at the door anyway (sill, threshold, a
bottom-hinged leaf that lies down as a ramp) is no obstacle to it; against such a lying leaf the distance is
infinite. The machine's parking error is not taken off here.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import radians

import numpy as np
from numpy.typing import ArrayLike

from hutwright.layout.frame import Floats, door_of
from hutwright.layout.leaf import full_travel, leaf_solid
from hutwright.layout.solid import flat_separation
from hutwright.layout.solids import climb, machine_at, parked_machine
from hutwright.model.door import DoorKind
from hutwright.model.project import Project

# A lowered leaf steeper than 15 deg (27 %) is no ramp: practice, what small wheeled machines climb.
RAMP_FROM = radians(75.0)
LEVEL = 1e-9  # heights within a nanometre agree [m]
# Corners of a box round its section across x or z, and the axes of that plane.
SECTIONS: dict[int, tuple[list[int], list[int]]] = {
    0: ([0, 3, 7, 4], [1, 2]),
    2: ([0, 1, 2, 3], [0, 1]),
}


@dataclass(frozen=True, slots=True)
class Meeting:
    """The closest approach of machine and leaf, and when [m, s]."""

    distance: float
    time: float


def is_ramp(project: Project) -> bool:
    """Whether the open leaf lies down so far that the machine drives over it."""
    return door_of(project).kind is DoorKind.BOTTOM_HINGED and full_travel(project) >= RAMP_FROM


def underside(project: Project) -> float:
    """Height up to which nothing stops the machine at the door [m]."""
    steps = climb(project)
    if is_ramp(project):
        steps = max(steps, float(leaf_solid(project, full_travel(project)).corners[..., 2].max()))
    return steps


def clearance(project: Project, travel: ArrayLike, way: ArrayLike) -> Floats:
    """Distance between the leaf at a travel and the machine at a way out; negative where they overlap.

    Parameters
    ----------
    project : Project
        The project.
    travel : array
        Of the leaf, from shut; fitted to `way` as numpy does, so travel[:, None] and way[None, :] give a
        table. [rad or m]
    way : array
        Of the machine from its parked place, out positive. [m]

    Returns
    -------
    ndarray
        Distance; infinite where the leaf lies below all that stops the machine. [m]
    """
    leaf = leaf_solid(project, np.asarray(travel, dtype=float)).corners
    machine = machine_at(project, np.asarray(way, dtype=float)).corners
    foot = underside(project)
    machine[..., :4, 2] = np.minimum(foot, machine[..., 4:, 2])
    # Both are prisms along one axis of the frame: a flat problem across it, and a gap along it.
    axis = 2 if door_of(project).kind in (DoorKind.LEFT_HINGED, DoorKind.RIGHT_HINGED) else 0
    corners, plane = SECTIONS[axis]
    across = flat_separation(leaf[..., corners, :][..., plane], machine[..., corners, :][..., plane])
    one, other = leaf[..., axis], machine[..., axis]
    along = np.maximum(other.min(axis=-1) - one.max(axis=-1), one.min(axis=-1) - other.max(axis=-1))
    apart = np.hypot(np.maximum(across, 0.0), np.maximum(along, 0.0))
    found = np.where((across > 0.0) | (along > 0.0), apart, np.maximum(across, along))
    return np.where(leaf[..., 2].max(axis=-1) <= foot + LEVEL, np.inf, found)


def way_out(times: ArrayLike, *, start: float, speed: float) -> Floats:
    """The machine's way from its parked place at each time, when it starts at one and drives steadily [m]."""
    return np.asarray(speed * np.maximum(0.0, np.asarray(times, dtype=float) - start))


def clearance_over_time(
    project: Project, times: ArrayLike, travel: ArrayLike, *, start: float, speed: float
) -> Floats:
    """Distance between leaf and machine at each time of a move of the door.

    Parameters
    ----------
    project : Project
        The project.
    times : array
        Rising. [s]
    travel : array
        Of the leaf at those times. [rad or m]
    start : float
        When the machine starts. [s]
    speed : float
        Its speed. [m/s]
    """
    return clearance(project, travel, way_out(times, start=start, speed=speed))


def closest_approach(
    project: Project, times: ArrayLike, travel: ArrayLike, *, start: float, speed: float
) -> Meeting:
    """The least distance over the given times, and when; see `clearance_over_time`."""
    distances = clearance_over_time(project, times, travel, start=start, speed=speed)
    nearest = int(np.argmin(distances))
    return Meeting(float(distances[nearest]), float(np.asarray(times, dtype=float)[nearest]))


def way_to_door(project: Project) -> float:
    """Way out at which the machine's nose reaches the door wall's outer face [m]."""
    machine, parked = parked_machine(project)
    return parked.y - machine.body.length / 2


def way_when_before_door(project: Project, distance: float) -> float:
    """Way out at which the whole machine stands that far before the door wall [m]."""
    machine, parked = parked_machine(project)
    return parked.y + machine.body.length / 2 + distance
