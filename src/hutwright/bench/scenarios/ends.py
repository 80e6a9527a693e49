"""How the controller learns that the leaf has arrived, and what misleads it."""

from __future__ import annotations

from collections.abc import Callable

from hutwright.bench.scenario import Bound, Expected, Family, Prepared, Quantity, of_family
from hutwright.bench.stage import ENOUGH, FIRST, MANUAL, Stage, none_of
from hutwright.native.scenario import Event
from hutwright.native.words import Ends, EventKind, Fault, Mode, Word

IN_MID = 0.5  # share of the travel: a choice of this project [-]
STUCK_OPEN, STUCK_MADE = 0.0, 1.0  # what a broken limit switch says


def _with(stage: Stage, ends: Ends) -> bool:
    return stage.commanded() and int(stage.settings["ends"]) == int(ends)


def _limit(kind: EventKind, says: float) -> Event:
    return Event(kind, time=0.1, a=says)


def _opens(stage: Stage, *events: Event) -> tuple[Prepared, ...]:
    """Asked to open with broken switches at the board."""
    if not _with(stage, Ends.SWITCHES):
        return ()
    asked = stage.ask(Word.OPEN, FIRST)
    return (stage.play((*events, *asked), duration=FIRST + stage.opened_by + ENOUGH),)


def _shuts(stage: Stage, *events: Event) -> tuple[Prepared, ...]:
    """Asked to close with broken switches at the board."""
    if not _with(stage, Ends.SWITCHES):
        return ()
    asked = stage.ask(Word.CLOSE, FIRST)
    return (stage.play((*events, *asked), opened=True, duration=FIRST + stage.shut_by + ENOUGH),)


def _faulted(words: str, *faults: Fault) -> Callable[[Stage], Expected]:
    return lambda _: Expected(
        words=words, modes=frozenset({Mode.FAULT}), faults=frozenset(faults), source=MANUAL
    )


def _stands(*modes: Mode) -> Callable[[Stage], Expected]:
    """The leaf runs against its stop: an obstruction, or a run too long; it must not press on."""
    return lambda _: Expected(
        words="does not press on against its stop: takes it for an obstruction, or ends the run",
        modes=frozenset({*modes, Mode.FAULT}),
        faults=frozenset({Fault.WELL, Fault.RUN_TOO_LONG, Fault.SLIPPED, Fault.LIMIT_STUCK}),
        source=MANUAL,
    )


def _in_mid(stage: Stage, *, opening: bool) -> tuple[Prepared, ...]:
    """The motor's wire comes off inside the travel: the sensor shows no current from then on."""
    if not _with(stage, Ends.INSIDE):
        return ()
    there = stage.passing(IN_MID, opening=opening, after=FIRST)
    gone = Event(EventKind.SENSOR_FAULT, a=2.0, b=0.0, **there)
    asked = stage.ask(Word.OPEN if opening else Word.CLOSE, FIRST)
    duration = FIRST + (stage.opened_by if opening else stage.shut_by)
    return (stage.play((*asked, gone), opened=not opening, duration=duration),)


def _arrives(stage: Stage) -> tuple[Prepared, ...]:
    """The drive cuts its own current at both ends; asked again at each, it has arrived already."""
    if not _with(stage, Ends.INSIDE) or not stage.commanded():
        return ()
    shut = FIRST + stage.moved_by(stage.mild(), opening=True)
    events = (*stage.ask(Word.OPEN, FIRST), *stage.ask(Word.CLOSE, shut))
    return (stage.play(events, duration=shut + stage.shut_by),)


def _arrived(_: Stage) -> Expected:
    return Expected(
        words="takes no current near an end for an arrival, without a reversal",
        modes=frozenset({Mode.SHUT}),
        bounds=(
            none_of(Quantity.TRIPS),
            Bound(quantity=Quantity.STARTS, limit=2.0, source=MANUAL),
        ),
        source=MANUAL,
    )


def _no_end(_: Stage) -> Expected:
    """A reading that stays the very same may be noticed before the missing current is."""
    return Expected(
        words="knows that this is no end, and gives up with a fault",
        modes=frozenset({Mode.FAULT}),
        faults=frozenset({Fault.NO_CURRENT, Fault.SENSOR_STUCK}),
        source=MANUAL,
    )


_scenario = of_family("ends", Family.ENDS)

SHUT, OPENED = EventKind.LIMIT_SHUT, EventKind.LIMIT_OPEN

SCENARIOS = (
    _scenario(
        "arrival",
        "The drive cuts its own current at both ends",
        "A drive with switches inside says nothing to the board; its current says it.",
        _arrived,
        _arrives,
    ),
    _scenario(
        "wire_opening",
        "The current is gone in the middle of opening",
        "A wire that came off looks like an end of the travel, at the wrong place.",
        _no_end,
        lambda stage: _in_mid(stage, opening=True),
    ),
    _scenario(
        "wire_closing",
        "The current is gone in the middle of closing",
        "A wire that came off looks like an end of the travel, at the wrong place.",
        _no_end,
        lambda stage: _in_mid(stage, opening=False),
    ),
    _scenario(
        "open_lost",
        "The switch at open is never made",
        "A wire that came off, or a magnet that fell down.",
        _stands(Mode.STOPPED, Mode.OPEN),
        lambda stage: _opens(stage, _limit(OPENED, STUCK_OPEN)),
    ),
    _scenario(
        "shut_lost",
        "The switch at shut is never made",
        "A wire that came off, or a magnet that fell down.",
        _stands(Mode.OPEN, Mode.STOPPED),
        lambda stage: _shuts(stage, _limit(SHUT, STUCK_OPEN)),
    ),
    _scenario(
        "shut_stuck",
        "The switch at shut stays made while opening",
        "Ice or a bent lever keeps a switch pressed.",
        _faulted("finds out that the switch is stuck, and gives up with a fault", Fault.LIMIT_STUCK),
        lambda stage: _opens(stage, _limit(SHUT, STUCK_MADE)),
    ),
    _scenario(
        "open_stuck",
        "The switch at open stays made while closing",
        "Ice or a bent lever keeps a switch pressed.",
        _faulted("finds out that the switch is stuck, and gives up with a fault", Fault.LIMIT_STUCK),
        lambda stage: _shuts(stage, _limit(OPENED, STUCK_MADE)),
    ),
    _scenario(
        "both_made",
        "Both switches are made at once",
        "A squashed cable joins all its wires.",
        _faulted("believes neither, and gives up with a fault", Fault.BOTH_LIMITS),
        lambda stage: _opens(stage, _limit(SHUT, STUCK_MADE), _limit(OPENED, STUCK_MADE)),
    ),
)
