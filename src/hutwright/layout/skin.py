"""The closed inner skin of the hut cut into small patches, each with what covers it.

Every face carries a regular grid; the edges of the openings are further lines of it, so that they are exact,
and cells that the roof's slope cuts keep the area and the middle that is left of them. The openings' reveals
are left out: a hole is where it meets the inner skin, straight below the face it is cut into.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

import numpy as np
from numpy.typing import NDArray

from hutwright.layout.faces import DOOR, Face3, Placed, door_hole, inner_skin, placed_openings
from hutwright.layout.frame import Floats, hut_of
from hutwright.model.project import Project

Whole = NDArray[np.intp]
SLIVER = 1e-7  # lines of the grid that are nearer to each other are one [m]
FLOOR, ROOF = "floor", "roof"


class Kind(Enum):
    """What covers a patch."""

    FLOOR = "floor"
    WALL = "wall"
    ROOF = "roof"
    OPENING = "opening"
    DOOR = "door"


@dataclass(frozen=True, slots=True)
class Covering:
    """What covers part of a face.

    `name` is the build-up of a wall or roof, or the name of the opening.
    """

    kind: Kind
    face: str
    name: str


@dataclass(frozen=True, slots=True)
class Region:
    """A rectangle of a face with a covering of its own, in the face's measures [m]."""

    covering: int
    across: tuple[float, float]
    along: tuple[float, float]


@dataclass(frozen=True, slots=True)
class Grid:
    """The regular grid of a face, in its measures: lines at start + step * k for k = 0..count [m]."""

    start: tuple[float, float]
    step: tuple[float, float]
    count: tuple[int, int]


WHOLE = Grid((0.0, 0.0), (0.0, 0.0), (0, 0))  # of a face that is not cut yet


@dataclass(frozen=True, slots=True)
class SkinFace:
    """One face: where it lies, its base covering, the openings in it, its grid and its patches.

    `patches` is its part of the skin's arrays; `cells` says in which cell of the grid each patch lies.
    """

    face: Face3
    inward: Floats
    base: int
    regions: tuple[Region, ...]
    grid: Grid
    patches: slice
    cells: Whole

    @property
    def name(self) -> str:
        """The face's name."""
        return self.face.name


@dataclass(frozen=True, slots=True)
class Skin:
    """All patches, face by face: middle (n, 3), area (n,) and covering (n,) by its place in `coverings`."""

    faces: tuple[SkinFace, ...]
    coverings: tuple[Covering, ...]
    centres: Floats
    areas: Floats
    covering: Whole

    @property
    def inward(self) -> Floats:
        """The inward normal of each patch [-]."""
        found = np.empty_like(self.centres)
        for each in self.faces:
            found[each.patches] = each.inward
        return found

    def face_named(self, name: str) -> SkinFace:
        """The face of that name."""
        (found,) = [each for each in self.faces if each.name == name]
        return found

    def number_of(self, kind: Kind, name: str) -> int:
        """Place in `coverings` of the first covering of a kind and name."""
        return next(n for n, each in enumerate(self.coverings) if (each.kind, each.name) == (kind, name))

    def clearance(self, point: Floats) -> float:
        """How far inside the skin a point lies; negative outside [m]."""
        return float(min(-each.face.height_of(point) for each in self.faces))


def skin(project: Project, size: float, *, roof_openings: bool = True) -> Skin:
    """The inner skin in patches.

    Parameters
    ----------
    project : Project
        The project.
    size : float
        Greatest side of a patch, an eighth of the wavelength or less. [m]
    roof_openings : bool
        Whether the described openings in the roof are cut.
    """
    return cut_up(uncut(project, roof_openings=roof_openings), size)


def uncut(project: Project, *, roof_openings: bool = True) -> Skin:
    """The inner skin with its coverings and openings, but not cut into patches yet.

    Parameters
    ----------
    project : Project
        The project.
    roof_openings : bool
        Whether the described openings in the roof are cut.
    """
    hut = hut_of(project)
    coverings: list[Covering] = []
    faces: list[SkinFace] = []
    holes = _holes(project)
    for face in inner_skin(project):
        is_roof = face.name.startswith(ROOF)
        coverings.append(_base(face.name, hut.walls.build_up, hut.roof.build_up))
        base = len(coverings) - 1
        regions = []
        for hole in holes:
            if hole.face != face.name or (is_roof and not roof_openings):
                continue
            place = face.place(hole.inner)
            low, high = place.min(axis=0), place.max(axis=0)
            kind = Kind.DOOR if hole.name == DOOR and hole.face == "front" else Kind.OPENING
            coverings.append(Covering(kind, face.name, hole.name))
            regions.append(
                Region(
                    len(coverings) - 1,
                    (float(low[0]), float(high[0])),
                    (float(low[1]), float(high[1])),
                )
            )
        faces.append(
            SkinFace(face, -face.normal, base, tuple(regions), WHOLE, slice(0, 0), np.zeros(0, dtype=np.intp))
        )
    return Skin(tuple(faces), tuple(coverings), np.zeros((0, 3)), np.zeros(0), np.zeros(0, dtype=np.intp))


def cut_up(whole: Skin, size: float) -> Skin:
    """A skin cut into patches.

    Parameters
    ----------
    whole : Skin
        The skin.
    size : float
        Greatest side of a patch. [m]
    """
    if not size > 0.0:
        raise ValueError(f"patches of {size} m")
    made = [_cut(each.face, each.base, each.regions, size) for each in whole.faces]
    return _joined(made, whole.coverings)


def _holes(project: Project) -> tuple[Placed, ...]:
    return (*placed_openings(project), *(() if project.door is None else (door_hole(project),)))


