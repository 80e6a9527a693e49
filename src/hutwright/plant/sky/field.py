"""The field at the antenna inside the hut, over what it would be with no hut: the closed-surface integral.

The sum over the skin is kept apart by covering: with the transmission T of each covering by direction the
field is the sum of T times the unit sums, so that any weather is another sum of a few terms. A patch of a
lit face counts for its own covering, one in the shadow for the covering where the straight ray came in. The
floor is ground that throws nothing back: a face in the shadow like any other, through which the wave leaves.

The door's leaf, where it is not shut, is a screen outside the hole: a ray through the hole that meets it
counts as the leaf's, at the leaf's own angle; a shut one covers the whole hole.
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
from hutwright.layout.frame import Floats, leaf_thickness
from hutwright.layout.leaf import leaf_pose, shut_leaf
from hutwright.layout.skin import Kind, Skin, SkinFace
from hutwright.model.machine import AntennaPattern
from hutwright.model.project import Project
from hutwright.plant.sky.coverings import L1, Weather, transmission
from hutwright.plant.sky.kernel import (
    LIT,
    PATTERNS,
    Kernel,
    Singles,
    covered,
    entries,
    kernel,
    phases,
    share_in,
)

Waves = NDArray[np.complex64]
BLOCK = 64  # directions that are worked on at once: a choice of this project, for the processor's cache [-]
# Complex multiplications from which a matrix library may spread a product over threads, which wait for each
# other on busy cores and took ten times as long as one alone. Measured here [-]
ALONE = 32768
PATCHES_PER_WAVELENGTH = 8.0  # the sum is then within 0.02 dB of the integral: measured here [-]
SHUT = 1e-6  # a leaf that has moved less is shut [rad or m]
# Seven places in a disc that average every polynomial up to the fifth degree (Radon 1948; standing: recalled)
DISC_RADIUS = (2.0 / 3.0) ** 0.5
DISC_WEIGHTS = (0.25, *(0.125,) * 6)


@dataclass(frozen=True, slots=True)
class Antenna:
    """Where the antenna may be, (places, 3) [m], how likely each place is, and its pattern."""

    places: Floats
    weights: Floats
    pattern: AntennaPattern


@dataclass(frozen=True, slots=True)
class Leaf:
    """The leaf as a flat rectangle in space: a corner and two edges [m]; `shut` where it covers the hole."""

    corner: Floats
    right: Floats
    up: Floats
    shut: bool

    @property
    def normal(self) -> Floats:
        """A unit vector square to it [-]."""
        found = np.cross(self.right, self.up)
        return np.asarray(found / np.linalg.norm(found))


@dataclass(frozen=True, slots=True)
class UnitSums:
    """The integral's sums with unit transmission, kept apart by covering.

    `coverings` is (coverings, places, directions), the door's row for its hole with nothing before it;
    `leaves` is (leaves, places, directions), the part of the door's row that the leaf is before.
    """

    skin: Skin
    antenna: Antenna
    toward: Floats
    frequency: float
    leaf_poses: tuple[Leaf, ...]
    coverings: Waves
    leaves: Waves


def antenna_at(project: Project, *, spread: bool = True) -> Antenna:
    """The machine's antenna where the machine is parked, its front to the door.

    Parameters
    ----------
    project : Project
        The project.
    spread : bool
        Whether to take seven places that average over the parking error, or only the middle one.

    Raises
    ------
    RequestError
        Where the machine, its place or its antenna is not described.
    """
    machine = project.machine
    if machine is None or machine.parked is None or machine.antenna is None:
        raise RequestError(
            "this needs the machine's place and antenna; add machine.parked and machine.antenna"
        )
    parked, antenna = machine.parked, machine.antenna
    middle = np.array([parked.x, parked.y - antenna.ahead, antenna.up])
    if not (spread and parked.error > 0.0):
        return Antenna(middle[None, :], np.ones(1), antenna.pattern)
    turns = np.arange(6) * np.pi / 3.0
    ring = np.c_[np.cos(turns), np.sin(turns), np.zeros(6)] * (DISC_RADIUS * parked.error)
    return Antenna(np.concatenate([middle[None, :], middle + ring]), np.array(DISC_WEIGHTS), antenna.pattern)


def leaf_at(project: Project, travel: float) -> Leaf:
    """The leaf at a travel [rad or m]."""
    seen, y = shut_leaf(project), -leaf_thickness(project) / 2
    flat = np.array([(seen.left, y, seen.low), (seen.right, y, seen.low), (seen.left, y, seen.high)])
    corner, right, up = leaf_pose(project, travel).apply(flat)
    return Leaf(corner, right - corner, up - corner, abs(travel) <= SHUT)


def patch_size(frequency: float = L1) -> float:
    """Side of a patch that is small enough [m]."""
    return LIGHT_SPEED / frequency / PATCHES_PER_WAVELENGTH


def unit_sums(
    skin: Skin,
    antenna: Antenna,
    toward: Floats,
    *,
    leaves: Sequence[Leaf] = (),
    frequency: float = L1,
    executor: Executor | None = None,
) -> UnitSums:
    """The integral's sums by covering, for every place of the antenna and every direction.

    Parameters
    ----------
    skin : Skin
        The skin in patches.
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
    toward = checked(skin, antenna, toward, frequency)
    wavelength = LIGHT_SPEED / frequency
    kernels = face_kernels(skin, antenna, wavelength)
    work = partial(_block, skin, kernels, tuple(leaves), wavelength)
    blocks = [toward[start : start + BLOCK] for start in range(0, len(toward), BLOCK)]
    done = list(executor.map(work, blocks) if executor is not None else map(work, blocks))
    found = np.concatenate(done, axis=-1) if done else _nothing(skin, antenna, leaves)
    sums = (found * reference(antenna, toward, wavelength)).astype(np.complex64)
    count = len(skin.coverings)
    return UnitSums(skin, antenna, toward, frequency, tuple(leaves), sums[:count], sums[count:])


