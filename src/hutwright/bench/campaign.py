"""A campaign of faults: every kind at many random moments of a cycle, and whether every promise was kept.

A run opens the door, waits, and shuts it, in one of four weathers. The fault comes at its moment; somewhere
near it somebody gives one more command, and in half of all runs what watches the doorway sees something for
a while, so that promises are put to the test while something is wrong. Nothing is asked but that the commands
keep their promises and that the run comes to an end in sense: what the door should do in each case is for
the scenarios of a rehearsal.
"""

from __future__ import annotations

import zlib
from collections import Counter as Counted
from collections.abc import Sequence
from concurrent.futures import Executor
from dataclasses import dataclass
from typing import Any

import numpy as np

from hutwright.bench.fault_kinds import SIMPLE, Chance, FaultKind, has_switches
from hutwright.bench.scenario import TRIPS, Prepared
from hutwright.bench.stage import FIRST, Day, Stage
from hutwright.errors import Progress
from hutwright.native import engine
from hutwright.native.scenario import Event, press
from hutwright.native.words import (
    Broken,
    Commands,
    Counter,
    Ended,
    Ends,
    EventKind,
    Eye,
    Eyes,
    Fault,
    LinkLost,
    Mode,
    Word,
)
from hutwright.plant.motion import move

Record = Any  # numpy records with the layout of a C struct

MOMENTS = 200  # of each kind, for each door
WAIT = 1.0  # between the end of an undisturbed opening and the command to close: a choice of this project [s]
# A start waits up to 5 s for a sensor's zero that does not come: no run is over before. Standing: manual
ZEROES = 5.5  # [s]
NEAR = 3.0  # within which of the moment a further command comes: a choice of this project [s]
MOVES = frozenset({Mode.OPENING, Mode.CLOSING, Mode.REVERSING})


def _nothing(_stage: Stage, _chance: Chance, _moment: float) -> Sequence[Event]:
    return ()


def _drawn(number: int) -> str:
    return {2: "two", 3: "three"}[number]


# Several at once: which, is drawn for every run.
TOGETHER = {
    FaultKind(
        key=f"together.{_drawn(number)}",
        words=f"{_drawn(number)} of the above, each at its own moment",
        happens=_nothing,
    ): number
    for number in (2, 3)
}
KINDS: tuple[FaultKind, ...] = (*SIMPLE, *TOGETHER)


@dataclass(frozen=True, kw_only=True, slots=True)
class Tally:
    """What came of one kind of fault on one door.

    Attributes
    ----------
    kind : FaultKind
        The kind.
    fitted : bool
        Whether something was fitted for it that the door does not have.
    runs : int
        How many runs were made. [-]
    broken : Counter
        In how many runs each promise was broken.
    modes : Counter
        States at the end.
    faults : Counter
        Faults at the end, without those that are well.
    reversed : int
        Runs in which something was taken for an obstacle. [-]
    gave_way : int
        Runs in which a closing gave way to what watches the doorway. [-]
    stopped : int
        Runs in which a move was stopped by a command. [-]
    starved : int
        Runs in which a move was ended for want of supply. [-]
    reset : int
        Runs in which the controller began anew. [-]
    senseless : int
        Runs whose simulated state left all sense. [-]
    unfinished : int
        Runs that ended in a move. [-]
    longest : float
        The longest drive one way, as a share of its cap. [-]
    """

    kind: FaultKind
    fitted: bool
    runs: int
    broken: Counted[Broken]
    modes: Counted[Mode]
    faults: Counted[Fault]
    reversed: int
    gave_way: int
    stopped: int
    starved: int
    reset: int
    senseless: int
    unfinished: int
    longest: float


# ---- runs -------------------------------------------------------------------------------------------------


