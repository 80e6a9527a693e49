"""A rehearsal again and again, with every unsure value of the description drawn anew.

The controller keeps the settings that follow from the description as it stands: what is flashed does not know
what the door will turn out to be. Each run has a seed of its own, so that the answer does not depend on how
many workers there are, nor on the order in which they end.
"""

from __future__ import annotations

import math
import statistics
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from concurrent.futures import FIRST_COMPLETED, Executor, Future, wait
from dataclasses import dataclass

import numpy as np

from hutwright.assessment import case_of
from hutwright.bench.rehearsal import Performance, rehearse
from hutwright.bench.scenario import Bound, Record, Scenario
from hutwright.bench.scenarios import SCENARIOS, chosen
from hutwright.bench.stage import Stage
from hutwright.checks.check import Sense
from hutwright.checks.judging import Case
from hutwright.description.described import Described
from hutwright.errors import Cancel, Progress, RequestError
from hutwright.laws.share_interval import ShareInterval, share_interval
from hutwright.model.paths import Keys
from hutwright.model.project import Project
from hutwright.studies.rehearse import stage_of, supply_ends

REDRAWN = 50  # how often values that contradict each other are drawn anew: a choice of this project
AHEAD = 8  # runs handed out beyond those that came back: a choice of this project
LOOK = 0.1  # how often it is looked whether to stop [s]
Ranges = Mapping[Keys, tuple[float, float]]


@dataclass(frozen=True, kw_only=True, slots=True)
class Spread:
    """One bound of a scenario over all runs.

    Attributes
    ----------
    bound : Bound
        The bound.
    median : float
        Half of the runs were better; NaN where the quantity did not arise in half of them. [dimension]
    worst : float
        The worst run; NaN where it did not arise in some run. [dimension]
    """

    bound: Bound
    median: float
    worst: float


@dataclass(frozen=True, kw_only=True, slots=True)
class Share:
    """How often one scenario was met.

    Attributes
    ----------
    scenario : Scenario
        The scenario.
    met : int
        How often it was met.
    runs : int
        Of how many.
    spreads : tuple
        Its bounds over all runs.
    """

    scenario: Scenario
    met: int
    runs: int
    spreads: tuple[Spread, ...]

    @property
    def interval(self) -> ShareInterval:
        """Interval at 95 % confidence for the share that is met."""
        return share_interval(self.met, self.runs)


@dataclass(frozen=True, kw_only=True, slots=True)
class Trials:
    """What came of all runs.

    Attributes
    ----------
    shares : tuple
        Scenario by scenario, in reading order.
    runs : int
        How many were made.
    wanted : int
        How many were asked for.
    seed : int
        What they were drawn by.
    drawn : tuple
        Addresses of the values that were drawn.
    """

    shares: tuple[Share, ...]
    runs: int
    wanted: int
    seed: int
    drawn: tuple[Keys, ...]


@dataclass(frozen=True, slots=True)
class _Outcome:
    """One scenario in one run: whether it was met, and the worst of each bound."""

    key: str
    met: bool
    values: tuple[tuple[Bound, float], ...]


def trials(
    described: Described,
    runs: int,
    *,
    seed: int = 0,
    scenarios: Iterable[Scenario] = SCENARIOS,
    flashed: Record | None = None,
    executor: Executor | None = None,
    progress: Progress | None = None,
    cancel: Cancel | None = None,
) -> Trials:
    """Rehearse a description often, each time with its unsure values drawn anew between their ends.

    Parameters
    ----------
    described : Described
        The description.
    runs : int
        How often, 1 or more. [-]
    seed : int
        What the values are drawn by. [-]
    scenarios : iterable of Scenario
        The scenarios; of those of this house only.
    flashed : Record or None
        The controller's settings; None for those that follow from the description.
    executor : Executor or None
        Where they are made, threads or processes; here where none is given. The answer is the same.
    progress : Callable or None
        Is told how many of how many are made.
    cancel : Cancel or None
        Ends it early; the runs that were made by then count, as far as they are the first ones.

    Returns
    -------
    Trials
        Shares with their intervals, and the spread of every bound.

    Raises
    ------
    RequestError
        Where no run is asked for, or what a door needs is not described.
    """
    if runs < 1:
        raise RequestError(f"{runs} runs are none; ask for 1 or more")
    case = case_of(described)
    # a value without a range stays what it is; the settings are those of the description, or as given
    stage, names = stage_of(described, flashed), tuple(each.key for each in scenarios)
    given = _Given(described.project, dict(case.ranges), supply_ends(described), stage.settings, names)
    made = list(_made(given, range(runs), seed, executor, progress, cancel))
    return Trials(
        shares=tuple(_shares(made, names)),
        runs=len(made),
        wanted=runs,
        seed=seed,
        drawn=tuple(sorted(case.ranges)),
    )


