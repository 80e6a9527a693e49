"""What would help the scenarios that were not met: each lever tried on a rebuilt description."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass, replace

import numpy as np

from hutwright.bench.rehearsal import Cast, Performance, Rehearsal, cast, rehearse
from hutwright.bench.scenario import Bound, Prepared, Scenario
from hutwright.bench.scenarios import SCENARIOS
from hutwright.bench.settings import core_settings, sealed
from hutwright.bench.stage import Stage
from hutwright.checks.lever import Effort, Option
from hutwright.description.build import rebuild
from hutwright.description.described import Described
from hutwright.errors import Cancel, HutwrightError, Progress
from hutwright.model.circuit import BRIDGE
from hutwright.model.paths import Keys
from hutwright.native.records import Record, otherwise
from hutwright.native.words import EventKind, Eyes
from hutwright.plant.circuit import feed
from hutwright.studies.door_levers import TriedOn, levers_of

# How many levers are held against a whole rehearsal, the cheapest of those that serve most first; every lever
# that works is held against some scenarios that are quick to do harm to. Choices of this project
HARM_LOOKED_AT = 1
QUICK_TO_HARM = ("free.mild", "free.coldest", "machine.eye_fails", "supply.sag_closing")
# Of the settings, what a calibration learns.
LEARNT = (
    *("opening", "closing", "reference_dC", "reference_mV"),
    *("trained_low_dC", "trained_high_dC", "trained_low_mV", "trained_high_mV"),
)
ENOUGH_WORK = 3  # levers of a scenario that work; no more are looked for. A choice of this project


@dataclass(frozen=True, kw_only=True, slots=True)
class NewValue:
    """One bound of a scenario with a lever pulled.

    Attributes
    ----------
    bound : Bound
        The bound.
    value : float
        Its worst value over the scenario's runs; NaN where it did not arise. [dimension of the quantity]
    """

    bound: Bound
    value: float


@dataclass(frozen=True, kw_only=True, slots=True)
class Tried:
    """A lever as it was tried on one scenario.

    Attributes
    ----------
    option : Option
        What is done, as changes of the file.
    effort : Effort
        What it costs.
    holds : bool
        Whether the whole scenario comes out as declared with it.
    values : tuple
        The bounds that were not kept without it, with their new values.
    harms : tuple or None
        Keys of scenarios that were met, and are not met with it; None where that was not looked at.
    """

    option: Option
    effort: Effort
    holds: bool
    values: tuple[NewValue, ...]
    harms: tuple[str, ...] | None = None


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class Finding:
    """A scenario that was not met, and what was tried on it.

    Attributes
    ----------
    performance : Performance
        The scenario as it was played.
    tried : tuple
        Levers: those with which it is met first, the cheapest of them first.
    """

    performance: Performance
    tried: tuple[Tried, ...]

    @property
    def working(self) -> tuple[Tried, ...]:
        """The levers with which the scenario is met."""
        return tuple(each for each in self.tried if each.holds)


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class Rehearsed:
    """A description rehearsed.

    Attributes
    ----------
    described : Described
        The description.
    rehearsal : Rehearsal
        What came of every scenario.
    findings : tuple
        The scenarios that were not met, in reading order.
    flashed : Record or None
        The settings that it was played with; None for those that follow from the description.
    """

    described: Described
    rehearsal: Rehearsal
    findings: tuple[Finding, ...]
    flashed: Record | None = None

    @property
    def short(self) -> bool:
        """Whether anything was not met, or was left out."""
        return bool(self.findings or self.rehearsal.left_out)

    @property
    def otherwise(self) -> tuple[str, ...]:
        """Settings of the file, but for those that are learnt, that are not as the description has them."""
        if self.flashed is None:
            return ()
        return otherwise(core_settings(self.described.project), self.flashed, but=(*LEARNT, "checksum"))


def supply_ends(described: Described) -> tuple[float, float] | None:
    """Least and greatest voltage of the supply that feeds the drive; None where it is one voltage [V]."""
    fed = feed(described.project, BRIDGE)
    datum = None if fed is None else described.unsure.get(("supplies", fed.supply, "voltage"))
    if datum is None or datum.low is None or datum.high is None:
        return None
    return datum.low, datum.high


def stage_of(described: Described, flashed: Record | None = None) -> Stage:
    """The stage of a description at nominal values.

    Parameters
    ----------
    described : Described
        The description.
    flashed : Record or None
        The controller's settings; None for those that follow from the description.
    """
    return Stage(described.project, supply_ends(described), flashed)


def with_learnt(base: Record, flashed: Record) -> Record:
    """Settings that follow from a description, with what others have learnt; sealed.

    Parameters
    ----------
    base : record of SETTINGS
        Those that follow from it.
    flashed : record of SETTINGS
        Those with profile, thresholds and trained range.
    """
    own = base.copy()
    for name in LEARNT:
        own[name] = flashed[name]
    return sealed(own)


def rehearse_described(
    described: Described,
    scenarios: Iterable[Scenario] = SCENARIOS,
    *,
    flashed: Record | None = None,
    executor: Executor | None = None,
    progress: Progress | None = None,
    cancel: Cancel | None = None,
) -> Rehearsed:
    """Rehearse a description, and try what would help where a scenario is not met.

    Parameters
    ----------
    described : Described
        The description.
    scenarios : iterable of Scenario
        The scenarios.
    flashed : Record or None
        The controller's settings; None for those that follow from the description.
    executor : Executor or None
        Where the runs are made; here where none is given. The answer is the same.
    progress : Callable or None
        Is told how many runs of how many are made, of the scenarios themselves.
    cancel : Cancel or None
        Ends it early; what was made by then is judged, and no lever is tried any more.

    Returns
    -------
    Rehearsed
        Scenarios and findings.
    """
    chosen = tuple(scenarios)
    stage = stage_of(described, flashed)
    played = rehearse(stage, chosen, executor=executor, progress=progress, cancel=cancel)
    bench = _Workbench(described, played, flashed, executor, cancel)
    return Rehearsed(described=described, rehearsal=played, findings=bench.findings(), flashed=flashed)


@dataclass(slots=True)
class _Workbench:
    """Where levers are tried."""

    described: Described
    played: Rehearsal
    flashed: Record | None
    executor: Executor | None
    cancel: Cancel | None

    def findings(self) -> tuple[Finding, ...]:
        """Every scenario that was not met, with what was tried."""
        failed = self.played.not_met
        tried: dict[str, list[Tried]] = {each.scenario.key: [] for each in failed}
        stages: dict[int, Stage] = {}
        for lever in levers_of(self.described.project):
            concerned = [
                each
                for each in failed
                if each.scenario.family in lever.families and not _enough(tried[each.scenario.key])
            ]
            stage = self._changed(lever.option.changes) if concerned else None
            if stage is None:
                continue
            stages[id(lever.option)] = stage
            first = [each for each in concerned if each.scenario.follows not in tried]
            again = self._again(stage, first)
            held = {key for key, after in again.items() if after.met}
            again |= self._again(stage, [each for each in concerned if each.scenario.follows in held])
            found = [(each, again[each.scenario.key]) for each in concerned if each.scenario.key in again]
            harms = self._harmed(stage, QUICK_TO_HARM) if any(after.met for _, after in found) else ()
            for before, after in found:
                tried[before.scenario.key].append(_tried(lever, before, after, harms or None))
        harmed = self._harms(tried, stages)
        return tuple(
            Finding(performance=each, tried=_ordered(tried[each.scenario.key], harmed)) for each in failed
        )

    def _again(self, stage: Stage, concerned: Sequence[Performance]) -> dict[str, Performance]:
        """Scenarios with a lever pulled: the worst run first, and all of them where that is met."""
        if not concerned:
            return {}
        worst = {each.scenario.key: each.takes.index(each.worst) for each in concerned}
        scenarios = [each.scenario for each in concerned]
        found = self._play(stage, scenarios, only=worst)
        whole = [
            each.scenario
            for each in concerned
            if len(each.takes) > 1 and (after := found.get(each.scenario.key)) is not None and after.met
        ]
        return found | (self._play(stage, whole) if whole else {})

    def _cancelled(self) -> bool:
        return self.cancel is not None and self.cancel.is_set()

    def _changed(self, changes: Mapping[Keys, object]) -> Stage | None:
        """The stage with some values of the file changed; None where that is no description."""
        if self._cancelled():
            return None
        try:
            other = rebuild(self.described, changes)
            if self.flashed is None:
                return stage_of(other)
            return stage_of(other, with_learnt(core_settings(other.project), self.flashed))
        except HutwrightError:
            return None

    def _play(
        self, stage: Stage, scenarios: Sequence[Scenario], only: Mapping[str, int] | None = None
    ) -> dict[str, Performance]:
        played = rehearse(stage, scenarios, only=only, executor=self.executor, cancel=self.cancel)
        return {each.scenario.key: each for each in played.performances}

    def _harmed(self, stage: Stage, keys: Iterable[str]) -> tuple[str, ...]:
        """Those of some scenarios that were met, and are not met any more."""
        wanted = set(keys)
        before = {each.scenario.key: each for each in self.played.performances if each.met}
        ready, _ = cast(stage, [each.scenario for key, each in before.items() if key in wanted])
        touched = [each.scenario for each in ready if not _the_same(each, before[each.scenario.key])]
        return tuple(key for key, each in self._play(stage, touched).items() if not each.met)

    def _harms(
        self, tried: Mapping[str, list[Tried]], stages: Mapping[int, Stage]
    ) -> dict[int, tuple[str, ...]]:
        """Of the levers that serve most and have done no harm yet, what they do to all other scenarios."""
        serving: dict[int, list[Tried]] = {}
        for each in (one for some in tried.values() for one in some if one.holds and one.harms is None):
            serving.setdefault(id(each.option), []).append(each)
        looked_at = sorted(serving, key=lambda mark: (-len(serving[mark]), serving[mark][0].effort))
        everything = [each.scenario.key for each in self.played.performances]
        return {
            mark: self._harmed(stages[mark], everything)
            for mark in looked_at[:HARM_LOOKED_AT]
            if not self._cancelled()
        }


def _the_same(now: Cast, before: Performance) -> bool:
    """Whether nothing in a scenario's runs can come out otherwise than before."""
    runs = [take.prepared for take in before.takes]
    return list(map(_mark, now.runs)) == list(map(_mark, runs))


