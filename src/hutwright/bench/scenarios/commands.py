"""Commands as they really come: in storms, against each other, bouncing, stuck, and lost."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterable

from hutwright.bench.scenario import Bound, Expected, Family, Prepared, Quantity, of_family
from hutwright.bench.stage import FIRST, MANUAL, Stage, none_of
from hutwright.native.scenario import Event, press
from hutwright.native.words import Commands, EventKind, Eye, LinkLost, Mode, Why, Word

AT_REST = frozenset({Mode.SHUT, Mode.OPEN, Mode.STOPPED})
IN_MID = 0.5  # share of the travel: a choice of this project [-]
# Where a leaf that was stopped at half its travel may come to rest at most, either way: ours to choose [-]
NEAR_MID = 0.65
STORM = 12.0  # how long a storm of commands lasts: a choice of this project [s]
BOUNCE = 0.002  # a contact bounces for some milliseconds: common practice [s]
BOUNCES = 5  # common practice
STUCK = 30.0  # how long a button stays stuck: a choice of this project [s]


def _needs(
    way: Commands, runs: Callable[[Stage], Iterable[Prepared]]
) -> Callable[[Stage], tuple[Prepared, ...]]:
    """Runs that arise only where a way to command is fitted."""
    return lambda stage: tuple(runs(stage)) if stage.fitted(way) else ()


def word(say: Word, time: float) -> Event:
    """A word on the line.

    Parameters
    ----------
    say : Word
        What is said.
    time : float
        When. [s]
    """
    return Event(EventKind.WORD, time=time, a=say)


def _hammering(stage: Stage) -> tuple[Prepared, ...]:
    """A child at the button, in a rhythm of its own."""
    chance, time = random.Random("hammering"), FIRST
    events: list[Event] = []
    while time < STORM:
        held = 0.06 + 0.2 * chance.random()
        events += press(time, held)
        time += held + 0.1 + 0.9 * chance.random()
    return (stage.play(events, duration=STORM + stage.opened_by + stage.shut_by),)


def _contradictory(stage: Stage) -> tuple[Prepared, ...]:
    chance = random.Random("contradictory")
    words = (Word.OPEN, Word.CLOSE, Word.STOP)
    events = [word(chance.choice(words), FIRST + 0.3 * number) for number in range(40)]
    return (stage.play([*events, word(Word.STOP, STORM + 1.0)], duration=STORM + 4.0),)


def _bouncing(kind: EventKind, *, let_go: bool) -> list[Event]:
    """A contact that bounces as it is made and, where that comes, as it is let go."""
    edges = [(FIRST + BOUNCE * n, 1.0 - n % 2) for n in range(2 * BOUNCES + 1)]
    if let_go:
        edges += [(FIRST + 0.3 + BOUNCE * n, float(n % 2)) for n in range(2 * BOUNCES + 1)]
    return [Event(kind, time=time, a=a) for time, a in edges]


def _bounces(kind: EventKind, stage: Stage) -> tuple[Prepared, ...]:
    """A relay's contact stays made: let go it means close."""
    events = _bouncing(kind, let_go=kind is EventKind.BUTTON)
    return (stage.play(events, duration=FIRST + stage.opened_by),)


def _stops(stage: Stage, *, opening: bool) -> tuple[Prepared, ...]:
    """The line's STOP, or a press of the button, as the leaf passes the middle of its travel."""
    there = stage.passing(IN_MID, opening=opening, after=FIRST)
    asked = stage.ask(Word.OPEN if opening else Word.CLOSE, FIRST)
    if stage.fitted(Commands.LINE):
        stop = (Event(EventKind.WORD, a=Word.STOP, **there),)
    elif stage.fitted(Commands.BUTTON):
        stop = (Event(EventKind.BUTTON, a=1.0, **there),)
    else:
        return ()
    duration = FIRST + (stage.opened_by if opening else stage.shut_by)
    return (stage.play((*asked, *stop), opened=not opening, duration=duration),)


