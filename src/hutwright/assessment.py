"""All trades, in reading order: what holds, what does not, what was not asked, and what to do first."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from typing import NamedTuple

from hutwright.checks.check import Question, Trade
from hutwright.checks.judging import Case, judge
from hutwright.checks.levering import Workshop, solve
from hutwright.checks.priorities import WEIGHT, Action, first_actions, harmed, warned
from hutwright.checks.verdict import Status, Tier, Verdict
from hutwright.description.build import rebuild
from hutwright.description.described import Datum, Described, Origin
from hutwright.model.paths import Keys, present
from hutwright.model.watched import Book

Changed = Callable[[Mapping[Keys, object]], Case]
MOST_CASES = 64  # changed descriptions that are kept, for the next check with the same lever: our choice
QUICK_LEVERS = 2  # how many levers of a check that work a quick answer looks for: a choice of this project


def _door() -> Trade:
    from hutwright.trades.door import TRADE

    return TRADE


def _drive() -> Trade:
    from hutwright.trades.drive import TRADE

    return TRADE


def _wiring() -> Trade:
    from hutwright.trades.wiring import TRADE

    return TRADE


def _guard() -> Trade:
    from hutwright.trades.guard import TRADE

    return TRADE


def _sky() -> Trade:
    from hutwright.trades.sky import TRADE

    return TRADE


# In reading order; each is loaded only where it is asked, so that none waits for the rest
TRADES: Mapping[str, Callable[[], Trade]] = {
    "door": _door,
    "drive": _drive,
    "wiring": _wiring,
    "guard": _guard,
    "sky": _sky,
}


def trades(names: Collection[str] = ()) -> tuple[Trade, ...]:
    """Some trades in reading order, all where none is named.

    Parameters
    ----------
    names : collection of str
        Their names, out of `TRADES`.
    """
    return tuple(load() for name, load in TRADES.items() if not names or name in names)


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


def case_of(described: Described, book: Book | None = None) -> Case:
    """The project of a description, watched by a book, and all that is unsure about it."""
    ranges = {
        path: (each.low, each.high)
        for path, each in described.unsure.items()
        if each.low is not None and each.high is not None
    }
    return Case((book or Book()).watch(described.project), ranges)


def rebuilder(described: Described, book: Book | None = None) -> Changed:
    """From changes of the file to the case that they make; the file itself stays as it is."""
    shared = book or Book()
    kept: dict[str, Case] = {}

    def rebuilt(changes: Mapping[Keys, object]) -> Case:
        mark = repr(sorted(changes.items()))
        if mark not in kept:
            if len(kept) >= MOST_CASES:
                kept.clear()
            kept[mark] = case_of(rebuild(described, changes), shared)
        return kept[mark]

    return rebuilt


def assess(
    described: Described,
    chosen: Iterable[Trade] | None = None,
    *,
    tier: Tier = Tier.FULL,
) -> Assessment:
    """Ask all questions of some trades and find what would help.

    Parameters
    ----------
    described : Described
        The description.
    chosen : iterable of Trade or None
        The trades to ask, in reading order; None for all.
    tier : Tier
        Quick looks for levers only where a check misses, and for no more than two that work; full tries all.

    Returns
    -------
    Assessment
        Verdicts, open questions, actions, the measurement worth taking, cautions.
    """
    book = Book()
    try:
        return _assessed(described, trades() if chosen is None else tuple(chosen), tier, book)
    finally:
        book.forget()


def _assessed(described: Described, chosen: tuple[Trade, ...], tier: Tier, book: Book) -> Assessment:
    """The assessment, with all that was read and answered on the way in a book."""
    case, changed = case_of(described, book), rebuilder(described, book)
    answers = [_asked(described, trade, tier, case.within(trade.reads), changed) for trade in chosen]
    verdicts: list[Verdict] = []
    for answer in answers:
        verdicts += sorted(answer.verdicts, key=lambda each: (-each.status.rank, -each.question.concern))
    known: dict[str, tuple[str, ...]] = {}

    def harm(changes: Mapping[Keys, object]) -> tuple[str, ...]:
        mark = repr(sorted(changes.items()))
        if mark not in known:
            known[mark] = harmed(verdicts, changed, changes)
        return known[mark]

    warned_of = [warned(each, harm) for each in verdicts]
    cautions = [caution for trade in chosen for caution in trade.cautions(case.project)]
    return Assessment(
        described=described,
        verdicts=tuple(warned_of),
        not_asked=tuple(each for answer in answers for each in answer.not_asked),
        actions=first_actions(warned_of, harm),
        measurement=first_measurement(warned_of, described),
        cautions=tuple(dict.fromkeys(cautions)),
    )


@dataclass(frozen=True, slots=True)
class _Answer:
    verdicts: tuple[Verdict, ...]
    not_asked: tuple[NotAsked, ...]


def _asked(described: Described, trade: Trade, tier: Tier, case: Case, changed: Changed) -> _Answer:
    """Ask all questions of one trade."""
    verdicts: list[Verdict] = []
    not_asked: list[NotAsked] = []
    for question in trade.questions:
        lacking = tuple(path for path in question.needs if not present(described.project, path))
        if lacking:
            not_asked.append(NotAsked(question=question, lacking=lacking))
            continue
        for each in judge(question, case, doubts_of_all=tier is Tier.FULL):
            verdicts.append(_with_levers(each, case, trade, changed, described, tier))
    return _Answer(tuple(verdicts), tuple(not_asked))


def _with_levers(
    verdict: Verdict,
    case: Case,
    trade: Trade,
    changed: Changed,
    described: Described,
    tier: Tier,
) -> Verdict:
    quick = tier is Tier.QUICK
    if not verdict.status.short or (quick and verdict.status is not Status.MISSES):
        return replace(verdict, tier=tier)
    workshop = Workshop(
        question=verdict.question,
        subject=verdict.check.subject,
        case=case,
        rebuild=lambda changes: changed(changes).within(trade.reads),
        allow=described.allow,
        hard=verdict.worst_at,
        size=abs(verdict.worst.limit),
    )
    most = QUICK_LEVERS if quick else None
    return replace(verdict, levers=solve(workshop, verdict.check.levers, most=most), tier=tier)


class Served(NamedTuple):
    """A check that is open or barely holds, and what the measurement of one value would do for it.

    Attributes
    ----------
    verdict : Verdict
        The check.
    shrinks : float
        Share of its doubt that would vanish. [-]
    settles : bool
        Whether the value alone could decide it.
    """

    verdict: Verdict
    shrinks: float
    settles: bool


def doubts_served(verdicts: Iterable[Verdict], described: Described) -> dict[Keys, list[Served]]:
    """The open and barely held checks by the value whose measurement would shrink their doubt.

    Parameters
    ----------
    verdicts : iterable of Verdict
        Of the checks.
    described : Described
        The description; what was measured already is left out.
    """
    served: dict[Keys, list[Served]] = {}
    for verdict in verdicts:
        if verdict.status not in (Status.UNDECIDED, Status.BARELY):
            continue
        for each in verdict.influences:
            if each.shrinks > 0.0 and described.values[each.path].origin is not Origin.MEASURED:
                served.setdefault(each.path, []).append(Served(verdict, each.shrinks, each.settles))
    return served


def gained(served: Iterable[Served]) -> float:
    """What a measurement takes from the doubt of some checks together, each by how much it matters [-]."""
    return sum(
        WEIGHT[verdict.status] * verdict.question.concern * (shrinks + settles)
        for verdict, shrinks, settles in served
    )


def first_measurement(verdicts: Iterable[Verdict], described: Described) -> Measurement | None:
    """The value whose measurement would shrink doubt most, over all checks that are open or barely hold."""
    served = doubts_served(verdicts, described)
    if not served:
        return None
    gain = {path: gained(some) for path, some in served.items()}
    path = max(gain, key=lambda each: (gain[each], each))
    return Measurement(
        datum=described.values[path],
        keys=tuple(verdict.key for verdict, _, _ in served[path]),
        settles=tuple(verdict.key for verdict, _, settles in served[path] if settles),
        shrinks=max(shrinks for _, shrinks, _ in served[path]),
    )
