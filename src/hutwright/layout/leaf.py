"""The leaf over its travel: where it hangs, its closing edge, and the gaps that it leaves.

Travel is counted from shut: the angle of a hinged leaf [rad], the way of a lift or sliding leaf [m]; opening
is positive. Shut, the leaf lies flat on the door wall, outside: its inner face in y = 0, its middle over the
hole's middle. Every hinged leaf swings outwards, towards -y: of a top-hinged one the bottom edge comes out
and rises, of a bottom-hinged one the top edge comes out and sinks, of a left-hinged one the right edge comes
out and goes left, of a right-hinged one the left edge comes out and goes right. A lift leaf goes up; where
its track leans it leans away from the wall. A sliding leaf goes the way of its track, along the wall.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import cos, sin

import numpy as np
from numpy.typing import ArrayLike

from hutwright.errors import RequestError
from hutwright.laws.crossing import crossing
from hutwright.layout.frame import Floats, door_of, leaf_thickness
from hutwright.layout.solid import Solid, box
from hutwright.model.door import Door, DoorKind, Hinge, SlideWay, Track
from hutwright.model.project import Project
from hutwright.model.remembered import once_a_project

LEAF = "leaf"
# Axis of each hinged kind and the sign of its opening turn about it (right-hand rule).
TURNS: dict[DoorKind, tuple[int, float]] = {
    DoorKind.TOP_HINGED: (0, -1.0),
    DoorKind.BOTTOM_HINGED: (0, 1.0),
    DoorKind.LEFT_HINGED: (2, -1.0),
    DoorKind.RIGHT_HINGED: (2, 1.0),
}
POSES = 64  # sets of poses that are kept: a choice of this project
GRID = 181  # places over the travel at which a gap is looked for [-]


@dataclass(frozen=True, slots=True)
class Pose:
    """Where the leaf's points go from their shut places: point -> turn @ point + shift.

    `turn` has the shape (..., 3, 3) and `shift` (..., 3), the leading axes those of the travel.
    """

    turn: Floats
    shift: Floats

    def apply(self, points: ArrayLike) -> Floats:
        """Points of the shut leaf, (n, 3) or (3,), at every pose: (..., n, 3) or (..., 3) [m]."""
        given = np.asarray(points, dtype=float)
        turned = np.einsum("...ij,nj->...ni", self.turn, np.atleast_2d(given)) + self.shift[..., None, :]
        return np.asarray(turned[..., 0, :] if given.ndim == 1 else turned)

    def turned(self, vectors: ArrayLike) -> Floats:
        """Directions fixed to the leaf, (3,), at every pose [-]."""
        return np.asarray(np.einsum("...ij,j->...i", self.turn, np.asarray(vectors, dtype=float)))


@dataclass(frozen=True, slots=True)
class Rectangle:
    """A leaf or hole seen from the front [m]."""

    left: float
    right: float
    low: float
    high: float


def hinge_of(door: Door) -> Hinge:
    """The hinge of a hinged leaf.

    Raises
    ------
    RequestError
        Where the leaf has none.
    """
    if door.hinge is None:
        raise RequestError(f"a {door.kind.value} leaf has no hinge")
    return door.hinge


def track_of(door: Door) -> Track:
    """The track of a lift or sliding leaf.

    Raises
    ------
    RequestError
        Where the leaf has none.
    """
    if door.track is None:
        raise RequestError(f"a {door.kind.value} leaf has no track")
    return door.track


def full_travel(project: Project) -> float:
    """Travel from shut to open [rad or m]."""
    door = door_of(project)
    if door.kind.hinged:
        if door.open_angle is None:
            raise RequestError("this needs how far the leaf turns; add door.open_angle")
        return door.open_angle
    return track_of(door).travel


@once_a_project
def shut_leaf(project: Project) -> Rectangle:
    """The shut leaf seen from the front, its middle over the hole's middle [m]."""
    door = door_of(project)
    hole, leaf = door.opening, door.leaf
    left = hole.left + (hole.width - leaf.width) / 2
    low = hole.sill + (hole.height - leaf.height) / 2
    return Rectangle(left, left + leaf.width, low, low + leaf.height)


