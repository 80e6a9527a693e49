"""What to measure next: the value whose range, made smaller, decides most, and the quickest way to it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from hutwright.assessment import Assessment, Served, doubts_served, gained
from hutwright.checks.check import Concern
from hutwright.checks.verdict import Status, Verdict
from hutwright.description.described import Datum, Described
from hutwright.model.paths import Keys
from hutwright.studies.observing.all import telling
from hutwright.studies.observing.observation import Observation


@dataclass(frozen=True, kw_only=True, slots=True)
class Suggestion:
    """One value that is worth measuring.

    Attributes
    ----------
    datum : Datum
        The value as described.
    urgent : float
        What knowing it takes from the doubt of the undecided checks of safety together. [-]
    gain : float
        The same of all open checks, each by how much it matters. [-]
    shrinks : float
        Greatest share of one check's doubt that would vanish. [-]
    serves : tuple of str
        Keys of the checks whose doubt it shrinks, the greatest share first.
    settles : tuple of str
        Keys of those that it alone could decide.
    ways : tuple of Observation
        How to measure it, the quickest first; empty where there is but to read it off or look it up.
    """

    datum: Datum
    urgent: float
    gain: float
    shrinks: float
    serves: tuple[str, ...]
    settles: tuple[str, ...]
    ways: tuple[Observation, ...]


def suggestions(assessment: Assessment, *, most: int = 5) -> tuple[Suggestion, ...]:
    """The values worth measuring, the one that decides most first: of what can hurt, then of all.

    Parameters
    ----------
    assessment : Assessment
        Of whatever tier: open and barely held checks have their doubt weighed in both.
    most : int
        How many at most. [-]
    """
    return worth_measuring(assessment.described, assessment.verdicts)[:most]


def worth_measuring(described: Described, verdicts: Iterable[Verdict]) -> tuple[Suggestion, ...]:
    """All values worth measuring, the one that decides most first: of what can hurt, then of all.

    Parameters
    ----------
    described : Described
        The description.
    verdicts : iterable of Verdict
        Of its checks.
    """
    served = doubts_served(verdicts, described)
    found = [_suggested(described, path, some) for path, some in served.items()]
    return tuple(sorted(found, key=lambda each: (-each.urgent, -each.gain, each.datum.path)))


def _suggested(described: Described, path: Keys, served: Iterable[Served]) -> Suggestion:
    by_share = sorted(served, key=lambda each: (-each.shrinks, each.verdict.key))
    return Suggestion(
        datum=described.values[path],
        urgent=sum(
            shrinks + settles
            for verdict, shrinks, settles in by_share
            if verdict.status is Status.UNDECIDED and verdict.question.concern is Concern.SAFETY
        ),
        gain=gained(by_share),
        shrinks=by_share[0].shrinks,
        serves=tuple(verdict.key for verdict, _, _ in by_share),
        settles=tuple(verdict.key for verdict, _, settles in by_share if settles),
        ways=telling(described.project, path),
    )