def _cycle(stage: Stage, day: Day) -> tuple[float, float]:
    """When an undisturbed cycle asks to shut again, and when it is over [s, s]."""
    opens, shuts = (
        min(
            move(stage.project, day.conditions, opening=opening).total,
            1e-3 * float(stage.settings["opening_cap_ms" if opening else "closing_cap_ms"]),
        )
        for opening in (True, False)
    )
    return FIRST + opens + WAIT, FIRST + opens + shuts + 2.0 * WAIT


def _chance(key: str, index: int) -> Chance:
    """The same numbers for the same run, whatever else is run."""
    return np.random.default_rng([zlib.crc32(key.encode()), index])


def _chosen(kind: FaultKind, stage: Stage, chance: Chance) -> tuple[FaultKind, ...]:
    number = TOGETHER.get(kind)
    if number is None:
        return (kind,)
    able = [each for each in SIMPLE if each.arises(stage)]
    return tuple(able[each] for each in chance.choice(len(able), number, replace=False))


def _fitted(
    kinds: Sequence[FaultKind], stage: Stage, chance: Chance
) -> tuple[dict[str, float], dict[str, int]]:
    """What of door and settings is otherwise."""
    door: dict[str, float] = {}
    settings: dict[str, int] = {}
    eyes, ways = Eyes(int(stage.settings["eyes"])), Commands(int(stage.settings["commands"]))
    for kind in kinds:
        eyes |= kind.eyes
        ways |= kind.commands
        door.update(kind.door(stage, chance))
        if kind.link:
            settings["link_lost"] = int(chance.choice([int(each) for each in LinkLost]))
            settings["link_lost_ms"] = 2000
    if any(kind.switches for kind in kinds) and not has_switches(stage):
        door |= {"board_switches": 1.0, "inside_switches": 0.0}
        settings["ends"] = int(Ends.SWITCHES)
    return door, settings | {"eyes": int(eyes), "commands": int(ways)}


def _one_more_command(stage: Stage, chance: Chance, moment: float) -> tuple[Event, ...]:
    time = moment + chance.uniform(0.0, NEAR)
    which = int(chance.integers(5))
    if which < 2:
        return stage.ask((Word.OPEN, Word.CLOSE)[which], time)
    if which < 4:
        return (Event(EventKind.WORD, time, (Word.STOP, Word.CLEAR)[which - 2]),)
    return press(time, 1e-3 * float(stage.settings["clear_ms"]) + 0.1)


def _watched(settings: dict[str, int], chance: Chance, moment: float) -> tuple[Event, ...]:
    """What watches the doorway sees something for a while, in half of all runs."""
    seen = max(moment + chance.uniform(-NEAR, NEAR), 0.0)
    until = seen + chance.uniform(0.05, 2.0)
    if chance.random() < 0.5:
        return ()
    kinds = ((Eyes.PRESENT, EventKind.PRESENT), (Eyes.BEAM, EventKind.BEAM))
    there = [kind for eye, kind in kinds if eye in Eyes(settings["eyes"])]
    return tuple(
        Event(kind, time, eye) for kind in there for time, eye in ((seen, Eye.SEES), (until, Eye.CLEAR))
    )


def prepared(stage: Stage, kind: FaultKind, index: int) -> Prepared:
    """One run of a kind.

    Parameters
    ----------
    stage : Stage
        The door.
    kind : FaultKind
        The kind of fault.
    index : int
        The number of the run, by which all is drawn. [-]
    """
    chance = _chance(kind.key, index)
    kinds = _chosen(kind, stage, chance)
    door, settings = _fitted(kinds, stage, chance)
    day = _day(stage, index, windy=any(each.windy for each in kinds))
    shut, over = _cycle(stage, day)
    moments = [chance.uniform(0.1, over) for _ in kinds]
    events = [*_ask(stage, index, Word.OPEN, FIRST), *_ask(stage, index, Word.CLOSE, shut)]
    for each, moment in zip(kinds, moments, strict=True):
        events += each.happens(stage, chance, moment)
    events += _one_more_command(stage, chance, moments[0])
    events += _watched(settings, chance, moments[0])
    last = max(event.time for event in events)
    if any(event.kind is EventKind.SENSOR_FAULT for event in events):
        last += ZEROES
        events.append(Event(EventKind.WORD, last, Word.NOTHING))
    longest = last + stage.opened_by + stage.shut_by
    return stage.play(events, day=day, duration=longest, door=door, settings=settings)


