"""The supply sags, dies slowly, is cut and comes back."""

from __future__ import annotations

from collections.abc import Callable

from hutwright.bench.scenario import Bound, Expected, Family, Prepared, Quantity, of_family
from hutwright.bench.stage import ENOUGH, FIRST, MANUAL, Stage, none_of
from hutwright.native.scenario import Event
from hutwright.native.words import EventKind, Fault, Mode, Why, Word

IN_MID = 0.5  # share of the travel: a choice of this project [-]
SAG = 0.85  # of the supply's voltage, for a moment: a choice of this project [-]
DYING = 10.0  # how long a supply takes to die: a choice of this project [s]
AWAY = 3.0  # how long the power is away: a choice of this project [s]
STILL = 1e-3  # speed of the edge below which it stands: a choice of this project [m/s]
AT_REST = Bound(quantity=Quantity.SPEED, limit=STILL, source=MANUAL)
ONE_MOVE = Bound(quantity=Quantity.STARTS, limit=1.0, source=MANUAL)


def _voltage(stage: Stage) -> float:
    return float(stage.door_on(stage.mild())["voltage"])


def _moving(stage: Stage, *, opening: bool) -> tuple[Event, ...]:
    return stage.ask(Word.OPEN if opening else Word.CLOSE, FIRST)


def _sag(stage: Stage, *, opening: bool) -> tuple[Prepared, ...]:
    """Another load hangs on the supply for a tenth of the travel, in its middle."""
    if not stage.commanded():
        return ()
    full = _voltage(stage)
    there = stage.passing(IN_MID, opening=opening, after=FIRST)
    back = {**there, "place": stage.share(IN_MID + (0.1 if opening else -0.1))}
    events = (
        *_moving(stage, opening=opening),
        Event(EventKind.SUPPLY, a=SAG * full, b=0.05, **there),
        Event(EventKind.SUPPLY, a=full, b=0.05, **back),
    )
    duration = FIRST + (stage.opened_by if opening else stage.shut_by)
    return (stage.play(events, opened=not opening, duration=duration),)


def _goes_on(mode: Mode) -> Callable[[Stage], Expected]:
    return lambda _: Expected(
        words=f"goes on, and ends {'open' if mode is Mode.OPEN else 'shut'} without a reversal",
        modes=frozenset({mode}),
        bounds=(none_of(Quantity.TRIPS),),
        source=MANUAL,
    )


def _dies(stage: Stage, *, opening: bool) -> tuple[Prepared, ...]:
    if not stage.commanded():
        return ()
    events = (
        Event(EventKind.SUPPLY, time=FIRST, a=0.0, b=DYING),
        *_moving(stage, opening=opening),
    )
    duration = FIRST + max(DYING, stage.opened_by) + ENOUGH
    return (stage.play(events, opened=not opening, duration=duration, settle=0.0),)


def _ends_the_move(_: Stage) -> Expected:
    return Expected(
        words="ends the move, or has ended it before; nothing moves any more",
        modes=frozenset({Mode.STOPPED, Mode.OPEN, Mode.SHUT}),
        bounds=(AT_REST, ONE_MOVE),
        source=MANUAL,
    )


def _too_low(stage: Stage) -> tuple[Prepared, ...]:
    """The supply stands just below what a move may start at, and above what the board needs."""
    if not stage.commanded():
        return ()
    level = float(stage.settings["start_above_mV"]) / 1000.0 - 0.3
    events = _moving(stage, opening=True)
    return (stage.play(events, duration=FIRST + 4.0, door={"voltage": level}, settle=2.0),)


def _does_not_start(_: Stage) -> Expected:
    return Expected(
        words="does not begin to move",
        modes=frozenset({Mode.SHUT, Mode.STOPPED}),
        bounds=(none_of(Quantity.STARTS),),
        source=MANUAL,
    )


def _cut(stage: Stage, *, opening: bool, then: Word | None = None) -> tuple[Prepared, ...]:
    """The power is cut in the middle of the travel and comes back."""
    if not stage.commanded():
        return ()
    there = stage.passing(IN_MID, opening=opening, after=FIRST)
    long = FIRST + stage.moved_by(stage.mild(), opening=opening)
    events = [
        *_moving(stage, opening=opening),
        Event(EventKind.POWER, a=0.0, **there),
        Event(EventKind.POWER, time=long + AWAY, a=1.0),
    ]
    duration = long + AWAY + 3.0
    if then is not None:
        events += stage.ask(then, long + AWAY + 2.0)
        duration += stage.opened_by
    return (stage.play(events, opened=not opening, duration=duration, settle=0.0),)


def _nothing_unasked(_: Stage) -> Expected:
    return Expected(
        words="stops, and nothing moves unasked when the power is back",
        modes=frozenset({Mode.STOPPED}),
        whys=frozenset({Why.POWER_UP}),
        bounds=(AT_REST, ONE_MOVE),
        source=MANUAL,
    )


def _asked_again(_: Stage) -> Expected:
    return Expected(
        words="waits until it is asked, then moves slowly to an end",
        modes=frozenset({Mode.OPEN, Mode.SHUT}),
        faults=frozenset({Fault.WELL}),
        source=MANUAL,
    )


_scenario = of_family("supply", Family.SUPPLY)

SCENARIOS = (
    _scenario(
        "sag_opening",
        "The supply sags for a moment while opening",
        "Another load on the same battery must not look like an obstacle.",
        _goes_on(Mode.OPEN),
        lambda stage: _sag(stage, opening=True),
    ),
    _scenario(
        "sag_closing",
        "The supply sags for a moment while closing",
        "Another load on the same battery must not look like an obstacle.",
        _goes_on(Mode.SHUT),
        lambda stage: _sag(stage, opening=False),
    ),
    _scenario(
        "dies_opening",
        "The supply dies slowly while opening",
        "A battery that is empty ends a move somewhere; the door must not twitch to and fro.",
        _ends_the_move,
        lambda stage: _dies(stage, opening=True),
    ),
    _scenario(
        "dies_closing",
        "The supply dies slowly while closing",
        "A battery that is empty ends a move somewhere; the door must not twitch to and fro.",
        _ends_the_move,
        lambda stage: _dies(stage, opening=False),
    ),
    _scenario(
        "too_low",
        "Asked to open with too little in the battery",
        "A move that cannot be ended should not begin.",
        _does_not_start,
        _too_low,
    ),
    _scenario(
        "cut_opening",
        "The power is cut while opening, and comes back",
        "Nobody expects a door to move when the light comes back.",
        _nothing_unasked,
        lambda stage: _cut(stage, opening=True),
    ),
    _scenario(
        "cut_closing",
        "The power is cut while closing, and comes back",
        "Nobody expects a door to move when the light comes back.",
        _nothing_unasked,
        lambda stage: _cut(stage, opening=False),
    ),
    _scenario(
        "back_and_asked",
        "Asked to open after the power was cut",
        "The controller does not trust what it knew before, and finds an end slowly.",
        _asked_again,
        lambda stage: _cut(stage, opening=True, then=Word.OPEN),
    ),
)
