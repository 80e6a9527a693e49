"""Force over time at a closing edge, and the limits that it is held against."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

# EN 12453:2017+A1:2021, annex A; standing: second-hand (several pages that agree)
CRUSH_PEAK = 400.0  # N, in gaps up to CRUSH_GAP
IMPACT_PEAK = 1400.0  # N, in wider gaps, leaf moving sideways or swinging
CRUSH_GAP = 0.500  # m
LASTING_FORCE = 150.0  # N
LASTING_TIME = 0.75  # s, that the force may stay above LASTING_FORCE
REST_FORCE = 25.0  # N
REST_TIME = 5.0  # s after contact, from which the force may be REST_FORCE at most
# The same, leaf moving up and down: CRUSH_PEAK in every gap. Standing: recalled, and one supplier's page
VERTICAL_PEAK = 400.0  # N
# EN 12453:2017+A1:2021, annex C; standing: second-hand
INSTRUMENT_STIFFNESS = 500e3  # N/m, to within a tenth
TEST_GAPS = (0.050, 0.300, 0.500)  # m
_SAME_MOMENT = 1e-9  # s


class TraceFigures(NamedTuple):
    """What a trace comes to; NaN where the trace is too short to tell."""

    peak: float  # greatest force. [N]
    lasting: float  # time above LASTING_FORCE. [s]
    rest: float  # greatest force from REST_TIME after contact on. [N]


def peak_limit(gap: float, *, vertical: bool) -> float:
    r"""Greatest force that the edge may press with at a gap.

    Parameters
    ----------
    gap : float
        Gap between the closing edge and what it closes on, above zero. [m]
    vertical : bool
        Whether the leaf moves up and down.

    Returns
    -------
    float
        Limit of the peak, NaN outside the law's range. [N]

    Notes
    -----
    Valid for measurements at the standard's gaps of 50, 300 and 500 mm with its 500 N/mm instrument; the
    narrower limit holds up to and at 500 mm.

    References
    ----------
    .. [1] EN 12453:2017+A1:2021, annex A. Standing: second-hand.
    .. [2] EN 12453:2017+A1:2021, annex A, leaf moving up and down. Standing: recalled.

    Examples
    --------
    >>> peak_limit(0.3, vertical=False), peak_limit(0.8, vertical=False)
    (400.0, 1400.0)
    """
    if not gap > 0.0:
        return math.nan
    if gap <= CRUSH_GAP:
        return CRUSH_PEAK
    return VERTICAL_PEAK if vertical else IMPACT_PEAK


def _trace(time: ArrayLike, force: ArrayLike) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Times and forces as two rows of one length, or a refusal."""
    times = np.asarray(time, dtype=np.float64)
    forces = np.asarray(force, dtype=np.float64)
    if times.ndim != 1 or times.shape != forces.shape or times.size < 2:
        raise ValueError(
            f"times {times.shape} and forces {forces.shape}; give two rows of one length, 2 or more"
        )
    if not (np.all(np.isfinite(times)) and np.all(np.isfinite(forces)) and np.all(np.diff(times) > 0.0)):
        raise ValueError("a trace wants finite forces at finite, rising times; leave out what is not")
    return times, forces


def _crossing(times: NDArray[np.float64], forces: NDArray[np.float64], before: int, level: float) -> float:
    """Moment between two samples at which the force is at the level."""
    low, high = float(forces[before]), float(forces[before + 1])
    way = (level - low) / (high - low)
    return float(times[before] + way * (times[before + 1] - times[before]))


def contact_time(time: ArrayLike, force: ArrayLike) -> float:
    r"""Moment at which a trace's force begins.

    Parameters
    ----------
    time : array_like, shape (n,)
        Rising times. [s]
    force : array_like, shape (n,)
        Force at those times. [N]

    Returns
    -------
    float
        Time of the last sample without force before the first with any; NaN without any force. [s]

    Raises
    ------
    ValueError
        Where the trace is no trace: lengths differ, times do not rise, something is not finite.

    Notes
    -----
    Valid for a trace whose zero has been taken off.

    References
    ----------
    .. [1] EN 12453:2017+A1:2021, annex C. Standing: second-hand.

    Examples
    --------
    >>> contact_time([0.0, 0.1, 0.2], [0.0, 0.0, 50.0])
    0.1
    """
    times, forces = _trace(time, force)
    pressed = np.flatnonzero(forces > 0.0)
    return float(times[max(int(pressed[0]) - 1, 0)]) if pressed.size else math.nan


