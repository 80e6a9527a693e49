"""What the hut leaves of a satellite's power at the machine's antenna, by direction, in any state of the hut.

The closed-surface integral is worked out once for a hut and an antenna, over a grid of directions in the
hut's own frame, and remembered, on disk too; states of door, walls, panes and openings are sums of its parts.
Between the grid's directions the loss is read in decibels, with a floor below which the integral is no fact.
"""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from enum import Enum
from functools import cache
from math import ceil, pi

import numpy as np
from numpy.typing import ArrayLike, NDArray

from hutwright.errors import RequestError
from hutwright.layout.frame import Floats, hut_of
from hutwright.layout.leaf import full_travel
from hutwright.layout.skin import Covering, Skin, cut_up, uncut
from hutwright.memo import slow
from hutwright.model.hut import Moisture
from hutwright.model.project import Project
from hutwright.model.remembered import once_a_project
from hutwright.plant.sky.coverings import L1, WET, Cover, Weather
from hutwright.plant.sky.field import (
    Antenna,
    Leaf,
    UnitSums,
    antenna_at,
    checked,
    field_ratio,
    leaf_at,
    mean_power,
    patch_size,
    unit_sums,
)
from hutwright.plant.sky.kernel import Waves

Whole = NDArray[np.intp]
SPACING = 0.0975  # rad between directions, 650 of them: a few to every lobe of a hut; ours to choose
# Patches are a sixth of the wavelength here, where the field itself is summed over eighths: a day's mean
# moves by 0.03 satellites between the two, and by 0.1 from this grid to one three times as fine. Measured [-]
PATCH = 8.0 / 6.0
LOWEST = 0.035  # rad; the lowest ring of directions: a satellite so low counts for nothing anyway
FLOOR_DB = -20.0  # dB; the integral is too low from -15 on, and no fact from here
WORTH_DISK = 0.1  # s; a check and its levers ask for half a dozen of these tables: ours to choose
WORKERS = 2  # threads of one table; the result does not depend on it: ours to choose
# Wet snow as a thaw leaves it on a window: depth, density without water, water by volume. Standing: practice
THAW = Cover(snow=0.10, density=200.0, wetness=0.03)


class Season(Enum):
    """How wet the hut is."""

    DESCRIBED = "as described"
    RAIN = "rain"
    THAW = "thaw"


@dataclass(frozen=True, kw_only=True, slots=True)
class State:
    """A state of the hut.

    Attributes
    ----------
    season : Season
        How wet it is.
    is_open : bool
        Whether the leaf is at the end of its travel; else it is shut.
    closed : frozenset
        Names of openings that count as never cut.
    """

    season: Season = Season.DESCRIBED
    is_open: bool = False
    closed: frozenset[str] = frozenset()


# ---- directions -------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, eq=False)
class Dome:
    """Directions in rings over the hemisphere: elevation of each ring, how many it has, where each starts."""

    elevations: Floats
    counts: Whole
    starts: Whole

    @property
    def toward(self) -> Floats:
        """The directions as unit vectors of the hut's frame, (directions, 3) [-]."""
        found = []
        for elevation, count in zip(self.elevations, self.counts, strict=True):
            turn = np.arange(count) * (2.0 * pi / count)
            flat = np.cos(elevation)
            up = np.full(count, np.sin(elevation))
            found.append(np.stack([flat * np.sin(turn), flat * np.cos(turn), up], axis=-1))
        return np.concatenate(found)


@dataclass(frozen=True, slots=True, eq=False)
class Reading:
    """Where to read a grid of directions, and with what weight: (4, ...) each."""

    index: Whole
    weight: NDArray[np.float32]

    def of(self, values: Floats) -> NDArray[np.float32]:
        """Values of the grid, read at the places [the values' own]."""
        flat = values.astype(np.float32)
        found = flat[self.index[0]] * self.weight[0]
        for index, weight in zip(self.index[1:], self.weight[1:], strict=True):
            found += flat[index] * weight
        return np.asarray(found)


@cache
def dome() -> Dome:
    """The grid of directions."""
    rings = 1 + ceil((pi / 2 - LOWEST) / SPACING)
    elevations = np.linspace(LOWEST, pi / 2, rings)
    counts = np.maximum(1, np.rint(2.0 * pi * np.cos(elevations) / SPACING)).astype(np.intp)
    return Dome(elevations, counts, np.concatenate([[0], np.cumsum(counts)[:-1]]))


