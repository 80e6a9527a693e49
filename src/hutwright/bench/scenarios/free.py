"""Whole cycles with nothing in the way: in every weather and at every supply."""

from __future__ import annotations

from collections.abc import Callable

from hutwright.bench.scenario import Bound, Expected, Family, Prepared, Quantity, Scenario
from hutwright.bench.stage import FIRST, MANUAL, Day, Stage, none_of
from hutwright.native.scenario import Event
from hutwright.native.words import EventKind, Mode, Why, Word
from hutwright.plant.conditions import Conditions, working_pressure
from hutwright.sources import Source, Standing

Days = Callable[[Stage], tuple[Day, ...]]
# A move without any obstacle that reverses all the same makes people take the protection off.
NEEDLESS = Source("common practice of the trade", "no needless reversals", Standing.PRACTICE)
CAP = Source("the description", "controller.longest_run", Standing.READ)
HELD = 30.0  # how long an open leaf is watched: a choice of this project [s]
STAYS_OPEN = 0.02  # of its travel that an open leaf may give: a choice of this project [-]
GUST_RISE = 1.0  # how fast a gust comes up: common practice [s]
GUSTS = 6  # in a row: a choice of this project


def cycle(stage: Stage, day: Day, *more: Event, rounds: int = 1) -> Prepared:
    """Open and close, so often."""
    opened, shut = (stage.moved_by(day, opening=way) for way in (True, False))
    events = [*more]
    for number in range(rounds):
        begin = FIRST + number * (opened + shut)
        events += [*stage.ask(Word.OPEN, begin), *stage.ask(Word.CLOSE, begin + opened)]
    return stage.play(events, day=day, duration=FIRST + rounds * (opened + shut) + stage.opened_by)


def _expected(stage: Stage) -> Expected:
    return Expected(
        words="opens and shuts within its caps, without a reversal",
        modes=frozenset({Mode.SHUT}),
        whys=frozenset({Why.LIMIT}),
        bounds=(
            none_of(Quantity.TRIPS, NEEDLESS),
            _within(stage, Quantity.OPENING),
            _within(stage, Quantity.CLOSING),
        ),
        source=MANUAL,
    )


def _within(stage: Stage, quantity: Quantity) -> Bound:
    field, key = (
        ("opening_cap_ms", "door.opening_time")
        if quantity is Quantity.OPENING
        else ("closing_cap_ms", "door.closing_time")
    )
    return stage.bound(quantity, float(stage.settings[field]) / 1000.0, CAP, key)


def _cycles(days: Days) -> Callable[[Stage], tuple[Prepared, ...]]:
    def make(stage: Stage) -> tuple[Prepared, ...]:
        return tuple(cycle(stage, day) for day in days(stage)) if stage.commanded() else ()

    return make


def _gusty(stage: Stage) -> tuple[Prepared, ...]:
    """Gusts that come and go all the while, onto the leaf and away from it."""
    if not stage.commanded():
        return ()
    gust = working_pressure(stage.project)
    runs = []
    for words, wind in (("gusts onto the leaf", gust), ("gusts away from the hut", -gust)):
        day = Day(words, Conditions(stage.mild().conditions.temperature, wind))
        whole = sum(stage.moved_by(day, opening=way) for way in (True, False))
        steps = [
            Event(EventKind.GUST, time=FIRST + whole * number / GUSTS, a=float(number % 2), b=GUST_RISE)
            for number in range(GUSTS + 1)
        ]
        calm = Event(EventKind.GUST, time=0.0, a=0.0, b=0.0)
        runs.append(cycle(stage, day, calm, *steps))
    return tuple(runs)


def _three(stage: Stage) -> tuple[Prepared, ...]:
    return (cycle(stage, stage.mild(), rounds=3),) if stage.commanded() else ()


def _held_open(stage: Stage) -> tuple[Prepared, ...]:
    """An open leaf in a gust that would shut it, without drive."""
    gust = Conditions(stage.mild().conditions.temperature, working_pressure(stage.project))
    steps = [Event(EventKind.GUST, time=2.0 + 4.0 * n, a=float((n + 1) % 2), b=GUST_RISE) for n in range(7)]
    calm = Event(EventKind.GUST, time=0.0, a=0.0, b=0.0)
    day = Day("gusts onto the leaf", gust)
    return (stage.play((calm, *steps), day=day, opened=True, duration=HELD, settle=0.0),)


def _stays_open(_: Stage) -> Expected:
    return Expected(
        words="stays open, and the drive stays off",
        modes=frozenset({Mode.OPEN}),
        bounds=(
            none_of(Quantity.STARTS),
            Bound(quantity=Quantity.PLACE, limit=STAYS_OPEN, source=NEEDLESS),
        ),
        source=MANUAL,
    )


def _first_move(stage: Stage) -> tuple[Prepared, ...]:
    """After power-up, when the controller does not know where the leaf is."""
    if not stage.commanded():
        return ()
    whole = stage.opened_by + stage.shut_by
    events = (*stage.ask(Word.OPEN, FIRST), *stage.ask(Word.CLOSE, FIRST + stage.opened_by))
    return (stage.play(events, place_known=False, duration=FIRST + whole),)


def _free(
    name: str, title: str, tells: str, days: Days, make: Callable[[Stage], tuple[Prepared, ...]] | None = None
) -> Scenario:
    return Scenario(
        key=f"free.{name}",
        family=Family.FREE,
        title=title,
        tells=tells,
        expects=_expected,
        make=_cycles(days) if make is None else make,
    )


def _one(name: str, *, highest: bool | None = None) -> Days:
    def days(stage: Stage) -> tuple[Day, ...]:
        day: Day = getattr(stage, name)()
        if highest is None:
            return (day,)
        return (stage.at_supply(day, highest=highest),) if stage.voltages is not None else ()

    return days


SCENARIOS = (
    _free("mild", "Open and shut on a mild day", "The door as it works most days.", _one("mild")),
    _free("coldest", "Open and shut on the coldest day", "Cold grease and a stiff drive.", _one("coldest")),
    _free("warmest", "Open and shut on the warmest day", "A warm motor gives less.", _one("warmest")),
    _free(
        "lowest_supply",
        "Open and shut at the lowest supply",
        "A tired battery makes the door slow, and must not make it stop.",
        _one("coldest", highest=False),
    ),
    _free(
        "highest_supply",
        "Open and shut at the highest supply",
        "A full battery makes the door quick, and its current must not look like an obstacle.",
        _one("mild", highest=True),
    ),
    _free(
        "iced",
        "Open and shut, frozen, with snow and a gust",
        "Ice that breaks must not look like an obstacle that was met.",
        _one("iced"),
    ),
    _free("gusty", "Open and shut in gusts", "Gusts must not look like obstacles.", _one("mild"), _gusty),
    _free(
        "three_cycles",
        "Open and shut three times in a row",
        "What the controller believes of the leaf's place must not drift.",
        _one("mild"),
        _three,
    ),
    _free(
        "first_move",
        "Open and shut after power came on",
        "The controller does not know where the leaf is, and finds out slowly.",
        _one("mild"),
        _first_move,
    ),
    Scenario(
        key="free.held_open",
        family=Family.FREE,
        title="Left open in gusts for half a minute",
        tells="An open leaf that falls shut in a gust hits what goes through.",
        expects=_stays_open,
        make=_held_open,
    ),
)
