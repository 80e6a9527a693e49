"""Any layout of roof windows at once: the field is a sum, so each roof cell's part is kept and added.

A cell's value is what the field would gain, in each direction, if its transmission rose from 0 to 1: what its
own patch sends, and what the patches in the shadow send whose straight ray came in through it, shared out
among the cells under a footprint of one cell. Sums over rectangles come from a summed-area table; edges
between the grid's lines take their share of a cell.
"""

from __future__ import annotations

from collections.abc import Sequence
from concurrent.futures import Executor
from dataclasses import dataclass
from functools import partial

import numpy as np
from numpy.typing import NDArray

from hutwright.errors import RequestError
from hutwright.laws.permittivity import LIGHT_SPEED
from hutwright.layout.frame import Floats
from hutwright.layout.skin import ROOF, Grid, Skin, SkinFace, skin
from hutwright.memo import slow
from hutwright.model.hut import Pane
from hutwright.model.project import Project
from hutwright.plant.sky.coverings import L1, Weather, pane_transmission, transmission
from hutwright.plant.sky.field import (
    BLOCK,
    Antenna,
    Leaf,
    UnitSums,
    antenna_at,
    checked,
    face_kernels,
    field_ratio,
    leaf_at,
    patch_size,
    reference,
    unit_sums,
)
from hutwright.plant.sky.inside import PATCH, dome
from hutwright.plant.sky.kernel import LIT, Entries, Kernel, Waves, entries, phases


@dataclass(frozen=True, slots=True)
class RoofWindow:
    """A window of a layout, in the measures of the roof's inner face: ends across and along it [m]."""

    face: str
    across: tuple[float, float]
    along: tuple[float, float]


@dataclass(frozen=True, slots=True)
class RoofCells:
    """The summed-area table of one roof face: (lines across * lines along, places * directions)."""

    face: SkinFace
    sums: Waves


@dataclass(frozen=True, slots=True)
class FieldTable:
    """The field of a hut without roof windows, by covering, and what its roof cells would add."""

    sums: UnitSums
    roofs: tuple[RoofCells, ...]

    @property
    def bytes(self) -> int:
        """How much memory its numbers take [B]."""
        return sum(each.sums.nbytes for each in self.roofs) + self.sums.coverings.nbytes


@dataclass(frozen=True, slots=True)
class Scene:
    """A table in some weather and with the leaf somewhere: all that layouts of windows share.

    `closed` is the field without roof windows, (places, directions); `gains`, of each roof face, how much
    more the pane lets through than the build-up, by place and direction in one row.
    """

    table: FieldTable
    closed: Waves
    gains: tuple[Waves, ...]


def field_table(
    skin: Skin,
    antenna: Antenna,
    toward: Floats,
    *,
    leaves: Sequence[Leaf] = (),
    frequency: float = L1,
    executor: Executor | None = None,
) -> FieldTable:
    """The table of a hut.

    Parameters
    ----------
    skin : Skin
        Its skin, cut without openings in the roof.
    antenna : Antenna
        Places and pattern of the antenna.
    toward : array
        Unit vectors to the satellites in the hut's frame, above the horizon, (directions, 3). [-]
    leaves : Sequence
        Poses of the leaf to keep apart.
    frequency : float
        Frequency. [Hz]
    executor : Executor or None
        Where to work; here and now without one. The result does not depend on it.

    Raises
    ------
    RequestError
        Where the antenna is not inside the hut, or a direction is below the horizon.
    """
    roofs = _roofs(skin)
    if any(each.regions for each in roofs):
        raise RequestError("a field table starts from a roof without openings; cut the skin without them")
    toward = checked(skin, antenna, toward, frequency)
    kept = _arrays(skin, antenna, toward, tuple(leaves), frequency, executor=executor)
    sums = UnitSums(skin, antenna, toward, frequency, tuple(leaves), kept["coverings"], kept["leaves"])
    return FieldTable(sums, tuple(RoofCells(each, kept[each.name]) for each in roofs))


def table_of(project: Project, *, executor: Executor | None = None) -> FieldTable:
    """The table of a hut as described but for the openings in its roof, the leaf shut.

    It has the directions and the patches of the sums that a check reads: see `hutwright.plant.sky.inside`.

    Parameters
    ----------
    project : Project
        The project.
    executor : Executor or None
        Where to work; here and now without one.

    Raises
    ------
    RequestError
        Where the antenna is not inside the hut, or a part is not described.
    """
    cut = skin(project, PATCH * patch_size(), roof_openings=False)
    leaves = () if project.door is None else (leaf_at(project, 0.0),)
    return field_table(cut, antenna_at(project), dome().toward, leaves=leaves, executor=executor)


def _roofs(skin: Skin) -> tuple[SkinFace, ...]:
    return tuple(each for each in skin.faces if each.name.startswith(ROOF))


