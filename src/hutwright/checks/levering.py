"""Levers solved: the number at which the margin is zero, and the next thing with which the check holds.

Every answer is tried: the number is set in the file, the description rebuilt and the question judged again.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from hutwright import units
from hutwright.checks.check import Question
from hutwright.checks.judging import NOMINAL, Case, Point, at, spreads
from hutwright.checks.lever import Allowed, Dial, Lever, Option, Pick
from hutwright.errors import HutwrightError
from hutwright.laws.crossing import crossing
from hutwright.model.paths import Keys, value_at

ZERO = 1e-9  # a margin within this share of the limit counts as zero; the promise to users is 1e-6
MOST_POINTS = 8  # worst cases gathered before a search is given up


@dataclass(frozen=True, slots=True)
class Workshop:
    """Where levers are tried.

    Attributes
    ----------
    question : Question
        The question to be answered better.
    subject : str
        The thing it is about.
    case : Case
        As described.
    rebuild : Callable
        From changes of the file to the case that they make.
    allow : Mapping
        What the builder lets be changed; an address that is not there may be changed freely.
    idle : frozenset
        Unsure values that do not move the check as described; a search leaves them out, no confirmation does.
    hard : Mapping
        The worst end as described; what fails even there needs no closer look.
    """

    question: Question
    subject: str
    case: Case
    rebuild: Callable[[Mapping[Keys, object]], Case]
    allow: Mapping[Keys, Allowed]
    idle: frozenset[Keys] = frozenset()
    hard: Point = field(default_factory=dict)

    def margin(self, case: Case, points: Iterable[Point]) -> float:
        """The least margin over some points; NaN where the check is not asked there."""
        least = math.inf
        for point in points:
            check = at(self.question, case, _inside(point, case)).get(self.subject)
            if check is None or math.isnan(check.margin):
                return math.nan
            least = min(least, check.margin)
        return least

    def worst(self, case: Case) -> tuple[float, Point]:
        """The margin at the worst end, and where that is; for a search, over what mattered as described."""
        return self._worst(case.without(self.idle))

    def _worst(self, case: Case) -> tuple[float, Point]:
        spread = spreads(self.question, case).get(self.subject)
        return (math.inf, NOMINAL) if spread is None else (spread.worst.margin, spread.worst_at)

    def holds(self, changes: Mapping[Keys, object]) -> bool:
        """Whether the check holds, at its worst end, once the file is changed, or is not asked any more."""
        try:
            case = self.rebuild(changes)
        except HutwrightError:
            return False
        if self.margin(case, [self.hard]) < 0.0:
            return False
        return self.worst(case)[0] >= 0.0 and self._worst(case)[0] >= 0.0

    def permits(self, changes: Mapping[Keys, object]) -> bool:
        """Whether the builder lets all of it be changed."""
        return all(
            not (rule := self.allow.get(path)) or not rule.choices or value in rule.choices
            for path, value in changes.items()
        )


def _inside(point: Point, case: Case) -> Point:
    """A point, with each value drawn into the range that it has in this case."""
    ranges = case.ranges
    return {
        path: min(max(value, ranges[path][0]), ranges[path][1])
        for path, value in point.items()
        if path in ranges
    }


def solve(workshop: Workshop, declared: Iterable[Dial | Pick]) -> tuple[Lever, ...]:
    """The levers of a check, solved, those that work first and the cheapest of them first."""
    levers = [
        _turned(workshop, each) if isinstance(each, Dial) else _picked(workshop, each) for each in declared
    ]
    return tuple(sorted(levers, key=lambda lever: (not lever.works, lever.effort)))


def _picked(workshop: Workshop, pick: Pick) -> Lever:
    option = _first(workshop, pick.options)
    return Lever(words=pick.words, path=(), needed=None, dimension=None, option=option, effort=pick.effort)


def _first(workshop: Workshop, options: Iterable[Option]) -> Option | None:
    return next(
        (each for each in options if workshop.permits(each.changes) and workshop.holds(each.changes)), None
    )


def _turned(workshop: Workshop, dial: Dial) -> Lever:
    low, high = _bounds(workshop, dial)
    start = value_at(workshop.case.project, dial.path)
    found = _zero(workshop, dial, start, (low, high)) if isinstance(start, float) and low < high else None
    needed, upwards = found if found is not None else (None, True)
    option = _first(workshop, _offers(dial, needed, low, high, upwards=upwards))
    return Lever(
        words=dial.words,
        path=dial.path,
        needed=needed,
        dimension=dial.dimension,
        option=option,
        effort=dial.effort,
        upwards=upwards,
        range=(low, high),
    )


def _bounds(workshop: Workshop, dial: Dial) -> tuple[float, float]:
    rule = workshop.allow.get(dial.path)
    low = dial.lowest if rule is None or rule.low is None else max(dial.lowest, rule.low)
    high = dial.highest if rule is None or rule.high is None else min(dial.highest, rule.high)
    return low, high


def _zero(
    workshop: Workshop, dial: Dial, start: float, ends: tuple[float, float]
) -> tuple[float, bool] | None:
    """The number nearest to the present one with zero margin, and whether the check holds above it."""
    quick = _search(workshop, start, ends, lambda value: workshop.case.set(dial.path, value))
    if quick is not None and _lands(workshop, dial, quick[0]):
        return quick

    def slow(value: float) -> Case:
        return workshop.rebuild({dial.path: units.write(value, dial.dimension)})

    found = _search(workshop, start, ends, slow)
    return found if found is not None and _lands(workshop, dial, found[0]) else None


def _lands(workshop: Workshop, dial: Dial, value: float) -> bool:
    try:
        case = workshop.rebuild({dial.path: units.write(value, dial.dimension)})
    except HutwrightError:
        return False
    spread = spreads(workshop.question, case).get(workshop.subject)
    return spread is not None and abs(spread.worst.margin) <= ZERO * max(1.0, abs(spread.worst.limit))


def _search(
    workshop: Workshop, start: float, ends: tuple[float, float], made: Callable[[float], Case]
) -> tuple[float, bool] | None:
    """A zero of the worst margin between the present value and the nearer end on the other side of the limit.

    Where the present value is short, an end that holds is sought. Where it holds once it is known exactly,
    because its own range is the trouble, an end that is short is sought: the zero is how far it may go.
    """

    def case_at(value: float) -> Case | None:
        try:
            return made(value)
        except HutwrightError:
            return None

    def margin(value: float, points: list[Point]) -> float:
        case = case_at(value)
        return math.nan if case is None else workshop.margin(case, points)

    here = case_at(start)
    short = here is None or not workshop.worst(here)[0] >= 0.0
    for end in sorted(ends, key=lambda each: abs(each - start)):
        case = case_at(end)
        if case is None:
            continue
        reached, where = workshop.worst(case)
        if math.isnan(reached) or math.isinf(reached) or (reached >= 0.0) is not short:
            continue
        bad, good = (start, end) if short else (end, start)
        root = _closed_in(workshop, bad, good, where, margin, case_at)
        if root is not None:
            return root, good >= bad
    return None


def _closed_in(
    workshop: Workshop,
    bad: float,
    good: float,
    where: Point,
    margin: Callable[[float, list[Point]], float],
    case_at: Callable[[float], Case | None],
) -> float | None:
    there = case_at(bad)
    points: list[Point] = [where] if there is None else [where, workshop.worst(there)[1]]
    for _ in range(MOST_POINTS):
        root = _root(lambda value: margin(value, points), bad, good)
        case = None if root is None else case_at(root)
        if root is None or case is None:
            return None
        worst, at_point = workshop.worst(case)
        if abs(worst) <= ZERO / 10 or at_point in points:
            return root
        points.append(at_point)
    return None


def _root(margin: Callable[[float], float], bad: float, good: float) -> float | None:
    """Where a margin that is negative at one place and not at the other crosses zero."""
    first, last = margin(bad), margin(good)
    if math.isnan(first) or math.isnan(last) or not first < 0.0 <= last:
        return None
    found = crossing(margin, bad, good)
    return None if math.isnan(found) else found


def _offers(dial: Dial, needed: float | None, low: float, high: float, *, upwards: bool) -> Iterator[Option]:
    """What one can set or buy, the nearest first."""
    if needed is not None:
        sizes = [
            each
            for each in dial.sizes
            if low <= each <= high and (each >= needed if upwards else each <= needed)
        ]
        if dial.step is not None:
            sizes.append(_stepped(needed, dial.step, upwards=upwards))
        for size in sorted(sizes, reverse=not upwards)[:4]:
            text = units.write_as(size, dial.dimension, dial.dimension.usual)
            yield Option(f"{dial.words} {text}", {dial.path: text})
    yield from dial.buyable


def _stepped(needed: float, step: float, *, upwards: bool) -> float:
    """The next multiple of a step on the side that holds."""
    return (math.ceil(needed / step) if upwards else math.floor(needed / step)) * step
