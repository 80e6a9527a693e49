"""Candidates put into the description one at a time, and ranked by what the checks say of each."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from hutwright.assessment import Assessment, assess
from hutwright.checks.check import Concern, Trade
from hutwright.checks.verdict import Status, Tier
from hutwright.description.build import build
from hutwright.description.changes import changed
from hutwright.description.described import Described
from hutwright.errors import HutwrightError, Progress
from hutwright.evidence.candidates import Candidate
from hutwright.model.paths import Keys

# What a listing says of a drive; another drive takes all of it along, said or not.
LISTED = ("rating", "no_load", "stall", "screw", "motor", "holding", "cold_friction")


@dataclass(frozen=True, kw_only=True, slots=True)
class Tried:
    """One candidate, tried.

    Attributes
    ----------
    candidate : Candidate
        Which.
    assessment : Assessment or None
        Of the description with it; None where that cannot be.
    fault : str
        Why it cannot be; "" where it can.
    """

    candidate: Candidate
    assessment: Assessment | None
    fault: str = ""

    def count(self, status: Status, *, safety: bool = False) -> int:
        """How many checks come out so; of those of safety alone."""
        if self.assessment is None:
            return 0
        return sum(
            verdict.status is status and (not safety or verdict.question.concern is Concern.SAFETY)
            for verdict in self.assessment.verdicts
        )

    @property
    def rank(self) -> tuple[float, ...]:
        """The less the better: what it misses, first of safety; what stays open; its price."""
        price = math.inf if self.candidate.price is None else self.candidate.price
        return (
            float(self.assessment is None),
            self.count(Status.MISSES, safety=True),
            self.count(Status.MISSES),
            self.count(Status.UNDECIDED, safety=True),
            self.count(Status.UNDECIDED),
            price,
        )


def with_candidate(described: Described, candidate: Candidate) -> Described:
    """The description with a candidate in it.

    Parameters
    ----------
    described : Described
        The description.
    candidate : Candidate
        Which; where it is a drive, nothing of the old drive's listing stays.

    Raises
    ------
    HutwrightError
        Where the two contradict each other.
    """
    wanted: dict[Keys, object] = {}
    if any(path[0] == "drive" for path in candidate.changes):
        old = described.merged.data.get("drive", {})
        assert isinstance(old, dict)
        wanted |= {("drive", key): None for key in LISTED if key in old}
    return build(
        changed(described.merged, {**wanted, **candidate.changes}),
        variant=candidate.name,
        title=candidate.name,
    )


def try_candidates(
    described: Described,
    candidates: Sequence[Candidate],
    chosen: Sequence[Trade],
    *,
    progress: Progress = lambda *_: None,
) -> tuple[Tried, ...]:
    """All candidates, tried, the best first.

    Parameters
    ----------
    described : Described
        The description.
    candidates : Sequence
        The candidates.
    chosen : Sequence
        The trades to ask.
    progress : Callable
        Told how many are done, of how many.
    """
    found: list[Tried] = []
    for number, candidate in enumerate(candidates):
        progress(number, len(candidates))
        try:
            assessment = assess(with_candidate(described, candidate), chosen, tier=Tier.QUICK)
        except HutwrightError as error:
            found.append(Tried(candidate=candidate, assessment=None, fault=str(error)))
        else:
            found.append(Tried(candidate=candidate, assessment=assessment))
    progress(len(candidates), len(candidates))
    return tuple(sorted(found, key=lambda each: (*each.rank, each.candidate.line)))
