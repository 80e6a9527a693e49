"""The full wave of a described hut: what is to be marched through time, and what the antenna hears by it.

The march itself is native/full_wave.py's. One march of two crossed dipoles at the antenna's place gives, by
reciprocity, what a satellite in any direction sends to them: (1 + sin elevation) / 2 with no hut, the pattern
of a small patch.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from hutwright.errors import RequestError
from hutwright.layout.frame import Floats
from hutwright.layout.leaf import full_travel
from hutwright.model.project import Project
from hutwright.plant.sky.body import Body, Floor, body
from hutwright.plant.sky.coverings import DRY, L1, Weather
from hutwright.plant.sky.field import antenna_at, leaf_at
from hutwright.plant.sky.lattice import (
    Lattice,
    Source,
    Waves,
    crossed_dipoles,
    heard_alone,
    lattice,
    plane_waves,
)
from hutwright.plant.sky.matter import BEYOND
from hutwright.plant.sky.near_to_far import Side, Written, heard, transform_box

SIDE = 0.020  # side of a cell: nine to a wavelength of L1 [m]
FINE = 0.010  # the finer choice, for wet timber [m]
SHIFTS = 40  # places of the grid that are tried for the edges of holes in metal [-]
# After which a march ends in any case, some thirty ways across a hut, and when it ends as a rule where walls
# are of timber: measured on the demos [s]
LONGEST, USUAL = 120e-9, 25e-9


# Six fields, and what matter does to three of them; and while that is made, sums in one component
BYTES_PER_NODE = 4 * 12 + 40


@dataclass(frozen=True, slots=True)
class Setting:
    """A hut on a grid, the antenna's source and the transform's box.

    `most` is how many steps a march may take, `usual` how many it is likely to [-].
    """

    body: Body
    grid: Lattice
    source: Source
    sides: tuple[Side, ...]
    most: int
    usual: int

    @property
    def bytes(self) -> int:
        """How much memory the march takes, what is made before it included [B]."""
        rim = sum(
            2 * 2 * sum(ends) / nodes for ends, nodes in zip(self.grid.rim, self.grid.nodes, strict=True)
        )
        return int(self.grid.count * (BYTES_PER_NODE + 4 * rim))


def setting(
    project: Project,
    *,
    weather: Weather = DRY,
    open_by: float = 0.0,
    place: Floats | None = None,
    side: float = SIDE,
    floor: Floor | None = None,
    frequency: float = L1,
) -> Setting:
    """A described hut made ready for the march.

    Parameters
    ----------
    project : Project
        The project.
    weather : Weather
        How wet it is.
    open_by : float
        How far the door is open, 0 shut to 1 open. [-]
    place : array or None
        Where the antenna is; the middle of where the machine parks without one. [m]
    side : float
        Side of a cell. [m]
    floor : Floor or None
        What closes the hut below; as the walls want it with None.
    frequency : float
        Frequency. [Hz]

    Raises
    ------
    RequestError
        For a door open by less than 0 or more than 1, cells too coarse or too many, an antenna outside.
    """
    if not 0.0 <= open_by <= 1.0:
        raise RequestError(f"a door is open by 0 to 1, not by {open_by:g}")
    leaf = None if project.door is None else leaf_at(project, open_by * full_travel(project))
    stands = body(project, weather, leaf, floor=floor, frequency=frequency)
    at = np.asarray(antenna_at(project, spread=False).places[0] if place is None else place, dtype=float)
    if not ((stands.low < at) & (at < stands.high)).all():
        x, y, z = at
        raise RequestError(f"the antenna at ({x:.3f}, {y:.3f}, {z:.3f}) m is not inside the hut")
    anchor = np.array([_anchor(stands, axis, side) for axis in range(3)])
    grid = lattice(stands.low, stands.high, side, frequency, shift=anchor)
    most, usual = (math.ceil(time * 2.0 * math.pi * frequency / grid.turn) for time in (LONGEST, USUAL))
    source, sides = crossed_dipoles(grid, at), transform_box(grid)
    return Setting(stands, grid, source, sides, most, most if stands.metal_walls else usual)


def _anchor(stands: Body, axis: int, side: float) -> float:
    """Where a node is to lie along an axis so that metal lies on nodes and ends between them [m]."""
    low = float(stands.low[axis])
    wanted = np.array([*stands.lies[axis], *(each + BEYOND * side for each in stands.ends[axis])])
    if not len(wanted):
        return low
    tried = low + side * np.arange(SHIFTS) / SHIFTS
    off = (wanted[:, None] - tried) / side
    return float(tried[np.argmin(((off - np.rint(off)) ** 2).sum(axis=0))])


def field_ratios(ready: Setting, written: tuple[Written, ...], toward: Floats) -> Waves:
    """Field at the antenna over that with no hut, by direction [-].

    Parameters
    ----------
    ready : Setting
        The hut on its grid.
    written : tuple
        The fields that the march left on the sides of the box.
    toward : array
        Unit vectors to the satellites in the hut's frame, (directions, 3). [-]
    """
    waves = plane_waves(ready.grid.turn, np.asarray(toward, dtype=float).reshape(-1, 3))
    return np.asarray(heard(waves, ready.sides, written) / heard_alone(ready.grid, ready.source, waves))
