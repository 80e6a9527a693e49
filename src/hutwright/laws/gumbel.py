"""The law of the greatest of many: fitted to maxima, its tolerance bound, and whether it fits at all."""

from __future__ import annotations

from functools import lru_cache
from math import exp, log, sqrt
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
LEAST = 5  # maxima that a fit wants: a choice of this project [-]
STEPS = 60  # of the search for the scale at most: a choice of this project [-]
NEAR = 1e-8  # where it ends, as a share of the scale: a choice of this project [-]
# Samples drawn for a tolerance factor: about so many values in all, within bounds. Choices of this project
VALUES, FEWEST, MOST = 500_000, 4_000, 20_000  # [-]
SEED = 20260101  # the same factor whenever it is asked for
# Upper points of the squared distance of Anderson and Darling, both parameters fitted, as of [2]_
POINTS = ((0.25, 0.474), (0.10, 0.637), (0.05, 0.757), (0.025, 0.877), (0.01, 1.038))  # [-, -]


class Gumbel(NamedTuple):
    """A Gumbel law of maxima."""

    place: float  # its mode. [any]
    scale: float  # its scale, above zero. [as place]

    def quantile(self, level: float) -> float:
        """The value that a share of maxima stays below.

        Parameters
        ----------
        level : float
            That share, above 0 and below 1. [-]
        """
        return self.place - self.scale * log(-log(level))

    def beyond(self, value: float) -> float:
        """Share of maxima above a value [-].

        Parameters
        ----------
        value : float
            The value. [as place]
        """
        return float(-np.expm1(-exp(min(-(value - self.place) / self.scale, 700.0))))


def gumbel_fit(maxima: ArrayLike) -> Gumbel:
    r"""The most likely Gumbel law behind some maxima.

    .. math:: b = \bar x - \frac{\sum x e^{-x/b}}{\sum e^{-x/b}}, \quad
              m = -b \ln \frac{1}{n} \sum e^{-x/b}

    Parameters
    ----------
    maxima : array_like, shape (n,)
        Independent maxima of runs of the same kind. [any]

    Returns
    -------
    Gumbel
        Mode and scale [as the maxima].

    Raises
    ------
    ValueError
        Where there are fewer than five, or all are the same.

    Notes
    -----
    Valid for maxima whose law does not change from one to the next.

    References
    ----------
    .. [1] Johnson, Kotz, Balakrishnan, *Continuous Univariate Distributions 2*, 2nd ed., 1995, ch. 22.
       Standing: recalled.

    Examples
    --------
    >>> place, scale = gumbel_fit([1.0, 1.2, 1.5, 1.1, 2.0, 1.4])
    >>> round(place, 3), round(scale, 3)
    (1.218, 0.24)
    """
    values = np.asarray(maxima, dtype=np.float64)
    if values.ndim != 1 or len(values) < LEAST or not np.ptp(values) > 0.0:
        raise ValueError(f"a fit wants {LEAST} or more maxima that differ; got {values.shape}")
    place, scale = _fitted(values[None, :])
    return Gumbel(float(place[0]), float(scale[0]))


def _fitted(samples: Floats) -> tuple[Floats, Floats]:
    """Mode and scale of each row, by Newton's search from the moments."""
    middle = samples.mean(axis=1, keepdims=True)
    away = samples - middle
    scale = np.std(samples, axis=1, keepdims=True) * sqrt(6.0) / np.pi
    for _ in range(STEPS):
        weight = np.exp(-(away - away.min(axis=1, keepdims=True)) / scale)
        whole = weight.sum(axis=1, keepdims=True)
        mean = (weight * away).sum(axis=1, keepdims=True) / whole
        spread = (weight * away**2).sum(axis=1, keepdims=True) / whole - mean**2
        step = (scale + mean) / (1.0 + spread / scale**2)
        new = np.maximum(scale - step, 0.2 * scale)
        done = np.abs(new - scale) <= NEAR * scale
        scale = new
        if done.all():
            break
    low = away.min(axis=1, keepdims=True)
    level = np.log(np.exp(-(away - low) / scale).mean(axis=1, keepdims=True))
    return (middle + low - scale * level)[:, 0], scale[:, 0]


