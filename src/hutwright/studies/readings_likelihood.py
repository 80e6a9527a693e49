"""The likelihood of readings over all that threshold, wetness and bias may be, and intervals from it.

The model of errors: a count is the sum over the satellites in view of the chance that each is heard, plus
the bias, and scatters by two satellites; one satellite's level scatters by 2 dB; the mean signal of those
heard scatters by 2 dB. A reading that stands for any moment of the day scatters as the day does besides.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import pi, sqrt

import numpy as np
from numpy.typing import NDArray

from hutwright.layout.frame import Floats
from hutwright.studies.sky_prediction import Levels

COUNT_SCATTER = 2.0  # satellites; standing: practice
LEVEL_SCATTER_DB = 2.0  # dB of one satellite about what is worked out; standing: practice
SIGNAL_SCATTER_DB = 2.0  # dB of the mean of those heard; standing: practice
# How far below the best twice the logarithm may lie: the 95 % quantile of chi-squared with one degree of
# freedom; any table of it; standing: read [-]
WITHIN = 3.841
QUANTILE = 1.959963984540054  # of the normal distribution at 97.5 %; any table of it; standing: read
# What is possible: room between a satellite overhead and the threshold [dB], wetness [-], bias [satellites].
# Ours to choose
ROOMS, WETNESSES, BIASES = (-5.0, 20.0), (0.0, 1.0), (-8.0, 8.0)


@dataclass(frozen=True, kw_only=True, slots=True)
class Fitted:
    """One fitted value.

    Attributes
    ----------
    value : float
        The likeliest.
    low : float
        Lower end of the interval at 95 % confidence.
    high : float
        Upper end.
    bounded : bool
        Whether both ends come from the readings; False where one is only what is possible at all.
    """

    value: float
    low: float
    high: float
    bounded: bool

    @property
    def error(self) -> float:
        """Standard error, as the interval's width has it."""
        return (self.high - self.low) / (2.0 * QUANTILE)


@dataclass(frozen=True, slots=True, eq=False)
class Sighting:
    """Readings held against the same levels: moment by moment, or all of them against any moment of a day."""

    levels: Levels
    counts: Floats
    signals: Floats
    any_moment: bool


def expected(levels: Levels, room_db: float, wetness: float) -> tuple[Floats, Floats]:
    """Satellites heard at each moment [-], and mean level of those over a satellite overhead [dB].

    Parameters
    ----------
    levels : Levels
        The levels.
    room_db : float
        From the threshold up to a satellite overhead in the open. [dB]
    wetness : float
        How far the walls are on the way from dry to soaked. [-]
    """
    level = levels.at(wetness)
    width = LEVEL_SCATTER_DB * sqrt(3.0) / pi  # a logistic curve that scatters as much
    chance = 1.0 / (1.0 + np.exp(-np.clip((level + room_db) / width, -60.0, 60.0)))
    count = levels.summed(chance)
    return count, levels.summed(chance * level) / np.maximum(count, 1e-9)


@dataclass(frozen=True, slots=True, eq=False)
class Grid:
    """Minus twice the logarithm of the likelihood over rooms and wetnesses, bias and overhead at their best.

    `worst` has the best bias that is possible, `free` the best of all, which is `bias`; `bias_weight` says
    how sharply it is held. `overhead` and `overhead_weight` are the same of the level overhead, `squares` the
    sum of squares of `worst`. All but the first two are (rooms, wetnesses).
    """

    rooms: Floats
    wetnesses: Floats
    worst: Floats
    free: Floats
    bias: Floats
    bias_weight: Floats
    overhead: Floats
    overhead_weight: Floats
    squares: Floats


