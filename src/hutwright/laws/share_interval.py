"""How sure a share is that was counted in so many tries."""

from __future__ import annotations

from math import sqrt
from typing import NamedTuple

CONFIDENCE = 0.95  # of the interval
# The normal distribution's quantile at 97.5 %; standing: read (any table of it)
QUANTILE = 1.959963984540054


class ShareInterval(NamedTuple):
    """The ends of an interval for a share."""

    low: float  # lower end. [-]
    high: float  # upper end. [-]


def share_interval(met: int, of: int) -> ShareInterval:
    r"""Interval at 95 % confidence for the share behind a count.

    .. math:: \frac{p + z^2/2n \pm z\sqrt{p(1-p)/n + z^2/4n^2}}{1 + z^2/n}

    Parameters
    ----------
    met : int
        How often it came out, from 0 to ``of``. [-]
    of : int
        In how many tries, 1 or more. [-]

    Returns
    -------
    ShareInterval
        Both ends [-], within 0 and 1.

    Raises
    ------
    ValueError
        Where the counts contradict each other.

    Notes
    -----
    Valid for independent tries with the same chance. The confidence is 95 % on the average over shares; for a
    single share it lies between 83 % and 99 %, lowest near 0 and 1.

    References
    ----------
    .. [1] Wilson, "Probable inference, the law of succession, and statistical inference", 1927.
       Standing: recalled.

    Examples
    --------
    >>> low, high = share_interval(95, 100)
    >>> round(low, 4), round(high, 4)
    (0.8882, 0.9785)
    """
    if not (of >= 1 and 0 <= met <= of):
        raise ValueError(f"{met} of {of} tries; give a count between 0 and the number of tries, 1 or more")
    share, spread = met / of, QUANTILE**2 / of
    middle = (share + spread / 2.0) / (1.0 + spread)
    half = QUANTILE * sqrt(share * (1.0 - share) / of + spread / (4.0 * of)) / (1.0 + spread)
    low = 0.0 if met == 0 else middle - half
    high = 1.0 if met == of else middle + half
    return ShareInterval(low, high)
