"""How one check moves over the points at which it is asked."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Self

from hutwright.checks.check import Check
from hutwright.model.paths import Keys

Point = Mapping[Keys, float]
NOMINAL: Point = {}


@dataclass(slots=True)
class Spread:
    """How one check moved over all the points that were tried."""

    nominal: Check
    worst: Check
    worst_at: Point
    best: float
    best_at: Point
    low: float
    high: float
    ends: dict[Keys, tuple[float, float]]
    methods: list[tuple[float, float]]  # what the method's doubt leaves of the margin, at every point tried

    @classmethod
    def of(cls, check: Check) -> Self:
        """Of the check as described, which nothing has moved yet."""
        value, margin = check.value, check.margin
        return cls(check, check, NOMINAL, margin, NOMINAL, value, value, {}, [check.margins])

    @property
    def doubted(self) -> tuple[float, float]:
        """Least and greatest margin over all points, the method as far off as it may be."""
        if any(math.isnan(each) for pair in self.methods for each in pair):
            return math.nan, math.nan
        return min(low for low, _ in self.methods), max(high for _, high in self.methods)

    @property
    def method_settles(self) -> bool:
        """Whether the method alone, at one of its ends, decides the check whatever the inputs are."""
        if not self.worst.margin < 0.0 <= self.doubted[1]:
            return False
        return min(high for _, high in self.methods) >= 0.0 or max(low for low, _ in self.methods) < 0.0

    def add(self, check: Check, point: Point) -> None:
        """Take one more point into account; NaN is the worst there is."""
        margin = check.margin
        self.methods.append(check.margins)
        if math.isnan(margin) or margin < self.worst.margin:
            self.worst, self.worst_at = check, point
        if math.isnan(margin) or margin > self.best:
            self.best, self.best_at = margin, point
        if not math.isnan(check.value):
            self.low, self.high = min(self.low, check.value), max(self.high, check.value)


class ShortError(Exception):
    """A check is short at a point."""

    def __init__(self, point: Point) -> None:
        """Keep the point."""
        super().__init__(point)
        self.point = point


class Strict(Spread):
    """How a check moves, given up with ShortError where it is short or cannot be told."""

    __slots__ = ()

    @classmethod
    def of(cls, check: Check) -> Self:
        """Of the check as described, which must not be short."""
        if not check.margin >= 0.0:
            raise ShortError(NOMINAL)
        return super().of(check)

    def add(self, check: Check, point: Point) -> None:
        """Take one more point into account."""
        if not check.margin >= 0.0:
            raise ShortError(point)
        super().add(check, point)
