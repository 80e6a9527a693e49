"""The hut's faces, inner skin and outer, and the openings in them.

A face's corners run counter-clockwise seen from outside the hut, so that its normal points outwards. Places
on a face are measured as the description has them: `across` from its left edge and `along` from its low edge,
seen from outside; before a roof one stands on its low side and looks up the slope (a level roof is looked at
from the front). Places on a roof count from the walls' outer faces: the overhang lies below 0 and beyond
`extent` (docs/reasons/0012).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from hutwright.layout.frame import Floats, Frame, Slope, door_of, frame, wall_thickness
from hutwright.model.hut import Face
from hutwright.model.project import Project

DOOR = "door"
Ends = tuple[float, float]
NO_OVERHANG: tuple[Ends, Ends] = ((0.0, 0.0), (0.0, 0.0))


@dataclass(frozen=True, slots=True)
class Face3:
    """A flat polygon in the hut's frame.

    `corner` is where places on it count from, low and left seen from outside; `right` and `up` are unit
    vectors along the face from there, and `extent` is how far it goes along them, a roof's overhang left out
    [m].
    """

    name: str
    corners: Floats
    normal: Floats
    corner: Floats
    right: Floats
    up: Floats
    extent: tuple[float, float]

    @property
    def area(self) -> float:
        """Its area [m2]."""
        return float(np.linalg.norm(area_vector(self.corners)))

    def point(self, across: ArrayLike, along: ArrayLike) -> Floats:
        """The point at a place on the face [m]."""
        across, along = np.asarray(across)[..., None], np.asarray(along)[..., None]
        return np.asarray(self.corner + across * self.right + along * self.up)

    def place(self, points: ArrayLike) -> Floats:
        """Across and along of points, the last axis [m]."""
        from_corner = np.asarray(points, dtype=float) - self.corner
        return np.stack([from_corner @ self.right, from_corner @ self.up], axis=-1)

    def height_of(self, points: ArrayLike) -> Floats:
        """How far points stand out of the face, outwards positive [m]."""
        return np.asarray((np.asarray(points, dtype=float) - self.corner) @ self.normal)

    def rectangle(self, across: float, along: float, width: float, length: float) -> Floats:
        """Corners of a rectangle on the face, counter-clockwise from its low left one [m]."""
        return self.point(
            np.array([across, across + width, across + width, across]),
            np.array([along, along, along + length, along + length]),
        )


@dataclass(frozen=True, slots=True)
class Placed:
    """An opening where it is cut: its corners on the outer face and straight below on the inner skin."""

    name: str
    face: str
    outer: Floats
    inner: Floats
    normal: Floats


def area_vector(corners: Floats) -> Floats:
    """Area of a flat polygon times its normal [m2]."""
    spokes = corners - corners[0]
    return np.asarray(np.cross(spokes[:-1], spokes[1:]).sum(axis=0) / 2)


def _face(
    name: str,
    corners: ArrayLike,
    right: ArrayLike,
    corner: ArrayLike | None = None,
    counted: ArrayLike | None = None,
) -> Face3:
    """A face; `counted` are the corners of the part that its places count over, where that is not all."""
    points = np.asarray(corners, dtype=float)
    vector = area_vector(points)
    normal = vector / np.linalg.norm(vector)
    across = np.asarray(right, dtype=float)
    up = np.cross(normal, across)
    start = points[0] if corner is None else np.asarray(corner, dtype=float)
    reach = (points if counted is None else np.asarray(counted, dtype=float)) - start
    extent = (float((reach @ across).max()), float((reach @ up).max()))
    return Face3(name, points, normal, start, across, up, extent)


def _box_faces(sizes: Frame, inset: float) -> list[Face3]:
    """The four upright faces, that far inside the outer wall planes, up to the roof's underside."""
    left, right, front, back = inset, sizes.width - inset, inset, sizes.depth - inset
    ridge = [] if sizes.ridge is None else [sizes.ridge]

    def upright(name: str, ends: list[tuple[float, float]], across: ArrayLike) -> Face3:
        tops = [(x, y, float(sizes.underside(x, y))) for x, y in reversed(ends)]
        return _face(name, [(*ends[0], 0.0), (*ends[-1], 0.0), *tops], across)

    return [
        upright("front", [(left, front), *((x, front) for x in ridge), (right, front)], (1, 0, 0)),
        upright("back", [(right, back), *((x, back) for x in ridge), (left, back)], (-1, 0, 0)),
        upright("left", [(left, back), (left, front)], (0, -1, 0)),
        upright("right", [(right, front), (right, back)], (0, 1, 0)),
    ]


