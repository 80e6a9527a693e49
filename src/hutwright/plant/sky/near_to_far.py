"""From near to far: a closed box round the hut, and what the antenna hears of waves from beyond it.

The waves come in through currents on the box that make them inside and nothing outside; by reciprocity what
the antenna hears of these is the sum over the box of the currents times the fields that it sends there.
Fields that come back from the absorbing rim add nothing to that sum.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from hutwright.plant.sky.field import product
from hutwright.plant.sky.lattice import RIM, Lattice, Nodes, PlaneWaves, Waves


@dataclass(frozen=True, slots=True)
class Side:
    """One pair of components on one side of the transform's box.

    The side's normal is an axis; the electric component lies on the side, the magnetic one half a cell
    outside of it. Both arrays of nodes run along the two other axes.
    """

    axis: int
    high: bool
    electric: int
    magnetic: int
    low_node: tuple[int, int, int]
    shape: tuple[int, int, int]

    @property
    def outside(self) -> int:
        """From a node of the electric component to that of the magnetic one, along the normal."""
        return 0 if self.high else -1

    def nodes(self, strides: tuple[int, int, int], *, magnetic: bool = False) -> Nodes:
        """Nodes of one of the two components, in the order x fastest."""
        x, y, z = (
            np.arange(low, low + number) for low, number in zip(self.low_node, self.shape, strict=True)
        )
        found = z[:, None, None] * strides[2] + y[:, None] * strides[1] + x
        return np.asarray(found.reshape(-1) + magnetic * self.outside * strides[self.axis], dtype=np.int32)


def box_sides(low: tuple[int, int, int], high: tuple[int, int, int]) -> tuple[Side, ...]:
    """The sides of the box between two nodes.

    Parameters
    ----------
    low : tuple
        The low corner. [cells]
    high : tuple
        The high corner. [cells]
    """
    found = []
    for axis in range(3):
        for is_high in (False, True):
            for electric in (each for each in range(3) if each != axis):
                start, shape = list(low), [b - a + 1 for a, b in zip(low, high, strict=True)]
                start[axis], shape[axis] = (high if is_high else low)[axis], 1
                shape[electric] -= 1
                found.append(
                    Side(
                        axis,
                        is_high,
                        electric,
                        3 - axis - electric,
                        (start[0], start[1], start[2]),
                        (shape[0], shape[1], shape[2]),
                    )
                )
    return tuple(found)


def transform_box(grid: Lattice) -> tuple[Side, ...]:
    """The sides of the box two cells inside the absorbing rim.

    Parameters
    ----------
    grid : Lattice
        The grid.
    """
    low = tuple(rim[0] + RIM // 2 for rim in grid.rim)
    high = tuple(number - 1 - rim[1] - RIM // 2 for number, rim in zip(grid.nodes, grid.rim, strict=True))
    return box_sides((low[0], low[1], low[2]), (high[0], high[1], high[2]))


@dataclass(frozen=True, slots=True)
class Written:
    """The fields at the frequency on one side of the box, in the order of its nodes."""

    electric: Waves
    magnetic: Waves


def box_nodes(grid: Lattice, sides: tuple[Side, ...]) -> tuple[Nodes, ...]:
    """The nodes of Ex, Ey, Ez, Hx, Hy and Hz on the sides, side by side.

    Parameters
    ----------
    grid : Lattice
        The grid.
    sides : tuple
        The box's sides.
    """
    found: list[list[Nodes]] = [[] for _ in range(6)]
    for side in sides:
        found[side.electric].append(side.nodes(grid.strides))
        found[3 + side.magnetic].append(side.nodes(grid.strides, magnetic=True))
    return tuple(np.concatenate(each) for each in found)


def side_by_side(sides: tuple[Side, ...], fields: Sequence[Waves]) -> tuple[Written, ...]:
    """The fields at the nodes of `box_nodes`, by side.

    Parameters
    ----------
    sides : tuple
        The box's sides.
    fields : Sequence
        Ex, Ey, Ez, Hx, Hy and Hz at those nodes. [-]
    """
    taken = [0] * 6
    found = []
    for side in sides:
        number, pair = math.prod(side.shape), []
        for each in (side.electric, 3 + side.magnetic):
            pair.append(fields[each][taken[each] : taken[each] + number])
            taken[each] += number
        found.append(Written(pair[0], pair[1]))
    return tuple(found)


def heard(waves: PlaneWaves, sides: tuple[Side, ...], written: tuple[Written, ...]) -> Waves:
    """What the antenna hears of each wave, by reciprocity from what it sends through the box [-].

    Parameters
    ----------
    waves : PlaneWaves
        The waves.
    sides : tuple
        The box's sides.
    written : tuple
        The fields on each of them.
    """
    found = np.zeros(len(waves.vectors), dtype=complex)
    most = [max(side.low_node[axis] + side.shape[axis] for side in sides) for axis in range(3)]
    phases = [np.exp(1j * np.outer(np.arange(most[axis]), waves.vectors[:, axis])) for axis in range(3)]
    half = np.exp(0.5j * waves.vectors)
    for side, fields in zip(sides, written, strict=True):
        sign = -1.0 if side.high else 1.0
        if side.axis != (side.electric + 1) % 3:
            sign = -sign
        outward = half[:, side.axis] if side.high else np.conj(half[:, side.axis])
        sent = _overlap(phases, side, fields.electric) * waves.magnetic[:, side.magnetic] * outward
        sent -= _overlap(phases, side, fields.magnetic) * waves.electric[:, side.electric]
        found += sign * half[:, side.electric] * sent
    return found


def _overlap(phases: list[Waves], side: Side, field: Waves) -> Waves:
    """Sum over a side of a field times each wave's phase at the nodes of the electric component.

    Both components lie half a cell beyond their nodes in one direction along the side; that, and how much
    farther out the magnetic one lies, is left to the caller.
    """
    near, u_near, v_near = (
        phases[axis][side.low_node[axis] : side.low_node[axis] + side.shape[axis]]
        for axis in (side.axis, *(each for each in range(3) if each != side.axis))
    )
    wide = product(
        field.reshape(len(v_near), len(u_near)).astype(np.complex64), u_near.astype(np.complex64)
    )  # u runs fastest
    return np.asarray((wide * v_near).sum(axis=0) * near[0])
