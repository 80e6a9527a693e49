"""What to measure next: the value whose range, made smaller, decides most, and the quickest way to it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from hutwright.assessment import Assessment
from hutwright.checks.priorities import WEIGHT
from hutwright.checks.verdict import Status, Verdict
from hutwright.description.described import Datum, Described, Origin
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
    gain : float
        What knowing it takes from the doubt of all open checks together, each by how much it matters. [-]
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
    gain: float
    shrinks: float
    serves: tuple[str, ...]
    settles: tuple[str, ...]
    ways: tuple[Observation, ...]


def suggestions(assessment: Assessment, *, most: int = 5) -> tuple[Suggestion, ...]:
    """The values worth measuring, the one that decides most first.

    Parameters
    ----------
    assessment : Assessment
        Of the full tier, so that every doubt has been weighed.
    most : int
        How many at most. [-]
    """
    described = assessment.described
    found = [_suggested(described, path, served) for path, served in _served(assessment).items()]
    found.sort(key=lambda each: (-each.gain, each.datum.path))
    return tuple(found[:most])


def _served(assessment: Assessment) -> dict[Keys, list[tuple[Verdict, float, bool]]]:
    """Open or barely held checks by the value whose measurement would shrink their doubt."""
    served: dict[Keys, list[tuple[Verdict, float, bool]]] = {}
    for verdict in assessment.verdicts:
        if verdict.status not in (Status.UNDECIDED, Status.BARELY):
            continue
        for each in verdict.influences:
            datum = assessment.described.values[each.path]
            if each.shrinks > 0.0 and datum.origin is not Origin.MEASURED:
                served.setdefault(each.path, []).append((verdict, each.shrinks, each.settles))
    return served


def _suggested(described: Described, path: Keys, served: Iterable[tuple[Verdict, float, bool]]) -> Suggestion:
    by_share = sorted(served, key=lambda each: (-each[1], each[0].key))
    return Suggestion(
        datum=described.values[path],
        gain=sum(
            WEIGHT[verdict.status] * verdict.question.concern * (shrinks + settles)
            for verdict, shrinks, settles in by_share
        ),
        shrinks=by_share[0][1],
        serves=tuple(verdict.key for verdict, _, _ in by_share),
        settles=tuple(verdict.key for verdict, _, settles in by_share if settles),
        ways=telling(described.project, path),
    )