def time_above(time: ArrayLike, force: ArrayLike, level: float) -> float:
    r"""Time from the first moment that a force is above a level to the last.

    Parameters
    ----------
    time : array_like, shape (n,)
        Rising times. [s]
    force : array_like, shape (n,)
        Force at those times. [N]
    level : float
        Level. [N]

    Returns
    -------
    float
        Time; 0 where the force never is above, infinite where the trace ends above. [s]

    Raises
    ------
    ValueError
        Where the trace is no trace: lengths differ, times do not rise, something is not finite.

    Notes
    -----
    Valid for traces that run on until the force is gone, five seconds as a rule; straight between samples. A
    force that dips below and comes back counts through, which is cautious.

    References
    ----------
    .. [1] EN 12453:2017+A1:2021, annex A. Standing: second-hand.

    Examples
    --------
    >>> time_above([0.0, 1.0, 2.0], [0.0, 300.0, 0.0], 150.0)
    1.0
    """
    times, forces = _trace(time, force)
    above = np.flatnonzero(forces > level)
    if not above.size:
        return 0.0
    first, last = int(above[0]), int(above[-1])
    if last == times.size - 1:
        return math.inf
    begin = float(times[0]) if first == 0 else _crossing(times, forces, first - 1, level)
    return _crossing(times, forces, last, level) - begin


def force_from(time: ArrayLike, force: ArrayLike, moment: float) -> float:
    r"""Greatest force at and after a moment.

    Parameters
    ----------
    time : array_like, shape (n,)
        Rising times. [s]
    force : array_like, shape (n,)
        Force at those times. [N]
    moment : float
        Moment, by the clock of the times. [s]

    Returns
    -------
    float
        Greatest force; NaN where the trace does not reach the moment. [N]

    Raises
    ------
    ValueError
        Where the trace is no trace: lengths differ, times do not rise, something is not finite.

    Notes
    -----
    Valid for any trace; straight between samples.

    References
    ----------
    .. [1] EN 12453:2017+A1:2021, annex A. Standing: second-hand.

    Examples
    --------
    >>> force_from([0.0, 4.0, 6.0], [100.0, 40.0, 0.0], 5.0)
    20.0
    """
    times, forces = _trace(time, force)
    if not times[0] <= moment <= times[-1] + _SAME_MOMENT:
        return math.nan
    later = forces[times >= moment]
    return max(float(np.interp(moment, times, forces)), float(later.max()) if later.size else -math.inf)


def trace_figures(time: ArrayLike, force: ArrayLike) -> TraceFigures:
    r"""The three figures that a trace is judged by.

    Parameters
    ----------
    time : array_like, shape (n,)
        Rising times, on to at least five seconds after contact. [s]
    force : array_like, shape (n,)
        Force at those times, its zero taken off. [N]

    Returns
    -------
    TraceFigures
        Peak [N], time above 150 N [s], greatest force from five seconds after contact on [N].

    Raises
    ------
    ValueError
        Where the trace is no trace: lengths differ, times do not rise, something is not finite.

    Notes
    -----
    Valid for one contact. Pass or fail in a test goes by the mean of three traces at each point.

    References
    ----------
    .. [1] EN 12453:2017+A1:2021, annex A. Standing: second-hand.

    Examples
    --------
    >>> trace_figures([0.0, 0.5, 1.0, 4.0, 5.0], [0.0, 300.0, 0.0, 0.0, 0.0])
    TraceFigures(peak=300.0, lasting=0.5, rest=0.0)
    """
    times, forces = _trace(time, force)
    begun = contact_time(times, forces)
    if math.isnan(begun):
        return TraceFigures(0.0, 0.0, 0.0)
    return TraceFigures(
        peak=float(forces.max()),
        lasting=time_above(times, forces, LASTING_FORCE),
        rest=force_from(times, forces, begun + REST_TIME),
    )


def keeps_limits(figures: TraceFigures, limit: float) -> bool:
    r"""Whether a trace keeps peak, duration and rest.

    Parameters
    ----------
    figures : TraceFigures
        Peak [N], time above 150 N [s] and force from five seconds on [N].
    limit : float
        Limit of the peak at this gap. [N]

    Returns
    -------
    bool
        True where all three are kept; never so where one of them is not known.

    Notes
    -----
    Valid for horizontal and vertical leaves alike; reversing or going slack is wanted, a leaf that only stops
    presses on.

    References
    ----------
    .. [1] EN 12453:2017+A1:2021, annex A. Standing: second-hand.

    Examples
    --------
    >>> keeps_limits(TraceFigures(peak=380.0, lasting=0.5, rest=0.0), 400.0)
    True
    """
    return figures.peak <= limit and figures.lasting <= LASTING_TIME and figures.rest <= REST_FORCE