def _stopped(_: Stage) -> Expected:
    return Expected(
        words="stops where it is and holds there",
        modes=frozenset({Mode.STOPPED}),
        whys=frozenset({Why.STOP, Why.BUTTON}),
        bounds=(
            Bound(quantity=Quantity.PLACE, limit=NEAR_MID, source=MANUAL),
            Bound(quantity=Quantity.SPEED, limit=1e-3, source=MANUAL),
        ),
        source=MANUAL,
    )


def _one_move(_: Stage) -> Expected:
    return Expected(
        words="takes it for one command, and opens",
        modes=frozenset({Mode.OPEN}),
        bounds=(Bound(quantity=Quantity.STARTS, limit=1.0, source=MANUAL),),
        source=MANUAL,
    )


def _comes_to_rest(_: Stage) -> Expected:
    return Expected(
        words="comes to rest, keeps every promise, and has no fault", modes=AT_REST, source=MANUAL
    )


def _stuck_button(stage: Stage) -> tuple[Prepared, ...]:
    return (stage.play(press(FIRST, STUCK), duration=STUCK + stage.shut_by),)


def _rests(_: Stage) -> Expected:
    return Expected(
        words="moves once at most, and then stays where it is",
        modes=AT_REST | {Mode.FAULT},
        bounds=(Bound(quantity=Quantity.STARTS, limit=1.0, source=MANUAL),),
        source=MANUAL,
    )


def _cleared(stage: Stage) -> tuple[Prepared, ...]:
    """Two limits at once make a fault; a person clears it at the button and opens the door."""
    if not stage.fitted(Commands.BUTTON):
        return ()
    reading = float(stage.settings["range_mA"]) / 1000.0 + 1.0
    clear = float(stage.settings["clear_ms"]) / 1000.0 + 0.5
    again = 3.0 + clear + 1.0
    events = (
        Event(EventKind.SENSOR_FAULT, time=FIRST, a=2.0, b=reading),
        Event(EventKind.SENSOR_FAULT, time=2.0, a=0.0),
        *press(3.0, clear),
        *stage.ask(Word.OPEN, again),
    )
    return (stage.play(events, duration=again + stage.opened_by, door={"sensor_range": 2.0 * reading}),)


def _works_again(_: Stage) -> Expected:
    return Expected(
        words="stays still until the fault is cleared, then opens",
        modes=frozenset({Mode.OPEN}),
        bounds=(Bound(quantity=Quantity.STARTS, limit=1.0, source=MANUAL),),
        source=MANUAL,
    )


def _laid_up(stage: Stage) -> tuple[Prepared, ...]:
    events = [word(Word.LAY_UP, FIRST), word(Word.OPEN, 2.0), word(Word.CLOSE, 3.0)]
    if stage.fitted(Commands.BUTTON):
        events += press(4.0)
    return (stage.play(events, duration=8.0),)


def _sleeps(_: Stage) -> Expected:
    return Expected(
        words="stays laid up, whoever asks",
        modes=frozenset({Mode.LAID_UP}),
        bounds=(none_of(Quantity.STARTS),),
        source=MANUAL,
    )


def _link_lost(stage: Stage) -> tuple[Prepared, ...]:
    """The heart beat on the line ends while the leaf opens."""
    silence = Event(EventKind.LINE, time=FIRST + 1.0, a=0.0)
    events = (*stage.ask(Word.OPEN, FIRST), silence)
    lost = float(stage.settings["link_lost_ms"]) / 1000.0
    return (stage.play(events, duration=FIRST + stage.opened_by + lost + stage.shut_by, settle=lost + 2.0),)


