"""The grid of the full wave: its nodes, its absorbing rim, its own plane waves, and the antenna on it.

Lengths are in cells and times in steps; the magnetic field is multiplied by the impedance of space, as
native/wave/wave.h has it. Waves go as exp(-i w t). A plane wave on the grid is not quite one in space: it is
worked out as the grid has it, so that antenna, box and waves fit each other to the last digit; of the grid
there is left only that its waves are half a percent too short along its axes and too long across them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from hutwright.errors import RequestError
from hutwright.laws.permittivity import LIGHT_SPEED
from hutwright.layout.frame import Floats

Waves = NDArray[np.complex128]
Nodes = NDArray[np.int32]
COURANT = (
    0.57  # way of light in a step over a cell; the limit is 1 / sqrt(3) (Courant, Friedrichs and Lewy) [-]
)
LAYERS = 8  # cells of the absorbing rim: docs/handbook/full-wave.md says what it throws back [-]
RIM = 4  # cells from the absorbing rim to what is inside; the box lies two from it [-]
# The absorbing rim's conductance: a cubic rise to 0.8 (m + 1) / (impedance of space * cell), and the shift of
# its pole: Taflove and Hagness, Computational Electrodynamics, 3rd edition, chapter 7; standing: recalled [-]
ORDER, STEEPEST, SHIFT = 3, 0.8, 0.05
COARSEST = 7.0  # fewest cells to a wavelength in space [-]
MOST_NODES = 60_000_000  # about 4 GB; a choice of this project
PULSE_PERIODS = 1.0  # standard deviation of the pulse's bell in periods: no static charge stays, 3e-9 [-]
PULSE_REACH = 5.0  # where the bell is cut, in standard deviations, 4e-6 [-]
SAMPLES = 4  # samples of the fields in a period, at the least: aliases are 2 periods of the bell off [-]
AMPLITUDE = 1e12  # of the pulse: fields that fade do not reach the slow smallest numbers of the processor [-]


@dataclass(frozen=True, slots=True)
class Lattice:
    """A grid of cubes.

    `start` is where the node (0, 0, 0) lies [m], `side` the cube's side [m], `nodes` how many there are along
    x, y and z, `rim` the cells of the absorbing rim at both ends of each axis, 0 for bare metal.
    """

    start: tuple[float, float, float]
    side: float
    nodes: tuple[int, int, int]
    rim: tuple[tuple[int, int], tuple[int, int], tuple[int, int]]
    frequency: float

    @property
    def count(self) -> int:
        """How many nodes there are."""
        return math.prod(self.nodes)

    @property
    def strides(self) -> tuple[int, int, int]:
        """What a node's place grows by from node to node along x, y and z."""
        return 1, self.nodes[0], self.nodes[0] * self.nodes[1]

    @property
    def turn(self) -> float:
        """Angle that the wave turns by in one step [rad].

        It is such that the mean wavelength over all directions is that in space.
        """
        return turn_of(2.0 * math.pi * self.side * self.frequency / LIGHT_SPEED)

    def cells(self, point: Floats) -> Floats:
        """Places in cells from the first node [-]."""
        return np.asarray((np.asarray(point, dtype=float) - self.start) / self.side)


def lattice(
    low: Floats, high: Floats, side: float, frequency: float, *, shift: Floats | None = None
) -> Lattice:
    """A grid round a box, with room for the transform's box and the absorbing rim.

    Parameters
    ----------
    low : array
        Corner of the box. [m]
    high : array
        The corner opposite. [m]
    side : float
        Side of a cell. [m]
    frequency : float
        Frequency. [Hz]
    shift : array or None
        A point that a node is to lie in, up to whole cells; the corner without one. [m]

    Raises
    ------
    RequestError
        For cells too coarse for the wave, and for more of them than fit.
    """
    wavelength = LIGHT_SPEED / frequency
    if not 0.0 < side <= wavelength / COARSEST:
        raise RequestError(
            f"cells of {1e3 * side:g} mm are too coarse for a wave of {1e3 * wavelength:.0f} mm; "
            f"use {1e3 * wavelength / COARSEST:.0f} mm or less"
        )
    around = LAYERS + RIM
    anchor = np.asarray(low if shift is None else shift, dtype=float)
    start = anchor + np.floor((low - anchor) / side + 1e-9) * side
    cells = np.ceil((high - start) / side - 1e-9).astype(int)
    nodes = cells + 1 + 2 * around
    if math.prod(int(each) for each in nodes) > MOST_NODES:
        raise RequestError(
            f"a full wave with cells of {1e3 * side:g} mm takes {np.prod(nodes.astype(float)) / 1e6:.0f} "
            f"million of them; use larger cells"
        )
    x, y, z = (float(each) for each in start - around * side)
    return Lattice(
        (x, y, z), side, (int(nodes[0]), int(nodes[1]), int(nodes[2])), ((LAYERS, LAYERS),) * 3, frequency
    )


# ---- waves of the grid ------------------------------------------------------------------------------------


def turn_of(wave_number: float) -> float:
    """Angle of a step at which the grid's waves have a wave number, in the mean over directions [rad].

    Parameters
    ----------
    wave_number : float
        In space. [rad/cell]
    """
    # Directions that average polynomials up to the seventh degree over the cube's symmetries: 6, 12 and 8 of
    # them with these weights (Abramowitz and Stegun, formula 25.4.65 and its like; standing: recalled).
    axes = np.array([(1.0, 0.0, 0.0), (1.0, 1.0, 0.0), (1.0, 1.0, 1.0)])
    weights = np.array([6 * 40.0, 12 * 32.0, 8 * 27.0]) / 840.0
    axes /= np.linalg.norm(axes, axis=1)[:, None]
    turn = COURANT * wave_number
    for _ in range(20):
        mean = float(weights @ wave_numbers(turn, axes))
        turn *= wave_number / mean
    return turn


