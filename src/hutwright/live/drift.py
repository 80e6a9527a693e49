"""Whether the door drifts: a control chart over the peak residuals of its moves, and what a drift looks like.

Each move's peak is compared with all moves before it (the same way, well and whole): its distance from their
mean, divided by what that distance scatters by, follows Student's law whatever the door's own mean and
scatter are, and is turned into a normal score. So nothing must be known beforehand. The scores' exponential
mean speaks where it leaves its limits. Scores are cut at three: one odd move says nothing of a drift, and the
peaks of moves are more lopsided than normal ones.
"""

from __future__ import annotations

import math
import statistics
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from hutwright.evidence.logbook import Move
from hutwright.evidence.trace import Way
from hutwright.laws.run_length import ewma_limits_for
from hutwright.laws.water_permittivity import FREEZING

WEIGHT = 0.05  # of a new move: hears a slow change of half a standard deviation soonest: a choice [-]
RUN_LENGTH = 1000.0  # moves one way between two needless words, on average: a choice of this project [-]
LEAST_MOVES = 10  # before the first score: a choice of this project
CUT = 3.0  # of a score, in standard deviations: a choice of this project [-]
LATEST = 8  # moves that a hint is read from: a choice of this project
# What a hint asks for: choices of this project, told with the hint
NEAR_FREEZING = FREEZING + 1.0  # [K]
ONE_PLACE = 0.15  # share of the travel over which the latest peaks may be spread [-]
NEAR_END = 0.10  # of the travel, counted from shut [-]
LOWER_SUPPLY = 3.0  # standard deviations of the mean of the latest moves [-]
SPEAKS = (
    "while the door stays as it is, a way of moving is called drifting needlessly once in "
    f"{RUN_LENGTH:g} moves or more on average"
)


@cache
def edge() -> float:
    """Where the mean of the scores speaks, either way [-]."""
    return ewma_limits_for(WEIGHT, RUN_LENGTH) * math.sqrt(WEIGHT / (2.0 - WEIGHT))


def normal_score(student: float, freedom: int) -> float:
    """The normal score that is as likely as a value of Student's law.

    Parameters
    ----------
    student : float
        The value. [-]
    freedom : int
        Its degrees of freedom, 1 or more. [-]

    Returns
    -------
    float
        Within 0.02 for 9 degrees or more and scores up to 3, by Wallace's approximation of 1959. [-]
    """
    size = math.sqrt(freedom * math.log1p(student * student / freedom))
    return math.copysign((8.0 * freedom + 1.0) / (8.0 * freedom + 3.0) * size, student)


@dataclass(frozen=True, slots=True)
class Standing:
    """What the chart says after a move.

    Attributes
    ----------
    moves : int
        That it has heard. [-]
    score : float
        Of the latest move; 0 where it has heard too few. [-]
    mean : float
        Of the scores. [-]
    usual : float
        Mean peak of the moves before. [A]
    scatter : float
        Their standard deviation; 0 where there were fewer than two. [A]
    """

    moves: int
    score: float
    mean: float
    usual: float
    scatter: float

    @property
    def drifts(self) -> bool:
        """Whether the mean has left its limits."""
        return abs(self.mean) > edge()

    @property
    def left(self) -> int:
        """How many moves it still wants before it can say anything [-]."""
        return max(LEAST_MOVES + 1 - self.moves, 0)


class Chart:
    """The chart of one way of moving."""

    def __init__(self) -> None:
        self._number, self._usual, self._squares, self._mean = 0, 0.0, 0.0, 0.0

    def take(self, peak: float) -> Standing:
        """Look at a move's peak.

        Parameters
        ----------
        peak : float
            Greatest residual of the move. [A]

        Returns
        -------
        Standing
            What the chart says now.
        """
        number, usual = self._number, self._usual
        scatter = math.sqrt(self._squares / (number - 1)) if number > 1 else 0.0
        score = 0.0
        if number >= LEAST_MOVES and scatter > 0.0:
            student = (peak - usual) / (scatter * math.sqrt(1.0 + 1.0 / number))
            score = min(max(normal_score(student, number - 1), -CUT), CUT)
            self._mean += WEIGHT * (score - self._mean)
        self._number += 1
        self._usual += (peak - usual) / self._number
        self._squares += (peak - usual) * (peak - self._usual)
        return Standing(self._number, score, self._mean, usual, scatter)


