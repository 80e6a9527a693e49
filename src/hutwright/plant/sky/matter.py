"""What the full wave meets on each edge of its grid: boards by their share of a cell, metal as faces.

A board is as a rule no thicker than a cell. Its edges get the mean permittivity of the cell round each edge
where they lie along the board, and the mean of its inverse where they stand square to it, the two limits of
a thin sheet; what a sheet as a whole does to the wave is then kept, wherever it lies between the nodes.
Metal is the faces between cells on its two sides, in steps where it slopes.

On the grid a sheet of metal acts as if it reached half a cell beyond its last edges, because the field that
peaks there is seen half a cell off. Rims of sheets and of holes in them are therefore drawn back by as much;
docs/handbook/full-wave.md says what is left.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import ArrayLike, NDArray

from hutwright.layout.frame import Floats
from hutwright.plant.sky.lattice import COURANT, Lattice

Singles = NDArray[np.float32]
Whole = NDArray[np.intp]
ACROSS = 5  # columns that a cell is looked at in, each way along a board; through it the share is exact [-]
BEYOND = 0.5  # how far metal seems to reach beyond its edges: measured on square holes [cells]
FLAT = 1e-9  # a plane steeper to an axis than this does not cut it [-]


@dataclass(frozen=True, slots=True)
class Hole:
    """A rectangle cut square through a board or sheet.

    A corner, unit vectors along two sides, their lengths [m], and the share of the material that is left.
    """

    corner: Floats
    right: Floats
    up: Floats
    size: tuple[float, float]
    left: float = 0.0

    def holds(self, points: Floats, wider: float = 0.0) -> NDArray[np.bool_]:
        """Whether points, the last axis, lie in it or that near to it [m], seen square to it."""
        away = points - self.corner
        across, along = away @ self.right + wider, away @ self.up + wider
        width, length = (each + 2.0 * wider for each in self.size)
        return np.asarray((across > 0) & (across < width) & (along > 0) & (along < length))


@dataclass(frozen=True, slots=True)
class Board:
    """A convex body between planes: rows (x, y, z, w) with x X + y Y + z Z <= w inside.

    `low` and `high` are corners of a box round it [m], `normal` the way through it.
    """

    planes: Floats
    low: Floats
    high: Floats
    normal: Floats
    permittivity: complex
    holes: tuple[Hole, ...] = ()


@dataclass(frozen=True, slots=True)
class Sheet:
    """Metal between the inside and the outside of some planes, as far as the outline's planes reach.

    `metal` says which of the planes carry it; a face belongs to the plane that its outer side is farthest
    beyond. `holes` has the holes of each plane.
    """

    planes: Floats
    metal: tuple[bool, ...]
    holes: tuple[tuple[Hole, ...], ...]
    outline: Floats = field(default_factory=lambda: np.empty((0, 4)))


@dataclass(frozen=True, slots=True)
class Matter:
    """What the electric field does on each edge: by component, in the order of the nodes, x fastest.

    `keep` is what is left of the field after a step, `gain` what it takes of the curl; both 0 in metal.
    """

    keep: tuple[Singles, Singles, Singles]
    gain: tuple[Singles, Singles, Singles]


def planes(*rows: ArrayLike) -> Floats:
    """Planes as an array, from rows of a normal and how far out the plane lies along it."""
    return np.asarray(rows, dtype=float).reshape(-1, 4)


def between(axis: int, low: float, high: float) -> list[tuple[float, float, float, float]]:
    """The two planes that bound a body along an axis [m]."""
    unit = [1.0 if each == axis else 0.0 for each in range(3)]
    x, y, z = unit
    return [(x, y, z, high), (-x, -y, -z, -low)]


def matter(grid: Lattice, boards: Sequence[Board] = (), sheets: Sequence[Sheet] = ()) -> Matter:
    """The grid with boards and sheets in it, and metal all round.

    Parameters
    ----------
    grid : Lattice
        The grid.
    boards : Sequence
        Boards and panes; they should not overlap.
    sheets : Sequence
        Sheets of metal.
    """
    free = [_free(grid, component) for component in range(3)]
    for sheet in sheets:
        _shut(grid, sheet, free)
    keep, gain = [], []
    for component in range(3):
        each_keep, each_gain = _edges(grid, component, boards)
        keep.append(np.where(free[component], each_keep, np.float32(0.0)).reshape(-1))
        gain.append(np.where(free[component], each_gain, np.float32(0.0)).reshape(-1))
    return Matter((keep[0], keep[1], keep[2]), (gain[0], gain[1], gain[2]))


def _free(grid: Lattice, component: int) -> NDArray[np.bool_]:
    """Which edges lie neither in the outer metal nor beyond it, (z, y, x)."""
    found = np.ones(grid.nodes[::-1], dtype=bool)
    for axis in range(3):
        ends = np.moveaxis(found, 2 - axis, 0)
        ends[-1] = False
        if axis != component:
            ends[0] = False
    return found


# ---- boards -----------------------------------------------------------------------------------------------


def _edges(grid: Lattice, component: int, boards: Sequence[Board]) -> tuple[Singles, Singles]:
    """Keep and gain of the edges of a component, (z, y, x)."""
    shape = grid.nodes[::-1]
    along = np.zeros(shape, dtype=np.complex64)  # sum of share * (permittivity - 1)
    across = np.zeros(shape, dtype=np.complex64)  # sum of share * (1 / permittivity - 1)
    square = np.zeros(shape, dtype=np.float32)  # sum of share * square of the normal's part along the edge
    shares = np.zeros(shape, dtype=np.float32)
    for board in boards:
        part, share = _shares(grid, component, board)
        if part is None:
            continue
        along[part] += (share * (board.permittivity - 1.0)).astype(np.complex64)
        across[part] += (share * (1.0 / board.permittivity - 1.0)).astype(np.complex64)
        square[part] += (share * board.normal[component] ** 2).astype(np.float32)
        shares[part] += share.astype(np.float32)
    there = shares > 0.0
    upright = (square[there] / shares[there]).astype(float)
    mean = (1.0 - upright) * (1.0 + along[there]) + upright / (1.0 + across[there])
    # Half of the loss before the step and half after it, which is what the wave then meets at its frequency.
    loss = mean.imag * math.tan(grid.turn / 2.0)
    keep, gain = np.ones(shape, dtype=np.float32), np.full(shape, COURANT, dtype=np.float32)
    keep[there] = (mean.real - loss) / (mean.real + loss)
    gain[there] = COURANT / (mean.real + loss)
    return keep, gain


def _shares(grid: Lattice, component: int, board: Board) -> tuple[tuple[slice, ...] | None, Floats]:
    """Share of a board in the cells round the edges of a component: which part of the grid, and (z, y, x)."""
    half = 0.5 * (np.arange(3) == component)
    low = np.maximum(np.floor(grid.cells(board.low) - half), 0).astype(int)
    high = np.minimum(np.ceil(grid.cells(board.high) - half), np.array(grid.nodes) - 1).astype(int)
    if (low > high).any():
        return None, np.empty(0)
    through = int(np.argmax(np.abs(board.normal)))
    u, v = (each for each in range(3) if each != through)
    start = np.asarray(grid.start)

    def places(axis: int, pieces: int) -> Floats:
        inside = (np.arange(pieces) + 0.5) / pieces - 0.5
        cells = np.arange(low[axis], high[axis] + 1)[:, None] + half[axis] + inside
        return np.asarray(start[axis] + grid.side * cells.reshape(-1))

    lower, upper, weight = _columns(board, through, places(u, ACROSS), places(v, ACROSS))
    middle = places(through, 1)[:, None, None]
    chord = np.minimum(upper, middle + grid.side / 2) - np.maximum(lower, middle - grid.side / 2)
    filled = np.maximum(chord, 0.0) * (weight / grid.side)
    count = high - low + 1
    share = filled.reshape(count[through], count[u], ACROSS, count[v], ACROSS).mean(axis=(2, 4))
    share = np.transpose(np.moveaxis(share, 0, through), (2, 1, 0))
    return tuple(slice(low[axis], high[axis] + 1) for axis in (2, 1, 0)), share


def _columns(board: Board, through: int, u: Floats, v: Floats) -> tuple[Floats, Floats, Floats]:
    """Where columns along an axis enter and leave a board, and the share of it that stands there, (u, v)."""
    a, b = (each for each in range(3) if each != through)
    shape = (len(u), len(v))
    lower, upper = np.full(shape, -np.inf), np.full(shape, np.inf)
    for plane in board.planes:
        left = plane[3] - plane[a] * u[:, None] - plane[b] * v
        steep = plane[through]
        if steep > FLAT:
            upper = np.minimum(upper, left / steep)
        elif steep < -FLAT:
            lower = np.maximum(lower, left / steep)
        else:
            upper = np.where(left >= 0.0, upper, -np.inf)
    weight = np.ones(shape)
    there = upper > lower
    if board.holes and there.any():
        points = np.empty((*shape, 3))
        points[..., a], points[..., b] = u[:, None], v
        points[..., through] = np.where(
            there, (np.where(there, lower, 0.0) + np.where(there, upper, 0.0)) / 2, 0
        )
        for hole in board.holes:
            weight[hole.holds(points)] *= hole.left
    return np.where(there, lower, 0.0), np.where(there, upper, 0.0), weight


# ---- sheets -----------------------------------------------------------------------------------------------


def _shut(grid: Lattice, sheet: Sheet, free: list[NDArray[np.bool_]]) -> None:
    """Take the edges of a sheet's faces out of those that are free."""
    x, y, z = (
        start + grid.side * (np.arange(n - 1) + 0.5) for start, n in zip(grid.start, grid.nodes, strict=True)
    )
    inside = np.ones((len(z), len(y), len(x)), dtype=bool)
    for plane in sheet.planes:
        inside &= plane[0] * x + plane[1] * y[:, None] + plane[2] * z[:, None, None] <= plane[3]
    for axis in range(3):
        here = np.moveaxis(inside, 2 - axis, 0)
        for way in (1, -1):  # out along the axis, out against it
            inner, outer = (here[:-1], here[1:]) if way == 1 else (here[1:], here[:-1])
            cells = np.argwhere(inner & ~outer)
            cells[:, 0] += way == -1  # the inner cell's own place along the axis
            own = np.empty_like(cells)  # as x, y, z
            order = [2 - axis, *(each for each in range(3) if each != 2 - axis)]
            own[:, [2 - each for each in order]] = cells
            kept = own[_carried(grid, sheet, own, axis, way)]
            kept[:, axis] += way == 1  # the face's plane
            _take(free, kept, axis)


