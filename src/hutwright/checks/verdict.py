"""A check judged over the ranges of everything it rests on."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import Enum

from hutwright.checks.check import Check, Question
from hutwright.checks.lever import Lever
from hutwright.model.paths import Keys

BARELY = 0.10  # of the limit, where the method states no accuracy of its own: a choice of this project


class Status(Enum):
    """What came out."""

    HOLDS = "holds"
    BARELY = "barely"
    UNDECIDED = "undecided"
    MISSES = "misses"

    @property
    def short(self) -> bool:
        """Whether the builder has to act before relying on it."""
        return self in (Status.MISSES, Status.UNDECIDED)

    @property
    def rank(self) -> int:
        """Its place from good to bad."""
        return list(Status).index(self)


class Tier(Enum):
    """How much work went into an answer."""

    QUICK = "quick"
    FULL = "full"


@dataclass(frozen=True, kw_only=True, slots=True)
class Influence:
    """How one unsure input moves a check.

    Attributes
    ----------
    path : tuple
        Address of the input.
    low : float
        Margin with the input at its low end, all else as described. [the check's]
    high : float
        Margin with the input at its high end. [the check's]
    shrinks : float
        Share of the margin's range that vanishes once the input is known. [-]
    settles : bool
        Whether knowing it alone could decide the check.
    """

    path: Keys
    low: float
    high: float
    shrinks: float
    settles: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class Verdict:
    """A check judged over ranges.

    Attributes
    ----------
    question : Question
        What was asked.
    check : Check
        The answer with every input at its nominal value.
    worst : Check
        The answer where the margin is least.
    worst_at : Mapping
        Where that is: the unsure values that were moved, by address. [SI]
    low : float
        Least value over the ranges. [the check's]
    high : float
        Greatest value over the ranges. [the check's]
    margin : float
        Margin at the worst end. [the check's]
    best : float
        Margin at the best end. [the check's]
    doubted : tuple
        Margin at the worst end and at the best one, where the method is as far off as its stated accuracy
        allows; as `margin` and `best` where the check states no doubt. [the check's]
    method_settles : bool
        Whether a better method alone could decide the check.
    influences : tuple
        What moves it, the strongest first.
    levers : tuple
        What would change it, the cheapest first.
    tier : Tier
        How much work went into it.
    """

    question: Question
    check: Check
    worst: Check
    worst_at: Mapping[Keys, float]
    low: float
    high: float
    margin: float
    best: float
    doubted: tuple[float, float]
    method_settles: bool = False
    influences: tuple[Influence, ...] = ()
    levers: tuple[Lever, ...] = field(default=())
    tier: Tier = Tier.QUICK

    @property
    def key(self) -> str:
        """Its address, with the thing it is about behind it where there are several."""
        return f"{self.question.key}.{self.check.subject}" if self.check.subject else self.question.key

    @property
    def status(self) -> Status:
        """Judged at the worst end."""
        return judged(self.margin, self.best, slack(self.worst), self.doubted)


def slack(check: Check) -> float:
    """The margin below which a check barely holds, apart from its method's doubt [the check's dimension]."""
    if check.accuracy is not None:
        return check.accuracy
    return BARELY * abs(check.limit) if check.doubt is None else 0.0


def judged(
    margin: float, best: float, barely_below: float, doubted: tuple[float, float] | None = None
) -> Status:
    """The status that follows from the margins at both ends; NaN decides nothing.

    Parameters
    ----------
    margin : float
        Margin at the worst end of the inputs. [the check's]
    best : float
        Margin at the best end of the inputs. [the check's]
    barely_below : float
        Margin below which it holds only barely. [the check's]
    doubted : tuple or None
        Both margins where the method is as far off as it may be; None where that is not stated. [the check's]
    """
    least, most = (margin, best) if doubted is None else doubted
    if any(math.isnan(each) for each in (margin, best, least, most)):
        return Status.UNDECIDED
    if most < 0.0:
        return Status.MISSES
    if margin < 0.0:
        return Status.UNDECIDED
    return Status.BARELY if margin < barely_below or least < 0.0 else Status.HOLDS
