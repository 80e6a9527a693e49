"""Constants of a drive out of recorded moves: integrals of voltage, current and travel against each other."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
MOST_POINTS = 150  # of a move that are set against each other: a choice of this project
LEAST_POINTS = 20  # of all moves together
# What the current's integral must show beside the travel, as a multiple of what its own noise adds up to:
# below it the noise would pull the resistance by more than 1 %. From the attenuation by 1 / (1 + 1/n^2)
CLEAR_OF_NOISE = 10.0
# Noise read off a series of steps is not the noise before them. With three times the offset that follows from
# it, 85 to 100 % of offsets lie within 1.96 times that, for noise from 0.02 to 0.4 steps. Computed here
BLUR_DOUBT = 3.0
ROUNDS = 3  # of weighing by what the last round left over
# Of a start in which the load builds up through the mount, against the same with a constant load: 0.2 to
# 1.1 % of the resistance on simulated doors. Standing: computed here
START_ACCURACY = 0.01  # [-]
START_PAUSE = 1e-3  # from row to row, at which that was found; slower ones see less of the rise. [s]
START_SPAN = 0.3  # of the start that is looked at: some six of its time constants. [s]


class Run(NamedTuple):
    """One move.

    Attributes
    ----------
    time : ndarray
        Since the drive was switched on, from 0; shape (n,). [s]
    voltage : ndarray
        That drives the loop: at the bridge, times the duty, less constant drops; shape (n,). [V]
    current : ndarray
        Of the motor; shape (n,). [A]
    travel : ndarray
        Of the rod since the beginning, above zero whichever way; shape (n,). [m]
    step : float
        Of the converter that read the current; 0 for none. [A]
    """

    time: Floats
    voltage: Floats
    current: Floats
    travel: Floats
    step: float = 0.0


class Constants(NamedTuple):
    """What was found, with standard errors."""

    resistance: float  # of the whole loop from the bridge through the winding. [ohm]
    constant: float  # back-emf over the rod's speed. [V s/m]
    inductance: float  # [H]
    resistance_error: float  # [ohm]
    constant_error: float  # [V s/m]


def summed(time: Floats, values: Floats) -> Floats:
    r"""Integral of readings from the first row on.

    .. math:: S_n = \sum_{k=1}^{n} \tfrac12 (x_k + x_{k-1}) (t_k - t_{k-1})

    Parameters
    ----------
    time : ndarray
        Rising; shape (n,). [s]
    values : ndarray
        What is summed; shape (n,). [any]

    Returns
    -------
    ndarray
        0 in the first row; shape (n,). [any times s]

    Notes
    -----
    Valid for readings that change little from row to row. Exact for straight lines between rows.

    References
    ----------
    .. [1] the trapezoidal rule, any text on numerical methods. Standing: practice.

    Examples
    --------
    >>> summed(np.array([0.0, 1.0, 3.0]), np.array([1.0, 1.0, 2.0])).tolist()
    [0.0, 1.0, 4.0]
    """
    return np.concatenate([[0.0], np.cumsum(0.5 * np.diff(time) * (values[1:] + values[:-1]))])


def constants_from_travel(runs: Sequence[Run], inductance: float) -> Constants:
    r"""Resistance and constant from moves whose travel was recorded.

    .. math:: \int_0^t U\,dt = R \int_0^t i\,dt + K s + L\,(i - i_0)

    Parameters
    ----------
    runs : sequence of Run
        At least one that opens and one that closes, or one with its start.
    inductance : float
        Of the winding; twice of it is worth some 0.5 % of the resistance. [H]

    Returns
    -------
    Constants
        With standard errors; all NaN where the moves are too short or do not tell them apart.

    Notes
    -----
    Valid for moves whose voltage is known in every row, at a switch or with a known duty. Weighed by
    generalised least squares for four errors: one of each row (of travel, the first row's in all others too),
    estimated from what is left over; one that adds up (of the readings summed), from how they jump from row
    to row; one that grows steadily in a move (of a converter whose steps are not blurred by noise); and the
    current's rise between the first two rows, which nobody saw, so that a slow recording learns little from
    its starts. Steady moves against the same load do not tell resistance and constant apart; the standard
    errors then say so. Accuracy 5 % for the resistance and 2 % for the constant where starts or different
    loads are in them.

    References
    ----------
    .. [1] Aitken, "On least squares and linear combination of observations", 1935. Standing: recalled.

    Examples
    --------
    >>> time = np.linspace(0.0, 5.0, 501)
    >>> current = 1.0 + 3.0 * np.exp(-time / 0.1)
    >>> travel = summed(time, (12.0 - 2.0 * current) / 350.0)
    >>> found = constants_from_travel([Run(time, np.full(501, 12.0), current, travel)], 0.0)
    >>> round(found.resistance, 3), round(found.constant, 1)
    (2.0, 350.0)
    """
    parts = [_levels(run) for run in runs]
    sides = [np.column_stack(part[1:3]) for part in parts]
    sought = [part[0] - inductance * part[3] for part in parts]
    if sum(map(len, sought)) < LEAST_POINTS:
        return Constants(*[np.nan] * 5)
    if not _told_apart(runs, np.concatenate(sides)):
        return Constants(*[np.nan] * 5)
    scale = np.maximum(np.max([np.abs(side).max(axis=0) for side in sides], axis=0), 1e-300)
    sides = [side / scale for side in sides]
    weights: list[Floats] = [np.eye(len(each)) for each in sought]
    found: NDArray[Any] = np.zeros(2)
    spread: NDArray[Any] = np.full((2, 2), np.nan)
    for _ in range(ROUNDS):
        left = [weight @ side for weight, side in zip(weights, sides, strict=True)]
        right = [weight @ each for weight, each in zip(weights, sought, strict=True)]
        normal = sum((each.T @ each for each in left), np.zeros((2, 2)))
        if np.linalg.cond(normal) > 1e14:
            return Constants(*[np.nan] * 5)
        found = np.linalg.solve(normal, sum((a.T @ b for a, b in zip(left, right, strict=True)), np.zeros(2)))
        spread = np.linalg.inv(normal)
        over = [each - side @ found for each, side in zip(sought, sides, strict=True)]
        weights = _weights(runs, [part[4] for part in parts], over, found[0] / scale[0])
    errors = np.sqrt(np.diag(spread)) / scale
    values = found / scale
    return Constants(float(values[0]), float(values[1]), inductance, float(errors[0]), float(errors[1]))


def _told_apart(runs: Sequence[Run], side: Floats) -> bool:
    """Whether the integral of the current is more than a multiple of the travel and its own noise."""
    amperes, covered = side[:, 0], side[:, 1]
    square = float(covered @ covered)
    if not square > 0.0:
        return False
    beside = amperes - covered * float(covered @ amperes) / square
    noise = max(_noise(run.current) * np.sqrt(_pause(run) * float(run.time[-1])) for run in runs)
    return bool(
        np.sqrt(np.mean(beside**2)) > max(CLEAR_OF_NOISE * noise, 1e-9 * float(np.abs(amperes).max()))
    )


def _levels(run: Run) -> tuple[Floats, Floats, Floats, Floats, Floats]:
    """Integrals of voltage and current, travel, rise of the current and time at some rows of a move."""
    every = max(1, -(-len(run.time) // MOST_POINTS))
    rows = slice(every, None, every)
    volts, amperes = summed(run.time, run.voltage), summed(run.time, run.current)
    return (
        volts[rows],
        amperes[rows],
        (run.travel - run.travel[0])[rows],
        (run.current - run.current[0])[rows],
        (run.time - run.time[0])[rows],
    )


def _weights(runs: Sequence[Run], times: list[Floats], over: list[Floats], resistance: float) -> list[Floats]:
    """What makes each move's errors independent and of size one."""
    square = float(np.mean(np.concatenate([np.diff(each) ** 2 for each in over])))
    found = []
    for run, time in zip(runs, times, strict=True):
        noise = _noise(run.current)
        offset = resistance * _step_offset(run.step, noise)
        adding = (resistance**2 * noise**2 + _noise(run.voltage) ** 2) * _pause(run)
        adding += offset**2 * START_SPAN  # it changes as the current crosses steps, in a start for one
        adding = max(adding, 1e-12 * square / _pause(run))
        single = max(0.5 * (square - adding * float(np.median(np.diff(time)))), 0.0)
        begun = 0.5 * resistance * float(run.current.max()) * _pause(run)  # the same way in every move
        errors = (single + begun**2) * np.ones((len(time), len(time))) + single * np.eye(len(time))
        errors += adding * np.minimum.outer(time, time) + offset**2 * np.outer(time, time)
        errors += 1e-12 * float(errors.diagonal().max() + 1e-30) * np.eye(len(time))
        found.append(np.linalg.inv(np.linalg.cholesky(errors)))
    return found


def _noise(readings: Floats) -> float:
    """Standard deviation of one reading, from how the slope changes after the start [its unit]."""
    return float(np.std(np.diff(readings[len(readings) // 4 :], n=2)) / np.sqrt(6.0))


def _pause(run: Run) -> float:
    """Usual time from row to row [s]."""
    return float(np.median(np.diff(run.time)))


def _step_offset(step: float, noise: float) -> float:
    """How far the mean of many readings is off because of a converter's steps, standard deviation [A].

    The first term of the series for a steady value somewhere between two steps, blurred by normal noise.
    """
    if not step > 0.0:
        return 0.0
    noise = np.sqrt(max(noise**2 - step**2 / 12.0, 0.0))  # less what the steps themselves add to it
    blurred = step / np.pi / np.sqrt(2.0) * np.exp(-2.0 * (np.pi * noise / step) ** 2)
    return float(min(step / np.sqrt(12.0), BLUR_DOUBT * blurred))


def constants_from_start(runs: Sequence[Run], strokes: Sequence[float]) -> Constants:
    r"""Resistance and constant from starts recorded quickly and the travel of the whole moves.

    In a start the rotor gathers speed by what its current exceeds that of its load,

    .. math:: \int U\,dt = R \int i\,dt + L\,(i - i_0) + a \iint i - \tfrac12 b t^2, \quad
              K s = \int (U - R i)\,dt - L\,(i - i_0)

    Parameters
    ----------
    runs : sequence of Run
        Whole moves; their travel is not looked at.
    strokes : sequence of float
        What each covers of the rod's travel. [m]

    Returns
    -------
    Constants
        With standard errors that count the law's own accuracy; all NaN where a start has too few rows.

    Notes
    -----
    Valid for moves from rest with a load that stays about the same over 0.3 s, recorded at some 500 rows a
    second or more and with their whole voltage at once or a known duty. Accuracy 1.5 % for both.

    References
    ----------
    .. [1] the armature equation with the rotor's own equation of motion put in. Standing: derived here.

    Examples
    --------
    >>> slow = np.linspace(0.0, 5.0, 251)  # 50 rows a second tell nothing of a start
    >>> constants_from_start([Run(slow, 12.0 + 0.0 * slow, 1.0 + slow, 0.0 * slow)], [0.3]).resistance
    nan
    """
    number, sides, sought = len(runs), [], []
    pause = max(map(_pause, runs))
    for place, run in enumerate(runs):
        rows = run.time <= START_SPAN
        if int(rows.sum()) < 6 * LEAST_POINTS:
            return Constants(*[np.nan] * 5)
        time, current = run.time[rows], run.current[rows]
        once = summed(time, current)
        side = np.zeros((len(time), 3 + 2 * number))
        side[:, 0], side[:, 1], side[:, 2] = once, current - current[0], summed(time, once)
        side[:, 3 + place], side[:, 3 + number + place] = 0.5 * time**2, 1.0
        sides.append(side)
        sought.append(summed(time, run.voltage[rows]))
    side, aim = np.concatenate(sides), np.concatenate(sought)
    scale = np.maximum(np.abs(side).max(axis=0), 1e-300)
    side /= scale
    if np.linalg.cond(side) > 1e10:
        return Constants(*[np.nan] * 5)
    found = np.linalg.lstsq(side, aim, rcond=None)[0]
    over = aim - side @ found
    inverse = np.linalg.inv(side.T @ side)
    # the errors of neighbouring rows hang together, so what each start adds is counted as one whole
    pieces = np.array_split(side * over[:, None], max(number, len(aim) // LEAST_POINTS))
    meat = sum((np.outer(each.sum(axis=0), each.sum(axis=0)) for each in pieces), np.zeros_like(inverse))
    error = float(np.sqrt((inverse @ meat @ inverse)[0, 0])) / float(scale[0])
    resistance, inductance = float(found[0] / scale[0]), float(found[1] / scale[1])
    error = float(np.hypot(error, START_ACCURACY * max(pause / START_PAUSE, 1.0) * resistance))
    each = np.array(
        [_constant(run, stroke, resistance, inductance) for run, stroke in zip(runs, strokes, strict=True)]
    )
    by_resistance = np.mean(
        [summed(run.time, run.current)[-1] / stroke for run, stroke in zip(runs, strokes, strict=True)]
    )
    scatter = float(np.std(each, ddof=1)) / np.sqrt(number) if number > 1 else 0.0
    return Constants(
        resistance, float(each.mean()), inductance, error, float(np.hypot(scatter, by_resistance * error))
    )


def _constant(run: Run, stroke: float, resistance: float, inductance: float) -> float:
    whole = summed(run.time, run.voltage - resistance * run.current)[-1]
    return float(whole - inductance * (run.current[-1] - run.current[0])) / stroke


class Slope(NamedTuple):
    """A straight line's slope with its standard error, in the units of its two sides."""

    value: float
    error: float


def source_resistance(voltages: Sequence[Floats], currents: Sequence[Floats]) -> Slope:
    r"""Resistance of a supply from its voltage and current over moves: :math:`U = U_0 - R_s i`.

    Parameters
    ----------
    voltages : sequence of ndarray
        At the bridge, one array a move; shape (n,). [V]
    currents : sequence of ndarray
        That the supply gives, likewise; shape (n,). [A]

    Returns
    -------
    Slope
        Resistance and standard error [ohm]; NaN where the current does not change.

    Notes
    -----
    Valid for a supply whose voltage without load stays the same in a move; it may be another in each. Means
    of ten rows are taken, so that noise of the current pulls the slope by less than 1 % where currents spread
    by ten times their noise. Accuracy 5 %.

    References
    ----------
    .. [1] Ohm's law. Standing: practice.

    Examples
    --------
    >>> current = np.linspace(0.5, 3.0, 400)
    >>> round(source_resistance([12.6 - 0.2 * current], [current]).value, 6)
    0.2
    """
    volts, amperes = [], []
    for voltage, current in zip(voltages, currents, strict=True):
        rows = len(current) // 10
        if rows < 2:
            continue
        mean = [each[: 10 * rows].reshape(rows, 10).mean(axis=1) for each in (voltage, current)]
        volts.append(mean[0] - mean[0].mean())
        amperes.append(mean[1] - mean[1].mean())
    if not volts:
        return Slope(np.nan, np.nan)
    side, aim = np.concatenate(amperes), np.concatenate(volts)
    square = float(side @ side)
    if len(side) < LEAST_POINTS or not square > 0.0:
        return Slope(np.nan, np.nan)
    slope = float(side @ aim) / square
    pieces = np.array_split(side * (aim - slope * side), max(2, len(side) // 5))
    error = float(np.sqrt(sum(float(each.sum()) ** 2 for each in pieces))) / square
    return Slope(-slope, error)