def _low_side(slope: Slope, x: Ends, y: Ends) -> tuple[ArrayLike, ...]:
    """Right vector and low left corner in plan, for one who looks up the slope."""
    if slope.name == "roof_left" or slope.rise_x > 0.0:
        return (0, -1, 0), (x[0], y[1])
    if slope.name == "roof_right" or slope.rise_x < 0.0:
        return (0, 1, 0), (x[1], y[0])
    if slope.rise_y < 0.0:
        return (-1, 0, 0), (x[1], y[1])
    return (1, 0, 0), (x[0], y[0])


def _roof_face(slope: Slope, x: Ends, y: Ends, lift: float, over: tuple[Ends, Ends] = NO_OVERHANG) -> Face3:
    """A face of the roof over a rectangle in plan, measured over that, with what hangs over at its ends."""
    (left, right), (front, back) = over

    def corners(x: Ends, y: Ends) -> list[tuple[float, float, float]]:
        plan = [(x[0], y[0]), (x[1], y[0]), (x[1], y[1]), (x[0], y[1])]
        return [(*each, float(slope.z(*each)) + lift) for each in plan]

    way, start = _low_side(slope, x, y)
    start_x, start_y = np.asarray(start, dtype=float)
    corner = (start_x, start_y, float(slope.z(start_x, start_y)) + lift)
    whole = corners((x[0] - left, x[1] + right), (y[0] - front, y[1] + back))
    return _face(slope.name, whole, way, corner, corners(x, y))


def inner_skin(project: Project) -> tuple[Face3, ...]:
    """The closed inner skin: floor, four walls and the roof's one or two undersides.

    The door's hole and the openings lie on it; they are not cut out.
    """
    sizes = frame(project)
    wall = sizes.wall
    left, right, front, back = wall, sizes.width - wall, wall, sizes.depth - wall
    floor = _face(
        "floor",
        [(left, front, 0), (left, back, 0), (right, back, 0), (right, front, 0)],
        (-1, 0, 0),
        (right, front, 0),
    )
    roof = [
        _roof_face(slope, (max(slope.start[0], left), min(slope.end[0], right)), (front, back), 0.0)
        for slope in sizes.slopes
    ]
    return (floor, *_box_faces(sizes, wall), *roof)


def outer_faces(project: Project) -> tuple[Face3, ...]:
    """The outer faces: four walls up to the roof's underside, and the roof's upper sides with overhang."""
    sizes = frame(project)
    over = sizes.overhang
    roof = []
    for slope in sizes.slopes:
        x = (slope.start[0], slope.end[0])
        outwards = (over if x[0] == 0.0 else 0.0, over if x[1] == sizes.width else 0.0)
        lift = sizes.roof * slope.stretch
        roof.append(_roof_face(slope, x, (0.0, sizes.depth), lift, (outwards, (over, over))))
    return (*_box_faces(sizes, 0.0), *roof)


def outer_face(project: Project, face: Face) -> Face3:
    """The outer face of that name; on a roof of one plane "roof_left" and "roof_right" are that plane."""
    faces = {each.name: each for each in outer_faces(project)}
    if face.value in faces:
        return faces[face.value]
    return faces.get("roof", faces.get("roof_left", next(iter(faces.values()))))


def placed_openings(project: Project) -> tuple[Placed, ...]:
    """Every described window and vent where it is cut, in the order of the file."""
    inner = {each.name: each for each in inner_skin(project)}
    found = []
    for name, opening in project.openings.items():
        face = outer_face(project, opening.place.face)
        place, size = opening.place, opening.size
        outer = face.rectangle(place.from_left, place.from_low_edge, size.width, size.length)
        below = inner[face.name].height_of(outer)[:, None] * face.normal
        found.append(Placed(name, face.name, outer, outer - below, face.normal))
    return tuple(found)


def door_hole(project: Project) -> Placed:
    """The hole in the door wall; on both faces at once where no hut is described."""
    hole = door_of(project).opening
    x, z = (hole.left, hole.left + hole.width), (hole.sill, hole.sill + hole.height)
    outer = np.array([(x[0], 0, z[0]), (x[1], 0, z[0]), (x[1], 0, z[1]), (x[0], 0, z[1])], dtype=float)
    inner = outer + np.array([0.0, wall_thickness(project), 0.0])
    return Placed(DOOR, "front", outer, inner, np.array([0.0, -1.0, 0.0]))
