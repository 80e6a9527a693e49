"""Something stands in the leaf's way: stiff and soft, closing and opening, at the edge and at the hinge."""

from __future__ import annotations

from collections.abc import Callable

from hutwright.bench.contact import at_hinge_side
from hutwright.bench.scenario import Bound, Expected, Family, Prepared, Quantity, Scenario
from hutwright.bench.stage import AFTER_CONTACT, FIRST, MANUAL, Day, Stage, lasting_bounds
from hutwright.catalogue.body_regions import BODY_REGIONS, TRANSIENT_FACTOR
from hutwright.checks.check import Sense
from hutwright.laws.force_trace import IMPACT_PEAK, INSTRUMENT_STIFFNESS, LASTING_TIME, TEST_GAPS
from hutwright.native.scenario import Event
from hutwright.native.words import EventKind, Fault, Mode, Word
from hutwright.sources import EN_12453_LIMITS, ISO_TS_15066_LIMITS

HAND = BODY_REGIONS["hand and fingers"]
FINGER = 0.015  # thickness of a finger; standing: practice [m]
IN_MID = 0.5  # share of the travel: a choice of this project [-]
AGAIN = 2.0  # until it is asked again: a choice of this project [s]
MIDDLE_GAP = TEST_GAPS[1]


def close_on(
    stage: Stage, gap: float, stiffness: float, day: Day, *, door: dict[str, float] | None = None
) -> Prepared | None:
    """The leaf closes on something at a gap; None where its travel has no such gap."""
    edge_way = stage.edge_way(gap)
    if edge_way is None or not stage.commanded():
        return None
    events = (*stage.obstacle(edge_way, stiffness), *stage.ask(Word.CLOSE, FIRST))
    return stage.play(
        events,
        day=day,
        opened=True,
        duration=FIRST + stage.shut_by + AFTER_CONTACT,
        settle=AFTER_CONTACT,
        door=door,
    )


def _some(*runs: Prepared | None) -> tuple[Prepared, ...]:
    return tuple(run for run in runs if run is not None)


def opens_again(stage: Stage, bounds: tuple[Bound, ...]) -> Expected:
    """What an obstruction while closing comes to."""
    del stage  # the same everywhere
    return Expected(
        words="reverses, opens fully and stays open",
        modes=frozenset({Mode.OPEN}),
        bounds=bounds,
        source=MANUAL,
    )


# ---- closing on the instrument of the force test, and on a hand -----------------------------------------


def _instrument(gap: float, *, worst: bool) -> Scenario:
    number = round(1e3 * gap)

    def make(stage: Stage) -> tuple[Prepared, ...]:
        days = stage.extremes() if worst else (stage.mild(),)
        return _some(*(close_on(stage, gap, INSTRUMENT_STIFFNESS, day) for day in days))

    return Scenario(
        key=f"obstacle.{'extremes' if worst else 'stiff'}_{number}",
        family=Family.OBSTACLE,
        title=f"Closing on the test's instrument at {number} mm"
        + (", in the coldest and the warmest, at both ends of the supply" if worst else ""),
        tells="The force test of a finished door, with temperature and supply at their ends."
        if worst
        else "The force test of a finished door, before it is built.",
        expects=lambda stage: opens_again(stage, stage.force_bounds(gap)),
        make=make,
        follows=f"obstacle.stiff_{number}" if worst else "",
    )


def _hand_bounds(stage: Stage) -> tuple[Bound, ...]:
    limit = TRANSIENT_FACTOR * HAND.force
    peak = stage.bound(Quantity.PEAK, limit, ISO_TS_15066_LIMITS, "guard.peak_force_body")
    return (peak, *lasting_bounds())


def _hand(gap: float) -> Scenario:
    number = round(1e3 * gap)
    return Scenario(
        key=f"obstacle.hand_{number}",
        family=Family.OBSTACLE,
        title=f"Closing on a hand at {number} mm",
        tells="Pain begins earlier than a force test ends.",
        expects=lambda stage: opens_again(stage, _hand_bounds(stage)),
        make=lambda stage: _some(close_on(stage, gap, HAND.stiffness, stage.mild())),
    )


def _at_hinge(stage: Stage) -> tuple[Prepared, ...]:
    """A finger on the hinge side, where the leaf hardly moves and presses hard."""
    spot = at_hinge_side(stage.project, FINGER, obstacle=HAND.stiffness)
    if spot is None or not stage.commanded():
        return ()
    finger = Event(EventKind.OBSTACLE, a=spot.place * spot.lever, b=spot.obstacle, c=spot.lever)
    events = (finger, *stage.ask(Word.CLOSE, FIRST))
    duration = FIRST + stage.shut_by + AFTER_CONTACT
    return (stage.play(events, opened=True, duration=duration, settle=AFTER_CONTACT),)


# ---- opening ---------------------------------------------------------------------------------------------


def _while_opening(stage: Stage) -> tuple[Prepared, ...]:
    if not stage.commanded():
        return ()
    edge_way = stage.share(IN_MID) * stage.over.edge_radius
    events = (*stage.obstacle(edge_way, opening=True), *stage.ask(Word.OPEN, FIRST))
    duration = FIRST + stage.opened_by + AFTER_CONTACT
    return (stage.play(events, duration=duration, settle=AFTER_CONTACT),)