def _nothing(skin: Skin, antenna: Antenna, leaves: Sequence[Leaf]) -> NDArray[np.complex128]:
    return np.zeros((len(skin.coverings) + len(leaves), len(antenna.places), 0), dtype=complex)


def checked(skin: Skin, antenna: Antenna, toward: Floats, frequency: float) -> Floats:
    """The directions as an array, after a look at whether all of it can be reckoned [-]."""
    toward = np.asarray(toward, dtype=float).reshape(-1, 3)
    if not (np.isfinite(toward).all() and np.allclose(np.linalg.norm(toward, axis=1), 1.0, atol=1e-6)):
        raise RequestError("directions to satellites must be unit vectors")
    if len(toward) and not (toward[:, 2] > LIT).all():
        raise RequestError("a satellite below the horizon cannot be heard; leave it out")
    least = patch_size(frequency)
    for place in antenna.places:
        if not skin.clearance(place) >= least:
            x, y, z = place
            raise RequestError(
                f"the antenna at ({x:.3f}, {y:.3f}, {z:.3f}) m is not {1e3 * least:.0f} mm inside the hut; "
                "correct machine.parked, machine.antenna or the hut's inside"
            )
    return toward


def face_kernels(skin: Skin, antenna: Antenna, wavelength: float) -> tuple[Kernel, ...]:
    """The kernel of every face."""
    return tuple(
        kernel(
            skin.centres[each.patches],
            skin.areas[each.patches],
            each.inward,
            antenna.places,
            wavelength,
            antenna.pattern,
        )
        for each in skin.faces
    )


def reference(antenna: Antenna, toward: Floats, wavelength: float) -> NDArray[np.complex128]:
    """One over the open wave as the antenna hears it, (places, directions) [-]."""
    turn = 2.0 * np.pi / wavelength
    return np.asarray(
        np.exp(1j * turn * (antenna.places @ toward.T)) / PATTERNS[antenna.pattern](toward[:, 2])
    )