def gumbel_tolerance_factor(number: int, level: float, confidence: float) -> float:
    r"""How many fitted scales above the fitted mode a bound must lie to hold for a share of all maxima.

    .. math:: P\left(\hat m + k \hat b \ge m - b \ln(-\ln p)\right) = c

    Parameters
    ----------
    number : int
        Maxima that the law is fitted to, 5 or more. [-]
    level : float
        Share p of further maxima that shall stay below. [-]
    confidence : float
        How often c such a bound shall hold. [-]

    Returns
    -------
    float
        The factor k. [-]

    Raises
    ------
    ValueError
        Where the number is too small, or a share is not between 0 and 1.

    Notes
    -----
    Valid for the fit of `gumbel_fit`: its two errors, in scales, do not depend on mode and scale, so that the
    factor is found from drawn samples of the standard law; always the same draws. Accurate to 1 % for
    confidences up to 0.99.

    References
    ----------
    .. [1] Lawless, *Statistical Models and Methods for Lifetime Data*, 2nd edition, 2003, section 5.2.
       Standing: recalled.

    Examples
    --------
    >>> 8.8 < gumbel_tolerance_factor(100, 0.9995, 0.95) < 9.0
    True
    """
    if number < LEAST or not (0.0 < level < 1.0 and 0.0 < confidence < 1.0):
        raise ValueError(f"{number} maxima, level {level:g}, confidence {confidence:g}: wanted 5 or more")
    return float(np.quantile((-log(-log(level)) - _errors(number)[0]) / _errors(number)[1], confidence))


@lru_cache(maxsize=32)
def _errors(number: int) -> tuple[Floats, Floats]:
    """Fitted mode and scale of drawn samples of the standard law."""
    draws = min(max(VALUES // number, FEWEST), MOST)
    return _fitted(np.random.default_rng([SEED, number]).gumbel(size=(draws, number)))


class Goodness(NamedTuple):
    """How well maxima fit a Gumbel law."""

    distance: float  # squared, of Anderson and Darling, for the number of maxima. [-]
    chance: float  # of the published levels, the least that is not refused; 0 where all are. [-]


def gumbel_goodness(maxima: ArrayLike) -> Goodness:
    r"""Whether maxima look like those of a Gumbel law, by the distance of Anderson and Darling.

    .. math:: A^2 = -n - \frac{1}{n} \sum_i (2i - 1)\left[\ln F_i + \ln(1 - F_{n+1-i})\right], \quad
              A^2 \left(1 + 0.2/\sqrt n\right)

    Parameters
    ----------
    maxima : array_like, shape (n,)
        The maxima. [any]

    Returns
    -------
    Goodness
        The distance, and how likely so great a one is for a Gumbel law, by the published levels [-].

    Notes
    -----
    Valid for a law fitted by `gumbel_fit`; published for any number of five or more.

    References
    ----------
    .. [2] Stephens, "Goodness of fit for the extreme value distribution", Biometrika 64 (1977) 583-588.
       Standing: recalled.

    Examples
    --------
    >>> gumbel_goodness([1.0, 1.2, 1.5, 1.1, 2.0, 1.4]).chance
    0.25
    """
    values = np.sort(np.asarray(maxima, dtype=np.float64))
    law, number = gumbel_fit(values), len(values)
    log_below = -np.exp(np.clip(-(values - law.place) / law.scale, None, 700.0))
    log_above = np.log(np.maximum(-np.expm1(log_below), 1e-300))
    rank = 2.0 * np.arange(1, number + 1) - 1.0
    plain = -number - float(rank @ (log_below + log_above[::-1])) / number
    distance = plain * (1.0 + 0.2 / sqrt(number))
    chance = max((share for share, point in POINTS if distance <= point), default=0.0)
    return Goodness(distance, chance)