@slow(aside=("executor",))
def _arrays(
    skin: Skin,
    antenna: Antenna,
    toward: Floats,
    leaves: tuple[Leaf, ...],
    frequency: float,
    *,
    executor: Executor | None,
) -> dict[str, Waves]:
    """All that is slow about a table, as arrays that the memory can keep on disk."""
    roofs, wavelength = _roofs(skin), LIGHT_SPEED / frequency
    sums = unit_sums(skin, antenna, toward, leaves=leaves, frequency=frequency, executor=executor)
    scale = reference(antenna, toward, wavelength)
    kernels = face_kernels(skin, antenna, wavelength)
    work = partial(_cells, skin, roofs, kernels, wavelength)
    blocks = [toward[start : start + BLOCK] for start in range(0, len(toward), BLOCK)]
    done = list(executor.map(work, blocks) if executor is not None else map(work, blocks))
    found = {"coverings": sums.coverings, "leaves": sums.leaves}
    for number, roof in enumerate(roofs):
        across, along = roof.grid.count
        table = np.zeros((across + 1, along + 1, len(antenna.places), len(toward)), dtype=np.complex64)
        for block, start in zip(done, range(0, len(toward), BLOCK), strict=True):
            part = slice(start, start + BLOCK)
            cells = block[number] * scale[:, part].T[:, None, None, :]
            np.cumsum(cells, axis=1, out=cells)
            np.cumsum(cells, axis=2, out=cells)
            table[1:, 1:, :, part] = np.moveaxis(cells, 0, -1)
        found[roof.name] = table.reshape((across + 1) * (along + 1), -1)
    return found


# ---- one block of directions ------------------------------------------------------------------------------


def _cells(
    skin: Skin, roofs: tuple[SkinFace, ...], kernels: tuple[Kernel, ...], wavelength: float, toward: Floats
) -> list[Waves]:
    """What the cells of every roof face send, (directions, cells across, cells along, places)."""
    places = kernels[0].flat.shape[1]
    found = [np.zeros((len(toward), *roof.grid.count, places), dtype=np.complex64) for roof in roofs]
    for face, sent in zip(skin.faces, kernels, strict=True):
        along = -(toward @ face.inward)
        lit, dark = np.flatnonzero(along > LIT), np.flatnonzero(along <= LIT)
        for number, roof in enumerate(roofs):
            if roof is face and len(lit):
                direct = _sent(skin, face, sent, wavelength, toward[lit], along[lit])
                found[number][lit] += direct.reshape(len(lit), *face.grid.count, places)
        if not len(dark):
            continue
        values = _sent(skin, face, sent, wavelength, toward[dark], along[dark])
        for rays in entries(skin, face, toward[dark]):
            for number, roof in enumerate(roofs):
                if roof is rays.face:
                    _share_out(rays, values, dark, found[number])
    return found


def _sent(
    skin: Skin, face: SkinFace, sent: Kernel, wavelength: float, toward: Floats, along: Floats
) -> Waves:
    """What each patch of a face sends, (directions, patches, places)."""
    wave = phases(skin.centres[face.patches], toward, wavelength)[:, :, None]
    slope = along.astype(np.float32)[:, None, None]
    found = sent.flat[None, :, :] * slope
    found += sent.slanted
    found *= wave
    return np.asarray(found)


def _share_out(rays: Entries, values: Waves, directions: NDArray[np.intp], found: Waves) -> None:
    """Add values of rays to the cells of the face they came in by, as their footprints lie.

    The rays are put in the order of their cells, so that each cell takes one sum.
    """
    row, patch = np.nonzero(rays.here)
    if not len(row):
        return
    grid = rays.face.grid
    low, shares = [], []
    for axis, place in ((0, rays.across), (1, rays.along)):
        at = (place[row, patch] - np.float32(grid.start[axis])) / np.float32(grid.step[axis]) - np.float32(
            0.5
        )
        first = np.clip(np.floor(at).astype(np.intp), 0, grid.count[axis] - 1)
        low.append(first)
        shares.append((at - first)[:, None])
    cells = grid.count[0] * grid.count[1]
    cell = directions[row] * cells + low[0] * grid.count[1] + low[1]
    order = np.argsort(cell, kind="stable")
    cell = cell[order]
    starts = np.flatnonzero(np.r_[True, cell[1:] != cell[:-1]])
    cell = cell[starts]
    wide, long = (each[order] for each in shares)
    sent = values[row[order], patch[order]]
    moved = sent * wide
    parts = np.stack([sent, moved, sent * long, moved * long], axis=1)
    whole, far, up, both = np.moveaxis(np.add.reduceat(parts, starts, axis=0), 1, 0)
    last_across = low[0][order][starts] == grid.count[0] - 1
    last_along = low[1][order][starts] == grid.count[1] - 1
    flat = found.reshape(-1, found.shape[-1])
    for step, beyond, summed in (  # beyond the rim the share is nothing
        (0, np.zeros(len(cell), dtype=bool), whole - far - up + both),
        (grid.count[1], last_across, far - both),
        (1, last_along, up - both),
        (grid.count[1] + 1, last_across | last_along, both),
    ):
        flat[cell[~beyond] + step] += summed[~beyond]


