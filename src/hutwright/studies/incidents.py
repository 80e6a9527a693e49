"""Whether the sky explains why the machine sometimes did not start, and how strongly the incidents say so.

Two models are held against each other by their likelihood. In the one the chance of a start is the same
every time; in the other its logit rises with the number of satellites that should have counted at that
moment. The second has one unknown more, for which the logarithm of the number of incidents is taken off
twice the logarithm of the ratio. That the sky does not explain the failures is only said where a dependence
that mattered goes clearly worse with them than a constant chance does. Only real orbits within 30 days know
the sky of a moment.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import Enum
from math import log

import numpy as np
from numpy.typing import NDArray

from hutwright.evidence.sky_readings import Incident, Opened
from hutwright.layout.frame import Floats, hut_of
from hutwright.model.hut import Moisture
from hutwright.model.orbits import Orbits
from hutwright.model.project import Project
from hutwright.plant.sky.readiness import room_db
from hutwright.studies.readings_likelihood import expected
from hutwright.studies.sky_prediction import lacking, levels_at

LEAST_INCIDENTS = 12  # starts that came or did not, together: ours to choose
LEAST_OF_EACH = 3  # of those that came, and of those that did not: ours to choose
LEAST_SPREAD = 0.5  # satellites by which the sky must differ between them: ours to choose
STEEPEST = 4.0  # rise of the logit for one satellite, at most; beyond it all is yes or no: ours to choose
STEPS = 81  # of the rise that are tried: ours to choose
# Rise of the logit over one standard deviation of the satellites that would matter: from a chance of 0.88
# under a good sky to 0.12 under a bad one, two of them apart. Ours to choose
MATTERS = 2.0
# Twice the logarithm of the ratio, above which evidence is called so: a scale for Bayes factors of Kass and
# Raftery, 1995; standing: recalled
HARDLY, POSITIVE, STRONG = 2.0, 6.0, 10.0


class Explains(Enum):
    """What the incidents say of the sky."""

    YES = "the sky explains the failures"
    NO = "the sky does not explain the failures"
    UNDECIDED = "undecided"


@dataclass(frozen=True, kw_only=True, slots=True)
class Explanation:
    """Whether the sky explains the incidents.

    Attributes
    ----------
    verdict : Explains
        What they say.
    strength : str
        How strong the evidence is, in words; "" where it is undecided.
    reasons : tuple
        Why it is undecided, in sentences; empty where it is not.
    used : int
        Incidents whose sky is known. [-]
    given : int
        Incidents that were written down. [-]
    failures : int
        How many of those used did not start. [-]
    log_ratio : float or None
        Logarithm of the likelihood with the sky over that with a constant rate; None where none is known. [-]
    balance : float or None
        Twice that, less the logarithm of the number of incidents. [-]
    per_satellite : float or None
        How much the logit of a start rises for one satellite more. [-]
    count_started : float or None
        Satellites that should have counted when it started, on average. [-]
    count_failed : float or None
        The same when it did not start. [-]
    """

    verdict: Explains
    strength: str
    reasons: tuple[str, ...]
    used: int
    given: int
    failures: int
    log_ratio: float | None = None
    balance: float | None = None
    per_satellite: float | None = None
    count_started: float | None = None
    count_failed: float | None = None


def explain(project: Project, incidents: Sequence[Incident], orbits: Orbits | None) -> Explanation:
    """Whether the sky explains which starts came and which did not.

    Parameters
    ----------
    project : Project
        The project; its threshold and the wetness of its walls are taken as described.
    incidents : Sequence
        The incidents.
    orbits : Orbits or None
        Real orbits of those days; None, or orbits as planned, leave it undecided.

    Raises
    ------
    RequestError
        Where the place, the hut, the antenna or the receiver is not described.
    """
    if orbits is None or orbits.nominal:
        reason = (
            "There are no real orbits: constellations as planned say nothing of a certain hour. Put an "
            "almanac or navigation file of those days beside the description."
        )
        return _undecided(incidents, [], [reason])
    gaps = lacking(project, orbits, [each.epoch for each in incidents])
    used = [each for each, gap in zip(incidents, gaps, strict=True) if not gap]
    reasons = list(_too_little(incidents, used, gaps))
    if reasons:
        return _undecided(incidents, used, reasons)
    counts = _counts(project, used, orbits)
    started = np.array([each.started for each in used])
    if float(counts.std()) < LEAST_SPREAD:
        reason = (
            f"The sky was much the same every time: {counts.min():.1f} to {counts.max():.1f} satellites. It "
            "can tell nothing of failures among these."
        )
        return _undecided(incidents, used, [reason])
    compared = _compared(counts, started)
    balance = 2.0 * compared.ratio - log(len(used))
    verdict, strength, why = _judged(balance, compared)
    return Explanation(
        verdict=verdict,
        strength=strength,
        reasons=why,
        used=len(used),
        given=len(incidents),
        failures=int(np.sum(~started)),
        log_ratio=compared.ratio,
        balance=balance,
        per_satellite=compared.rise,
        count_started=float(counts[started].mean()),
        count_failed=float(counts[~started].mean()),
    )


def _undecided(
    incidents: Sequence[Incident], used: Sequence[Incident], reasons: Sequence[str]
) -> Explanation:
    return Explanation(
        verdict=Explains.UNDECIDED,
        strength="",
        reasons=tuple(reasons),
        used=len(used),
        given=len(incidents),
        failures=sum(not each.started for each in used),
    )


def _too_little(
    incidents: Sequence[Incident], used: Sequence[Incident], gaps: Sequence[Sequence[object]]
) -> Iterator[str]:
    """What is missing for an answer."""
    failures = sum(not each.started for each in used)
    enough = len(used) >= LEAST_INCIDENTS and LEAST_OF_EACH <= failures <= len(used) - LEAST_OF_EACH
    if enough:
        return
    if len(used) < len(incidents):
        names = sorted({str(getattr(each, "value", each)) for gap in gaps for each in gap})
        yield (
            f"For {len(incidents) - len(used)} of {len(incidents)} incidents orbits of {', '.join(names)} "
            "are missing or more than 30 days away: fetch files of those days."
        )
    yield (
        f"There are too few incidents whose sky is known: {len(used)}, of which {failures} did not start. It "
        f"takes {LEAST_INCIDENTS}, with {LEAST_OF_EACH} of either kind or more; write down the starts that "
        "came, too."
    )


def _counts(project: Project, used: Sequence[Incident], orbits: Orbits) -> Floats:
    """Satellites that should have counted at each incident, those that the roof antenna hears too [-]."""
    wetness = float(hut_of(project).walls.moisture is Moisture.WET)
    room = room_db(project)
    groups: dict[Opened, list[int]] = {}
    for number, each in enumerate(used):
        groups.setdefault(each.opened, []).append(number)
    found = np.zeros(len(used))
    for opened, own in groups.items():
        epochs = np.array([used[each].epoch for each in own])
        levels = levels_at(project, opened, orbits, epochs).both()
        found[own], _ = expected(levels, room, wetness)
    return found


@dataclass(frozen=True, slots=True)
class _Compared:
    """Logarithms of likelihoods over that of a constant rate, and the rise of the logit per satellite.

    `ratio` is that with the best rise, `if_it_mattered` that with a rise that would matter.
    """

    ratio: float
    rise: float
    if_it_mattered: float


def _compared(counts: Floats, started: NDArray[np.bool_]) -> _Compared:
    offset = counts - counts.mean()
    rate = float(started.mean())
    constant = len(started) * (rate * log(rate) + (1.0 - rate) * log(1.0 - rate))
    rises = np.linspace(0.0, STEEPEST, STEPS)
    fitted = [_fitted(rise * offset, started) for rise in rises]
    best = int(np.argmax(fitted))
    mattering = _fitted(MATTERS / float(counts.std()) * offset, started)
    return _Compared(max(0.0, fitted[best] - constant), float(rises[best]), mattering - constant)


def _fitted(slope: Floats, started: NDArray[np.bool_]) -> float:
    """Logarithm of the likelihood with the best constant beside a given slope, found by halving."""
    low, high = -60.0 - float(slope.max()), 60.0 - float(slope.min())
    wanted = float(started.sum())
    for _ in range(50):
        middle = 0.5 * (low + high)
        if float(np.sum(1.0 / (1.0 + np.exp(-np.clip(slope + middle, -60.0, 60.0))))) < wanted:
            low = middle
        else:
            high = middle
    logit = np.clip(slope + 0.5 * (low + high), -60.0, 60.0)
    return float(np.sum(np.where(started, -np.log1p(np.exp(-logit)), -np.log1p(np.exp(logit)))))


def _judged(balance: float, compared: _Compared) -> tuple[Explains, str, tuple[str, ...]]:
    """The verdict, how strong it is, and why there is none."""
    if balance > HARDLY:
        return Explains.YES, _strength(balance), ()
    against = -2.0 * compared.if_it_mattered
    if balance < 0.0 and against > POSITIVE:
        return Explains.NO, _strength(against), ()
    why = (
        "The incidents go nearly as well with a chance that is the same every time as with one that follows "
        "the satellites; more of them will tell."
    )
    return Explains.UNDECIDED, "", (why,)


def _strength(twice: float) -> str:
    return "very strong" if twice > STRONG else "strong" if twice > POSITIVE else "fair"