def _mark(run: Prepared) -> tuple[bytes, bytes, bytes]:
    """All that decides what comes of a run; an edge decides nothing where nothing is ever before it."""
    door, settings = run.door.copy(), run.settings.copy()
    kinds = run.events["events"]["kind"][: int(run.events["events_used"])]
    if not np.isin(kinds, (EventKind.OBSTACLE, EventKind.EDGE)).any():
        door["edge_stiffness"] = door["edge_depth"] = 0.0
        settings["eyes"] = int(settings["eyes"]) & ~Eyes.EDGE
        settings["checksum"] = 0
    return door.tobytes(), settings.tobytes(), run.events.tobytes()


def _enough(tried: Sequence[Tried]) -> bool:
    """Whether enough levers work that have done no harm yet."""
    return sum(each.holds and each.harms is None for each in tried) >= ENOUGH_WORK


def _tried(lever: TriedOn, before: Performance, after: Performance, harms: tuple[str, ...] | None) -> Tried:
    """What became of the bounds that were not kept before."""
    missed = {
        reading.bound.quantity: reading.bound
        for take in before.takes
        for reading in take.judgement.readings
        if not reading.kept
    }
    values = tuple(
        NewValue(bound=bound, value=after.worst_of(quantity)) for quantity, bound in missed.items()
    )
    return Tried(option=lever.option, effort=lever.effort, holds=after.met, values=values, harms=harms)


def _ordered(tried: Sequence[Tried], harms: Mapping[int, tuple[str, ...]]) -> tuple[Tried, ...]:
    """Those that work first, without harm and the cheapest of them first; the rest by what they leave."""
    found = [replace(each, harms=harms.get(id(each.option), each.harms)) for each in tried]
    return tuple(
        sorted(
            found,
            key=lambda each: (
                not each.holds,
                bool(each.harms),
                each.effort if each.holds else 0,
                _left(each),
            ),
        )
    )


def _left(tried: Tried) -> float:
    """By how much the worst bound is still missed, as a share of its limit."""
    return max(
        (-value.bound.margin(value.value) / (abs(value.bound.limit) or 1.0) for value in tried.values),
        default=0.0,
    )
