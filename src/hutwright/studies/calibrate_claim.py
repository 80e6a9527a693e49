"""From maxima to a threshold, and what it promises: by a law that was checked, or by counting alone."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

import numpy as np
from numpy.typing import NDArray

from hutwright.evidence.trace import Way
from hutwright.laws.exact_share import greatest_share
from hutwright.laws.gumbel import Gumbel, gumbel_fit, gumbel_goodness, gumbel_tolerance_factor

Floats = NDArray[np.float64]
LEVEL = 0.9995  # share of moves that stay below one detector's threshold: a choice of this project [-]
CONFIDENCE = 0.95  # of the whole claim: a choice of this project [-]
REFUSED_AT = 0.05  # chance of a fit below which the law is not relied on. Standing: practice [-]
SEASON = 214.0  # days, April to October: a choice of this project [-]
LEAST_TRIP, MOST_TRIP = 0.020, 40.0  # that the core takes [A]
STEP = 1e-3  # of a threshold in the core [A]


class Branch(Enum):
    """One of the two detectors."""

    RESIDUAL = "beyond what is expected"
    RISE = "beyond its own mean a moment ago"


class Basis(Enum):
    """What a claim rests on."""

    LAW = "a law fitted to the maxima, which they fit"
    COUNT = "counting alone: no law is assumed"


@dataclass(frozen=True, slots=True, eq=False)
class Threshold:
    """The threshold of one detector in one direction.

    Attributes
    ----------
    way : Way
        Which way the leaf moves.
    branch : Branch
        Which detector.
    value : float
        What it is set to. [A]
    basis : Basis
        What it rests on.
    maxima : ndarray
        Out-of-fold maxima that it rests on; shape (n,). [A]
    law : Gumbel or None
        Fitted to them; None where all are the same. [A]
    chance : float
        Of so bad a fit where the law holds, the least published level that is not refused. [-]
    share : float
        Moves that go beyond it at most, at this detector's share of the confidence; NaN where counted. [-]
    """

    way: Way
    branch: Branch
    value: float
    basis: Basis
    maxima: Floats
    law: Gumbel | None
    chance: float
    share: float


@dataclass(frozen=True, slots=True)
class Claim:
    """How often a free leaf reverses needlessly, at most.

    Attributes
    ----------
    share : float
        Of cycles of opening and closing, at most. [-]
    expected : float
        The same on the average, without confidence. [-]
    confidence : float
        How sure. [-]
    basis : Basis
        What it rests on: counting where any detector's threshold does.
    cycles : int
        Clean cycles behind it.
    per_season : float or None
        At most, at the described number of cycles a day; None where none is described.
    """

    share: float
    expected: float
    confidence: float
    basis: Basis
    cycles: int
    per_season: float | None


def threshold_of(way: Way, branch: Branch, maxima: Floats, parts: int) -> Threshold:
    """The threshold that maxima support.

    Parameters
    ----------
    way : Way
        Which way the leaf moves.
    branch : Branch
        Which detector.
    maxima : ndarray, shape (n,)
        Out-of-fold maxima. [A]
    parts : int
        How many detectors share the confidence. [-]

    Returns
    -------
    Threshold
        By the law where the maxima fit it; else their greatest.
    """
    known = maxima[np.isfinite(maxima)]
    law, chance = None, 0.0
    if len(known) >= 5 and np.ptp(known) > 0.0:
        law, chance = gumbel_fit(known), gumbel_goodness(known).chance
    if law is not None and chance >= REFUSED_AT:
        factor = gumbel_tolerance_factor(len(known), LEVEL, 1.0 - (1.0 - CONFIDENCE) / parts)
        value, basis, share = law.place + factor * law.scale, Basis.LAW, 1.0 - LEVEL
    else:
        value, basis, share = float(known.max()) if len(known) else MOST_TRIP, Basis.COUNT, float("nan")
    # the core trips at the value itself, so that it lies one step above, and never below its least
    value = float(np.clip((np.floor(value / STEP) + 1.0) * STEP, LEAST_TRIP, MOST_TRIP))
    return Threshold(way, branch, value, basis, known, law, chance, share)


def claim_of(thresholds: Sequence[Threshold], cycles_a_day: int) -> Claim:
    """What all thresholds promise together.

    Parameters
    ----------
    thresholds : sequence of Threshold
        Of both directions and detectors.
    cycles_a_day : int
        How often the door opens and shuts. [-]
    """
    counted = [each for each in thresholds if each.basis is Basis.COUNT]
    lawful = [each for each in thresholds if each.basis is Basis.LAW]
    number = min(len(each.maxima) for each in thresholds)
    share = sum(each.share for each in lawful)
    expected = sum(each.law.beyond(each.value) for each in lawful if each.law is not None)
    if counted:
        left = 1.0 - (1.0 - CONFIDENCE) * len(counted) / len(thresholds)
        share += greatest_share(min(len(counted) - 1, number), number, left)
        expected += len(counted) / (number + 1.0)
    share = min(share, 1.0)
    season = share * cycles_a_day * SEASON if cycles_a_day else None
    basis = Basis.COUNT if counted else Basis.LAW
    return Claim(share, min(expected, 1.0), CONFIDENCE, basis, number, season)


@dataclass(frozen=True, slots=True)
class Bought:
    """What a number of clean cycles supports, were they like those recorded.

    Attributes
    ----------
    cycles : int
        The number.
    threshold : float
        By the law, of the closing residual; NaN where no law fits. [A]
    counted : float
        Needless reversals that the greatest maximum allows, as a share of cycles at most. [-]
    """

    cycles: int
    threshold: float
    counted: float


NUMBERS = (10, 20, 30, 60, 100, 200, 400)


def more_cycles(threshold: Threshold, parts: int) -> tuple[Bought, ...]:
    """What more clean cycles would buy.

    Parameters
    ----------
    threshold : Threshold
        The detector that decides.
    parts : int
        How many detectors share the confidence. [-]
    """
    law = threshold.law if threshold.basis is Basis.LAW else None
    confidence = 1.0 - (1.0 - CONFIDENCE) / parts
    return tuple(
        Bought(
            number,
            float("nan")
            if law is None
            else law.place + gumbel_tolerance_factor(number, LEVEL, confidence) * law.scale,
            greatest_share(parts - 1, number, CONFIDENCE),
        )
        for number in NUMBERS
    )
