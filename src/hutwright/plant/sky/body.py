"""The described hut as the full wave meets it: boards and panes between planes, metal as sheets.

What stands there is the hut alone, as the integral has it: walls, the roof with its overhang, panes and what
lies on them, and the door's leaf; no ground, no rafters and no machine. Panes lie flush with the outer face
that they are cut into. The floor throws nothing back, as the integral's does not: under timber walls there is
nothing at all, so that walls of air leave the wave as it is; metal walls stand on a dark floor with metal
under it, or waves would creep in below them.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import Enum

import numpy as np

from hutwright.catalogue.dielectrics import METALLISED_LOSS_DB, dielectric
from hutwright.laws.permittivity import LIGHT_SPEED
from hutwright.layout.faces import DOOR, Face3, Placed, door_hole, outer_face, outer_faces, placed_openings
from hutwright.layout.frame import Floats, Frame, Slope, door_of, frame, hut_of, leaf_thickness
from hutwright.layout.skin import ROOF
from hutwright.model.hut import Moisture, Opening
from hutwright.model.project import Project
from hutwright.plant.sky.coverings import CLEAR, L1, Layers, Weather, build_up_layers, cover_layers
from hutwright.plant.sky.field import Leaf
from hutwright.plant.sky.matter import Board, Hole, Sheet, between, planes

METAL = 1e3  # an imaginary part of the permittivity beyond this is metal [-]
SCREEN_STOPS = (
    0.5  # a vent in metal is open where so much of it or more is free: a choice of this project [-]
)
# The dark floor's layers from above, a foam that is ever more lossy: imaginary parts [-] and thickness [m]
DARK, DARK_LAYER = (0.15, 0.4, 0.9, 1.8, 3.5), 0.02
Places = tuple[tuple[float, ...], tuple[float, ...], tuple[float, ...]]
Row = tuple[float, float, float, float]
Deep = tuple[
    complex, float, float
]  # a layer: permittivity, and from where to where below the outer face [-, m]


@dataclass(frozen=True, slots=True)
class Body:
    """All that stands on the grid.

    `low` and `high` are corners of a box round it [m]; `lies` and `ends` are the coordinates along x, y and z
    at which metal lies and at which it is cut [m]; `metal_walls` says whether waves go to and fro in there.
    """

    boards: tuple[Board, ...]
    sheets: tuple[Sheet, ...]
    low: Floats
    high: Floats
    lies: Places
    ends: Places
    metal_walls: bool


@dataclass(slots=True)
class _Parts:
    """The body while it is put together."""

    boards: list[Board]
    sheets: list[Sheet]
    lies: tuple[list[float], list[float], list[float]]
    ends: tuple[list[float], list[float], list[float]]

    def note(self, hole: Hole, normal: Floats) -> None:
        """Note where a hole in metal ends."""
        ends = np.stack([hole.corner, hole.corner + hole.right * hole.size[0] + hole.up * hole.size[1]])
        for axis in (each for each in range(3) if each != int(np.argmax(np.abs(normal)))):
            self.ends[axis].extend(float(each) for each in ends[:, axis])


class Floor(Enum):
    """What closes the hut below."""

    DARK = "dark"
    OPEN = "open"


def body(
    project: Project,
    weather: Weather,
    leaf: Leaf | None,
    *,
    floor: Floor | None = None,
    frequency: float = L1,
) -> Body:
    """The hut's boards and sheets.

    Parameters
    ----------
    project : Project
        The project.
    weather : Weather
        How wet it is, and what lies on the roof and its panes.
    leaf : Leaf or None
        Where the door's leaf is; with None there is no leaf.
    floor : Floor or None
        What closes the hut below; a dark floor under metal walls and nothing under others with None.
    frequency : float
        Frequency. [Hz]
    """
    sizes, hut = frame(project), hut_of(project)
    wet = weather.walls is Moisture.WET
    walls = _deep(build_up_layers(project.build_ups.get(hut.walls.build_up, ()), frequency, wet=wet))
    covered = cover_layers(weather.roof, frequency)
    roof = _deep(build_up_layers(project.build_ups.get(hut.roof.build_up, ()), frequency, wet=wet), covered)
    metal = _metal(walls) is not None
    parts = _Parts([], [], ([], [], []), ([], [], []))
    leaf_layers = () if leaf is None else _leaf_layers(project, frequency, wet=wet)
    plugged = leaf is not None and leaf.shut and _metal(leaf_layers) is not None
    dark = floor is Floor.DARK or (floor is None and metal)
    _walls(project, sizes, walls, roof, parts, plugged=plugged, dark=dark)
    _roof(project, sizes, roof, parts)
    for name, opening in project.openings.items():
        if opening.pane is not None:
            parts.boards += _pane(project, name, opening, weather, frequency)
    if leaf is not None:
        _leaf(
            leaf,
            leaf_thickness(project),
            leaf_layers,
            parts,
            metal=not (plugged and metal),
        )
    if dark:
        parts.boards += _dark(sizes)
    corners = np.array([corner for each in parts.boards for corner in (each.low, each.high)])
    faces = np.concatenate([each.corners for each in outer_faces(project)])
    corners = np.concatenate([corners.reshape(-1, 3), faces])
    if leaf is not None:
        corners = np.concatenate([corners, _corners(leaf)])
    return Body(
        tuple(parts.boards),
        tuple(parts.sheets),
        corners.min(axis=0),
        corners.max(axis=0),
        _places(parts.lies),
        _places(parts.ends),
        metal,
    )


def _places(found: tuple[list[float], list[float], list[float]]) -> Places:
    x, y, z = (tuple(each) for each in found)
    return x, y, z


# ---- layers -----------------------------------------------------------------------------------------------


def _deep(layers: Layers, covers: Layers | None = None) -> tuple[Deep, ...]:
    """Layers with their depths below the outer face; covers lie above it."""
    found, at = [], -sum(thick for _, thick in covers or ())
    for permittivity, thick in [*(covers or ()), *layers]:
        found.append((permittivity, at, at + thick))
        at += thick
    return tuple(found)


def _boards_of(layers: Iterable[Deep]) -> list[Deep]:
    return [each for each in layers if abs(each[0].imag) < METAL]


def _metal(layers: Iterable[Deep]) -> float | None:
    """Depth of the outermost metal layer's middle below the outer face; None where there is none [m]."""
    return next(((low + high) / 2 for permittivity, low, high in layers if permittivity.imag >= METAL), None)