@dataclass(frozen=True, slots=True)
class Hint:
    """What a drift looks like.

    Attributes
    ----------
    like : str
        What it may be.
    evidence : str
        What speaks for it.
    """

    like: str
    evidence: str


def hints(moves: Sequence[Move]) -> list[Hint]:
    """What the drift of one way of moving looks like; more than one may fit, or none.

    Parameters
    ----------
    moves : sequence of Move
        Of that way, the latest last.

    Returns
    -------
    list of Hint
        With their evidence.
    """
    latest, before = moves[-LATEST:], moves[:-LATEST]
    if len(before) < LEAST_MOVES:
        return []
    found = [_battery(latest, before), _ice(latest), _hinge(latest)]
    told = [each for each in found if each is not None]
    return told or [Hint("nothing that is known here", "look at hinges, seal, mount and supply by hand")]


def _battery(latest: Sequence[Move], before: Sequence[Move]) -> Hint | None:
    now = statistics.fmean(move.least_supply for move in latest)
    was = [move.least_supply for move in before]
    usual, scatter = statistics.fmean(was), statistics.stdev(was)
    if now < usual - LOWER_SUPPLY * max(scatter, 1e-3) / math.sqrt(len(latest)) and usual - now >= 0.1:
        return Hint(
            "a tired battery or a poor contact in the supply",
            f"least supply under load {now:.1f} V in the latest {len(latest)} moves, {usual:.1f} V before",
        )
    return None


def _ice(latest: Sequence[Move]) -> Hint | None:
    cold = [move for move in latest if move.temperature <= NEAR_FREEZING]
    near = [move for move in cold if move.peak_place is not None and move.peak_place <= NEAR_END]
    if 2 * len(near) > len(latest):
        warmest = max(move.temperature for move in near) - FREEZING
        return Hint(
            "ice at the seal",
            f"in {len(near)} of the latest {len(latest)} moves the peak was within {100 * NEAR_END:.0f} % of "
            f"shut, at {warmest:.0f} degC or colder",
        )
    return None


def _hinge(latest: Sequence[Move]) -> Hint | None:
    places = sorted(move.peak_place for move in latest if move.peak_place is not None)
    warm = all(move.temperature > NEAR_FREEZING for move in latest)
    if len(places) < LATEST or not warm:
        return None
    inner = places[1:-1]  # one odd move at either end is forgiven
    if inner[-1] - inner[0] <= ONE_PLACE:
        return Hint(
            "a binding hinge or something in the way at one place",
            f"the peaks of the latest moves lie at {100 * inner[0]:.0f} to {100 * inner[-1]:.0f} % of the "
            "travel, none of them in frost",
        )
    return None


class Drift:
    """Both ways of moving."""

    def __init__(self) -> None:
        self._charts = {way: Chart() for way in Way}
        self._moves: dict[Way, list[Move]] = {way: [] for way in Way}
        self._spoken = dict.fromkeys(Way, False)

    def take(self, move: Move) -> Standing | None:
        """Look at a move; one that did not arrive, or was not heard whole, says nothing of a drift.

        Parameters
        ----------
        move : Move
            The latest.

        Returns
        -------
        Standing or None
            None where the move was left out.
        """
        if not (move.reached and move.whole):
            return None
        self._moves[move.way].append(move)
        return self._charts[move.way].take(move.peak_residual)

    def news(self, way: Way, standing: Standing) -> list[str]:
        """What is to be said when a drift begins, or ends.

        Parameters
        ----------
        way : Way
            Which way.
        standing : Standing
            What the chart says.

        Returns
        -------
        list of str
            Sentences; none where nothing has changed.
        """
        if standing.drifts == self._spoken[way]:
            return []
        self._spoken[way] = standing.drifts
        if not standing.drifts:
            return [f"{way.value}: no longer drifting (mean score {standing.mean:+.2f})"]
        much = "more" if standing.mean > 0.0 else "less"
        told = [
            f"{way.value}: the door drifts: it takes {much} than it did over {standing.moves - 1} moves "
            f"(usual peak {standing.usual:.2f} A; mean score {standing.mean:+.2f}, limits {edge():.2f} "
            f"either way; {SPEAKS})"
        ]
        if standing.mean > 0.0:
            told += [f"  it looks like {each.like}: {each.evidence}" for each in hints(self._moves[way])]
        return told
