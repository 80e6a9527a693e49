"""All scenarios of a rehearsal played on one stage, and judged."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass
from typing import Any

import numpy as np

from hutwright.bench.scenario import Expected, Judgement, Prepared, Quantity, Record, Scenario, judge
from hutwright.bench.scenarios import SCENARIOS
from hutwright.bench.stage import Stage
from hutwright.errors import Cancel, Progress
from hutwright.native import engine
from hutwright.native.words import Ended


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class Take:
    """One run that was made.

    Attributes
    ----------
    prepared : Prepared
        What was made.
    result : Record
        What came of it.
    judgement : Judgement
        Held against what was declared.
    """

    prepared: Prepared
    result: Record
    judgement: Judgement

    def value(self, quantity: Quantity) -> float:
        """What was measured of a quantity [its dimension]; NaN where it did not arise."""
        return quantity.of(self.result, self.prepared.door)

    @property
    def touched(self) -> bool:
        """Whether the leaf met something."""
        return bool(self.result["contact_time"] >= 0.0)


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class Performance:
    """One scenario as it was played.

    Attributes
    ----------
    scenario : Scenario
        The scenario.
    expected : Expected
        What was declared before.
    takes : tuple
        Its runs, in the order in which the scenario makes them.
    """

    scenario: Scenario
    expected: Expected
    takes: tuple[Take, ...]

    @property
    def met(self) -> bool:
        """Whether every run came out as declared."""
        return all(take.judgement.met for take in self.takes)

    @property
    def worst(self) -> Take:
        """The run that came out worst; the first of equals."""
        return max(self.takes, key=lambda take: (not take.judgement.met, take.judgement.badness))

    def worst_of(self, quantity: Quantity) -> float:
        """The worst value of a bounded quantity over the runs [its dimension]; NaN is the worst there is."""
        found = [
            reading
            for take in self.takes
            for reading in take.judgement.readings
            if reading.bound.quantity is quantity
        ]
        return max(found, key=lambda reading: reading.badness).value if found else math.nan


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class Rehearsal:
    """All scenarios that were asked for.

    Attributes
    ----------
    performances : tuple
        Those that arise, as they were played, in reading order.
    not_arising : tuple
        Those that do not arise for this project.
    left_out : tuple
        Those that were not played to their end because the rehearsal was cancelled.
    """

    performances: tuple[Performance, ...]
    not_arising: tuple[Scenario, ...]
    left_out: tuple[Scenario, ...] = ()

    @property
    def not_met(self) -> tuple[Performance, ...]:
        """The scenarios that came out otherwise than declared."""
        return tuple(each for each in self.performances if not each.met)


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class Cast:
    """A scenario that arises, with its runs ready to be made.

    Attributes
    ----------
    scenario : Scenario
        The scenario.
    expected : Expected
        What is declared.
    runs : tuple
        What is ready.
    """

    scenario: Scenario
    expected: Expected
    runs: tuple[Prepared, ...]


def cast(stage: Stage, scenarios: Iterable[Scenario]) -> tuple[tuple[Cast, ...], tuple[Scenario, ...]]:
    """The scenarios that arise on a stage, ready to be played, and those that do not arise.

    Parameters
    ----------
    stage : Stage
        Where they are played.
    scenarios : iterable of Scenario
        The scenarios.
    """
    ready, absent = [], []
    for scenario in scenarios:
        runs = scenario.make(stage)
        if runs:
            ready.append(Cast(scenario=scenario, expected=scenario.expects(stage), runs=runs))
        else:
            absent.append(scenario)
    return tuple(ready), tuple(absent)


def rehearse(
    stage: Stage,
    scenarios: Iterable[Scenario] = SCENARIOS,
    *,
    only: Mapping[str, int] | None = None,
    executor: Executor | None = None,
    progress: Progress | None = None,
    cancel: Cancel | None = None,
) -> Rehearsal:
    """Play scenarios and judge them.

    Parameters
    ----------
    stage : Stage
        Where they are played.
    scenarios : iterable of Scenario
        The scenarios.
    only : Mapping or None
        By a scenario's key, the number of the one run of it that is made; None for all of them.
    executor : Executor or None
        Where the runs are made; here where none is given. The answer is the same.
    progress : Callable or None
        Is told how many runs of how many are made.
    cancel : Cancel or None
        Ends the rehearsal early; what was made by then is judged.

    Returns
    -------
    Rehearsal
        In reading order.
    """
    ready, absent = cast(stage, scenarios)
    if only is not None:
        ready = tuple(_with_one(each, only.get(each.scenario.key)) for each in ready)
    results = iter(_made([run for each in ready for run in each.runs], executor, progress, cancel))
    played, left_out = [], []
    for each in ready:
        taken = [(run, next(results)) for run in each.runs]
        if any(int(result["ended_early"]) == Ended.CANCELLED for _, result in taken):
            left_out.append(each.scenario)
        else:
            played.append(_performed(each, taken))
    return Rehearsal(performances=tuple(played), not_arising=absent, left_out=tuple(left_out))


def _with_one(each: Cast, number: int | None) -> Cast:
    """The scenario with one of its runs; with all where it has no such run."""
    if number is None or number >= len(each.runs):
        return each
    return Cast(scenario=each.scenario, expected=each.expected, runs=each.runs[number : number + 1])


def _performed(each: Cast, taken: Sequence[tuple[Prepared, Record]]) -> Performance:
    return Performance(
        scenario=each.scenario,
        expected=each.expected,
        takes=tuple(
            Take(prepared=run, result=result, judgement=judge(each.expected, result, run.door))
            for run, result in taken
        ),
    )


def _made(
    runs: Sequence[Prepared], executor: Executor | None, progress: Progress | None, cancel: Cancel | None
) -> Any:
    if not runs:
        return ()
    return engine.batch(
        stacked(run.door for run in runs),
        stacked(run.settings for run in runs),
        stacked(run.events for run in runs),
        executor=executor,
        progress=progress,
        cancel=cancel,
    )


def stacked(records: Iterable[Record]) -> Any:
    """Records as one array of their kind."""
    return np.stack([np.asarray(each).reshape(()) for each in records])
