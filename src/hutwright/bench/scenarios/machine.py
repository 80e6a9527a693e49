"""The machine in the doorway: it leaves unasked, stands there, or comes while the leaf moves."""

from __future__ import annotations

from typing import Any

from hutwright.bench.scenario import Bound, Expected, Family, Prepared, Quantity, of_family
from hutwright.bench.stage import FIRST, MANUAL, Stage, none_of
from hutwright.laws.kinetic import FREE_FALL
from hutwright.layout.frame import door_of
from hutwright.model.door import DoorKind
from hutwright.model.machine import Machine
from hutwright.native.scenario import Event
from hutwright.native.words import EventKind, Eye, Eyes, Mode, Word

GRIP = 0.5  # share of its weight that a machine's wheels push with on a dry floor: common practice [-]
# A machine's plastic shell against a leaf: 10 to 30 N/mm. Standing: practice
SHELL = 20e3  # [N/m]
PUSHED = 0.1  # share of the travel at which an opening leaf is met: a choice of this project [-]
SCRAPE = 0.3  # friction of a shell along a straight leaf: common practice [-]
CLEAR_AGAIN = 4.0  # after how long the doorway is free again: a choice of this project [s]
IN_MID = 0.5  # share of the travel: a choice of this project [-]


def _machine(stage: Stage) -> Machine | None:
    return stage.project.machine if stage.commanded() else None


def _in_the_way(stage: Stage, machine: Machine) -> tuple[Event, ...]:
    """The machine as something that the leaf meets: as high, or as wide, as its body."""
    kind = door_of(stage.project).kind
    sideways = kind in (DoorKind.SLIDING, DoorKind.LEFT_HINGED, DoorKind.RIGHT_HINGED)
    gap = machine.body.width if sideways else machine.body.height
    edge_way = stage.edge_way(gap)
    return () if edge_way is None else stage.obstacle(edge_way, SHELL)


def _asked_to_close(stage: Stage) -> tuple[Prepared, ...]:
    machine = _machine(stage)
    if machine is None:
        return ()
    events = (
        *_in_the_way(stage, machine),
        *stage.eyes_see(Eye.SEES, 0.1),
        *stage.ask(Word.CLOSE, 1.0),
        *stage.ask(Word.CLOSE, 3.0),
    )
    return (stage.play(events, opened=True, duration=3.0 + stage.shut_by, settle=3.0),)


def _stays(_: Stage) -> Expected:
    return Expected(
        words="does not close, and stays open",
        modes=frozenset({Mode.OPEN}),
        bounds=(none_of(Quantity.STARTS),),
        source=MANUAL,
    )


def _comes_while_closing(stage: Stage, eye: Eye) -> tuple[Prepared, ...]:
    """It drives in as the leaf passes the middle of its travel."""
    machine = _machine(stage)
    if machine is None:
        return ()
    there = stage.passing(IN_MID, opening=False, after=FIRST)
    events = (*stage.ask(Word.CLOSE, FIRST), *stage.eyes_see(eye, **there))
    if eye is Eye.SEES:
        events = (*_in_the_way(stage, machine)[:1], *events)
    return (stage.play(events, opened=True, duration=FIRST + stage.shut_by),)


def _turns_back(_: Stage) -> Expected:
    return Expected(
        words="turns back, opens fully and stays open",
        modes=frozenset({Mode.OPEN}),
        source=MANUAL,
    )


def _drives_off(stage: Stage) -> tuple[Prepared, ...]:
    """The doorway is asked to be shut while the machine stands there, and again once it is gone."""
    if _machine(stage) is None or not stage.watched:
        return ()
    again = 1.0 + CLEAR_AGAIN + float(stage.settings["present_hold_ms"]) / 1000.0 + 1.0
    events = (
        *stage.eyes_see(Eye.SEES, 0.1),
        *stage.ask(Word.CLOSE, 1.0),
        *stage.eyes_see(Eye.CLEAR, 1.0 + CLEAR_AGAIN),
        *stage.ask(Word.CLOSE, again),
    )
    return (stage.play(events, opened=True, duration=again + stage.shut_by),)


def _shuts(_: Stage) -> Expected:
    return Expected(
        words="shuts once the doorway is free",
        modes=frozenset({Mode.SHUT}),
        bounds=(Bound(quantity=Quantity.STARTS, limit=1.0, source=MANUAL),),
        source=MANUAL,
    )


