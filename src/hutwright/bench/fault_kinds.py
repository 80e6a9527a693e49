"""Kinds of faults for a campaign: each at a moment, and of a size, that are drawn by chance.

A kind whose part a door does not have is played with that part fitted: switches at the board, an eye, a
contact. What it is fitted with then reads as it would where it is well, until the fault comes.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from hutwright.bench.stage import Stage
from hutwright.laws.force_trace import INSTRUMENT_STIFFNESS
from hutwright.native.scenario import PRESS, Event, obstacle, press
from hutwright.native.words import Commands, Ends, EventKind, Eye, Eyes, When, Word

Chance = np.random.Generator
Happens = Callable[[Stage, Chance, float], Sequence[Event]]

SOFT = 10e3  # of a part of a body: the least that the closed form knows, doubled. A choice of this project
BOUNCE = 0.002  # a contact bounces every few milliseconds. Standing: practice [s]
PUSHED_AT = 150.0  # of a machine's drive, at the edge. Standing: practice [N]
NO_EYES, NO_COMMANDS = Eyes(0), Commands(0)
COLDEST_READ, WARMEST_READ = 200.0, 400.0  # of a temperature sensor that is wrong [K]


def _nothing(_stage: Stage, _chance: Chance) -> Mapping[str, float]:
    return {}


def _always(_stage: Stage) -> bool:
    return True


@dataclass(frozen=True, kw_only=True, slots=True)
class FaultKind:
    """One kind of fault.

    Attributes
    ----------
    key : str
        Its name.
    words : str
        What happens, for people.
    happens : Callable
        From the stage, chance and the moment [s] to the events.
    door : Callable
        From the stage and chance to what of the simulated door is otherwise from the beginning.
    eyes : Eyes
        Eyes that are fitted for it.
    commands : Commands
        Ways to command that are fitted for it.
    switches : bool
        Whether switches at the board are fitted for it.
    link : bool
        Whether what a lost link does is drawn too.
    windy : bool
        Whether it is played in the wind of the iced day only.
    arises : Callable
        Whether a stage can have it at all.
    """

    key: str
    words: str
    happens: Happens
    door: Callable[[Stage, Chance], Mapping[str, float]] = _nothing
    eyes: Eyes = NO_EYES
    commands: Commands = NO_COMMANDS
    switches: bool = False
    link: bool = False
    windy: bool = False
    arises: Callable[[Stage], bool] = _always

    def fitted_for(self, stage: Stage) -> bool:
        """Whether something is fitted for it that the stage does not have."""
        return (
            bool(self.eyes & ~Eyes(int(stage.settings["eyes"])))
            or bool(self.commands & ~Commands(int(stage.settings["commands"])))
            or (self.switches and not has_switches(stage))
        )


def has_switches(stage: Stage) -> bool:
    """Whether the stage's door has switches at the board."""
    return int(stage.settings["ends"]) == Ends.SWITCHES


# ---- how faults come and go -------------------------------------------------------------------------------


def lasting(kind: EventKind, a: float, b: float = 0.0) -> Happens:
    """Something that stays so."""
    return lambda _stage, _chance, moment: (Event(kind, moment, a, b),)


def passing(kind: EventKind, a: float, well: float, shortest: float, longest: float) -> Happens:
    """Something that is well again after a while.

    Parameters
    ----------
    kind : EventKind
        What.
    a : float
        As it is then. [of the kind]
    well : float
        As it is when it is well. [of the kind]
    shortest : float
        That it lasts. [s]
    longest : float
        That it lasts; even chance between. [s]
    """

    def happens(_stage: Stage, chance: Chance, moment: float) -> Sequence[Event]:
        return (Event(kind, moment, a), Event(kind, moment + chance.uniform(shortest, longest), well))

    return happens


def perhaps(kind: EventKind, a: float, well: float) -> Happens:
    """Something that in half of all runs is well again after some seconds."""

    def happens(_stage: Stage, chance: Chance, moment: float) -> Sequence[Event]:
        there, later = Event(kind, moment, a), moment + chance.uniform(0.2, 5.0)
        return (there, Event(kind, later, well)) if chance.random() < 0.5 else (there,)

    return happens


def _flutters(kind: EventKind, values: Sequence[float], number: int, longest: float) -> Happens:
    """Something that changes between values, again and again."""

    def happens(_stage: Stage, chance: Chance, moment: float) -> Sequence[Event]:
        events, time = [], moment
        for each in range(number):
            events.append(Event(kind, time, values[each % len(values)]))
            time += chance.uniform(0.001, longest)
        return events

    return happens


# ---- sensor -----------------------------------------------------------------------------------------------