def hole(project: Project) -> Rectangle:
    """The hole in the door wall seen from the front [m]."""
    opening = door_of(project).opening
    return Rectangle(opening.left, opening.left + opening.width, opening.sill, opening.sill + opening.height)


def hinge_line(project: Project) -> tuple[Floats, Floats]:
    """A point of the hinge line and the axis that opening turns about by the right-hand rule [m, -]."""
    door = door_of(project)
    hinge = hinge_of(door)
    axis, sign = TURNS[door.kind]
    direction = np.zeros(3)
    direction[axis] = sign
    return np.array([hinge.x or 0.0, hinge.y, hinge.z or 0.0]) * (np.arange(3) != axis), direction


def track_direction(project: Project) -> Floats:
    """Unit vector of the opening way of a lift or sliding leaf [-]."""
    door = door_of(project)
    track = track_of(door)
    if door.kind is DoorKind.LIFT:
        return np.array([0.0, -sin(abs(track.tilt)), cos(track.tilt)])
    sign = 1.0 if track.way is SlideWay.RIGHT else -1.0
    return np.array([sign * cos(track.tilt), 0.0, sin(track.tilt)])


def leaf_pose(project: Project, travel: ArrayLike) -> Pose:
    """Pose of the leaf at each travel.

    Parameters
    ----------
    project : Project
        The project.
    travel : array
        From shut. [rad or m]
    """
    at = np.asarray(travel, dtype=float)
    if not door_of(project).kind.hinged:
        turn = np.broadcast_to(np.eye(3), (*at.shape, 3, 3))
        return Pose(turn, at[..., None] * track_direction(project))
    point, axis = hinge_line(project)
    return _turned(point.tobytes(), axis.tobytes(), at.tobytes(), at.shape)


@lru_cache(maxsize=POSES)
def _turned(hinge: bytes, way: bytes, travel: bytes, shape: tuple[int, ...]) -> Pose:
    """Poses of a hinged leaf, kept because many questions ask for the same places of the travel."""
    point, axis, at = np.frombuffer(hinge), np.frombuffer(way), np.frombuffer(travel).reshape(shape)
    x, y, z = axis
    skew = np.array([[0.0, -z, y], [z, 0.0, -x], [-y, x, 0.0]])
    # Rodrigues' rotation; the axis is a unit vector.
    turn = np.eye(3) + np.sin(at)[..., None, None] * skew + (1 - np.cos(at))[..., None, None] * (skew @ skew)
    shift = point - turn @ point
    turn.flags.writeable = shift.flags.writeable = False
    return Pose(turn, shift)


def leaf_velocity(project: Project, points: ArrayLike, travel: ArrayLike) -> Floats:
    """How points of the shut leaf (3,) move per travel, at each travel [m/rad or m/m]."""
    at = np.asarray(travel, dtype=float)
    if not door_of(project).kind.hinged:
        return np.asarray(np.broadcast_to(track_direction(project), (*at.shape, 3)))
    point, axis = hinge_line(project)
    return np.asarray(np.cross(axis, leaf_pose(project, at).apply(points) - point))


def leaf_solid(project: Project, travel: ArrayLike = 0.0) -> Solid:
    """The leaf as a box, at each travel."""
    seen = shut_leaf(project)
    shut = box(LEAF, (seen.left, -leaf_thickness(project), seen.low), (seen.right, 0.0, seen.high))
    return shut.moved(leaf_pose(project, travel).apply(shut.corners))


# ---- edges ------------------------------------------------------------------------------------------------


def _edge(project: Project, *, closing: bool, y: float) -> Floats:
    """Ends of the closing edge, or of the one opposite, on the face of the shut leaf at y."""
    seen, door = shut_leaf(project), door_of(project)
    level = {DoorKind.TOP_HINGED: True, DoorKind.LIFT: True, DoorKind.BOTTOM_HINGED: False}
    if door.kind in level:
        z = seen.low if level[door.kind] is closing else seen.high
        return np.array([(seen.left, y, z), (seen.right, y, z)])
    left = door.kind is DoorKind.RIGHT_HINGED or (
        door.kind is DoorKind.SLIDING and track_of(door).way is SlideWay.RIGHT
    )
    x = seen.left if left is closing else seen.right
    return np.array([(x, y, seen.low), (x, y, seen.high)])


