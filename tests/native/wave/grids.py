"""Small grids, guides and sources for the tests of the march."""

from __future__ import annotations

import math

import numpy as np

from hutwright.laws.permittivity import LIGHT_SPEED
from hutwright.native.march import NOWHERE, March, march
from hutwright.plant.sky.coverings import L1
from hutwright.plant.sky.lattice import AMPLITUDE, Lattice, Source, turn_of
from hutwright.plant.sky.matter import Board, between, matter, planes

WAVELENGTH = LIGHT_SPEED / L1
SIDE = 0.020
COMPONENTS = ("Ex", "Ey", "Ez", "Hx", "Hy", "Hz")


def turn(side=SIDE):
    return turn_of(2.0 * math.pi * side / WAVELENGTH)


def long_pulse(angle, periods):
    """A bell of more periods than the usual one: less of it lies near a guide's cut-off."""
    spread = periods * 2.0 * math.pi / angle
    times = np.arange(int(10.0 * spread)) + 0.5 - int(10.0 * spread) / 2.0
    bell = AMPLITUDE * np.exp(-((times / spread) ** 2) / 2.0)
    return np.stack([bell * np.cos(angle * times), bell * np.sin(angle * times)], axis=-1).astype(np.float32)


def currents(component, nodes, weights, pulses):
    """Currents along one axis, all in step."""
    number = len(nodes)
    return Source(
        np.full(number, component, dtype=np.int32),
        np.asarray(nodes, dtype=np.int32),
        np.asarray(weights, dtype=np.float32),
        np.zeros(number, dtype=np.float32),
        pulses,
    )


def fields_at(grid, met, source, name, nodes, *, most, left=1e-7) -> tuple[np.ndarray, March]:
    """One component of the field at some nodes."""
    wanted = [NOWHERE] * 6
    wanted[COMPONENTS.index(name)] = np.asarray(nodes, dtype=np.int32)
    done = march(grid, met, source, wanted, most=most, left=left)
    return done.fields[COMPONENTS.index(name)], done


def across(width, low, high, permittivity):
    """A board that fills a guide from one place along it to another."""
    rows = planes(*between(0, -1.0, 2.0), *between(1, -1.0, 2.0), *between(2, low, high))
    corner, opposite = np.array([0.0, 0.0, low]), np.array([width, width, high])
    return Board(rows, corner, opposite, np.array([0.0, 0.0, 1.0]), permittivity)


class Guide:
    """A square metal tube along z, its ends absorbing, with one mode running through it.

    TE10 is two plane waves with the electric field across the plane of incidence, TM11 four with the magnetic
    one across it: what a filling lets through of the mode is the slab law's, to the last digit.
    """

    def __init__(self, width, *, te, side=SIDE, length=0.8, rim=16):
        cells = round(width / side)
        self.te, self.width = te, width
        self.sine = WAVELENGTH / (2.0 * width) * (1.0 if te else math.sqrt(2.0))
        self.grid = Lattice(
            (0.0, 0.0, -rim * side),
            side,
            (cells + 1, cells + 1, round(length / side) + 1 + 2 * rim),
            ((0, 0), (0, 0), (rim, rim)),
            L1,
        )
        i, j = (
            each.reshape(-1) for each in np.meshgrid(np.arange(1, cells), np.arange(0 if te else 1, cells))
        )
        shape = np.sin(math.pi * i / cells) * (1.0 if te else np.sin(math.pi * j / cells))
        plane = self.grid.strides[2]
        nodes = (rim + 3) * plane + j * self.grid.strides[1] + i
        self.source = currents(1 if te else 2, nodes, shape, long_pulse(self.grid.turn, 4.0))
        far = (self.grid.nodes[2] - rim - 4) * plane
        self.end = [far + (cells // 2) * self.grid.strides[1] + cells // 2]

    @property
    def cosine(self):
        return math.sqrt(1.0 - self.sine**2)

    def field(self, *boards):
        """The field at the far end."""
        name = "Ey" if self.te else "Ez"
        return fields_at(self.grid, matter(self.grid, boards), self.source, name, self.end, most=3000)[0][0]