def _ask(stage: Stage, index: int, word: Word, time: float) -> tuple[Event, ...]:
    """On the line where there is one, and at the button in a third of all runs."""
    if stage.fitted(Commands.LINE) and index % 12 < 8:
        return (Event(EventKind.WORD, time, word),)
    return stage.ask(word, time)


def _day(stage: Stage, index: int, *, windy: bool) -> Day:
    """Four weathers by turns."""
    days = (stage.mild, stage.coldest, stage.warmest, stage.iced)
    return stage.iced() if windy else days[index % len(days)]()


# ---- what came of them ------------------------------------------------------------------------------------


def tally(kind: FaultKind, stage: Stage, runs: Sequence[Prepared], results: Record) -> Tally:
    """Count what came of the runs of one kind.

    Parameters
    ----------
    kind : FaultKind
        The kind.
    stage : Stage
        The door.
    runs : sequence of Prepared
        What was made.
    results : numpy records of RESULT
        What came of each.
    """
    counters = results["counters"].astype(int)
    modes = [Mode(int(each)) for each in results["end_mode"]]
    faults = [Fault(int(each)) for each in results["end_fault"]]
    opening, closing = (
        results[f"longest_{way}"] / [1e-3 * float(run.settings[f"{way}_cap_ms"]) for run in runs]
        for way in ("opening", "closing")
    )
    return Tally(
        kind=kind,
        fitted=kind.fitted_for(stage),
        runs=len(results),
        broken=Counted(each for bits in results["broken"] for each in Broken(int(bits))),
        modes=Counted(modes),
        faults=Counted(fault for fault in faults if fault is not Fault.WELL),
        reversed=int((counters[:, list(TRIPS)].sum(axis=1) > 0).sum()),
        gave_way=int((counters[:, Counter.VETO] > 0).sum()),
        stopped=int((counters[:, Counter.STOPS] > 0).sum()),
        starved=int((counters[:, Counter.SUPPLY] > 0).sum()),
        reset=int((counters[:, Counter.POWER_UPS] > 1).sum()),
        senseless=int((results["ended_early"] == Ended.SENSELESS).sum()),
        unfinished=sum(mode in MOVES for mode in modes),
        longest=float(max(opening.max(), closing.max())),
    )


def campaign(
    stage: Stage,
    kinds: Sequence[FaultKind] = KINDS,
    *,
    moments: int = MOMENTS,
    executor: Executor | None = None,
    progress: Progress | None = None,
) -> tuple[Tally, ...]:
    """Play every kind of fault that can arise at many moments, and count.

    Parameters
    ----------
    stage : Stage
        The door, with some way to command it.
    kinds : sequence of FaultKind
        The kinds.
    moments : int
        Of each kind. [-]
    executor : Executor or None
        Where the runs are made; here where none is given. The answer is the same.
    progress : Progress or None
        Is told how many runs of how many are made.

    Returns
    -------
    tuple of Tally
        In the order of the kinds.
    """
    arising = [kind for kind in kinds if kind.arises(stage)]
    found, whole = [], moments * len(arising)
    for number, kind in enumerate(arising):
        runs = [prepared(stage, kind, index) for index in range(moments)]
        results = engine.batch(
            np.stack([run.door for run in runs]),
            np.stack([run.settings for run in runs]),
            np.stack([run.events for run in runs]),
            executor=executor,
        )
        found.append(tally(kind, stage, runs, results))
        if progress is not None:
            progress(moments * (number + 1), whole)
    return tuple(found)