# ---- one block of directions ------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Part:
    """One face and those of a block's directions that light it, or that leave it in the shadow."""

    skin: Skin
    face: SkinFace
    sent: Kernel
    leaves: tuple[Leaf, ...]
    wavelength: float
    toward: Floats
    rows: NDArray[np.intp]

    @property
    def along(self) -> Floats:
        """How far each wave runs along the face's inward normal [-]."""
        return np.asarray(-(self.toward @ self.face.inward))


def _block(
    skin: Skin, kernels: tuple[Kernel, ...], leaves: tuple[Leaf, ...], wavelength: float, toward: Floats
) -> NDArray[np.complex128]:
    places = kernels[0].flat.shape[1]
    found = np.zeros((len(skin.coverings) + len(leaves), places, len(toward)), dtype=complex)
    for face, sent in zip(skin.faces, kernels, strict=True):
        lit = toward @ face.face.normal > LIT
        for rows, work in ((np.flatnonzero(lit), _lit), (np.flatnonzero(~lit), _shadow)):
            if len(rows):
                work(_Part(skin, face, sent, leaves, wavelength, toward[rows], rows), found)
    return found


def _lit(part: _Part, found: NDArray[np.complex128]) -> None:
    """Add the patches of a lit face, each for its own covering."""
    skin, face, along = part.skin, part.face, part.along
    centres, covering = skin.centres[face.patches], skin.covering[face.patches]
    for number in np.unique(covering):
        own = np.flatnonzero(covering == number)
        wave = phases(centres[own], part.toward, part.wavelength)
        sent = Kernel(part.sent.flat[own], part.sent.slanted[own])
        found[number][:, part.rows] += summed(wave, sent, along)
        if skin.coverings[number].kind is Kind.DOOR:
            for row, leaf in enumerate(part.leaves, start=len(skin.coverings)):
                met = _met(leaf, centres[own], part.toward, part.wavelength)
                found[row][:, part.rows] += summed(wave * met, sent, along)


def _shadow(part: _Part, found: NDArray[np.complex128]) -> None:
    """Add the patches of a face in the shadow, each for the covering where its straight ray came in."""
    skin, along = part.skin, part.along
    centres = skin.centres[part.face.patches]
    wave = phases(centres, part.toward, part.wavelength)
    for rays in entries(skin, part.face, part.toward):
        left = wave * rays.here
        for region in rays.face.regions:
            inside = wave * share_in(rays, region, rays.face.grid)
            left -= inside
            found[region.covering][:, part.rows] += summed(inside, part.sent, along)
            if skin.coverings[region.covering].kind is Kind.DOOR:
                for row, leaf in enumerate(part.leaves, start=len(skin.coverings)):
                    met = _met(leaf, centres, part.toward, part.wavelength)
                    found[row][:, part.rows] += summed(inside * met, part.sent, along)
        found[rays.face.base][:, part.rows] += summed(left, part.sent, along)


def product(wave: Waves, sent: Waves) -> Waves:
    """Matrix product in pieces that are too small for the library's threads to take hold of [-]."""
    found = np.zeros((len(wave), sent.shape[1]), dtype=np.complex64)
    piece = max(16, int(ALONE / found.size)) if found.size else 1
    for start in range(0, wave.shape[1], piece):
        found += wave[:, start : start + piece] @ sent[start : start + piece]
    return found


def summed(wave: Waves, sent: Kernel, along: Floats) -> NDArray[np.complex128]:
    """Sum over the patches of what each sends, (places, directions).

    Parameters
    ----------
    wave : array
        The wave at each patch times its weight, (directions, patches). [-]
    sent : Kernel
        Of the patches.
    along : array
        How far each wave runs along the inward normal. [-]
    """
    places = sent.flat.shape[1]
    both = product(wave, np.concatenate([sent.flat, sent.slanted], axis=1))
    return np.asarray((both[:, :places] * along[:, None] + both[:, places:]).T)


