"""The current that is right for a free leaf, learnt from clean moves one way, and how far moves go beyond it.

The profile stands over the place, with more after a start; straight lines between the bins' middles, as the
core reads it. What temperature and supply do is found from move to move, never within one: within a move the
supply sags because the current rises, and a profile that learnt that would explain an obstacle away.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

from hutwright.native.records import BINS, START_BINS, Record
from hutwright.studies.calibrate_heard import TICK, Heard, low_pass

Floats = NDArray[np.float64]
LAG = 0.128  # of the slow mean that the rise is measured from: door.h [s]
FOLDS = 10  # a choice of this project [-]
# A slope counts where it is so many of its own standard errors from nothing, and the moves spread so far.
# Choices of this project
SURE = 3.0  # [-]
LEAST_SPREAD = (3.0, 0.2)  # of temperature and of supply from least to greatest [K, V]
MOST_SLOPE = (0.030, 5.0)  # that the core takes [A/K, A/V]
# Weight of a straight line through bins that no row has seen, against one row. A choice of this project [-]
SMOOTH, START_WEIGHT = 1e-3, 1e-2
BASES = BINS + START_BINS
FUZZ = 0.02  # of a row: recorded times are rounded, and 15 rows must not become 14 by that [-]


@dataclass(frozen=True, slots=True, eq=False)
class Profile:
    """The current that is right for a free leaf.

    Attributes
    ----------
    bins : ndarray
        Over the travel from shut to open; shape (BINS,). [A]
    start : ndarray
        More after a start; shape (START_BINS,). [A]
    per_kelvin : float
        Change with temperature. [A/K]
    per_volt : float
        Change with the supply. [A/V]
    temperature : float
        That it holds at. [K]
    supply : float
        That it holds at. [V]
    """

    bins: Floats
    start: Floats
    per_kelvin: float
    per_volt: float
    temperature: float
    supply: float

    def expected(self, move: Heard, start_step: float) -> Floats:
        """The current that is right for a free leaf along a move, shape (n,) [A].

        Parameters
        ----------
        move : Heard
            The move.
        start_step : float
            How long each part of the start lasts. [s]
        """
        middles = (np.arange(BINS) + 0.5) / BINS
        found = np.interp(move.place, middles, self.bins)
        at = (move.time / start_step).astype(np.int64)
        found = found + np.where(at < START_BINS, self.start[np.minimum(at, START_BINS - 1)], 0.0)
        if move.trace.temperature is not None:
            found = found + self.per_kelvin * (move.trace.temperature - self.temperature)
        if move.supply is not None:
            found = found + self.per_volt * (move.supply - self.supply)
        return np.maximum(found, 0.0)


@dataclass(frozen=True, slots=True, eq=False)
class Sums:
    """What one move adds to a least-squares fit."""

    square: Floats  # of the base functions among each other
    current: Floats  # of each with the current [A]
    supply: Floats  # of each with the supply, from its reference [V]
    rows: Floats  # of each
    mean_at: Floats  # their mean beyond the start
    mean_current: float  # [A]
    temperature: float  # from its reference; 0 where not recorded [K]
    volts: float  # the middle supply, from its reference [V]


@dataclass(frozen=True, slots=True)
class Told:
    """What is known about the moves as a whole, and how the core listens.

    Attributes
    ----------
    temperature : float
        That the profile shall hold at. [K]
    supply : float
        That it shall hold at. [V]
    start_step : float
        How long each part of the start lasts. [s]
    blind : float
        For how long after a start the detectors are deaf. [s]
    after : float
        How long a detector must see it. [s]
    slow : float
        Time constant of the slow mean. [s]
    """

    temperature: float
    supply: float
    start_step: float
    blind: float
    after: float
    slow: float


def told_by(settings: Record, temperature: float, supply: float) -> Told:
    """How the core listens, by its settings.

    Parameters
    ----------
    settings : Record
        The settings.
    temperature : float
        That the profile shall hold at. [K]
    supply : float
        That it shall hold at. [V]
    """
    tick = 1e-3
    return Told(
        temperature=temperature,
        supply=supply,
        start_step=tick * float(settings["start_step_ms"]),
        blind=tick * float(settings["blind_ms"]),
        after=tick * float(settings["after_ms"]),
        slow=float(-tick / np.log1p(-float(settings["slow_q16"]) / 65536.0)),
    )


def sums_of(move: Heard, told: Told) -> Sums:
    """What one move adds to the fit.

    Parameters
    ----------
    move : Heard
        The move.
    told : Told
        How the core listens.
    """
    number = len(move.time)
    places, parts = _base(move, told)

    def summed(values: Floats) -> Floats:
        each = (np.bincount(at, part * values, BASES) for at, part in zip(places, parts, strict=True))
        found: Floats = np.sum(list(each), axis=0)
        return found

    square = np.sum(
        [
            np.bincount(row * BASES + column, one * other, BASES**2)
            for row, one in zip(places, parts, strict=True)
            for column, other in zip(places, parts, strict=True)
        ],
        axis=0,
    ).reshape(BASES, BASES)
    volts = np.zeros(number) if move.supply is None else move.supply - told.supply
    running = move.time >= START_BINS * told.start_step
    running = running if running.any() else np.ones(number, dtype=np.bool_)
    kelvin = 0.0 if move.trace.temperature is None else move.trace.temperature - told.temperature
    return Sums(
        square=square,
        current=summed(move.filtered),
        supply=summed(volts),
        rows=summed(np.ones(number)),
        mean_at=summed(running / running.sum()),
        mean_current=float(move.filtered[running].mean()),
        temperature=kelvin,
        volts=float(np.median(volts[running])),
    )


def _base(move: Heard, told: Told) -> tuple[tuple[NDArray[np.int64], ...], tuple[Floats, ...]]:
    """Of each row its three base functions that are not nothing, and their values: two bins, the start."""
    past = np.clip(move.place * BINS - 0.5, 0.0, BINS - 1.0)
    low = np.minimum(past.astype(np.int64), BINS - 2)
    at = (move.time / told.start_step).astype(np.int64)
    starting = at < START_BINS
    return (
        (low, low + 1, BINS + np.where(starting, at, 0)),
        (1.0 - (past - low), past - low, starting.astype(np.float64)),
    )


def profile_of(sums: Sequence[Sums], told: Told, slopes: tuple[float, float] | None = None) -> Profile:
    """The profile behind some moves.

    Parameters
    ----------
    sums : sequence of Sums
        What each adds, one or more.
    told : Told
        How the core listens.
    slopes : tuple or None
        What temperature and supply do, where that is known; None where the moves are to tell. [A/K, A/V]
    """
    square = np.sum([each.square for each in sums], axis=0) + _stiffening()
    current = np.sum([each.current for each in sums], axis=0)
    if slopes is None:
        plain = np.linalg.solve(square, current)
        beyond = np.array([each.mean_current - each.mean_at @ plain for each in sums])
        slopes = _slopes(beyond, np.array([[each.temperature, each.volts] for each in sums]))
    left = (
        current
        - slopes[0] * np.sum([each.temperature * each.rows for each in sums], axis=0)
        - slopes[1] * np.sum([each.supply for each in sums], axis=0)
    )
    found = np.linalg.solve(square, left)
    return Profile(
        bins=np.maximum(found[:BINS], 0.0),
        start=np.maximum(found[BINS:], 0.0),
        per_kelvin=slopes[0],
        per_volt=slopes[1],
        temperature=told.temperature,
        supply=told.supply,
    )


def _stiffening() -> Floats:
    """Bins that no row has seen lie on a straight line; an unseen part of the start adds nothing."""
    found = np.zeros((BINS + START_BINS, BINS + START_BINS))
    bends = np.diff(np.eye(BINS), n=2, axis=0)
    found[:BINS, :BINS] = SMOOTH * (bends.T @ bends) + 1e-9 * np.eye(BINS)
    found[BINS:, BINS:] = START_WEIGHT * np.eye(START_BINS)
    return found


def _slopes(beyond: Floats, against: Floats) -> tuple[float, float]:
    """What temperature and supply do from move to move; nothing where that cannot be told [A/K, A/V]."""
    used = [at for at in (0, 1) if np.ptp(against[:, at]) >= LEAST_SPREAD[at]]
    found = [0.0, 0.0]
    while used and len(beyond) > len(used) + 3:
        columns = np.column_stack([np.ones(len(beyond)), against[:, used] - against[:, used].mean(axis=0)])
        square = columns.T @ columns
        if np.linalg.cond(square) > 1e10:
            used.pop()
            continue
        fitted = np.linalg.solve(square, columns.T @ beyond)
        left = beyond - columns @ fitted
        spread = float(left @ left) / (len(beyond) - len(fitted))
        error = np.sqrt(spread * np.diag(np.linalg.inv(square)))
        doubtful = [at for at, each in enumerate(used) if abs(fitted[at + 1]) < SURE * error[at + 1]]
        if not doubtful:
            for at, each in enumerate(used):
                found[each] = float(np.clip(fitted[at + 1], -MOST_SLOPE[each], MOST_SLOPE[each]))
            break
        used.pop(min(doubtful, key=lambda at: abs(fitted[at + 1]) / max(error[at + 1], 1e-30)))
    return found[0], found[1]


@dataclass(frozen=True, slots=True, eq=False)
class Maxima:
    """The greatest of each move that a detector would have had to bear.

    Attributes
    ----------
    residual : ndarray
        Current beyond the expected, for as long as a detector waits; shape (m,). [A]
    rise : ndarray
        The same beyond its own slow mean; shape (m,). [A]
    """

    residual: Floats
    rise: Floats


def maxima_of(
    moves: Sequence[Heard],
    profiles: Sequence[Profile],
    told: Told,
    judged: Callable[[Heard], NDArray[np.bool_]],
) -> Maxima:
    """How far moves go beyond what is expected, each by its own profile.

    Parameters
    ----------
    moves : sequence of Heard
        The moves, one or more.
    profiles : sequence of Profile
        That each is held against.
    told : Told
        How the core listens.
    judged : Callable
        Which rows of a move count.
    """
    beyond = [
        move.filtered - profile.expected(move, told.start_step)
        for move, profile in zip(moves, profiles, strict=True)
    ]
    rises = _rises(moves, beyond, told)
    most, rising = [], []
    for move, residual, rise in zip(moves, beyond, rises, strict=True):
        counts = judged(move)
        most.append(_lasting(residual, counts & (move.time >= told.blind), move.step, told.after))
        rising.append(_lasting(rise, counts & (move.time >= told.blind + LAG), move.step, told.after))
    return Maxima(np.array(most), np.array(rising))


def _rises(moves: Sequence[Heard], beyond: Sequence[Floats], told: Told) -> list[Floats]:
    """Each residual less its own slow mean a while ago; the mean begins when the blind time is over."""
    longest = max(map(len, beyond))
    values = np.zeros((longest, len(moves)))
    share = np.zeros_like(values)
    for at, (move, residual) in enumerate(zip(moves, beyond, strict=True)):
        values[: len(residual), at] = residual
        share[: len(residual), at] = -np.expm1(-np.diff(move.time, prepend=move.time[0]) / told.slow)
        share[: len(residual), at][move.time <= told.blind] = 1.0
    slow = low_pass(values, share)
    found = []
    for at, (move, residual) in enumerate(zip(moves, beyond, strict=True)):
        behind = max(round(LAG / move.step), 1)
        lagged = np.concatenate([np.full(behind, np.inf), slow[: len(residual), at]])[: len(residual)]
        found.append(residual - lagged)
    return found


def _lasting(values: Floats, counts: NDArray[np.bool_], step: float, after: float) -> float:
    """The greatest level that is kept for so long together [A].

    The core counts milliseconds. Of rows further apart as many are asked for as surely lie within that time,
    and one fewer: the filter rounds off a steep pulse between rows, as a step of the duty makes one, and it
    would seem shorter here than to the core.
    """
    seen = np.where(counts, values, -np.inf)
    between = 1 if step > 1.5 * TICK else 0
    wide = max(int(after / step + FUZZ) - between, 1)
    if len(seen) < wide:
        return float("-inf")
    return float(sliding_window_view(seen, wide).min(axis=1).max())


def out_of_fold(
    moves: Sequence[Heard],
    sums: Sequence[Sums],
    told: Told,
    judged: Callable[[Heard], NDArray[np.bool_]],
) -> Maxima:
    """The maxima of each move by a profile that was learnt from others.

    Parameters
    ----------
    moves : sequence of Heard
        The moves, two or more.
    sums : sequence of Sums
        What each adds to a fit.
    told : Told
        How the core listens.
    judged : Callable
        Which rows of a move count.
    """
    folds = min(FOLDS, len(moves))
    learnt = [
        profile_of([each for at, each in enumerate(sums) if at % folds != fold], told)
        for fold in range(folds)
    ]
    return maxima_of(moves, [learnt[at % folds] for at in range(len(moves))], told, judged)