def reading(azimuth: ArrayLike, elevation: ArrayLike) -> Reading:
    """How to read the grid in some directions, straight along rings and between them.

    Parameters
    ----------
    azimuth : array_like
        Clockwise from the way into the hut; NaN reads as 0. [rad]
    elevation : array_like
        Above the level; below the lowest ring it reads as that. [rad]
    """
    grid = dome()
    up = np.nan_to_num(np.asarray(elevation, dtype=float))
    turn = np.nan_to_num(np.asarray(azimuth, dtype=float)) / (2.0 * pi) % 1.0
    step = float(grid.elevations[1] - grid.elevations[0])
    place = np.clip((up - LOWEST) / step, 0.0, len(grid.elevations) - 1.0)
    low = np.minimum(place.astype(np.intp), len(grid.elevations) - 2)
    above = place - low
    index, weight = [], []
    for ring, share in ((low, 1.0 - above), (low + 1, above)):
        count = grid.counts[ring]
        around = turn * count
        left = around.astype(np.intp) % count
        beyond = around - np.floor(around)
        index += [grid.starts[ring] + left, grid.starts[ring] + (left + 1) % count]
        weight += [share * (1.0 - beyond), share * beyond]
    return Reading(np.stack(index), np.stack(weight).astype(np.float32))


# ---- the field --------------------------------------------------------------------------------------------


@once_a_project
def inside_sums(project: Project) -> UnitSums:
    """The integral's sums of the hut as described, the leaf shut and open, over the grid of directions.

    Their skin is not cut into patches.

    Parameters
    ----------
    project : Project
        The project.

    Raises
    ------
    RequestError
        Where the antenna is not inside the hut, or a part is not described.
    """
    whole, antenna, toward = uncut(project), antenna_at(project), dome().toward
    leaves = _leaves(project)
    checked(whole, antenna, toward, L1)
    kept = _arrays(_nameless(whole), PATCH * patch_size(), antenna, toward, leaves)
    return UnitSums(whole, antenna, toward, L1, leaves, kept["coverings"], kept["leaves"])


def _leaves(project: Project) -> tuple[Leaf, ...]:
    """The leaf shut, and open where it is described how far that is; none without a door."""
    if project.door is None:
        return ()
    shut = leaf_at(project, 0.0)
    try:
        return shut, leaf_at(project, full_travel(project))
    except RequestError:
        return (shut,)


def _nameless(whole: Skin) -> Skin:
    """The skin without the names of its build-ups, on which the integral does not depend."""
    bare = tuple(Covering(each.kind, each.face, "") for each in whole.coverings)
    return replace(whole, coverings=bare)


@slow(seconds=WORTH_DISK)
def _arrays(
    whole: Skin, size: float, antenna: Antenna, toward: Floats, leaves: tuple[Leaf, ...]
) -> dict[str, Waves]:
    """All that is slow, as arrays that the memory can keep on disk; the key needs no patches."""
    with ThreadPoolExecutor(WORKERS) as executor:
        sums = unit_sums(cut_up(whole, size), antenna, toward, leaves=leaves, executor=executor)
    return {"coverings": sums.coverings, "leaves": sums.leaves}


def weather_of(project: Project, season: Season) -> Weather:
    """How wet the hut is in a season.

    Parameters
    ----------
    project : Project
        The project, whose walls are as wet as described but in rain.
    season : Season
        The season.
    """
    if season is Season.RAIN:
        return WET
    walls = hut_of(project).walls.moisture
    return Weather(walls=walls, panes=THAW, roof=THAW) if season is Season.THAW else Weather(walls=walls)


@once_a_project
def loss_db(project: Project, state: State) -> Floats:
    """Level inside over that with no hut, by direction of the grid, mean over where the antenna may be [dB].

    Parameters
    ----------
    project : Project
        The project.
    state : State
        The hut's state.

    Raises
    ------
    RequestError
        Where the antenna is not inside the hut, a part is not described, or the door cannot open.
    """
    sums = inside_sums(project)
    if state.is_open and len(sums.leaf_poses) < 2:
        raise RequestError("how far the door opens is not described; describe [door] with its travel first")
    leaf = int(state.is_open) if sums.leaf_poses else None
    weather = weather_of(project, state.season)
    ratio = field_ratio(project, sums, weather, leaf=leaf, closed=state.closed)
    power = np.maximum(mean_power(ratio, sums.antenna), 10.0 ** (FLOOR_DB / 10.0))
    return np.asarray(10.0 * np.log10(power))


def loss_text(value_db: float) -> str:
    """A level over that with no hut as people should read it [dB]."""
    return f"below {FLOOR_DB:.0f} dB" if value_db <= FLOOR_DB else f"{value_db:.1f} dB"


def is_wet(project: Project, season: Season) -> bool:
    """Whether the walls are soaked in a season."""
    return weather_of(project, season).walls is Moisture.WET