def _leaf_layers(project: Project, frequency: float, *, wet: bool) -> tuple[Deep, ...]:
    build_up = project.build_ups.get(door_of(project).leaf.build_up, ())
    return _deep(build_up_layers(build_up, frequency, wet=wet))


# ---- walls ------------------------------------------------------------------------------------------------


def _holes(project: Project, face: str) -> list[tuple[Placed, Hole]]:
    """The openings and the door in a face, as holes of a timber board."""
    found = []
    for placed in placed_openings(project):
        if placed.face == face:
            opening = project.openings[placed.name]
            found.append((placed, _hole(placed, 0.0 if opening.pane is not None else 1.0 - opening.screen)))
    if face == "front" and project.door is not None:
        placed = door_hole(project)
        found.append((placed, _hole(placed, 0.0)))
    return found


def _hole(placed: Placed, left: float) -> Hole:
    right, up = placed.outer[1] - placed.outer[0], placed.outer[3] - placed.outer[0]
    width, length = float(np.linalg.norm(right)), float(np.linalg.norm(up))
    return Hole(placed.outer[0], right / width, up / length, (width, length), left)


def _cut_in_metal(holes: Iterable[tuple[Placed, Hole]], *, plugged: bool = False) -> tuple[Hole, ...]:
    """The holes that are open in metal: all but close screens, and a door that metal shuts."""
    return tuple(
        hole
        for placed, hole in holes
        if hole.left <= 1.0 - SCREEN_STOPS and not (plugged and placed.name == DOOR)
    )


def _under(sizes: Frame) -> list[Row]:
    """The planes that the walls end at below the roof."""
    return [(-each.rise_x, -each.rise_y, 1.0, each.height) for each in sizes.slopes]