def _met(leaf: Leaf, centres: Floats, toward: Floats, wavelength: float) -> Singles:
    """Share of each ray's footprint, an eighth of a wavelength wide, that the leaf stands in the way of."""
    if leaf.shut:
        return np.ones((1, 1), dtype=np.float32)
    normal, width = leaf.normal, wavelength / PATCHES_PER_WAVELENGTH
    facing = toward @ normal
    steep = np.where(np.abs(facing) > LIT, facing, np.inf)
    way = (((leaf.corner - centres) @ normal) / steep[:, None]).astype(np.float32)
    found = (way > 0.0).astype(np.float32)
    for edge in (leaf.right, leaf.up):
        length = float(np.linalg.norm(edge))
        unit = edge / length
        start = ((centres - leaf.corner) @ unit).astype(np.float32)
        found *= covered(start + way * (toward @ unit).astype(np.float32)[:, None], (0.0, length), width)
    return found


# ---- the field in some weather ----------------------------------------------------------------------------


def transmissions(
    project: Project,
    skin: Skin,
    toward: Floats,
    weather: Weather,
    *,
    frequency: float = L1,
    closed: frozenset[str] = frozenset(),
) -> NDArray[np.complex128]:
    """Transmission of every covering for every direction, (coverings, directions); 1 for the door's hole [-].

    Parameters
    ----------
    project : Project
        The project.
    skin : Skin
        The skin.
    toward : array
        Unit vectors to the satellites. [-]
    weather : Weather
        How wet it is.
    frequency : float
        Frequency. [Hz]
    closed : frozenset
        Names of openings that count as never cut.
    """
    found = np.zeros((len(skin.coverings), len(toward)), dtype=complex)
    for number, described in enumerate(skin.coverings):
        covering = described
        if covering.kind is Kind.DOOR:
            found[number] = 1.0
            continue
        if covering.kind is Kind.OPENING and covering.name in closed:
            covering = skin.coverings[skin.face_named(covering.face).base]
        cos = toward @ skin.face_named(covering.face).face.normal
        lit = cos > LIT
        found[number, lit] = transmission(project, covering, cos[lit], weather, frequency=frequency)
    return found


def field_ratio(
    project: Project,
    sums: UnitSums,
    weather: Weather,
    *,
    leaf: int | None = None,
    closed: frozenset[str] = frozenset(),
) -> Waves:
    """Field at the antenna over that with no hut, (places, directions) [-].

    Parameters
    ----------
    project : Project
        The project.
    sums : UnitSums
        The integral's sums.
    weather : Weather
        How wet it is.
    leaf : int or None
        Which of the leaf's poses; with None the hole stands free.
    closed : frozenset
        Names of openings that count as never cut.
    """
    through = transmissions(project, sums.skin, sums.toward, weather, frequency=sums.frequency, closed=closed)
    found: Waves = np.einsum("cqd,cd->qd", sums.coverings, through.astype(np.complex64))
    if leaf is not None:
        pose = sums.leaf_poses[leaf]
        cos = np.abs(sums.toward @ pose.normal)
        for door in (each for each in sums.skin.coverings if each.kind is Kind.DOOR):
            stopped = 1.0 - transmission(project, door, cos, weather, frequency=sums.frequency)
            found -= (sums.leaves[leaf] * stopped).astype(np.complex64)
    return found


def mean_power(fields: Waves, antenna: Antenna) -> Floats:
    """Mean over the antenna's places of the power over that with no hut, by direction [-].

    Parameters
    ----------
    fields : array
        Field ratios, (places, directions). [-]
    antenna : Antenna
        With the weight of each place.
    """
    power = np.square(np.abs(fields).astype(float))
    return np.asarray(antenna.weights @ power)