def _reach(stage: Stage) -> float:
    """More than the sensor can show [A]."""
    return 2e-3 * float(stage.settings["range_mA"])


def _wire_free(stage: Stage, chance: Chance, moment: float) -> Sequence[Event]:
    return (Event(EventKind.SENSOR_FAULT, moment, 2.0, chance.choice((-1.0, 1.0)) * _reach(stage)),)


def _offset(_stage: Stage, chance: Chance, moment: float) -> Sequence[Event]:
    return (Event(EventKind.SENSOR_FAULT, moment, 3.0, chance.uniform(-4.0, 4.0)),)


def _noisy(_stage: Stage, chance: Chance, moment: float) -> Sequence[Event]:
    return (Event(EventKind.SENSOR_FAULT, moment, 5.0, chance.uniform(0.05, 1.0)),)


def _half_seen(_stage: Stage, chance: Chance, moment: float) -> Sequence[Event]:
    return (Event(EventKind.SENSOR_FAULT, moment, 4.0, chance.uniform(0.3, 0.7)),)


# ---- supply -----------------------------------------------------------------------------------------------


def _voltage(stage: Stage) -> float:
    return 1e-3 * float(stage.settings["reference_mV"])


def _sag(stage: Stage, chance: Chance, moment: float) -> Sequence[Event]:
    full, back = _voltage(stage), moment + chance.uniform(0.02, 3.0)
    low = chance.uniform(0.5, 0.95) * full
    return (Event(EventKind.SUPPLY, moment, low, 0.02), Event(EventKind.SUPPLY, back, full, 0.02))


def _brown_out(stage: Stage, chance: Chance, moment: float) -> Sequence[Event]:
    falls, rises = chance.uniform(0.5, 8.0), chance.uniform(0.05, 4.0)
    back = moment + falls + chance.uniform(-0.3, 2.0)
    return (
        Event(EventKind.SUPPLY, moment, 0.0, falls),
        Event(EventKind.SUPPLY, back, _voltage(stage), rises),
    )


# ---- drive, mount, things in the way ----------------------------------------------------------------------


def _slips(stage: Stage, chance: Chance, moment: float) -> Sequence[Event]:
    by = chance.uniform(-0.05, 0.05) * _whole(stage)
    return (Event(EventKind.SLIP, moment, by),)


def _whole(stage: Stage) -> float:
    """The rod's travel [m]."""
    return abs(float(stage.over.rod_length[-1] - stage.over.rod_length[0]))


def _ice(stage: Stage, chance: Chance, moment: float) -> Sequence[Event]:
    return (Event(EventKind.ICE, moment, chance.uniform(20.0, 500.0) * stage.over.edge_radius),)


def _drag(stage: Stage, chance: Chance, moment: float) -> Sequence[Event]:
    load = chance.uniform(10.0, 300.0) * stage.over.edge_radius
    there, later = Event(EventKind.DRAG, moment, load), moment + chance.uniform(0.2, 5.0)
    return (there, Event(EventKind.DRAG, later, 0.0)) if chance.random() < 0.5 else (there,)


def _in_the_way(stiffness: float, *, opening: bool) -> Happens:
    """Something before the leaf at a place drawn by chance, in half of all runs taken away at the moment.

    What stands against closing is put there as the leaf has passed by; against opening it is there before.
    """

    def happens(stage: Stage, chance: Chance, moment: float) -> Sequence[Event]:
        share = chance.uniform(0.05, 0.9)
        there = obstacle(
            0.0, face=share * stage.over.full * stage.over.edge_radius, stiffness=stiffness, opening=opening
        )
        if not opening:
            there = Event(
                there.kind, a=there.a, b=there.b, when=When.PASSING_OPENING, place=stage.share(share + 0.02)
            )
        gone = Event(EventKind.OBSTACLE, moment, d=float(opening))
        return (there, gone) if chance.random() < 0.5 else (there,)

    return happens


def _push(stage: Stage, chance: Chance, moment: float) -> Sequence[Event]:
    full, most = stage.over.full, PUSHED_AT * stage.over.edge_radius * chance.uniform(0.2, 2.0)
    rate, stiffness = chance.uniform(0.1, 1.0) * full, 50.0 * most / full
    gone = Event(EventKind.PUSH, moment + chance.uniform(0.5, 5.0))
    return (Event(EventKind.PUSH, moment, 0.0, rate, most, stiffness, 0.1 * most), gone)


def _gust(_stage: Stage, chance: Chance, moment: float) -> Sequence[Event]:
    over, gone = chance.uniform(0.05, 1.0), moment + chance.uniform(0.5, 5.0)
    return (
        Event(EventKind.GUST, moment, chance.uniform(-3.0, 3.0), over),
        Event(EventKind.GUST, gone, 1.0, over),
    )