def _eye_failed(stage: Stage) -> tuple[Prepared, ...]:
    if _machine(stage) is None or not stage.watched:
        return ()
    events = (*stage.eyes_see(Eye.FAILED, 0.1), *stage.ask(Word.CLOSE, 1.0))
    return (stage.play(events, opened=True, duration=1.0 + stage.shut_by),)


def _beam_broken(stage: Stage) -> tuple[Prepared, ...]:
    """Something crosses the beam for a moment while the leaf closes."""
    if not stage.sees(Eyes.BEAM) or not stage.commanded():
        return ()
    there = stage.passing(IN_MID, opening=False, after=FIRST)
    later = stage.passing(IN_MID, opening=True, after=FIRST)
    events = (
        *stage.ask(Word.CLOSE, FIRST),
        Event(EventKind.BEAM, a=Eye.SEES, **there),
        Event(EventKind.BEAM, a=Eye.CLEAR, **later),
    )
    return (stage.play(events, opened=True, duration=FIRST + stage.shut_by),)


# ---- it leaves unasked -----------------------------------------------------------------------------------


def _pushes(stage: Stage) -> tuple[Prepared, ...]:
    """The machine starts by a timetable of its own and runs into the opening leaf from inside."""
    machine = _machine(stage)
    if machine is None or not machine.motion.leaves_unasked:
        return ()
    weight = machine.body.mass * FREE_FALL
    there = stage.passing(PUSHED, opening=True, after=FIRST)
    push = Event(EventKind.PUSH, **_push(stage, machine, weight), **there)
    events = (*stage.ask(Word.OPEN, FIRST), push)
    return (stage.play(events, duration=FIRST + stage.opened_by + stage.shut_by),)


def _push(stage: Stage, machine: Machine, weight: float) -> dict[str, Any]:
    """What the machine does to the leaf: it pushes a hinged one along, and scrapes along a straight one."""
    face = stage.share(PUSHED)
    if not stage.over.hinged:
        return {"a": face, "b": 0.0, "c": 1.0, "d": SHELL, "e": SCRAPE * GRIP * weight}
    lever = max(0.5 * stage.over.edge_radius, stage.over.edge_radius - machine.body.height / 2)
    return {
        "a": face,
        "b": machine.motion.speed / lever,
        "c": GRIP * weight * lever,
        "d": SHELL * lever**2,
        "e": 0.0,
    }


def _lets_it_out(_: Stage) -> Expected:
    return Expected(
        words="opens, or stops and holds; never closes onto the machine, and no fault",
        modes=frozenset({Mode.OPEN, Mode.STOPPED}),
        source=MANUAL,
    )


_scenario = of_family("machine", Family.MACHINE)

SCENARIOS = (
    _scenario(
        "pushes",
        "The machine leaves unasked and pushes the opening leaf",
        "A machine that starts by a timetable of its own does not wait for the door.",
        _lets_it_out,
        _pushes,
    ),
    _scenario(
        "stands_there",
        "Asked to close while the machine stands in the doorway",
        "A machine that stops halfway must not be shut in.",
        _stays,
        _asked_to_close,
    ),
    _scenario(
        "comes_in",
        "The machine comes into the doorway while the leaf closes",
        "A machine that comes home does not look up.",
        _turns_back,
        lambda stage: _comes_while_closing(stage, Eye.SEES),
    ),
    _scenario(
        "drives_off",
        "Asked again once the machine has left the doorway",
        "What was refused must not be refused for ever.",
        _shuts,
        _drives_off,
    ),
    _scenario(
        "eye_failed",
        "Asked to close while the present sensor has failed",
        "A sensor that says nothing looks like a free doorway.",
        _stays,
        _eye_failed,
    ),
    _scenario(
        "eye_fails",
        "The present sensor fails while the leaf closes",
        "A cable that breaks in the middle of a move counts as something in the way.",
        _turns_back,
        lambda stage: _comes_while_closing(stage, Eye.FAILED) if stage.watched else (),
    ),
    _scenario(
        "beam_broken",
        "Something crosses the beam while the leaf closes",
        "What runs through at the last moment.",
        _turns_back,
        _beam_broken,
    ),
)
