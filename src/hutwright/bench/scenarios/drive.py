"""What breaks outside the controller: the bridge, the mount, and ice that holds or lets go."""

from __future__ import annotations

from collections.abc import Callable

from hutwright.bench.scenario import Bound, Expected, Family, Prepared, Quantity, of_family
from hutwright.bench.stage import FIRST, MANUAL, Stage, none_of
from hutwright.native.scenario import Event
from hutwright.native.words import Commands, EventKind, Fault, Mode, When, Word

IN_MID = 0.5  # share of the travel: a choice of this project [-]
STILL = Bound(quantity=Quantity.SPEED, limit=1e-3, source=MANUAL)
OPENING_SIDE, CLOSING_SIDE = 1.0, 2.0  # which side of the bridge stays on
SLIPS_BY = 0.03  # share of the rod's travel that a mount slides: a choice of this project [-]
HARD_ICE = 3.0  # as much again as is described: a choice of this project [-]
FROZEN_FAST = 1e6  # holds whatever the drive does [N m or N]
STRONGER = 1.5  # as much friction again in the middle of the travel: a choice of this project [-]


def _bridge(stage: Stage, side: float) -> tuple[Prepared, ...]:
    """A side of the bridge that burnt through conducts as long as the bridge is enabled."""
    if not stage.commanded():
        return ()
    opening = side == OPENING_SIDE
    there = stage.passing(IN_MID, opening=opening, after=FIRST)
    stuck = Event(EventKind.BRIDGE_STUCK, a=side, **there)
    later = {**there, "place": stage.share(IN_MID + (0.1 if opening else -0.1))}
    if stage.fitted(Commands.BUTTON) and not stage.fitted(Commands.LINE):
        stop = Event(EventKind.BUTTON, a=1.0, **later)
    else:
        stop = Event(EventKind.WORD, a=Word.STOP, **later)  # heard on the line whether it commands or not
    asked = stage.ask(Word.OPEN if opening else Word.CLOSE, FIRST)
    duration = FIRST + (stage.opened_by if opening else stage.shut_by)
    return (stage.play((*asked, stuck, stop), opened=not opening, duration=duration),)


def _cut_off(_: Stage) -> Expected:
    return Expected(
        words="stops all the same, because the second way to switch off cuts the bridge",
        modes=frozenset({Mode.STOPPED, Mode.FAULT}),
        faults=frozenset({Fault.WELL, Fault.CURRENT_WITHOUT_DUTY}),
        bounds=(STILL,),
        source=MANUAL,
    )


def _slips(stage: Stage) -> tuple[Prepared, ...]:
    """The mount slides along the rod by a share of its travel, while opening; then a whole cycle."""
    if not stage.commanded():
        return ()
    by = SLIPS_BY * abs(float(stage.over.rod_length[-1] - stage.over.rod_length[0]))
    slip = Event(EventKind.SLIP, a=by, **stage.passing(IN_MID, opening=True, after=FIRST))
    shut = FIRST + stage.opened_by
    events = (*stage.ask(Word.OPEN, FIRST), slip, *stage.ask(Word.CLOSE, shut))
    return (stage.play(events, duration=shut + stage.shut_by),)


def _keeps_order(_: Stage) -> Expected:
    return Expected(
        words="finds its ends all the same, or stops, or says that it slipped",
        modes=frozenset({Mode.SHUT, Mode.OPEN, Mode.STOPPED, Mode.FAULT}),
        faults=frozenset({Fault.WELL, Fault.SLIPPED, Fault.NO_CURRENT, Fault.RUN_TOO_LONG}),
        bounds=(STILL,),
        source=MANUAL,
    )


def _iced(stage: Stage, ice: Callable[[float], float]) -> tuple[Prepared, ...]:
    if not stage.commanded():
        return ()
    asked = stage.ask(Word.OPEN, FIRST)
    day = stage.iced()
    described = float(stage.door_on(day)["ice"])
    if described <= 0.0:
        return ()
    return (stage.play(asked, day=day, duration=FIRST + stage.opened_by, door={"ice": ice(described)}),)