def _base(face: str, walls: str, roof: str) -> Covering:
    if face == FLOOR:
        return Covering(Kind.FLOOR, face, FLOOR)
    is_roof = face.startswith(ROOF)
    return Covering(Kind.ROOF if is_roof else Kind.WALL, face, roof if is_roof else walls)


# ---- cutting one face ------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Made:
    """One face cut up, its patches still its own."""

    face: Face3
    base: int
    regions: tuple[Region, ...]
    grid: Grid
    cells: Whole
    places: Floats
    areas: Floats
    covering: Whole


def _cut(face: Face3, base: int, regions: tuple[Region, ...], size: float) -> _Made:
    outline = face.place(face.corners)
    low, high = outline.min(axis=0), outline.max(axis=0)
    count = np.maximum(1, np.ceil((high - low) / size - SLIVER)).astype(int)
    step = (high - low) / count
    grid = Grid(_pair(low), _pair(step), (int(count[0]), int(count[1])))
    across = _lines(grid, 0, [edge for each in regions for edge in each.across])
    along = _lines(grid, 1, [edge for each in regions for edge in each.along])
    places, areas = _cells(across, along, outline)
    kept = areas > SLIVER**2
    places, areas = places[kept], areas[kept]
    covering = np.full(len(areas), base, dtype=np.intp)
    for each in regions:
        covering[_inside(places, each)] = each.covering
    numbers = np.floor((places - low) / step).astype(np.intp)
    numbers = np.clip(numbers, 0, count - 1)
    cells = numbers[:, 0] * grid.count[1] + numbers[:, 1]
    return _Made(face, base, regions, grid, cells, places, areas, covering)


def _pair(values: Floats) -> tuple[float, float]:
    return float(values[0]), float(values[1])


def _inside(places: Floats, region: Region) -> NDArray[np.bool_]:
    low = np.array([region.across[0], region.along[0]])
    high = np.array([region.across[1], region.along[1]])
    return np.asarray(((places > low) & (places < high)).all(axis=1))


def _lines(grid: Grid, axis: int, edges: list[float]) -> Floats:
    """The grid's lines along one axis with the openings' edges among them; lines that nearly meet are one."""
    regular = grid.start[axis] + grid.step[axis] * np.arange(grid.count[axis] + 1)
    inner = [edge for edge in edges if regular[0] + SLIVER < edge < regular[-1] - SLIVER]
    lines = np.unique(np.concatenate([regular, inner]))
    return np.asarray(lines[np.concatenate([[True], np.diff(lines) > SLIVER])])


def _cells(across: Floats, along: Floats, outline: Floats) -> tuple[Floats, Floats]:
    """Middle and area of every cell of two sets of lines, as far as it lies inside a convex outline."""
    low = np.stack(np.meshgrid(across[:-1], along[:-1], indexing="ij"), axis=-1).reshape(-1, 2)
    high = np.stack(np.meshgrid(across[1:], along[1:], indexing="ij"), axis=-1).reshape(-1, 2)
    corners = np.stack([low, np.c_[high[:, 0], low[:, 1]], high, np.c_[low[:, 0], high[:, 1]]], axis=1)
    places, areas = (low + high) / 2, np.prod(high - low, axis=1)
    sides = np.roll(outline, -1, axis=0) - outline
    inward = np.c_[-sides[:, 1], sides[:, 0]] / np.linalg.norm(sides, axis=1)[:, None]
    depth = np.einsum("ncsk,sk->ncs", corners[:, :, None, :] - outline, inward)
    for number in np.flatnonzero((depth < -SLIVER).any(axis=(1, 2))):
        left = corners[number]
        for start, normal in zip(outline, inward, strict=True):
            left = _clipped(left, start, normal)
        places[number], areas[number] = _middle(left, places[number])
    return places, areas


def _clipped(polygon: Floats, start: Floats, inward: Floats) -> Floats:
    """What of a polygon lies on the inner side of a line."""
    depth = (polygon - start) @ inward
    kept: list[Floats] = []
    for number, (point, at) in enumerate(zip(polygon, depth, strict=True)):
        before, was = polygon[number - 1], depth[number - 1]
        if (at < 0.0) != (was < 0.0):
            kept.append(before + (point - before) * (was / (was - at)))
        if at >= 0.0:
            kept.append(point)
    return np.array(kept).reshape(-1, 2)


def _middle(polygon: Floats, otherwise: Floats) -> tuple[Floats, float]:
    """Centroid and area of a polygon; an empty one has no area."""
    if len(polygon) < 3:
        return otherwise, 0.0
    spokes = polygon[1:] - polygon[0]
    doubled = spokes[:-1, 0] * spokes[1:, 1] - spokes[:-1, 1] * spokes[1:, 0]
    area = float(doubled.sum()) / 2
    if area <= SLIVER**2:
        return otherwise, 0.0
    middle = polygon[0] + ((spokes[:-1] + spokes[1:]) / 3 * doubled[:, None]).sum(axis=0) / (2 * area)
    return middle, area


def _joined(made: list[_Made], coverings: tuple[Covering, ...]) -> Skin:
    faces, start = [], 0
    for each in made:
        part = slice(start, start + len(each.areas))
        start = part.stop
        faces.append(
            SkinFace(each.face, -each.face.normal, each.base, each.regions, each.grid, part, each.cells)
        )
    return Skin(
        tuple(faces),
        coverings,
        np.concatenate([each.face.point(each.places[:, 0], each.places[:, 1]) for each in made]),
        np.concatenate([each.areas for each in made]),
        np.concatenate([each.covering for each in made]),
    )