def _lets_go(_: Stage) -> Expected:
    return Expected(
        words="stops, backs off and holds there",
        modes=frozenset({Mode.STOPPED}),
        bounds=(
            Bound(quantity=Quantity.PEAK, limit=IMPACT_PEAK, source=EN_12453_LIMITS),
            *lasting_bounds(),
        ),
        source=MANUAL,
    )


# ---- again and again -------------------------------------------------------------------------------------


def _again(times: Callable[[Stage], int], *, then: Word | None) -> Callable[[Stage], tuple[Prepared, ...]]:
    """Closing is asked again and again while something stays in the way."""

    def make(stage: Stage) -> tuple[Prepared, ...]:
        edge_way = stage.edge_way(MIDDLE_GAP)
        if edge_way is None or not stage.commanded():
            return ()
        number, each = times(stage), _there_and_back(stage, edge_way)
        events = list(stage.obstacle(edge_way))
        for turn in range(number):
            events += stage.ask(Word.CLOSE, FIRST + turn * each)
        if then is not None:
            events += stage.ask(then, FIRST + number * each)
        return (stage.play(events, opened=True, duration=FIRST + (number + 1) * each),)

    return make


def _there_and_back(stage: Stage, edge_way: float) -> float:
    """How long after its command the leaf has met something, and opened again [s]."""
    left = 1.0 - edge_way / (stage.over.full * stage.over.edge_radius)
    return AGAIN + sum(stage.moved_by(stage.mild(), opening=way, share=left) for way in (True, False))


def _most(stage: Stage) -> int:
    return int(stage.settings["most_reversals"])


def _twice(stage: Stage) -> Expected:
    return (
        Expected(
            words="opens again both times, and no fault yet",
            modes=frozenset({Mode.OPEN}),
            bounds=(Bound(quantity=Quantity.TRIPS, limit=2.0, source=MANUAL, sense=Sense.AT_LEAST),),
            source=MANUAL,
        )
        if _most(stage) > 2
        else _gives_up(stage)
    )


def _gives_up(_: Stage) -> Expected:
    return Expected(
        words="gives up with a fault, and no command is heard any more",
        modes=frozenset({Mode.FAULT}),
        faults=frozenset({Fault.TOO_MANY_REVERSALS}),
        source=MANUAL,
    )


def _taken_away(stage: Stage) -> tuple[Prepared, ...]:
    """Something stands in the way once, is taken away, and closing is asked again."""
    edge_way = stage.edge_way(MIDDLE_GAP)
    if edge_way is None or not stage.commanded():
        return ()
    again = FIRST + _there_and_back(stage, edge_way)
    gone = Event(EventKind.OBSTACLE, time=again - 1.0, a=edge_way, b=0.0)
    events = (
        *stage.obstacle(edge_way)[:1],
        *stage.ask(Word.CLOSE, FIRST),
        gone,
        *stage.ask(Word.CLOSE, again),
    )
    return (stage.play(events, opened=True, duration=again + stage.shut_by),)


def _shuts_then(_: Stage) -> Expected:
    return Expected(
        words="opens again, and shuts once the way is free",
        modes=frozenset({Mode.SHUT}),
        bounds=(Bound(quantity=Quantity.LASTING, limit=LASTING_TIME, source=EN_12453_LIMITS),),
        source=MANUAL,
    )


SCENARIOS = (
    *(_instrument(gap, worst=False) for gap in TEST_GAPS),
    *(_instrument(gap, worst=True) for gap in TEST_GAPS),
    *(_hand(gap) for gap in TEST_GAPS),
    Scenario(
        key="obstacle.hinge_side",
        family=Family.OBSTACLE,
        title="Closing on a finger beside the hinge",
        tells="Near the hinge the leaf presses many times harder, and the motor hardly feels it.",
        expects=lambda stage: opens_again(stage, _hand_bounds(stage)),
        make=_at_hinge,
    ),
    Scenario(
        key="obstacle.opening",
        family=Family.OBSTACLE,
        title="Something stiff in the way while opening",
        tells="Whoever stands before the leaf must not be pressed for long.",
        expects=_lets_go,
        make=_while_opening,
    ),
    Scenario(
        key="obstacle.taken_away",
        family=Family.OBSTACLE,
        title="In the way once, then taken away",
        tells="A door that has reversed must not need a person for ever.",
        expects=_shuts_then,
        make=_taken_away,
    ),
    Scenario(
        key="obstacle.twice",
        family=Family.OBSTACLE,
        title="In the way twice in a row",
        tells="Reversals are counted until a move ends well.",
        expects=_twice,
        make=_again(lambda _: 2, then=None),
    ),
    Scenario(
        key="obstacle.too_often",
        family=Family.OBSTACLE,
        title="In the way as often as is allowed, then asked to open",
        tells="A door that tries for ever wears out what is in its way.",
        expects=_gives_up,
        make=_again(_most, then=Word.OPEN),
    ),
)
