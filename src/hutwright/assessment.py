"""All trades, in reading order: what holds, what does not, what was not asked, and what to do first."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace

from hutwright.checks.check import Question, Trade
from hutwright.checks.judging import Case, judge
from hutwright.checks.lever import Lever
from hutwright.checks.levering import Workshop, solve
from hutwright.checks.verdict import Status, Verdict
from hutwright.description.build import build
from hutwright.description.changes import changed
from hutwright.description.described import Datum, Described, Origin
from hutwright.model.paths import Keys, present
from hutwright.model.project import Project
from hutwright.trades.wiring import TRADE as WIRING

TRADES: tuple[Trade, ...] = (WIRING,)
MOST_ACTIONS = 3
WEIGHT = {
    Status.HOLDS: 0.0,
    Status.BARELY: 0.5,
    Status.UNDECIDED: 2.0,
    Status.MISSES: 3.0,
}  # a choice of this project


@dataclass(frozen=True, kw_only=True, slots=True)
class NotAsked:
    """A question that waits for a description.

    Attributes
    ----------
    question : Question
        The question.
    lacking : tuple
        Addresses that must be described first.
    """

    question: Question
    lacking: tuple[Keys, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Action:
    """Something to do first.

    Attributes
    ----------
    lever : Lever
        What to do.
    keys : tuple
        Keys of the checks that it serves.
    score : float
        Consequence over effort; for sorting only. [-]
    """

    lever: Lever
    keys: tuple[str, ...]
    score: float


@dataclass(frozen=True, kw_only=True, slots=True)
class Measurement:
    """The one value whose measurement would settle most.

    Attributes
    ----------
    datum : Datum
        The value.
    keys : tuple
        Keys of the checks whose doubt it would shrink.
    settles : tuple
        Keys of the checks that it could decide.
    shrinks : float
        Greatest share of a check's doubt that would vanish. [-]
    """

    datum: Datum
    keys: tuple[str, ...]
    settles: tuple[str, ...]
    shrinks: float


@dataclass(frozen=True, kw_only=True, slots=True)
class Assessment:
    """The answer of all trades to one description.

    Attributes
    ----------
    described : Described
        The description.
    verdicts : tuple
        What was asked and answered, trade by trade, worst first within each.
    not_asked : tuple
        What waits for a description.
    actions : tuple
        What to do first.
    measurement : Measurement or None
        The one value to measure first.
    cautions : tuple
        What to be careful with.
    """

    described: Described
    verdicts: tuple[Verdict, ...]
    not_asked: tuple[NotAsked, ...]
    actions: tuple[Action, ...]
    measurement: Measurement | None
    cautions: tuple[str, ...]

    @property
    def assumed(self) -> tuple[Datum, ...]:
        """The values that were assumed, in the order of the file."""
        return tuple(each for each in self.described.values.values() if each.origin is Origin.ASSUMED)

    @property
    def short(self) -> bool:
        """Whether anything misses or is undecided."""
        return any(verdict.status.short for verdict in self.verdicts)


def case_of(described: Described) -> Case:
    """The project of a description and all that is unsure about it."""
    ranges = {
        path: (each.low, each.high)
        for path, each in described.unsure.items()
        if each.low is not None and each.high is not None
    }
    return Case(described.project, ranges)


def rebuilder(described: Described) -> Callable[[Mapping[Keys, object]], Case]:
    """From changes of the file to the case that they make; the file itself stays as it is."""

    def rebuild(changes: Mapping[Keys, object]) -> Case:
        return case_of(build(changed(described.merged, changes), at_range_ends=False))

    return rebuild


def assess(described: Described, trades: Iterable[Trade] = TRADES) -> Assessment:
    """Ask all questions of some trades and find what would help.

    Parameters
    ----------
    described : Described
        The description.
    trades : iterable of Trade
        The trades to ask, in reading order.

    Returns
    -------
    Assessment
        Verdicts, open questions, actions, the measurement worth taking, cautions.
    """
    whole, rebuild = case_of(described), rebuilder(described)
    verdicts: list[Verdict] = []
    not_asked: list[NotAsked] = []
    cautions: list[str] = []
    for trade in trades:
        asked: list[Verdict] = []
        for question in trade.questions:
            lacking = tuple(path for path in question.needs if not present(described.project, path))
            if lacking:
                not_asked.append(NotAsked(question=question, lacking=lacking))
                continue
            case = whole.within(trade.reads)
            asked += [_with_levers(each, case, trade, rebuild, described) for each in judge(question, case)]
        verdicts += sorted(asked, key=lambda each: (-each.status.rank, -each.question.concern))
        cautions += [each for each in trade.cautions(described.project) if each not in cautions]
    return Assessment(
        described=described,
        verdicts=tuple(verdicts),
        not_asked=tuple(not_asked),
        actions=first_actions(verdicts),
        measurement=first_measurement(verdicts, described),
        cautions=tuple(cautions),
    )


def _with_levers(
    verdict: Verdict,
    case: Case,
    trade: Trade,
    rebuild: Callable[[Mapping[Keys, object]], Case],
    described: Described,
) -> Verdict:
    if not verdict.status.short:
        return verdict
    workshop = Workshop(
        question=verdict.question,
        subject=verdict.check.subject,
        case=case,
        rebuild=lambda changes: rebuild(changes).within(trade.reads),
        allow=described.allow,
        idle=frozenset(case.ranges) - {each.path for each in verdict.influences},
        hard=verdict.worst_at,
    )
    return replace(verdict, levers=solve(workshop, verdict.check.levers))


def first_actions(verdicts: Iterable[Verdict]) -> tuple[Action, ...]:
    """The actions that matter most, by consequence and effort; one that serves several counts for each."""
    found: dict[object, list[tuple[Verdict, Lever]]] = {}
    for verdict in verdicts:
        for lever in verdict.levers:
            if lever.works:
                mark = lever.path or frozenset(lever.option.changes.items() if lever.option else ())
                found.setdefault(mark, []).append((verdict, lever))
    actions = []
    for served in found.values():
        lever = max((each for _, each in served), key=lambda each: _strength(each))
        gain = sum(WEIGHT[verdict.status] * verdict.question.concern for verdict, _ in served)
        keys = tuple(dict.fromkeys(verdict.key for verdict, _ in served))
        actions.append(Action(lever=lever, keys=keys, score=gain / lever.effort))
    chosen: list[Action] = []
    for action in sorted(actions, key=lambda each: (-each.score, each.lever.words)):
        done = {key for each in chosen for key in each.keys}
        if len(chosen) < MOST_ACTIONS and not set(action.keys) <= done:
            chosen.append(action)
    return tuple(chosen)


def _strength(lever: Lever) -> float:
    """How far a lever must be turned, for comparing the same lever of several checks."""
    if lever.needed is None:
        return 0.0
    return lever.needed if lever.upwards else -lever.needed


def first_measurement(verdicts: Iterable[Verdict], described: Described) -> Measurement | None:
    """The value whose measurement would shrink doubt most, over all checks that are open or barely hold."""
    gain: dict[Keys, float] = {}
    served: dict[Keys, list[tuple[Verdict, float, bool]]] = {}
    for verdict in verdicts:
        if verdict.status not in (Status.UNDECIDED, Status.BARELY):
            continue
        for each in verdict.influences:
            if each.shrinks > 0.0 and described.values[each.path].origin is not Origin.MEASURED:
                weight = WEIGHT[verdict.status] * verdict.question.concern
                gain[each.path] = gain.get(each.path, 0.0) + weight * (each.shrinks + each.settles)
                served.setdefault(each.path, []).append((verdict, each.shrinks, each.settles))
    if not gain:
        return None
    path = max(gain, key=lambda each: (gain[each], each))
    return Measurement(
        datum=described.values[path],
        keys=tuple(verdict.key for verdict, _, _ in served[path]),
        settles=tuple(verdict.key for verdict, _, settles in served[path] if settles),
        shrinks=max(shrinks for _, shrinks, _ in served[path]),
    )


def questions_of(project: Project, trades: Iterable[Trade] = TRADES) -> tuple[Question, ...]:
    """The questions that can be asked of a project as it is described."""
    return tuple(
        question
        for trade in trades
        for question in trade.questions
        if all(present(project, path) for path in question.needs)
    )
