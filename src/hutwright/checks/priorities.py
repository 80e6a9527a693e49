"""What to do first: the levers that matter most and make no other check worse."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from hutwright import units
from hutwright.checks.check import Check, Concern, Question
from hutwright.checks.judging import Case, at, check_at, drawn_in
from hutwright.checks.lever import Lever
from hutwright.checks.spread import NOMINAL, Point
from hutwright.checks.verdict import Status, Verdict
from hutwright.errors import HutwrightError
from hutwright.model.paths import Keys

MOST_ACTIONS = 3
WEIGHT = {
    Status.HOLDS: 0.0,
    Status.BARELY: 0.5,
    Status.UNDECIDED: 2.0,
    Status.MISSES: 3.0,
}  # a choice of this project
WORSE = 0.01  # of the limit: a margin that falls by less is not called worse; a choice of this project
EASILY_SET = "controller"  # the table whose values change by a keystroke: its levers are looked at for harm

Harm = Callable[[Mapping[Keys, object]], tuple[str, ...]]


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


def harmed(
    verdicts: Sequence[Verdict],
    rebuild: Callable[[Mapping[Keys, object]], Case],
    changes: Mapping[Keys, object],
) -> tuple[str, ...]:
    """Keys of the checks that a change of the file makes worse, and short.

    Every check is asked again at nominal values; checks of safety at their own worst end too. One that has a
    slow way to its answer is asked so only where its quick way tells of something worse.

    Parameters
    ----------
    verdicts : sequence of Verdict
        All checks as described.
    rebuild : Callable
        From changes of the file to the case that they make.
    changes : Mapping
        The change, by address, as the file spells it.

    Returns
    -------
    tuple of str
        The keys; empty where nothing gets worse.
    """
    try:
        after = rebuild(changes)
        slow = any(verdict.question.confirm is not None for verdict in verdicts)
        before = rebuild({}) if slow else after
    except HutwrightError:
        return ()
    return tuple(verdict.key for verdict in verdicts if _harmed(verdict, before, after))


def _harmed(verdict: Verdict, before: Case, after: Case) -> bool:
    points: list[tuple[Check, Point]] = [(verdict.check, NOMINAL)]
    if verdict.question.concern is Concern.SAFETY:
        points.append((verdict.worst, drawn_in(verdict.worst_at, after)))
    return any(_worsened(verdict.question, check, before, after, point) for check, point in points)


def _worsened(question: Question, check: Check, before: Case, after: Case, point: Point) -> bool:
    """Whether a check at some point gets worse, and short."""
    if question.confirm is not None:
        was, now = (at(question, case, point).get(check.subject) for case in (before, after))
        if was is None or now is None or not now.margin < was.margin:
            return False
    return _worse(check, check_at(question, after, check.subject, point))


def _worse(before: Check, after: Check | None) -> bool:
    if after is None:
        return False
    return after.margin < 0.0 and after.margin < before.margin - WORSE * abs(before.limit)


def warned(verdict: Verdict, harm: Harm) -> Verdict:
    """The verdict, with a warning on each lever that is easily set and makes another check worse."""
    levers = tuple(
        replace(lever, worsens=harm(_changes(lever))) if lever.works and _easily_set(lever) else lever
        for lever in verdict.levers
    )
    return replace(verdict, levers=levers) if levers != verdict.levers else verdict


def _easily_set(lever: Lever) -> bool:
    return any(
        path[0] == EASILY_SET
        for path in (lever.path, *(lever.option.changes if lever.option else ()))
        if path
    )


def _changes(lever: Lever) -> Mapping[Keys, object]:
    """What pulling a lever writes into the file."""
    if lever.option is not None:
        return lever.option.changes
    if lever.needed is None or lever.dimension is None:
        return {}
    return {lever.path: units.write(lever.needed, lever.dimension)}


def first_actions(verdicts: Iterable[Verdict], harm: Harm) -> tuple[Action, ...]:
    """The actions that matter most, by consequence and effort, and that do no harm.

    One that serves several checks counts for each of them.
    """
    found: dict[object, list[tuple[Verdict, Lever]]] = {}
    for verdict in verdicts:
        for lever in verdict.levers:
            if lever.works:
                mark = (lever.path, lever.upwards) if lever.path else repr(sorted(_changes(lever).items()))
                found.setdefault(mark, []).append((verdict, lever))
    actions = []
    for served in found.values():
        lever = max((each for _, each in served), key=_strength)
        gain = sum(WEIGHT[verdict.status] * verdict.question.concern for verdict, _ in served)
        keys = tuple(dict.fromkeys(verdict.key for verdict, _ in served))
        actions.append(Action(lever=lever, keys=keys, score=gain / lever.effort))
    chosen: list[Action] = []
    for action in sorted(actions, key=lambda each: (-each.score, each.lever.words)):
        if len(chosen) == MOST_ACTIONS:
            break
        done = {key for each in chosen for key in each.keys}
        if not set(action.keys) <= done and not harm(_changes(action.lever)):
            chosen.append(action)
    return tuple(chosen)


def _strength(lever: Lever) -> float:
    """How far a lever must be turned, for comparing the same lever of several checks."""
    if lever.needed is None:
        return 0.0
    return lever.needed if lever.upwards else -lever.needed