def _as_set(stage: Stage) -> Expected:
    """What a lost link is set to do; a closing that nobody stands by wants an eye that sees."""
    lost, watched = LinkLost(int(stage.settings["link_lost"])), int(stage.settings["link_lost_ms"]) > 0
    if not watched or lost is LinkLost.STAY:
        return Expected(
            words="goes on, because the settings say that a lost link changes nothing",
            modes=frozenset({Mode.OPEN}),
            source=MANUAL,
        )
    if lost is LinkLost.STOP:
        return Expected(
            words="stops, as it is set for a lost link", modes=frozenset({Mode.STOPPED}), source=MANUAL
        )
    ends = frozenset({Mode.SHUT if stage.watched else Mode.OPEN})
    return Expected(
        words="shuts, as it is set for a lost link, where something watches the doorway",
        modes=ends,
        source=MANUAL,
    )


def _unwatched(stage: Stage) -> tuple[Prepared, ...]:
    """The line asks for closing while whatever watches the doorway says that it has failed."""
    events = (*stage.eyes_see(Eye.FAILED, 0.1), word(Word.CLOSE, 1.0), word(Word.CLOSE, 3.0))
    return (stage.play(events, opened=True, duration=6.0),)


def _refused(_: Stage) -> Expected:
    return Expected(
        words="refuses to close, and stays open",
        modes=frozenset({Mode.OPEN}),
        whys=frozenset({Why.REFUSED, Why.VETO}),
        bounds=(none_of(Quantity.STARTS),),
        source=MANUAL,
    )


def _by_line_only(stage: Stage) -> tuple[Prepared, ...]:
    return _unwatched(stage) if stage.fitted(Commands.LINE) else ()


_scenario = of_family("command", Family.COMMAND)

SCENARIOS = (
    _scenario(
        "hammering",
        "Somebody hammers on the button",
        "Children play with buttons; the door must neither hurry nor wear out.",
        _comes_to_rest,
        _needs(Commands.BUTTON, _hammering),
    ),
    _scenario(
        "contradictory",
        "Open, close and stop at random on the line, stop last",
        "Two programs that do not know each other send what they like.",
        lambda _: Expected(
            words="ends at rest where it was stopped",
            modes=AT_REST,
            bounds=(Bound(quantity=Quantity.SPEED, limit=1e-3, source=MANUAL),),
            source=MANUAL,
        ),
        _needs(Commands.LINE, _contradictory),
    ),
    _scenario(
        "stop_opening",
        "Stopped in the middle of opening",
        "Stop means stop, at once.",
        _stopped,
        lambda stage: _stops(stage, opening=True),
    ),
    _scenario(
        "stop_closing",
        "Stopped in the middle of closing",
        "Stop means stop, at once.",
        _stopped,
        lambda stage: _stops(stage, opening=False),
    ),
    _scenario(
        "button_bounces",
        "A button that bounces",
        "A worn contact makes one press look like ten.",
        _one_move,
        _needs(Commands.BUTTON, lambda stage: _bounces(EventKind.BUTTON, stage)),
    ),
    _scenario(
        "relay_bounces",
        "A relay contact that bounces",
        "A worn contact makes one command look like ten.",
        _one_move,
        _needs(Commands.RELAY, lambda stage: _bounces(EventKind.RELAY, stage)),
    ),
    _scenario(
        "stuck_button",
        "A button that sticks",
        "Ice or a leaf keeps the button pressed for half a minute.",
        _rests,
        _needs(Commands.BUTTON, _stuck_button),
    ),
    _scenario(
        "fault_cleared",
        "A fault that a person clears at the button",
        "A fault keeps the door still until somebody has looked, and no longer.",
        _works_again,
        _cleared,
    ),
    _scenario(
        "laid_up",
        "Asked to move while laid up for the winter",
        "A door that was laid up must stay where it is.",
        _sleeps,
        _needs(Commands.LINE, _laid_up),
    ),
    _scenario(
        "link_lost",
        "The remote link is lost while opening",
        "Radio links end without a word.",
        _as_set,
        _needs(Commands.LINE, _link_lost),
    ),
    _scenario(
        "unwatched",
        "Asked from afar to close while nothing watches the doorway",
        "Who is not there does not see what stands in the way.",
        _refused,
        _by_line_only,
    ),
)
