"""The current sensor lies: stuck, offset, noisy, disconnected, or seeing only half."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from hutwright.bench.scenario import Expected, Family, Prepared, Quantity, of_family
from hutwright.bench.scenarios.obstacles import MIDDLE_GAP
from hutwright.bench.stage import AFTER_CONTACT, FIRST, MANUAL, Stage, none_of
from hutwright.native.scenario import Event
from hutwright.native.words import Ends, EventKind, Fault, Mode, Word

IN_MID = 0.5  # share of the travel: a choice of this project [-]
STUCK, READS, OFFSET, SHARE, NOISE = 1.0, 2.0, 3.0, 4.0, 5.0  # what SENSOR_FAULT means by its a
BELIEVED = 0.5  # of the greatest offset that is believed: a choice of this project [-]
BEYOND = 1.5  # of it: a choice of this project [-]
CREEPS, CREEP = 20, 0.15  # steps of a zero that creeps away, and the time between them; ours to choose [-, s]
NOISY = 3.0  # steps of the converter, as one standard deviation: a choice of this project [-]
HALF = 0.5  # what a sensor sees of a bridge whose channels are paralleled, in one of them


def _lies(a: float, b: float, **when: Any) -> Event:
    return Event(EventKind.SENSOR_FAULT, a=a, b=b, **{"time": 0.1, **when})


def _amperes(stage: Stage, field: str) -> float:
    return float(stage.settings[field]) / 1000.0


def _opening(
    stage: Stage, *events: Event, door: dict[str, float] | None = None, at: float = FIRST
) -> tuple[Prepared, ...]:
    if not stage.commanded():
        return ()
    asked = stage.ask(Word.OPEN, at)
    return (stage.play((*events, *asked), duration=at + stage.opened_by, door=door),)


def _creeps(stage: Stage, to: float) -> tuple[Prepared, ...]:
    """The sensor's zero creeps away at rest, in steps that nobody would notice one by one."""
    away = to * _amperes(stage, "zero_most_mA")
    steps = [_lies(OFFSET, away * number / CREEPS, time=CREEP * number) for number in range(1, CREEPS + 1)]
    return _opening(stage, *steps, at=CREEP * (CREEPS + 2))


def _stuck(stage: Stage) -> tuple[Prepared, ...]:
    if int(stage.settings["stuck_ms"]) == 0:
        return ()
    there = stage.passing(IN_MID, opening=True, after=FIRST)
    return _opening(stage, _lies(STUCK, 0.0, **there))


def _faulted(words: str, *faults: Fault, still: bool = False) -> Callable[[Stage], Expected]:
    bounds = (none_of(Quantity.STARTS),) if still else ()
    return lambda _: Expected(
        words=words,
        modes=frozenset({Mode.FAULT}),
        faults=frozenset(faults),
        bounds=bounds,
        source=MANUAL,
    )


def _opens(_: Stage) -> Expected:
    return Expected(
        words="opens all the same, without a reversal",
        modes=frozenset({Mode.OPEN}),
        bounds=(none_of(Quantity.TRIPS),),
        source=MANUAL,
    )


def _noisy(stage: Stage) -> tuple[Prepared, ...]:
    if not stage.commanded():
        return ()
    step = float(stage.door_on(stage.mild())["sensor_step"])
    return _opening(stage, _lies(NOISE, NOISY * step)) if step > 0.0 else ()


def _disconnected(stage: Stage) -> tuple[Prepared, ...]:
    """The sensor's wire hangs at the converter's upper end, beyond any current that can be."""
    beyond = _amperes(stage, "range_mA") + 0.5
    return _opening(stage, _lies(READS, beyond), door={"sensor_range": 2.0 * beyond})


def _silent(stage: Stage) -> tuple[Prepared, ...]:
    """The sensor shows nothing in the middle of a move; with switches to the board that is no end either."""
    if int(stage.settings["ends"]) == int(Ends.INSIDE):
        return ()
    there = stage.passing(IN_MID, opening=True, after=FIRST)
    return _opening(stage, _lies(READS, 0.0, **there))


def _half_seen(stage: Stage) -> tuple[Prepared, ...]:
    """The leaf closes on the test's instrument while the sensor sees one of two channels."""
    electronics = stage.project.electronics
    bridge = electronics.bridge if electronics else None
    edge_way = stage.edge_way(MIDDLE_GAP)
    if bridge is None or bridge.paralleled < 2 or edge_way is None or not stage.commanded():
        return ()
    events = (_lies(SHARE, HALF), *stage.obstacle(edge_way), *stage.ask(Word.CLOSE, FIRST))
    duration = FIRST + stage.shut_by + AFTER_CONTACT
    return (stage.play(events, opened=True, duration=duration, settle=AFTER_CONTACT),)


def _opens_or_gives_up(stage: Stage) -> Expected:
    return Expected(
        words="opens again, or notices that something is wrong with the current before it touches",
        modes=frozenset({Mode.OPEN, Mode.FAULT}),
        faults=frozenset({Fault.WELL, Fault.NO_CURRENT, Fault.SENSOR_STUCK}),
        bounds=stage.force_bounds(MIDDLE_GAP)[:3],
        source=MANUAL,
    )


_scenario = of_family("sensor", Family.SENSOR)

SCENARIOS = (
    _scenario(
        "stuck",
        "The sensor sticks at one reading while opening",
        "A sensor that stands still sees no obstacle.",
        _faulted("notices, and gives up with a fault", Fault.SENSOR_STUCK),
        _stuck,
    ),
    _scenario(
        "small_offset",
        "The sensor is off by a little",
        "Cold and age move a sensor's zero; it is zeroed before each move.",
        _opens,
        lambda stage: _creeps(stage, BELIEVED),
    ),
    _scenario(
        "great_offset",
        "The sensor is off by more than can be believed",
        "A zero that far out is no zero.",
        _faulted("does not begin to move: a fault", Fault.SENSOR_RANGE, still=True),
        lambda stage: _creeps(stage, BEYOND),
    ),
    _scenario(
        "noisy",
        "The sensor is noisy",
        "The motor's brushes and the bridge's switching reach every wire.",
        _opens,
        _noisy,
    ),
    _scenario(
        "disconnected",
        "The sensor's wire hangs free",
        "No such current can be.",
        _faulted("does not begin to move: a fault", Fault.SENSOR_RANGE, still=True),
        _disconnected,
    ),
    _scenario(
        "silent",
        "The sensor shows no current in the middle of opening",
        "A drive that runs draws current; no current means a broken wire.",
        _faulted("notices, and gives up with a fault", Fault.NO_CURRENT, Fault.SENSOR_STUCK),
        _silent,
    ),
    _scenario(
        "half_seen",
        "The sensor sees one of the bridge's two channels, with something in the way",
        "Paralleled channels share the current; a sensor in one of them sees half of it.",
        _opens_or_gives_up,
        _half_seen,
    ),
)