def _opens_or_holds(_: Stage) -> Expected:
    return Expected(
        words="opens, or gives up and does not press on",
        modes=frozenset({Mode.OPEN, Mode.STOPPED, Mode.SHUT}),
        bounds=(STILL,),
        source=MANUAL,
    )


def _holds(_: Stage) -> Expected:
    return Expected(
        words="gives up, and does not press on",
        modes=frozenset({Mode.SHUT, Mode.STOPPED, Mode.FAULT}),
        faults=frozenset({Fault.WELL, Fault.RUN_TOO_LONG, Fault.TOO_MANY_REVERSALS}),
        bounds=(STILL,),
        source=MANUAL,
    )


def _drag(stage: Stage) -> tuple[Prepared, ...]:
    """Sand in the track or a rusty hinge, from the middle of the travel on."""
    if not stage.commanded():
        return ()
    door = stage.door_on(stage.mild())
    more = STRONGER * float(max(door["resist_open"]))
    drag = Event(EventKind.DRAG, a=more, **stage.passing(IN_MID, opening=True, after=FIRST))
    events = (*stage.ask(Word.OPEN, FIRST), drag)
    return (stage.play(events, duration=FIRST + stage.opened_by),)


def _at_rest(stage: Stage) -> tuple[Prepared, ...]:
    """A side of the bridge burns through while nothing moves, and nobody asks for anything."""
    stuck = Event(EventKind.BRIDGE_STUCK, time=FIRST, when=When.AT_TIME, a=CLOSING_SIDE)
    return (stage.play((stuck,), opened=True, duration=FIRST + 3.0, settle=0.0),)


def _stays_still(_: Stage) -> Expected:
    return Expected(
        words="stays open and still, because the bridge is not enabled at rest",
        modes=frozenset({Mode.OPEN, Mode.FAULT}),
        faults=frozenset({Fault.WELL, Fault.CURRENT_WITHOUT_DUTY}),
        bounds=(none_of(Quantity.STARTS), STILL, Bound(quantity=Quantity.PLACE, limit=0.02, source=MANUAL)),
        source=MANUAL,
    )


_scenario = of_family("drive", Family.DRIVE)

SCENARIOS = (
    _scenario(
        "bridge_opening",
        "The bridge's opening side burns through, then stop",
        "A burnt bridge hears no duty; only its enable input still does.",
        _cut_off,
        lambda stage: _bridge(stage, OPENING_SIDE),
    ),
    _scenario(
        "bridge_closing",
        "The bridge's closing side burns through, then stop",
        "A burnt bridge hears no duty; only its enable input still does.",
        _cut_off,
        lambda stage: _bridge(stage, CLOSING_SIDE),
    ),
    _scenario(
        "bridge_at_rest",
        "The bridge's closing side burns through at rest",
        "A door that nobody asked must not shut.",
        _stays_still,
        _at_rest,
    ),
    _scenario(
        "slipped",
        "The mount slips while opening",
        "The controller's belief of the leaf's place is out from then on.",
        _keeps_order,
        _slips,
    ),
    _scenario(
        "hard_ice",
        "Frozen harder than described",
        "Ice that lets go late lets go with a jerk.",
        _opens_or_holds,
        lambda stage: _iced(stage, lambda ice: HARD_ICE * ice),
    ),
    _scenario(
        "frozen_fast",
        "Frozen so hard that nothing gives",
        "A drive that presses on for ever burns its winding.",
        _holds,
        lambda stage: _iced(stage, lambda _: FROZEN_FAST),
    ),
    _scenario(
        "drag",
        "Much more friction in the middle of opening",
        "Sand in a track, or a hinge that rusts.",
        _opens_or_holds,
        _drag,
    ),
)