def wave_numbers(turn: float, toward: Floats) -> Floats:
    """Wave number of the grid's plane waves along unit vectors [rad/cell].

    Parameters
    ----------
    turn : float
        Angle of a step. [rad]
    toward : array
        Unit vectors, (directions, 3). [-]
    """
    wanted = (math.sin(turn / 2.0) / COURANT) ** 2
    found = np.full(len(toward), turn / COURANT)
    for _ in range(20):  # Newton's way; it is there after four
        half = found[:, None] * toward / 2.0
        error = (np.sin(half) ** 2).sum(axis=1) - wanted
        found = found - error / (0.5 * np.sin(2.0 * half) * toward).sum(axis=1)
    return np.asarray(found)


@dataclass(frozen=True, slots=True)
class PlaneWaves:
    """Circularly polarised waves from some directions, as the grid has them.

    `vectors` are their wave vectors [rad/cell], `electric` and `magnetic` their fields at the first node, all
    (directions, 3).
    """

    vectors: Floats
    electric: Waves
    magnetic: Waves


def plane_waves(turn: float, toward: Floats, *, left: bool = False) -> PlaneWaves:
    """Waves from satellites, right-hand circular.

    Parameters
    ----------
    turn : float
        Angle of a step. [rad]
    toward : array
        Unit vectors to the satellites, (directions, 3). [-]
    left : bool
        Whether the other sense is wanted.
    """
    vectors = -wave_numbers(turn, toward)[:, None] * toward
    across = 2.0 * np.sin(vectors / 2.0)
    along = across / np.linalg.norm(across, axis=1)[:, None]
    # Seen along its way the field of exp(-i w t) turns to the right where it is e1 + i e2 and e1, e2, way
    # are a right-handed three.
    helper = np.where(np.abs(along[:, 2:]) < 0.9, [[0.0, 0.0, 1.0]], [[1.0, 0.0, 0.0]])
    first = np.cross(helper, along)
    first /= np.linalg.norm(first, axis=1)[:, None]
    second = np.cross(along, first)
    electric = first + (-1j if left else 1j) * second
    return PlaneWaves(vectors, electric, np.cross(along, electric))


# ---- the source -------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Source:
    """Currents on the grid's edges.

    Component (0, 1, 2 for x, y, z), node, and how much of the two pulses flows there; the pulses, (steps, 2).
    """

    component: Nodes
    node: Nodes
    cosine: NDArray[np.float32]
    sine: NDArray[np.float32]
    pulses: NDArray[np.float32]

    def currents(self, turn: float) -> Waves:
        """The currents at the frequency [-]."""
        times = np.arange(len(self.pulses)) + 0.5
        spectrum = np.exp(1j * turn * times) @ self.pulses.astype(float)
        return np.asarray(self.cosine * spectrum[0] + self.sine * spectrum[1])


def pulses(turn: float) -> NDArray[np.float32]:
    """A bell times cosine and sine, (steps, 2) [-].

    Parameters
    ----------
    turn : float
        Angle of a step. [rad]
    """
    spread = PULSE_PERIODS * 2.0 * math.pi / turn
    steps = math.ceil(2.0 * PULSE_REACH * spread)
    times = np.arange(steps) + 0.5 - steps / 2.0
    bell = AMPLITUDE * np.exp(-((times / spread) ** 2) / 2.0)
    both = np.stack([bell * np.cos(turn * times), bell * np.sin(turn * times)], axis=-1)
    return np.asarray(both, dtype=np.float32)


def crossed_dipoles(grid: Lattice, place: Floats) -> Source:
    """Two short dipoles along x and y, a quarter of a turn apart.

    They hear right-hand waves as (1 + sin elevation) / 2.

    Parameters
    ----------
    grid : Lattice
        The grid.
    place : array
        Where they lie; each is shared out among the eight edges round it. [m]
    """
    at = grid.cells(place)
    rows = [(component, *each) for component in (0, 1) for each in _shared(grid, at, component)]
    component = np.array([each[0] for each in rows], dtype=np.int32)
    node = np.array([each[1] for each in rows], dtype=np.int32)
    weight = np.array([each[2] for each in rows], dtype=np.float32)
    return Source(
        component,
        node,
        np.where(component == 0, weight, np.float32(0.0)),
        np.where(component == 1, weight, np.float32(0.0)),
        pulses(grid.turn),
    )


def _shared(grid: Lattice, at: Floats, component: int) -> list[tuple[int, float]]:
    """Nodes and weights of the edges of a component round a place in cells."""
    shifted = at - 0.5 * (np.arange(3) == component)
    low = np.floor(shifted).astype(int)
    part = shifted - low
    found = []
    for corner in np.ndindex(2, 2, 2):
        weight = float(np.prod(np.where(corner, part, 1.0 - part)))
        if weight > 0.0:
            found.append((int((low + corner) @ grid.strides), weight))
    return found


def heard_alone(grid: Lattice, source: Source, waves: PlaneWaves) -> Waves:
    """What the source's antenna would hear of each wave in empty space (directions,) [-].

    Parameters
    ----------
    grid : Lattice
        The grid.
    source : Source
        The antenna's currents when it sends.
    waves : PlaneWaves
        The waves.
    """
    currents = source.currents(grid.turn)
    x, y, z = grid.nodes
    places = np.stack(np.unravel_index(source.node, (z, y, x))[::-1], axis=-1).astype(float)
    places += 0.5 * (np.arange(3) == source.component[:, None])
    phase = np.exp(1j * (waves.vectors @ places.T))
    return np.asarray((phase * waves.electric[:, source.component]) @ currents)
