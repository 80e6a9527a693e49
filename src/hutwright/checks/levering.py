"""Levers solved: the number at which the margin is zero, and the next thing with which the check holds.

Every answer is tried: the number is set in the file, the description rebuilt and the question judged again.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from hutwright import units
from hutwright.checks.check import Question
from hutwright.checks.judging import Case, check_at, confirmed, drawn_in, short_at, spreads
from hutwright.checks.lever import Allowed, Dial, Lever, Option, Pick
from hutwright.checks.spread import NOMINAL, Point
from hutwright.errors import HutwrightError
from hutwright.laws.crossing import crossing
from hutwright.model.paths import Keys, value_at
from hutwright.units import Dimension

ZERO = 1e-9  # a margin within this share of the limit counts as zero; the promise to users is 1e-6
LONG_NUMBER = 1000.0  # from here on a number is long to read: a choice of this project
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
    hard : Mapping
        The worst end as described; what fails even there needs no closer look.
    harder : list
        Points at which something failed that held at the worst end as described; tried next.
    size : float
        Size of the limit, which a zero is small against. [the check's]
    """

    question: Question
    subject: str
    case: Case
    rebuild: Callable[[Mapping[Keys, object]], Case]
    allow: Mapping[Keys, Allowed]
    hard: Point = field(default_factory=dict)
    harder: list[Point] = field(default_factory=list)
    size: float = 1.0

    def margin(self, case: Case, points: Iterable[Point]) -> float:
        """The least margin over some points; NaN where the check is not asked there."""
        least = math.inf
        for point in points:
            check = check_at(self.question, case, self.subject, drawn_in(point, case))
            if check is None or math.isnan(check.margin):
                return math.nan
            least = min(least, check.margin)
        return least

    def worst(self, case: Case) -> tuple[float, Point]:
        """The margin at the worst end, and where that is."""
        quick = spreads(self.question, case).get(self.subject)
        if quick is None:
            return math.inf, NOMINAL
        spread = confirmed(self.question, case, self.subject, quick)
        return spread.worst.margin, spread.worst_at

    def holds(self, changes: Mapping[Keys, object]) -> bool:
        """Whether the check holds, at its worst end, once the file is changed, or is not asked any more."""
        try:
            case = self.rebuild(changes)
        except HutwrightError:
            return False
        if any(self.margin(case, [point]) < 0.0 for point in (self.hard, *self.harder)):
            return False
        short = short_at(self.question, case, self.subject)
        if short is not None and short not in self.harder:
            self.harder.append(short)
        return short is None

    def permits(self, changes: Mapping[Keys, object]) -> bool:
        """Whether the builder lets all of it be changed."""
        return all(
            not (rule := self.allow.get(path)) or not rule.choices or value in rule.choices
            for path, value in changes.items()
        )


def solve(
    workshop: Workshop, declared: Iterable[Dial | Pick], *, most: int | None = None
) -> tuple[Lever, ...]:
    """The levers of a check, solved, those that work first and the cheapest of them first.

    Parameters
    ----------
    workshop : Workshop
        Where they are tried.
    declared : iterable
        What the check declares, in its own order.
    most : int or None
        After how many that work the rest is left untried, the cheapest being tried first; None for all. [-]
    """
    levers: list[Lever] = []
    for each in sorted(declared, key=lambda one: one.effort):
        if most is not None and sum(lever.works for lever in levers) >= most:
            break
        levers.append(_turned(workshop, each) if isinstance(each, Dial) else _picked(workshop, each))
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
    """The number nearest to the present one with zero margin, and whether the check holds above it.

    Searched first with everything else as built, then, where that does not land, building anew each time.
    """

    def as_built(value: float) -> Case:
        return workshop.case.set(dial.path, value)

    def anew(value: float) -> Case:
        return workshop.rebuild({dial.path: units.write(value, dial.dimension)})

    found = _search(workshop, start, ends, as_built, anew)
    return found if found is not None else _search(workshop, start, ends, anew, anew)


def _search(
    workshop: Workshop,
    start: float,
    ends: tuple[float, float],
    made: Callable[[float], Case],
    confirmed: Callable[[float], Case],
) -> tuple[float, bool] | None:
    """A zero of the worst margin between the present value and the nearer end on the other side of the limit.

    Where the present value is short, an end that holds is sought. Where it holds once it is known exactly,
    because its own range is the trouble, an end that is short is sought: the zero is how far it may go.
    The search looks at a few worst points only; what it finds is judged in full, and a worse point found by
    that joins the few.
    """

    def margin(value: float) -> float:
        try:
            return workshop.margin(made(value), points)
        except HutwrightError:
            return math.nan

    points: list[Point] = [workshop.hard]
    for _ in range(MOST_POINTS):
        found = _between(margin, start, ends)
        if found is None:
            return None
        try:
            worst, where = workshop.worst(confirmed(found[0]))
        except HutwrightError:
            return None
        if abs(worst) <= ZERO * max(1.0, workshop.size):
            return found
        if where in points or math.isnan(worst):
            return None
        points.append(where)
    return None


def _between(
    margin: Callable[[float], float], start: float, ends: tuple[float, float]
) -> tuple[float, bool] | None:
    here = margin(start)
    if math.isnan(here):
        return None
    for end in sorted(ends, key=lambda each: abs(each - start)):
        there = margin(end)
        if math.isnan(there) or math.isinf(there) or (here >= 0.0) == (there >= 0.0):
            continue
        bad, good = (start, end) if here < 0.0 else (end, start)
        root = _root(margin, bad, good)
        if root is not None:
            return root, good >= bad
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
            text = units.write_as(size, dial.dimension, _file_unit(size, dial.dimension))
            yield Option(f"{dial.words} {text}", {dial.path: text})
    yield from dial.buyable


def _file_unit(size: float, dimension: Dimension) -> str:
    """The unit that a builder would write: the usual one, or the base unit where that makes a long number."""
    usual = dimension.usual
    number = float(units.write_as(size, dimension, usual).split()[0])
    return dimension.base if abs(number) >= LONG_NUMBER and dimension.base in dimension.units else usual


def _stepped(needed: float, step: float, *, upwards: bool) -> float:
    """The next multiple of a step on the side that holds."""
    return (math.ceil(needed / step) if upwards else math.floor(needed / step)) * step