def _carried(grid: Lattice, sheet: Sheet, cells: Whole, axis: int, way: int) -> NDArray[np.bool_]:
    """Which of the faces between inner cells and the next outer ones carry metal."""
    outer = np.asarray(grid.start) + grid.side * (cells + 0.5)
    face = outer.copy()
    outer[:, axis] += way * grid.side
    face[:, axis] += way * grid.side / 2
    beyond = BEYOND * grid.side
    owner = (outer @ sheet.planes[:, :3].T - sheet.planes[:, 3]).argmax(axis=1)
    found = np.asarray(sheet.metal, dtype=bool)[owner]
    if len(sheet.outline):
        found &= (face @ sheet.outline[:, :3].T <= sheet.outline[:, 3] - beyond).all(axis=1)
    for number, holes in enumerate(sheet.holes):
        for hole in holes:
            found &= ~((owner == number) & hole.holds(face, beyond))
    return np.asarray(found)


def _take(free: list[NDArray[np.bool_]], faces: Whole, axis: int) -> None:
    """Take the four edges of each face out; a face is named by its lowest corner."""
    for component in (each for each in range(3) if each != axis):
        other = 3 - axis - component
        for beyond in (0, 1):
            corner = faces.copy()
            corner[:, other] += beyond
            free[component][corner[:, 2], corner[:, 1], corner[:, 0]] = False