def _cuts_early(stage: Stage, chance: Chance) -> Mapping[str, float]:
    share = chance.uniform(0.1, 0.9)
    return {"switch_open" if chance.random() < 0.5 else "switch_shut": share * _whole(stage)}


# ---- commands ---------------------------------------------------------------------------------------------


def _words(stage: Stage, chance: Chance, moment: float) -> Sequence[Event]:
    """All that the line knows, at random; the last one wakes."""
    times = moment + np.cumsum(chance.uniform(0.001, 0.6, 15))
    said = [*chance.choice([int(each) for each in Word], 14), int(Word.WAKE)]
    return [Event(EventKind.WORD, float(time), float(word)) for time, word in zip(times, said, strict=True)]


def _rubbish(_stage: Stage, chance: Chance, moment: float) -> Sequence[Event]:
    times = moment + np.cumsum(chance.uniform(0.001, 0.3, 20))
    return [Event(EventKind.WORD, float(time), float(chance.integers(7, 256))) for time in times]


def _bounces(kind: EventKind) -> Happens:
    """A contact that bounces as it is made and as it is let go."""

    def happens(_stage: Stage, chance: Chance, moment: float) -> Sequence[Event]:
        held = chance.uniform(0.03, 0.5)
        made = [Event(kind, moment + BOUNCE * n, 1.0 - n % 2) for n in range(9)]
        return [*made, *(Event(kind, moment + held + BOUNCE * n, float(n % 2)) for n in range(9))]

    return happens


def _stopped(stage: Stage, chance: Chance, moment: float) -> Sequence[Event]:
    """STOP on the line, and now and then again, or an opening in the very same moment."""
    again = (Word.STOP, Word.OPEN, Word.CLOSE)[int(chance.integers(3))]
    return (
        *stage.ask(again, moment - 0.02),
        Event(EventKind.WORD, moment, Word.STOP),
        Event(EventKind.WORD, moment + chance.uniform(0.001, 1.0), again),
        Event(EventKind.WORD, moment + 1.5, Word.STOP),
    )


def _pressed(_stage: Stage, chance: Chance, moment: float) -> Sequence[Event]:
    return (*press(moment), *press(moment + PRESS + chance.uniform(0.03, 1.5)))


def _temperature(_stage: Stage, chance: Chance, moment: float) -> Sequence[Event]:
    return (Event(EventKind.TEMPERATURE, moment, chance.uniform(COLDEST_READ, WARMEST_READ)),)


# ---- the list ---------------------------------------------------------------------------------------------


def _inside(stage: Stage) -> bool:
    return int(stage.settings["ends"]) == Ends.INSIDE


def _both_made(_stage: Stage, _chance: Chance, moment: float) -> Sequence[Event]:
    return (Event(EventKind.LIMIT_SHUT, moment, 1.0), Event(EventKind.LIMIT_OPEN, moment, 1.0))


def _no_event(_stage: Stage, _chance: Chance, _moment: float) -> Sequence[Event]:
    return ()


def _of_the_ends() -> tuple[FaultKind, ...]:
    shut, opened = EventKind.LIMIT_SHUT, EventKind.LIMIT_OPEN
    never = FaultKind(
        key="inside.never_cuts",
        words="the switches inside the drive never cut its current",
        happens=_no_event,
        door=lambda _stage, _chance: {"inside_switches": 0.0},
        arises=_inside,
    )
    early = FaultKind(
        key="inside.cuts_early",
        words="a switch inside the drive has moved into the travel",
        happens=_no_event,
        door=_cuts_early,
        arises=_inside,
    )
    at_the_board = (
        ("limit.shut_lost", "the switch at shut is not made any more", lasting(shut, 0.0)),
        ("limit.shut_stuck", "the switch at shut stays made", perhaps(shut, 1.0, -1.0)),
        ("limit.open_lost", "the switch at open is not made any more", lasting(opened, 0.0)),
        ("limit.open_stuck", "the switch at open stays made", perhaps(opened, 1.0, -1.0)),
        ("limit.both_made", "both switches are made", _both_made),
        ("limit.flutters", "the switch at open flutters", _flutters(opened, (1.0, 0.0), 21, 0.2)),
    )
    return (
        *(FaultKind(key=key, words=words, happens=how, switches=True) for key, words, how in at_the_board),
        never,
        early,
    )