@dataclass(frozen=True, slots=True)
class _Given:
    """What every run begins with; it travels to other processes."""

    project: Project
    ranges: Ranges
    voltages: tuple[float, float] | None
    settings: Record
    names: tuple[str, ...]


def drawn(ranges: Ranges, seed: int, index: int) -> Iterator[dict[Keys, float]]:
    """Values of one run, and others in case they contradict each other.

    Parameters
    ----------
    ranges : Mapping
        Lower and upper end by address. [SI]
    seed : int
        Of all runs. [-]
    index : int
        Number of this run. [-]
    """
    chance = np.random.default_rng([seed, index])
    paths = sorted(ranges)
    for _ in range(REDRAWN):
        shares = chance.random(len(paths))
        yield {
            path: ranges[path][0] + float(share) * (ranges[path][1] - ranges[path][0])
            for path, share in zip(paths, shares, strict=True)
        }


def _one(given: _Given, seed: int, index: int) -> tuple[_Outcome, ...]:
    """One run."""
    case = Case(given.project, given.ranges)
    for point in drawn(given.ranges, seed, index):
        project = case.moved(point)
        if project is not None:
            break
    else:
        project = given.project
    stage = Stage(project, given.voltages, given.settings, noise=index + 1)
    played = rehearse(stage, chosen(given.names))
    return tuple(_outcome(each) for each in played.performances)


def _outcome(performance: Performance) -> _Outcome:
    bounds = {bound.quantity: bound for bound in performance.expected.bounds}
    return _Outcome(
        key=performance.scenario.key,
        met=performance.met,
        values=tuple((bound, performance.worst_of(quantity)) for quantity, bound in bounds.items()),
    )


def _made(
    given: _Given,
    numbers: Iterable[int],
    seed: int,
    executor: Executor | None,
    progress: Progress | None,
    cancel: Cancel | None,
) -> Iterator[tuple[_Outcome, ...]]:
    """The runs in their order, up to the first that was not made."""
    wanted = list(numbers)
    tell: Progress = progress if progress is not None else lambda *_: None
    stop: Callable[[], bool] = (lambda: False) if cancel is None else cancel.is_set
    if executor is None:
        for done, index in enumerate(wanted):
            if stop():
                return
            yield _one(given, seed, index)
            tell(done + 1, len(wanted))
        return
    yield from _handed_out(given, wanted, seed, executor, tell, stop)


def _handed_out(
    given: _Given,
    wanted: Sequence[int],
    seed: int,
    executor: Executor,
    tell: Progress,
    stop: Callable[[], bool],
) -> Iterator[tuple[_Outcome, ...]]:
    """Only some runs ahead are handed out, so that stopping does not wait for all of them."""
    ahead: dict[Future[tuple[_Outcome, ...]], int] = {}
    back: dict[int, tuple[_Outcome, ...]] = {}
    coming, due = iter(wanted), 0
    try:
        while due < len(wanted):
            while len(ahead) < AHEAD and (index := next(coming, None)) is not None:
                ahead[executor.submit(_one, given, seed, index)] = index
            done, _ = wait(ahead, timeout=LOOK, return_when=FIRST_COMPLETED)
            for future in done:
                back[ahead.pop(future)] = future.result()
            while due < len(wanted) and wanted[due] in back:
                yield back.pop(wanted[due])
                due += 1
            tell(due, len(wanted))
            if stop():
                return
    finally:
        for future in ahead:
            future.cancel()


def _shares(made: Sequence[tuple[_Outcome, ...]], names: Sequence[str]) -> Iterator[Share]:
    """Scenario by scenario over all runs in which it arose."""
    by_key: dict[str, list[_Outcome]] = {}
    for outcomes in made:
        for outcome in outcomes:
            by_key.setdefault(outcome.key, []).append(outcome)
    for scenario in chosen(names):
        found = by_key.get(scenario.key, [])
        if found:
            yield Share(
                scenario=scenario,
                met=sum(outcome.met for outcome in found),
                runs=len(found),
                spreads=tuple(_spreads(found)),
            )


def _spreads(found: Sequence[_Outcome]) -> Iterator[Spread]:
    for place, (bound, _) in enumerate(found[0].values):
        bad = math.inf if bound.sense is Sense.AT_MOST else -math.inf
        values = [outcome.values[place][1] for outcome in found]
        known = [bad if math.isnan(value) else value for value in values]
        worst = max(known) if bound.sense is Sense.AT_MOST else min(known)
        median = (
            statistics.median_high(known) if bound.sense is Sense.AT_MOST else statistics.median_low(known)
        )
        yield Spread(
            bound=bound,
            median=_known(median, values),
            worst=_known(worst, values),
        )


def _known(value: float, values: Sequence[float]) -> float:
    """NaN again where a value stands for one that did not arise."""
    return math.nan if math.isinf(value) and value not in values else value