def leading_edge(project: Project, travel: ArrayLike = 0.0) -> Floats:
    """Ends of the edge that closes last, on the leaf's inner face, at each travel: (..., 2, 3) [m]."""
    return leaf_pose(project, travel).apply(_edge(project, closing=True, y=0.0))


@once_a_project
def edge_radius(project: Project) -> float:
    """Way of the closing edge per travel: distance from the hinge line [m], or 1 [-] for a straight way."""
    if not door_of(project).kind.hinged:
        return 1.0
    point, axis = hinge_line(project)
    corners = np.array([_edge(project, closing=True, y=y)[0] for y in (0.0, -leaf_thickness(project))])
    return float(np.linalg.norm(np.cross(corners - point, axis), axis=-1).max())


def edge_travel(project: Project, travel: ArrayLike) -> Floats:
    """Way of the closing edge from shut, along its arc where hinged [m]."""
    return np.asarray(np.asarray(travel, dtype=float) * edge_radius(project))


def travel_of_edge(project: Project, edge: ArrayLike) -> Floats:
    """Travel that belongs to a way of the closing edge from shut [rad or m]."""
    return np.asarray(np.asarray(edge, dtype=float) / edge_radius(project))


# ---- gaps -------------------------------------------------------------------------------------------------


def _from_wall_beyond(points: Floats, seen: Rectangle, axis: int, *, high: bool) -> Floats:
    """Distance of points from the wall beyond one side of the hole; the wall fills y >= 0."""
    edge = (seen.right if axis == 0 else seen.high) if high else (seen.left if axis == 0 else seen.low)
    short = edge - points[..., axis] if high else points[..., axis] - edge
    return np.hypot(np.maximum(short, 0.0), np.maximum(-points[..., 1], 0.0))


def closing_gap(project: Project, travel: ArrayLike) -> Floats:
    """Gap between the closing edge and the wall that it closes against, at each travel.

    That is the clear distance from the edge's inner corner to the wall beyond the hole's far side; 0 when
    shut, and from where a sliding or lift leaf already overlaps that side. What is thicker is caught before.
    [m]
    """
    edge = leading_edge(project, travel).mean(axis=-2)
    shut = _edge(project, closing=True, y=0.0)
    trail = _edge(project, closing=False, y=0.0)
    axis = int(np.argmax(np.abs(shut[0] - trail[0])))
    return _from_wall_beyond(edge, hole(project), axis, high=bool(shut[0, axis] > trail[0, axis]))


def hinge_side_gap(project: Project, travel: ArrayLike) -> Floats:
    """Gap at the hole's hinge side, where fingers reach in: from the hole's edge to the leaf's inner face.

    The described gap when shut is added all over the travel. Along the trailing edge of a lift or sliding
    leaf it stays what is described. [m]
    """
    door = door_of(project)
    at = np.asarray(travel, dtype=float)
    described = np.full(at.shape, door.gaps.hinge_side)
    if not door.kind.hinged:
        return described
    trail = _edge(project, closing=False, y=0.0)[0]
    lead = _edge(project, closing=True, y=0.0)[0]
    axis = int(np.argmax(np.abs(lead - trail)))
    seen = hole(project)
    rim = trail.copy()
    sides = (seen.left, seen.right) if axis == 0 else (seen.low, seen.high)
    rim[axis] = sides[1] if trail[axis] > lead[axis] else sides[0]
    start, end = np.moveaxis(leaf_pose(project, at).apply(np.array([trail, lead])), -2, 0)
    along = end - start
    share = np.clip(
        np.einsum("...i,...i->...", rim - start, along) / np.dot(lead - trail, lead - trail), 0, 1
    )
    return np.asarray(described + np.linalg.norm(start + share[..., None] * along - rim, axis=-1))


def travel_at_gap(project: Project, gap: float) -> float | None:
    """The least travel at which the closing gap reaches a width; None where it never does.

    Parameters
    ----------
    project : Project
        The project.
    gap : float
        Clear width, above zero. [m]
    """
    at = np.linspace(0.0, full_travel(project), GRID)
    wide = np.flatnonzero(closing_gap(project, at) >= gap)
    if not len(wide):
        return None
    first = int(wide[0])
    if first == 0:
        return 0.0
    return crossing(lambda q: float(closing_gap(project, q)) - gap, float(at[first - 1]), float(at[first]))
