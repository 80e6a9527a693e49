"""The pieces of the closed-surface integral: what each patch of the skin sends to the antenna.

Waves go as exp(-i w t). With `toward` the unit vector to the satellite, the wave travels along -toward, and a
patch of area dS at x with the inward normal n adds to the field ratio at P

    T exp(i k khat.(x - P)) / (2 i lambda) * exp(i k r) / r * [khat.n + rhat.n (1 + i/(k r))] dS * g(u)/g(s)

The part after T is khat.n * flat + slanted, times the wave's phase at x; `Kernel` holds flat and slanted.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from hutwright.laws.antenna_pattern import cardioid, helix, isotropic
from hutwright.layout.frame import Floats
from hutwright.layout.skin import Grid, Region, Skin, SkinFace
from hutwright.model.machine import AntennaPattern

Waves = NDArray[np.complex64]
Singles = NDArray[np.float32]
LIT = 1e-6  # a face is lit where its outward normal and the way to the satellite agree by more [-]
PATTERNS = {AntennaPattern.PATCH: cardioid, AntennaPattern.HELIX: helix, AntennaPattern.ISOTROPIC: isotropic}


@dataclass(frozen=True, slots=True)
class Kernel:
    """What patches send to the antenna's places, both (patches, places)."""

    flat: Waves
    slanted: Waves


def kernel(
    centres: Floats,
    areas: Floats,
    inward: Floats,
    places: Floats,
    wavelength: float,
    pattern: AntennaPattern,
) -> Kernel:
    """The kernel of patches with one inward normal.

    Parameters
    ----------
    centres : array
        Their middles, (patches, 3). [m]
    areas : array
        Their areas. [m2]
    inward : array
        Their inward normal. [-]
    places : array
        The antenna's places, (places, 3). [m]
    wavelength : float
        Wavelength. [m]
    pattern : AntennaPattern
        How the antenna hears from each direction.
    """
    turn = 2.0 * np.pi / wavelength
    outward = centres[:, None, :] - places
    r = np.linalg.norm(outward, axis=-1)
    heard = PATTERNS[pattern](outward[..., 2] / r)
    flat = areas[:, None] * heard * np.exp(1j * turn * r) / (2j * wavelength * r)
    slanted = flat * (-(outward @ inward) / r) * (1.0 + 1j / (turn * r))
    return Kernel(flat.astype(np.complex64), slanted.astype(np.complex64))


def phases(centres: Floats, toward: Floats, wavelength: float) -> Waves:
    """Phase factor of each direction's wave at each patch, (directions, patches) [-]."""
    scaled = centres / -wavelength
    turns = toward[:, :1] * scaled[:, 0]  # written out: a matrix product of this size would take threads
    turns += toward[:, 1:2] * scaled[:, 1]
    turns += toward[:, 2:] * scaled[:, 2]
    turns -= np.rint(turns)
    angle = np.asarray(turns, dtype=np.float32) * np.float32(2.0 * np.pi)
    found = np.empty(angle.shape, dtype=np.complex64)
    np.cos(angle, out=found.real)
    np.sin(angle, out=found.imag)
    return found


# ---- where the straight ray came in ----------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Entries:
    """Where the straight rays to patches in the shadow came in through one lit face.

    All (directions, patches): `here` says which rays came through this face; `across` and `along` are the
    place in its measures, half a cell or more inside its rim [m]; for other rays they say nothing.
    """

    face: SkinFace
    here: NDArray[np.bool_]
    across: Singles
    along: Singles


def entries(skin: Skin, shadow: SkinFace, toward: Floats) -> Iterator[Entries]:
    """For the patches of a face in the shadow, the rays through each lit face in turn.

    Parameters
    ----------
    skin : Skin
        The skin.
    shadow : SkinFace
        The face in the shadow of all the directions.
    toward : array
        Unit vectors to the satellites, (directions, 3). [-]
    """
    centres = skin.centres[shadow.patches]
    lit, ways = [], []
    for each in skin.faces:
        facing = -(toward @ each.inward)
        if each is shadow or not (facing > LIT).any():
            continue
        depth = (-each.face.height_of(centres)).astype(np.float32)
        slow = np.where(facing > LIT, 1.0 / np.maximum(facing, LIT), np.inf).astype(np.float32)
        lit.append(each)
        ways.append(np.maximum(depth, np.float32(1e-9)) * slow[:, None])
    stack = np.stack(ways)
    first = stack.argmin(axis=0)
    for number, each in enumerate(lit):
        way = stack[number]
        place = each.face.place(centres).astype(np.float32)
        step = np.stack([toward @ each.face.right, toward @ each.face.up], axis=-1).astype(np.float32)
        here = first == number
        way = np.where(here, way, np.float32(0.0))
        across, along = (
            _within(each.grid, axis, place[:, axis] + way * step[:, axis, None]) for axis in (0, 1)
        )
        yield Entries(each, here, across, along)


def _within(grid: Grid, axis: int, place: NDArray[np.floating]) -> Singles:
    """Places moved so far inside a face that the footprint of one cell does not hang over its rim."""
    start, step, count = grid.start[axis], grid.step[axis], grid.count[axis]
    found = np.clip(place, np.float32(start + step / 2), np.float32(start + step * (count - 0.5)))
    return np.asarray(found, dtype=np.float32)


def covered(place: Singles, ends: tuple[float, float], width: float) -> Singles:
    """Share of a footprint of some width round a place that lies between two ends [-]."""
    half = np.float32(width / 2)
    low = np.maximum(place - half, np.float32(ends[0]))
    high = np.minimum(place + half, np.float32(ends[1]))
    return np.asarray(np.maximum(high - low, np.float32(0.0)) / np.float32(width))


def share_in(rays: Entries, region: Region, grid: Grid) -> Singles:
    """Share of each ray's footprint, one cell of the face's grid, that lies in an opening [-]."""
    across = covered(rays.across, region.across, grid.step[0])
    return np.asarray(across * covered(rays.along, region.along, grid.step[1]) * rays.here)
