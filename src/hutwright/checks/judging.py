"""A question judged over the ranges of all that it rests on.

Each unsure input that matters is moved to both of its ends alone; the ends that hurt, and the ends that help,
are then put together; a small fixed design of points inside the ranges guards against a worst case that lies
between. Inputs that the answer was not worked out from are left alone; the others are first moved table by
table, then half by half, so that what does not matter costs little; and once more around the worst end,
because an input may matter only there. What is dear to move is moved to its ends alone and to the corners,
and to nowhere else.

Where a question has a slow way to a better answer, all of that is done with its quick one, and the slow one
answers at the points that it found: as described, at the worst and at the best.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cache

from hutwright.checks.check import Check, Question
from hutwright.checks.spread import NOMINAL, Point, ShortError, Spread, Strict
from hutwright.checks.verdict import Influence, Status, Verdict
from hutwright.errors import ModelError
from hutwright.model.paths import Keys
from hutwright.model.project import Project
from hutwright.model.watched import answered, moved, rests_on
from hutwright.sources import Source, Standing

OWN = "the builder's own limit"
POINTS = 8  # of the design inside the ranges: a choice of this project
NEAR_END = 0.1  # how near to an end a whole table is moved, as a share of the range: a choice of this project


@dataclass(frozen=True, slots=True)
class Case:
    """A project and what is unsure about it.

    Attributes
    ----------
    project : Project
        At nominal values.
    ranges : Mapping
        Lower and upper end of every unsure value, by address. [SI]
    tried : dict
        Projects with some values moved, kept because every question asks for the same.
    designed : dict
        Points of the design, kept for the same reason.
    """

    project: Project
    ranges: Mapping[Keys, tuple[float, float]]
    tried: dict[frozenset[tuple[Keys, float]], Project | None] = field(
        default_factory=dict, repr=False, compare=False
    )
    designed: dict[int, Point] = field(default_factory=dict, repr=False, compare=False)

    def moved(self, point: Point) -> Project | None:
        """The project with some unsure values moved; None where they contradict each other."""
        mark = frozenset(point.items())
        if mark not in self.tried:
            self.tried[mark] = self._moved(point)
        return self.tried[mark]

    def _moved(self, point: Point) -> Project | None:
        try:
            return moved(self.project, point)
        except ModelError:
            return None

    def design(self, number: int) -> Point:
        """One point of the design inside the ranges."""
        if number not in self.designed:
            self.designed[number] = {
                path: low + strata(path)[number] * (high - low) for path, (low, high) in self.ranges.items()
            }
        return self.designed[number]

    def within(self, tables: Iterable[str]) -> Case:
        """The same, with only the unsure values of some tables."""
        kept = frozenset(tables)
        return Case(
            self.project, {path: ends for path, ends in self.ranges.items() if path[0] in kept}, self.tried
        )

    def set(self, path: Keys, value: float) -> Case:
        """The same with one value known."""
        ranges = {other: ends for other, ends in self.ranges.items() if other != path}
        return Case(moved(self.project, {path: value}), ranges)


def drawn_in(point: Point, case: Case) -> Point:
    """A point, with each value drawn into the range that it has in a case; known values are left out."""
    known = {path: case.ranges[path] for path in point if path in case.ranges}
    return {path: min(max(point[path], low), high) for path, (low, high) in known.items()}


def checks_at(question: Question, project: Project) -> dict[str, Check]:
    """The question's checks by subject, each held to the stricter of its limit and the builder's own."""
    limits = project.limits
    checks = answered(question.ask, project)
    return {check.subject: _stricter(question.key, check, limits) for check in checks}


def _stricter(key: str, check: Check, limits: Mapping[str, float]) -> Check:
    if not limits:
        return check
    address = next((each for each in (f"{key}.{check.subject}", key) if each in limits), None)
    if address is None:
        return check
    own = limits[address]
    if not check.margin_to(own) < check.margin:
        return check
    return replace(check, limit=own, limit_from=Source(OWN, f'limits."{address}"', Standing.READ))


def at(question: Question, case: Case, point: Point) -> dict[str, Check]:
    """The checks with some unsure values moved; none where those values contradict each other."""
    project = case.moved(point)
    return {} if project is None else checks_at(question, project)


def check_at(question: Question, case: Case, subject: str, point: Point) -> Check | None:
    """The check about one thing with some unsure values moved, the slow way where the question has one."""
    project = case.moved(point)
    return None if project is None else surely(question, project, subject)


def surely(question: Question, project: Project, subject: str) -> Check | None:
    """The check about one thing, the slow way where the question has one, held to the stricter limit."""
    if question.confirm is None:
        return checks_at(question, project).get(subject)
    found = question.confirm(project, subject)
    return _stricter(question.key, found[0], project.limits) if found else None


@cache
def strata(path: Keys) -> tuple[float, ...]:
    """Where the points of the design lie along one input, as shares of its range; the same in every run.

    Each of the equal parts of the range holds one point; the order depends on the input's address alone, so
    that one input more or less does not move the others.
    """
    chance = random.Random(f"hutwright:{'.'.join(path)}")
    shares = [(number + chance.random()) / POINTS for number in range(POINTS)]
    chance.shuffle(shares)
    return tuple(shares)


def spreads(question: Question, case: Case) -> dict[str, Spread]:
    """How each check of a question moves over the ranges, by subject."""
    return _spreads(question, case, lambda _, check: Spread.of(check))


def short_at(question: Question, case: Case, subject: str) -> Point | None:
    """The first point found at which a check is short or cannot be told; None where it holds at all of them.

    Parameters
    ----------
    question : Question
        What is asked.
    case : Case
        Of what.
    subject : str
        Which of its checks; the others do not count. One that is not asked holds.

    Returns
    -------
    Point or None
        One of the points at which the check would be judged.
    """
    if question.confirm is not None:
        quick = spreads(question, case).get(subject)
        points = () if quick is None else (quick.worst_at, NOMINAL, quick.best_at)
        slow = ((point, check_at(question, case, subject, point)) for point in points)
        return next((point for point, check in slow if check is not None and not check.margin >= 0.0), None)
    try:
        _spreads(question, case, lambda each, check: (Strict if each == subject else Spread).of(check))
    except ShortError as found:
        return found.point
    return None


def _spreads(question: Question, case: Case, begin: Callable[[str, Check], Spread]) -> dict[str, Spread]:
    found = {subject: begin(subject, check) for subject, check in checks_at(question, case.project).items()}
    if not found:
        return found
    read = rests_on(question.ask, case.project, case.ranges)
    moving = [path for path in read if question.is_dear(path)]
    for paths in _tables(path for path in read if not question.is_dear(path)).values():
        moving += _moving(question, case, found, paths)
    for path in moving:
        _move_alone(question, case, found, path)
    for number in range(POINTS):
        inside = {path: value for path, value in case.design(number).items() if not question.is_dear(path)}
        _take(found, at(question, case, inside), inside)
    for point in _corners(found, case):
        _take(found, at(question, case, point), point)
    for subject in found:
        _look_around_the_worst_end(question, case, found, subject)
    return found


def _tables(paths: Iterable[Keys]) -> Mapping[str, list[Keys]]:
    """Some addresses, by the table that they stand in."""
    found: dict[str, list[Keys]] = {}
    for path in paths:
        found.setdefault(path[0], []).append(path)
    return found


def _take(found: Mapping[str, Spread], checks: Mapping[str, Check], point: Point) -> None:
    for subject, check in checks.items():
        if subject in found:
            found[subject].add(check, point)


def _shaken(paths: Collection[Keys], case: Case) -> tuple[Point, Point]:
    """All the values of a table near one of their ends, and each near the other."""
    here: dict[Keys, float] = {}
    there: dict[Keys, float] = {}
    for path in paths:
        (low, high), share = case.ranges[path], strata(path)[0]
        inside = NEAR_END * share * (high - low)
        ends = (low + inside, high - inside)
        here[path], there[path] = ends if share < 0.5 else ends[::-1]
    return here, there


def _moving(
    question: Question, case: Case, found: Mapping[str, Spread], paths: Sequence[Keys]
) -> Iterator[Keys]:
    """Those of some unsure values that move an answer: all of them are moved, then either half, and so on."""
    if len(paths) < 2:
        yield from paths
        return
    if not any(_matters(question, case, found, point) for point in _shaken(paths, case)):
        return
    middle = len(paths) // 2
    yield from _moving(question, case, found, paths[:middle])
    yield from _moving(question, case, found, paths[middle:])


def _matters(question: Question, case: Case, found: Mapping[str, Spread], point: Point) -> bool:
    there = at(question, case, point)
    return any(
        subject not in there or _differs(there[subject], spread.nominal) for subject, spread in found.items()
    )


def _move_alone(question: Question, case: Case, found: Mapping[str, Spread], path: Keys) -> None:
    ends = case.ranges[path]
    low, high = at(question, case, {path: ends[0]}), at(question, case, {path: ends[1]})
    for subject, spread in found.items():
        pair = (low.get(subject, spread.nominal), high.get(subject, spread.nominal))
        if any(_differs(each, spread.nominal) for each in pair):
            spread.ends[path] = (pair[0].margin, pair[1].margin)
            spread.add(pair[0], {path: ends[0]})
            spread.add(pair[1], {path: ends[1]})


def _differs(check: Check, nominal: Check) -> bool:
    return (check.value, check.limit) != (nominal.value, nominal.limit)


def _corners(found: Mapping[str, Spread], case: Case) -> Iterator[Point]:
    """The corners of every check, each once."""
    seen: set[frozenset[tuple[Keys, float]]] = set()
    for spread in found.values():
        if len(spread.ends) > 1:
            for worst in (True, False):
                point = corner(spread, case, worst=worst)
                mark = frozenset(point.items())
                if mark not in seen:
                    seen.add(mark)
                    yield point


def _look_around_the_worst_end(
    question: Question, case: Case, found: Mapping[str, Spread], subject: str
) -> None:
    """Find inputs that matter only where others are bad already, behind a regulator, say."""
    spread = found[subject]
    start, here = dict(spread.worst_at), spread.worst
    hidden: dict[Keys, tuple[float, float]] = {}
    idle = [path for path in case.ranges if path not in spread.ends and not question.is_dear(path)]
    there = case.moved(start)
    if there is not None:
        idle = rests_on(question.ask, there, idle)
    if not idle:
        return
    shaken = [at(question, case, {**start, **point}).get(subject, here) for point in _shaken(idle, case)]
    if not any(_differs(each, here) for each in shaken):
        return
    for path in idle:
        pair = [at(question, case, {**start, path: end}).get(subject, here) for end in case.ranges[path]]
        if any(_differs(each, here) for each in pair):
            hidden[path] = (pair[0].margin, pair[1].margin)
    if hidden:
        spread.ends.update(hidden)
        for point in (corner(spread, case, worst=True), corner(spread, case, worst=False)):
            _take(found, at(question, case, point), point)


def corner(spread: Spread, case: Case, *, worst: bool, but: Point = NOMINAL) -> dict[Keys, float]:
    """Every input at the end that hurts most (or helps most), but for some that are fixed."""
    point: dict[Keys, float] = {}
    for path, (low, high) in spread.ends.items():
        ends = case.ranges[path]
        point[path] = ends[0] if (low < high) is worst else ends[1]
    return {**point, **but}


def judge(question: Question, case: Case, *, doubts_of_all: bool = True) -> tuple[Verdict, ...]:
    """The verdicts of a question, without levers.

    Parameters
    ----------
    question : Question
        What is asked.
    case : Case
        Of what, with the ranges that matter to it.
    doubts_of_all : bool
        Whether what each input adds to the doubt is worked out for every check; only for those that are open
        or barely hold otherwise.

    Returns
    -------
    tuple of Verdict
        One for each thing the question is about.
    """
    return tuple(
        _verdict(question, case, subject, spread, doubts_of_all=doubts_of_all)
        for subject, spread in spreads(question, case).items()
    )


def confirmed(question: Question, case: Case, subject: str, quick: Spread) -> Spread:
    """How a check moves as the slow way has it, where the question has one: at three points.

    As described, and where the quick way found the worst and the best; which of them is worst, and how bad
    that is, the slow way tells.

    Parameters
    ----------
    question : Question
        What is asked.
    case : Case
        Of what.
    subject : str
        Which of its checks.
    quick : Spread
        How it moves the quick way.
    """
    if question.confirm is None:
        return quick
    nominal = check_at(question, case, subject, NOMINAL)
    if nominal is None:
        return quick
    found = Spread.of(nominal)
    for point in (quick.worst_at, quick.best_at):
        check = check_at(question, case, subject, point)
        if check is not None:
            found.add(check, point)
    return found


def _verdict(question: Question, case: Case, subject: str, quick: Spread, *, doubts_of_all: bool) -> Verdict:
    spread = confirmed(question, case, subject, quick)
    bare = Verdict(
        question=question,
        check=spread.nominal,
        worst=spread.worst,
        worst_at=spread.worst_at,
        low=spread.low,
        high=spread.high,
        margin=spread.worst.margin,
        best=spread.best,
        doubted=spread.doubted,
        method_settles=spread.method_settles,
    )
    wanted = doubts_of_all or bare.status in (Status.UNDECIDED, Status.BARELY)
    undecided = spread.worst.margin < 0.0 <= spread.doubted[1]
    found = _influences(question, case, subject, quick, weighed=wanted, undecided=undecided)
    return replace(bare, influences=found)


def _influences(
    question: Question, case: Case, subject: str, spread: Spread, *, weighed: bool, undecided: bool
) -> tuple[Influence, ...]:
    """What moves a check, the strongest first; weighed only where the doubt matters."""
    whole = spread.best - spread.worst.margin
    found = []
    for path, (low, high) in spread.ends.items():
        shrinks, settles = 0.0, False
        if weighed and whole > 0.0:
            shrinks = _shrinks(question, case, subject, spread, path, whole)
            settles = undecided and _settles(question, case, subject, spread, path)
        found.append(Influence(path=path, low=low, high=high, shrinks=shrinks, settles=settles))
    return tuple(sorted(found, key=lambda each: (-each.shrinks, each.path)))


def _shrinks(question: Question, case: Case, subject: str, spread: Spread, path: Keys, whole: float) -> float:
    """Share of the doubt that knowing one input takes away, the quick way."""
    middle = {path: sum(case.ranges[path]) / 2}

    def margin(*, worst: bool) -> float:
        check = at(question, case, corner(spread, case, worst=worst, but=middle)).get(subject)
        return check.margin if check is not None else math.nan

    left = margin(worst=False) - margin(worst=True)
    return 0.0 if math.isnan(left) else max(0.0, min(1.0, 1.0 - left / whole))


def _settles(question: Question, case: Case, subject: str, spread: Spread, path: Keys) -> bool:
    """Whether one input alone, at one of its ends, decides the check whatever the others are."""
    low, high = case.ranges[path]
    rises = spread.ends[path][0] < spread.ends[path][1]
    good, bad = {path: high if rises else low}, {path: low if rises else high}

    def found(*, worst: bool, but: Point) -> Check | None:
        return check_at(question, case, subject, corner(spread, case, worst=worst, but=but))

    least, most = found(worst=True, but=good), found(worst=False, but=bad)
    return (least is not None and least.margin >= 0.0) or (most is not None and most.margins[1] < 0.0)