class _Sums:
    """Weighted sums of differences, from which the best offset and what is left follow."""

    def __init__(self) -> None:
        self.weight = self.first = self.second = self.logs = 0.0

    def add(self, differences: Floats, variances: Floats) -> None:
        """Take differences with the variances of their errors."""
        known = np.isfinite(differences)
        if not known.any():
            return
        off, variance = differences[known], np.broadcast_to(variances, differences.shape)[known]
        self.weight += float(np.sum(1.0 / variance))
        self.first += float(np.sum(off / variance))
        self.second += float(np.sum(off**2 / variance))
        self.logs += float(np.sum(np.log(variance)))

    @property
    def best(self) -> float:
        """The best offset; 0 where nothing is known."""
        return self.first / self.weight if self.weight else 0.0

    def left(self, offset: float) -> float:
        """Sum of squares that an offset leaves."""
        return self.second - 2.0 * offset * self.first + offset**2 * self.weight


def likelihood(sightings: Sequence[Sighting], rooms: Floats, wetnesses: Floats) -> Grid:
    """The likelihood of readings over a grid of rooms and wetnesses.

    Parameters
    ----------
    sightings : Sequence
        The readings with the levels that they are held against.
    rooms : array
        From the threshold up to a satellite overhead in the open. [dB]
    wetnesses : array
        How far the walls are on the way from dry to soaked. [-]
    """
    shape = (len(rooms), len(wetnesses))
    found = Grid(rooms, wetnesses, *(np.zeros(shape) for _ in range(7)))
    for row, room in enumerate(rooms):
        for column, wetness in enumerate(wetnesses):
            counts, signals = _Sums(), _Sums()
            for each in sightings:
                _add(each, float(room), float(wetness), counts, signals)
            bias, level = counts.best, signals.best
            squares = counts.left(min(max(bias, BIASES[0]), BIASES[1])) + signals.left(level)
            at = row, column
            logs = counts.logs + signals.logs
            found.worst[at], found.squares[at] = squares + logs, squares
            found.free[at] = counts.left(bias) + signals.left(level) + logs
            found.bias[at], found.bias_weight[at] = bias, counts.weight
            found.overhead[at], found.overhead_weight[at] = level, signals.weight
    return found


def _add(sighting: Sighting, room: float, wetness: float, counts: _Sums, signals: _Sums) -> None:
    count, mean = expected(sighting.levels, room, wetness)
    count_spread, signal_spread = COUNT_SCATTER**2, SIGNAL_SCATTER_DB**2
    if sighting.any_moment:
        count_spread += float(count.var())
        signal_spread += float(mean.var())
        count, mean = count.mean(keepdims=True), mean.mean(keepdims=True)
    counts.add(sighting.counts - count, np.asarray(count_spread))
    signals.add(sighting.signals - mean, np.asarray(signal_spread))


def zoomed(values: Floats, near: NDArray[np.intp], count: int) -> Floats:
    """A finer row of values over the part of a row that is near enough."""
    low, high = max(0, int(near.min()) - 1), min(len(values) - 1, int(near.max()) + 1)
    return np.linspace(float(values[low]), float(values[high]), count)


def profile(values: Floats, worst: Floats, possible: tuple[float, float]) -> Fitted:
    """The likeliest of a row of values and the ends of its interval, read straight between the values."""
    above = worst - worst.min()
    best = int(above.argmin())
    inside = np.flatnonzero(above <= WITHIN)
    low, high = _crossing(values, above, int(inside[0]), -1), _crossing(values, above, int(inside[-1]), 1)
    touches = low <= possible[0] or high >= possible[1]
    value = _bottom(values, above, best)
    return Fitted(value=value, low=min(low, value), high=max(high, value), bounded=not touches)


def _crossing(values: Floats, above: Floats, last: int, way: int) -> float:
    """Where a profile leaves the interval, behind its last value inside."""
    beyond = last + way
    if not 0 <= beyond < len(values):
        return float(values[last])
    share = (WITHIN - above[last]) / (above[beyond] - above[last])
    return float(values[last] + share * (values[beyond] - values[last]))


def _bottom(values: Floats, above: Floats, best: int) -> float:
    """The lowest place of the parabola through the lowest value and those beside it."""
    if not 0 < best < len(values) - 1:
        return float(values[best])
    left, right = float(above[best - 1]), float(above[best + 1])
    bend = left + right - 2.0 * float(above[best])
    step = float(values[best + 1] - values[best])
    return float(values[best]) + (0.5 * step * (left - right) / bend if bend > 0.0 else 0.0)
