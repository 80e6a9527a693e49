"""Counts and percentiles with what is known about them: exact intervals for shares and for percentiles."""

from __future__ import annotations

from collections.abc import Sequence
from math import exp, inf, lgamma, log, log1p, nan
from typing import NamedTuple

from hutwright.laws.exact_share import greatest_share

ONE_SIDE = 0.975  # so that an interval of two sides has 95 %


class Interval(NamedTuple):
    """An interval at 95 % confidence."""

    low: float
    high: float


def share_ends(met: int, of: int) -> Interval:
    """The interval of Clopper and Pearson for the share behind a count [-].

    Parameters
    ----------
    met : int
        How often it came out. [-]
    of : int
        In how many tries, 1 or more. [-]
    """
    return Interval(1.0 - greatest_share(of - met, of, ONE_SIDE), greatest_share(met, of, ONE_SIDE))


class Percentile(NamedTuple):
    """A percentile, and the two order statistics between which it lies at 95 % confidence."""

    value: float
    low: float
    high: float


def percentile(values: Sequence[float], share: float) -> Percentile:
    """A percentile of values without any assumption on their distribution; NaN without values.

    Parameters
    ----------
    values : sequence of float
        What was found; infinite for what never came.
    share : float
        Of the values that lie below it, above 0 and below 1. [-]

    Notes
    -----
    The number of values below the percentile is binomial, so that it lies between the order statistics whose
    numbers are the ends of that distribution. Where there are too few values for an end, that end is open.
    """
    known = sorted(values)
    if not known:
        return Percentile(nan, nan, nan)
    low, high = _numbers(len(known), share)
    middle = known[min(int(share * len(known)), len(known) - 1)]
    return Percentile(
        middle, known[low - 1] if low >= 1 else -inf, known[high - 1] if high <= len(known) else inf
    )


def _numbers(number: int, share: float) -> tuple[int, int]:
    """Numbers of the order statistics: the greatest low and the least high one that keep their side."""
    whole, below, low, high = lgamma(number + 1.0), 0.0, 0, number + 1
    for count in range(number + 1):
        # `below` is the chance of fewer than `count` values below the percentile
        if below <= 1.0 - ONE_SIDE:
            low = count
        if below >= ONE_SIDE:
            high = count
            break
        below += exp(
            whole
            - lgamma(count + 1.0)
            - lgamma(number - count + 1.0)
            + count * log(share)
            + (number - count) * log1p(-share)
        )
    return low, high
