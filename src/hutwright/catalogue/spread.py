"""A catalogue value that differs from part to part."""

from __future__ import annotations

import math
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Spread:
    """Bounds of a value and what to reckon with between them.

    Attributes
    ----------
    low : float
        Least value, in the unit of the field that holds it.
    nominal : float
        Typical value.
    high : float
        Greatest value.
    """

    low: float
    nominal: float
    high: float

    def __post_init__(self) -> None:
        """Refuse bounds that are not finite or not in order."""
        values = (self.low, self.nominal, self.high)
        if not all(math.isfinite(value) for value in values) or not self.low <= self.nominal <= self.high:
            raise ValueError(f"spread {values}: wanted low <= nominal <= high, all finite; put them in order")
