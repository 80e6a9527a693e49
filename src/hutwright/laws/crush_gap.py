"""Gaps that shrink: which of them close on a finger, a hand, a head; and how far one reaches through."""

from __future__ import annotations

import math
from collections.abc import Mapping
from enum import Enum

# A finger gets into gaps above FINGER_ENTERS (49 CFR 571.118, S5, obstacles from 4 mm; standing: read, and
# ISO 13857, slots; standing: second-hand) and is safe in gaps that stay at FINGER_SAFE or above
# (ISO 13854:2017; standing: second-hand).
FINGER_ENTERS = 0.004  # m
FINGER_SAFE = 0.025  # m


class OpeningShape(Enum):
    """Shape of an opening that one may reach through."""

    SLOT = "slot"
    SQUARE = "square"
    CIRCLE = "circle"


# ISO 13857, people of 14 and over, as in DGUV 208-022 table 2: widest opening, least distance to the hazard
# for slot, square and circle, in m. Standing: second-hand
_REACH = (
    (0.004, (0.002, 0.002, 0.002)),
    (0.006, (0.010, 0.005, 0.005)),
    (0.008, (0.020, 0.015, 0.005)),
    (0.010, (0.080, 0.025, 0.020)),
    (0.012, (0.100, 0.080, 0.080)),
    (0.020, (0.120, 0.120, 0.120)),
    (0.030, (0.850, 0.120, 0.120)),
    (0.040, (0.850, 0.200, 0.120)),
    (0.120, (0.850, 0.850, 0.850)),
)
_COLUMNS = {OpeningShape.SLOT: 0, OpeningShape.SQUARE: 1, OpeningShape.CIRCLE: 2}
# The same table: a slot this short stops the thumb, and 0.2 m is enough. Standing: second-hand
THUMB_SLOT = 0.065  # m
THUMB_DISTANCE = 0.200  # m
_THUMB_WIDEST = 0.040  # m; wider ones let the hand through


def gap_passes(start: float, end: float, least: float) -> bool:
    r"""Whether a shrinking gap passes through the least gap that keeps a body part safe.

    .. math:: g_{end} < s \le g_{start}

    Parameters
    ----------
    start : float
        Gap before. [m]
    end : float
        Gap after. [m]
    least : float
        Least gap that keeps the part safe. [m]

    Returns
    -------
    bool
        True where the part that was safe before no longer is; never so for a gap that grows.

    Notes
    -----
    Valid for gaps that stay empty otherwise. The printed gaps are safe ones, wider than the part itself: a
    part may also get into a gap that starts out narrower, see `gap_closes_on`.

    References
    ----------
    .. [1] ISO 13854:2017, least gaps. Standing: second-hand.

    Examples
    --------
    >>> gap_passes(0.150, 0.010, 0.100), gap_passes(0.090, 0.010, 0.100)
    (True, False)
    """
    return end < least <= start


def gap_closes_on(start: float, end: float, least: float, entry: float) -> bool:
    r"""Whether a shrinking gap can close on a body part that has got into it.

    .. math:: g_{start} > t, \quad g_{end} < \min(s, g_{start})

    Parameters
    ----------
    start : float
        Gap before. [m]
    end : float
        Gap after. [m]
    least : float
        Least gap that keeps the part safe. [m]
    entry : float
        Least gap that the part gets into. [m]

    Returns
    -------
    bool
        True where the part can be caught; never so for a gap that grows or stays.

    Notes
    -----
    Valid for gaps that stay empty otherwise.

    References
    ----------
    .. [1] ISO 13854:2017, least gaps. Standing: second-hand.

    Examples
    --------
    >>> gap_closes_on(0.020, 0.005, FINGER_SAFE, FINGER_ENTERS)
    True
    """
    return entry < start and end < min(least, start)


def parts_passed(start: float, end: float, gaps: Mapping[str, float]) -> tuple[str, ...]:
    r"""Body parts whose least gap a shrinking gap passes through.

    Parameters
    ----------
    start : float
        Gap before. [m]
    end : float
        Gap after. [m]
    gaps : Mapping of str to float
        Least gap that keeps each body part safe, by name. [m]

    Returns
    -------
    tuple of str
        Names, widest gap first.

    Notes
    -----
    Valid for one run of the leaf over which the gap shrinks.

    References
    ----------
    .. [1] ISO 13854:2017, least gaps. Standing: second-hand.

    Examples
    --------
    >>> parts_passed(0.110, 0.005, {"finger": 0.025, "hand": 0.100, "arm": 0.120})
    ('hand', 'finger')
    """
    passed = [name for name, least in gaps.items() if gap_passes(start, end, least)]
    return tuple(sorted(passed, key=lambda name: -gaps[name]))


def finger_fits(gap: float) -> bool:
    r"""Whether a gap takes a finger and does not let it go free.

    .. math:: 4\,\mathrm{mm} < g < 25\,\mathrm{mm}

    Parameters
    ----------
    gap : float
        Gap. [m]

    Returns
    -------
    bool
        True where a finger may be caught once something moves past or towards it.

    Notes
    -----
    Valid for fingers of adults and of children who can reach it.

    References
    ----------
    .. [1] ISO 13854:2017, least gaps. Standing: second-hand.
    .. [2] 49 CFR 571.118, S5, obstacles of 4 to 200 mm. Standing: read.

    Examples
    --------
    >>> finger_fits(0.008), finger_fits(0.003)
    (True, False)
    """
    return FINGER_ENTERS < gap < FINGER_SAFE


def reach_distance(size: float, shape: OpeningShape, *, length: float = math.inf) -> float:
    r"""Least distance of a hazard behind an opening.

    Parameters
    ----------
    size : float
        Width of a slot, side of a square, diameter of a circle, above zero. [m]
    shape : OpeningShape
        Shape of the opening.
    length : float
        Length of a slot. [m]

    Returns
    -------
    float
        Distance; NaN for openings that let more than an arm through. [m]

    Notes
    -----
    Valid for people of 14 and over and openings up to 120 mm. For children more is wanted.

    References
    ----------
    .. [1] ISO 13857, reach through openings, 14 years and over. Standing: second-hand.

    Examples
    --------
    >>> reach_distance(0.008, OpeningShape.SLOT), reach_distance(0.025, OpeningShape.SLOT, length=0.060)
    (0.02, 0.2)
    """
    if not size > 0.0:
        return math.nan
    for widest, distances in _REACH:
        if size <= widest:
            distance = distances[_COLUMNS[shape]]
            stopped = shape is OpeningShape.SLOT and length <= THUMB_SLOT and size <= _THUMB_WIDEST
            return min(distance, THUMB_DISTANCE) if stopped else distance
    return math.nan