# ---- layouts ----------------------------------------------------------------------------------------------


def scene(
    project: Project, table: FieldTable, pane: Pane, weather: Weather, *, leaf: int | None = None
) -> Scene:
    """The table in some weather, for layouts of windows of one kind of pane.

    Parameters
    ----------
    project : Project
        The project.
    table : FieldTable
        The table.
    pane : Pane
        The windows' pane.
    weather : Weather
        How wet it is.
    leaf : int or None
        Which of the leaf's poses; with None the door's hole stands free.
    """
    sums = table.sums
    closed = field_ratio(project, sums, weather, leaf=leaf)
    gains = []
    for roof in table.roofs:
        cos = sums.toward @ roof.face.face.normal
        lit = cos > LIT
        gain = np.zeros(len(cos), dtype=complex)
        base = sums.skin.coverings[roof.face.base]
        gain[lit] = pane_transmission(pane, cos[lit], weather.panes, frequency=sums.frequency)
        gain[lit] -= transmission(project, base, cos[lit], weather, frequency=sums.frequency)
        gains.append(np.tile(gain.astype(np.complex64), len(sums.antenna.places)))
    return Scene(table, closed, tuple(gains))


def layout_field(scene: Scene, windows: Sequence[RoofWindow]) -> Waves:
    """Field at the antenna over that with no hut with some windows in the roof, (places, directions) [-].

    Parameters
    ----------
    scene : Scene
        The table in some weather.
    windows : Sequence
        The windows, which must not overlap; what of them lies beyond the inner skin counts for nothing.

    Raises
    ------
    RequestError
        For a face that is no part of the roof.
    """
    found = scene.closed.reshape(-1).copy()
    for window in windows:
        for roof, gain in zip(scene.table.roofs, scene.gains, strict=True):
            if roof.face.name == window.face:
                found += gain * _rectangle(roof, window)
                break
        else:
            known = ", ".join(each.face.name for each in scene.table.roofs)
            raise RequestError(f"'{window.face}' is no face of this roof; it has {known}")
    return found.reshape(scene.closed.shape)


def _rectangle(roof: RoofCells, window: RoofWindow) -> Waves:
    """Sum over a rectangle of a roof's cells, from its summed-area table."""
    across, across_weights = _ends(roof.face.grid, 0, window.across)
    along, along_weights = _ends(roof.face.grid, 1, window.along)
    lines = roof.face.grid.count[1] + 1
    found = np.zeros(roof.sums.shape[1], dtype=np.complex64)
    for first, share in zip(across, across_weights, strict=True):
        for second, other in zip(along, along_weights, strict=True):
            if share * other != 0.0:
                found += np.float32(share * other) * roof.sums[first * lines + second]
    return found


def _ends(grid: Grid, axis: int, ends: tuple[float, float]) -> tuple[list[int], list[float]]:
    """Lines of the grid beside both ends, with weights whose sum over the lines is that between the ends."""
    lines: list[int] = []
    weights: list[float] = []
    for end, sign in zip(ends, (-1.0, 1.0), strict=True):
        at = min(max((end - grid.start[axis]) / grid.step[axis], 0.0), float(grid.count[axis]))
        line = min(int(at), grid.count[axis] - 1)
        share = at - line
        lines += [line, line + 1]
        weights += [sign * (1.0 - share), sign * share]
    return lines, weights


def described_windows(skin: Skin) -> tuple[RoofWindow, ...]:
    """The openings that a skin has in its roof, as windows of a layout.

    Parameters
    ----------
    skin : Skin
        The skin, cut with its openings.
    """
    return tuple(
        RoofWindow(face.name, region.across, region.along)
        for face in skin.faces
        if face.name.startswith(ROOF)
        for region in face.regions
    )


def snapped(skin: Skin, window: RoofWindow) -> RoofWindow:
    """The window with its edges on the nearest lines of the roof's grid.

    Parameters
    ----------
    skin : Skin
        The skin.
    window : RoofWindow
        The window.
    """
    grid = skin.face_named(window.face).grid
    return RoofWindow(window.face, _nearest(grid, 0, window.across), _nearest(grid, 1, window.along))


def _nearest(grid: Grid, axis: int, ends: tuple[float, float]) -> tuple[float, float]:
    start, step = grid.start[axis], grid.step[axis]
    low, high = (start + step * round((end - start) / step) for end in ends)
    return low, high
