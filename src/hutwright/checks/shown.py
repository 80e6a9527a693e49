"""Values as a builder reads them: with a unit, or bare where they only count."""

from __future__ import annotations

import math

from hutwright import units
from hutwright.units import NUMBER, Dimension


def shown(value: float, dimension: Dimension, *, digits: int = 3) -> str:
    """A value for people.

    Parameters
    ----------
    value : float
        In SI. [dimension]
    dimension : Dimension
        What kind of quantity it is.
    digits : int
        Significant digits.
    """
    if math.isnan(value):
        return "unknown"
    if math.isinf(value):
        return "without end" if value > 0 else "without bound"
    if dimension == NUMBER:
        return f"{value:.{digits}g}" if abs(value) < 1e6 else f"{value:.0f}"
    return units.show(value, dimension, digits=digits)


def shown_range(low: float, high: float, dimension: Dimension, *, digits: int = 3) -> str:
    """Two ends for people, with one unit for both.

    Parameters
    ----------
    low : float
        The lower end, in SI. [dimension]
    high : float
        The upper end, in SI. [dimension]
    dimension : Dimension
        What kind of quantity they are.
    digits : int
        Significant digits.
    """
    if not (math.isfinite(low) and math.isfinite(high)) or dimension == NUMBER:
        return f"{shown(low, dimension, digits=digits)}..{shown(high, dimension, digits=digits)}"
    return units.show_range(low, high, dimension, digits=digits)