def _of_the_eyes() -> tuple[FaultKind, ...]:
    found = []
    for name, thing, kind, eye in (
        ("present", "the present sensor", EventKind.PRESENT, Eyes.PRESENT),
        ("beam", "the beam", EventKind.BEAM, Eyes.BEAM),
        ("edge", "the pressure edge", EventKind.EDGE, Eyes.EDGE),
    ):
        clear, sees, failed = float(Eye.CLEAR), float(Eye.SEES), float(Eye.FAILED)
        for key, words, how in (
            ("sees", f"{thing} sees something for a while", passing(kind, sees, clear, 0.001, 3.0)),
            ("fails", f"{thing} reports that it has failed", perhaps(kind, failed, clear)),
            ("flutters", f"{thing} flutters", _flutters(kind, (sees, clear, failed, clear), 16, 0.4)),
        ):
            found.append(FaultKind(key=f"{name}.{key}", words=words, happens=how, eyes=eye))
    return tuple(found)


def _plain() -> tuple[FaultKind, ...]:
    sensor, bridge, power = EventKind.SENSOR_FAULT, EventKind.BRIDGE_STUCK, EventKind.POWER
    stiff = INSTRUMENT_STIFFNESS
    return tuple(
        FaultKind(key=key, words=words, happens=how)
        for key, words, how in (
            ("sensor.stuck", "the current sensor sticks at its reading", lasting(sensor, 1.0)),
            ("sensor.silent", "the current sensor shows nothing", lasting(sensor, 2.0)),
            ("sensor.wire_free", "the current sensor's wire hangs free", _wire_free),
            ("sensor.offset", "the current sensor is off by up to 4 A", _offset),
            ("sensor.noisy", "the current sensor is noisy, up to 1 A", _noisy),
            ("sensor.half_seen", "the current sensor sees a share of the current", _half_seen),
            ("sensor.flutters", "the current sensor comes and goes", _flutters(sensor, (2.0, 0.0), 21, 0.4)),
            ("supply.sag", "the supply sags for a while", _sag),
            ("supply.brown_out", "the supply dies slowly and comes back", _brown_out),
            ("supply.cut", "the power is cut and comes back", passing(power, 0.0, 1.0, 0.002, 3.0)),
            ("supply.flickers", "the power flickers", _flutters(power, (0.0, 1.0), 12, 0.25)),
            ("bridge.opening_side", "the bridge's opening side stays on", perhaps(bridge, 1.0, 0.0)),
            ("bridge.closing_side", "the bridge's closing side stays on", perhaps(bridge, 2.0, 0.0)),
            ("mount.slips", "the mount slides by up to 5 % of the travel", _slips),
            ("ice", "ice holds the leaf, up to 500 N at the edge", _ice),
            ("drag", "friction grows, up to 300 N at the edge", _drag),
            (
                "obstacle.closing_stiff",
                "a hard thing stands against closing",
                _in_the_way(stiff, opening=False),
            ),
            (
                "obstacle.closing_soft",
                "a soft thing stands against closing",
                _in_the_way(SOFT, opening=False),
            ),
            (
                "obstacle.opening_stiff",
                "a hard thing stands against opening",
                _in_the_way(stiff, opening=True),
            ),
            ("obstacle.opening_soft", "a soft thing stands against opening", _in_the_way(SOFT, opening=True)),
            ("push", "a machine pushes the leaf from inside", _push),
            ("words.contradictory", "the line says everything at random", _words),
            ("words.rubbish", "the line says what is no word", _rubbish),
            ("words.stop", "stop on the line, between other commands", _stopped),
            ("temperature.wrong", "the temperature reads anything", _temperature),
        )
    )


def _of_contacts() -> tuple[FaultKind, ...]:
    button, relay, front = EventKind.BUTTON, EventKind.RELAY, EventKind.SENSOR
    return tuple(
        FaultKind(key=key, words=words, happens=how, commands=way)
        for key, words, how, way in (
            ("button.pressed", "the button is pressed twice", _pressed, Commands.BUTTON),
            ("button.bounces", "the button bounces", _bounces(button), Commands.BUTTON),
            ("button.sticks", "the button sticks", passing(button, 1.0, 0.0, 1.0, 10.0), Commands.BUTTON),
            ("relay.bounces", "the relay's contact bounces", _bounces(relay), Commands.RELAY),
            (
                "front.flutters",
                "the sensor in front of the machine flutters",
                _flutters(front, (1.0, 0.0), 16, 0.3),
                Commands.SENSOR,
            ),
        )
    )


SIMPLE: tuple[FaultKind, ...] = (
    *_of_the_ends(),
    *_plain(),
    FaultKind(key="gust", words="gusts from any side", happens=_gust, windy=True),
    *_of_the_eyes(),
    FaultKind(
        key="link.lost",
        words="the line falls silent",
        happens=perhaps(EventKind.LINE, 0.0, 1.0),
        commands=Commands.LINE,
        link=True,
    ),
    *_of_contacts(),
)