def _walls(
    project: Project,
    sizes: Frame,
    layers: tuple[Deep, ...],
    roof: tuple[Deep, ...],
    parts: _Parts,
    *,
    plugged: bool,
    dark: bool,
) -> None:
    width, depth, wall = sizes.width, sizes.depth, sizes.wall
    # Each wall: its axis, the outer face along it, the way out, and its other extent.
    faces: dict[str, tuple[int, float, float, tuple[float, float]]] = {
        "front": (1, 0.0, -1.0, (0.0, width)),
        "back": (1, depth, 1.0, (0.0, width)),
        "left": (0, 0.0, -1.0, (wall, depth - wall)),
        "right": (0, width, 1.0, (wall, depth - wall)),
    }
    top = max(float(sizes.underside(x, y)) for x in (0.0, width / 2, width) for y in (0.0, depth))
    metal = _metal(layers)
    hull: list[Row] = []
    hull_holes: list[tuple[Hole, ...]] = []
    for name, (axis, outer, way, extent) in faces.items():
        other, normal = 1 - axis, np.eye(3)[axis] * way
        holes = _holes(project, name)
        for permittivity, near, far in _boards_of(layers):
            a, b = sorted((outer - way * near, outer - way * far))
            low, high = np.zeros(3), np.zeros(3)
            low[axis], high[axis], high[2] = a, b, top
            low[other], high[other] = extent
            rows = [*between(axis, a, b), *between(other, *extent), *between(2, 0.0, top), *_under(sizes)]
            cut = tuple(hole for _, hole in holes)
            parts.boards.append(Board(planes(*rows), low, high, normal, permittivity, cut))
        if metal is not None:
            hull.append((*(float(each) for each in normal), way * outer - metal))  # type: ignore[arg-type]
            hull_holes.append(_cut_in_metal(holes, plugged=plugged))
            parts.lies[axis].append(outer - way * metal)
            for hole in hull_holes[-1]:
                parts.note(hole, normal)
    if metal is not None:
        roof_metal = _metal(roof)
        lift = sizes.roof - roof_metal if roof_metal is not None else 0.0
        tops = _slope_planes(sizes, lift)
        foot = -DARK_LAYER * len(DARK) if dark else 0.0
        if dark:
            parts.lies[2].append(foot)
        rows = [*hull, *tops, (0.0, 0.0, -1.0, -foot)]
        carried = (*(True for _ in hull), *(False for _ in tops), dark)
        parts.sheets.append(Sheet(planes(*rows), carried, tuple(hull_holes)))


# ---- roof -------------------------------------------------------------------------------------------------


def _slope_planes(sizes: Frame, lift: float) -> list[Row]:
    """The planes of the roof, that far out of its underside, measured square to it."""
    return [(-each.rise_x, -each.rise_y, 1.0, each.height + lift * each.stretch) for each in sizes.slopes]


def _plan(sizes: Frame, slope: Slope) -> tuple[tuple[float, float], tuple[float, float]]:
    """Ends of a roof plane in plan, with its overhang."""
    over = sizes.overhang
    left = slope.start[0] - (over if slope.start[0] == 0.0 else 0.0)
    right = slope.end[0] + (over if slope.end[0] == sizes.width else 0.0)
    return (left, right), (-over, sizes.depth + over)


def _roof(project: Project, sizes: Frame, layers: tuple[Deep, ...], parts: _Parts) -> None:
    metal = _metal(layers)
    cut = []
    for slope in sizes.slopes:
        x, y = _plan(sizes, slope)
        normal = np.array([-slope.rise_x, -slope.rise_y, 1.0]) / slope.stretch
        holes = _holes(project, slope.name)
        cut.append(_cut_in_metal(holes))
        heights = [float(slope.z(a, b)) for a in x for b in y]
        for permittivity, near, far in _boards_of(layers):
            low_lift, high_lift = (sizes.roof - far) * slope.stretch, (sizes.roof - near) * slope.stretch
            upper = (-slope.rise_x, -slope.rise_y, 1.0, slope.height + high_lift)
            lower = (slope.rise_x, slope.rise_y, -1.0, -slope.height - low_lift)
            low = np.array([x[0], y[0], min(heights) + low_lift])
            high = np.array([x[1], y[1], max(heights) + high_lift])
            rows = planes(*between(0, *x), *between(1, *y), upper, lower)
            board = Board(rows, low, high, normal, permittivity, tuple(hole for _, hole in holes))
            parts.boards.append(board)
        if metal is not None:
            for hole in cut[-1]:
                parts.note(hole, normal)
    if metal is not None:
        ends = [_plan(sizes, each) for each in sizes.slopes]
        x = (min(each[0][0] for each in ends), max(each[0][1] for each in ends))
        outline = planes(*between(0, *x), *between(1, *ends[0][1]))
        rows = planes(*_slope_planes(sizes, sizes.roof - metal))
        parts.sheets.append(Sheet(rows, (True,) * len(rows), tuple(cut), outline))


