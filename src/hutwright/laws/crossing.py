"""Where a function crosses nought between two places."""

from __future__ import annotations

import math
from collections.abc import Callable

MOST_STEPS = 200
CLOSEST = (
    4.0 * 2.220446049250313e-16
)  # four units in the last place of a double: IEEE 754, binary64; standing: read


def crossing(function: Callable[[float], float], start: float, end: float) -> float:
    r"""A place between two others where a function changes its sign.

    Halving, made quicker by a parabola through the last three places wherever that is known to be safe.

    Parameters
    ----------
    function : Callable
        From a place to a value; continuous where the result is to be a zero and no jump.
    start : float
        One place, where the function has one sign. [-]
    end : float
        Another, where it has the other sign or is nought. [-]

    Returns
    -------
    float
        The place, within a few units of the last digit; NaN where the signs are equal or a value is none. [-]

    Notes
    -----
    Valid for finite places. Where the function jumps across nought, the place of the jump is returned.

    References
    ----------
    .. [1] T. R. Chandrupatla, "A new hybrid quadratic/bisection algorithm for finding the zero of a nonlinear
       function without using derivatives", Advances in Engineering Software 28 (1997). Standing: recalled;
       held to a library's root finder by a test.

    Examples
    --------
    >>> round(crossing(lambda x: x * x - 2.0, 0.0, 2.0), 12)
    1.414213562373
    """
    newest, oldest = start, end
    at_newest, at_oldest = function(newest), function(oldest)
    if at_newest == 0.0:
        return newest
    if at_oldest == 0.0:
        return oldest
    if not at_newest * at_oldest < 0.0:
        return math.nan
    share = 0.5
    for _ in range(MOST_STEPS):
        place = newest + share * (oldest - newest)
        value = function(place)
        if math.isnan(value):
            return math.nan
        if (value > 0.0) == (at_newest > 0.0):
            third, at_third = newest, at_newest
        else:
            third, at_third = oldest, at_oldest
            oldest, at_oldest = newest, at_newest
        newest, at_newest = place, value
        best, at_best = (newest, at_newest) if abs(at_newest) < abs(at_oldest) else (oldest, at_oldest)
        width = abs(oldest - newest)
        least = CLOSEST * abs(best) + 5e-324
        if at_best == 0.0 or width <= 2.0 * least:
            return best
        share = _share(newest, at_newest, oldest, at_oldest, third, at_third)
        edge = least / width
        share = min(max(share, edge), 1.0 - edge)
    return newest


def _share(a: float, at_a: float, b: float, at_b: float, c: float, at_c: float) -> float:
    """Where between a and b to look next: by a parabola the other way round where safe, else half way."""
    if at_c in (at_a, at_b) or c == b:
        return 0.5
    along, risen = (a - b) / (c - b), (at_a - at_b) / (at_c - at_b)
    if not (risen * risen < along and (1.0 - risen) ** 2 < 1.0 - along):
        return 0.5
    first = at_a / (at_b - at_a) * at_c / (at_b - at_c)
    second = (c - a) / (b - a) * at_a / (at_c - at_a) * at_b / (at_c - at_b)
    return first + second