# ---- floor, panes and leaf ---------------------------------------------------------------------------------


def _dark(sizes: Frame) -> list[Board]:
    """The dark floor: layers under the walls' feet that take in ever more of what comes down."""
    found = []
    for number, loss in enumerate(DARK):
        low, high = -DARK_LAYER * (number + 1), -DARK_LAYER * number
        rows = planes(*between(0, 0.0, sizes.width), *between(1, 0.0, sizes.depth), *between(2, low, high))
        corner, opposite = np.array([0.0, 0.0, low]), np.array([sizes.width, sizes.depth, high])
        found.append(Board(rows, corner, opposite, np.array([0.0, 0.0, 1.0]), 1.0 + 1j * loss))
    return found


def _pane(project: Project, name: str, opening: Opening, weather: Weather, frequency: float) -> list[Board]:
    assert opening.pane is not None
    (placed,) = [each for each in placed_openings(project) if each.name == name]
    face: Face3 = outer_face(project, opening.place.face)
    cover = cover_layers(weather.panes if face.name.startswith(ROOF) else CLEAR, frequency)
    permittivity, thick = dielectric(opening.pane.material).at(frequency), opening.pane.thickness
    if opening.pane.metallised:
        permittivity += 1j * film_loss(METALLISED_LOSS_DB[1], thick, frequency)
    hole = _hole(placed, 0.0)
    right, up = hole.right * hole.size[0], hole.up * hole.size[1]
    return [
        _prism(hole.corner, right, up, -near, -far, value)
        for value, near, far in _deep([(permittivity, thick)], cover)
    ]


def film_loss(loss_db: float, thickness: float, frequency: float) -> float:
    """Imaginary part of the permittivity of a layer that stops as much as a film of metal [-].

    A thin sheet of conductance G lets 2 / (2 + G Z) of the field through, Z the impedance of space; spread
    over the layer it is an imaginary part of G Z / (k d).

    Parameters
    ----------
    loss_db : float
        What the film costs. [dB]
    thickness : float
        Of the layer. [m]
    frequency : float
        Frequency. [Hz]
    """
    conductance = 2.0 * (math.pow(10.0, loss_db / 20.0) - 1.0)
    return conductance / (2.0 * math.pi * frequency / LIGHT_SPEED * thickness)


def _prism(
    corner: Floats, right: Floats, up: Floats, top: float, foot: float, permittivity: complex
) -> Board:
    """A board over a rectangle, from one height over it to another, outwards positive."""
    normal = np.cross(right, up)
    normal /= np.linalg.norm(normal)
    at = float(normal @ corner)
    rows = [np.array([*normal, at + top]), np.array([*-normal, -at - foot]), *_sides(corner, right, up)]
    points = np.array([corner, corner + right, corner + up, corner + right + up])
    points = np.concatenate([points + top * normal, points + foot * normal])
    return Board(planes(*rows), points.min(axis=0), points.max(axis=0), normal, permittivity)


def _sides(corner: Floats, right: Floats, up: Floats) -> list[Floats]:
    """The four planes round a rectangle."""
    found = []
    for edge in (right, up):
        unit = edge / np.linalg.norm(edge)
        low, high = float(unit @ corner), float(unit @ (corner + edge))
        found += [np.array([*unit, high]), np.array([*-unit, -low])]
    return found


def _corners(leaf: Leaf) -> Floats:
    return np.array([leaf.corner + a * leaf.right + b * leaf.up for a in (0, 1) for b in (0, 1)])


def _leaf(leaf: Leaf, thick: float, layers: Sequence[Deep], parts: _Parts, *, metal: bool) -> None:
    """The leaf's boards, and its metal where that is not part of a metal wall."""
    for permittivity, near, far in _boards_of(layers):
        board = _prism(leaf.corner, leaf.right, leaf.up, thick / 2 - near, thick / 2 - far, permittivity)
        parts.boards.append(board)
    middle = _metal(layers)
    if metal and middle is not None:
        at = float(leaf.normal @ leaf.corner) + thick / 2 - middle
        plane = planes((*leaf.normal, at))
        parts.sheets.append(Sheet(plane, (True,), ((),), planes(*_sides(leaf.corner, leaf.right, leaf.up))))
