"""What every scenario plays on: the simulated door in its weather, the settings, the ways to command it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from hutwright.bench.plant import sim_door
from hutwright.bench.scenario import Bound, Prepared, Quantity, Record
from hutwright.bench.settings import core_settings
from hutwright.checks.check import Sense
from hutwright.checks.judging import OWN
from hutwright.laws.force_trace import (
    INSTRUMENT_STIFFNESS,
    LASTING_TIME,
    REST_FORCE,
    peak_limit,
)
from hutwright.model.door import DoorKind
from hutwright.model.project import Project
from hutwright.native.engine import sealed
from hutwright.native.scenario import PRESS, Event, press, scenario
from hutwright.native.words import Commands, EventKind, Eye, Eyes, When, Word
from hutwright.plant.conditions import Conditions, coldest_calm, coldest_worst, nominal, warmest_calm
from hutwright.plant.motion import move
from hutwright.plant.travel import Travel, place_at_gap, travel
from hutwright.sources import EN_12453_LIMITS, EN_12453_VERTICAL, Source, Standing

MANUAL = Source("manual of the controller, door.h", "what the controller does", Standing.DERIVED)
# 16 CFR 1211.7(a): a door that closes downwards begins to reverse within 2 s of contact; a yardstick for
# every other door; standing: read
REVERSAL_TIME = 2.0  # s
REVERSAL = Source("16 CFR 1211.7", "(a), a closing door begins to reverse within 2 s", Standing.READ)
FIRST = 0.5  # when the first thing happens: a choice of this project [s]
SETTLE = 0.5  # how long the leaf must be at rest before a run ends early: a choice of this project [s]
LISTENS = 1.0  # how long after the last thing that happens a run never ends: a choice of this project [s]
ENOUGH = 1.0  # more than a run-time cap, so that a move has surely ended: a choice of this project [s]
ROOM_FOR_MOVE = 1.3  # the start, the supply's sag and a slow stretch: a choice of this project [-]
AFTER_CONTACT = 6.5  # a trace goes on that long, beyond the five seconds of the standard [s]


@dataclass(frozen=True, slots=True)
class Day:
    """In what weather, and at what supply, a scenario plays.

    Attributes
    ----------
    words : str
        The same for people.
    conditions : Conditions
        The weather.
    voltage : float or None
        Of the supply without load; None for that of the description. [V]
    """

    words: str
    conditions: Conditions
    voltage: float | None = None


@dataclass(slots=True)
class Stage:
    """A project that scenarios are played on.

    Attributes
    ----------
    project : Project
        The project.
    voltages : tuple or None
        Least and greatest voltage of the supply that feeds the drive; None where it is one voltage. [V]
    flashed : Record or None
        Settings that were made for another project, such as the one described; None for those of this one.
    noise : int
        What the sensor's noise is drawn by. [-]
    settings : Record
        The controller's settings, sealed.
    over : Travel
        The door's geometry.
    """

    project: Project
    voltages: tuple[float, float] | None = None
    flashed: Record | None = None
    noise: int = 1
    settings: Record = field(init=False)
    over: Travel = field(init=False)

    def __post_init__(self) -> None:
        """Work out once what every scenario asks for."""
        self.settings = core_settings(self.project) if self.flashed is None else self.flashed
        self.over = travel(self.project)

    # ---- days -----------------------------------------------------------------------------------------

    def mild(self) -> Day:
        """A calm day of 20 degC at the described supply."""
        return Day("calm, 20 degC", nominal(self.project))

    def coldest(self) -> Day:
        """The coldest day, calm."""
        return Day("coldest day, calm", coldest_calm(self.project))

    def warmest(self) -> Day:
        """The warmest day, calm."""
        return Day("warmest day, calm", warmest_calm(self.project))

    def iced(self) -> Day:
        """The coldest day with ice, snow and the working gust against opening."""
        return Day("coldest day, ice, snow, gust against opening", coldest_worst(self.project, opening=True))

    def at_supply(self, day: Day, *, highest: bool) -> Day:
        """The same day at one end of the supply's range."""
        if self.voltages is None:
            return day
        voltage = self.voltages[1 if highest else 0]
        end = "highest" if highest else "lowest"
        return Day(f"{day.words}, {end} supply", day.conditions, voltage)

    def extremes(self) -> tuple[Day, ...]:
        """Coldest and warmest day, each at both ends of the supply's range."""
        days = (self.coldest(), self.warmest())
        if self.voltages is None:
            return days
        return tuple(self.at_supply(day, highest=high) for day in days for high in (False, True))

    # ---- what is fitted -------------------------------------------------------------------------------

    def fitted(self, way: Commands) -> bool:
        """Whether a way to command is fitted."""
        return way in Commands(int(self.settings["commands"]))

    def sees(self, eye: Eyes) -> bool:
        """Whether an eye is fitted."""
        return eye in Eyes(int(self.settings["eyes"]))

    @property
    def watched(self) -> bool:
        """Whether something sees what stands in the doorway."""
        return self.sees(Eyes.PRESENT) or self.sees(Eyes.BEAM)

    # ---- times ----------------------------------------------------------------------------------------

    @property
    def opened_by(self) -> float:
        """How long after its command an opening has surely ended, whatever happens [s]."""
        return float(self.settings["opening_cap_ms"]) / 1000.0 + ENOUGH

    @property
    def shut_by(self) -> float:
        """How long after its command a closing, and the reversal that may follow, has surely ended [s]."""
        caps = float(self.settings["closing_cap_ms"]) + float(self.settings["opening_cap_ms"])
        return caps / 1000.0 + ENOUGH

    def moved_by(self, day: Day, *, opening: bool, share: float = 1.0) -> float:
        """How long after its command a move that nothing hinders has ended [s].

        Parameters
        ----------
        day : Day
            In what weather.
        opening : bool
            Whether it opens; else it closes.
        share : float
            Share of the travel that it covers. [-]
        """
        cap = float(self.settings["opening_cap_ms" if opening else "closing_cap_ms"]) / 1000.0
        foreseen = share * move(self.project, day.conditions, opening=opening).total
        return min(ROOM_FOR_MOVE * foreseen, cap) + ENOUGH

    # ---- commands -------------------------------------------------------------------------------------

    def commanded(self) -> bool:
        """Whether anybody can ask the door to open and to close."""
        return any(self.fitted(way) for way in (Commands.BUTTON, Commands.LINE, Commands.RELAY))

    def ask(self, word: Word, time: float) -> tuple[Event, ...]:
        """Somebody asks the door to open or to close: at the button, else on the line, else by the relay.

        A relay's contact that is made means open, one that is let go means close.
        """
        if self.fitted(Commands.BUTTON):
            return press(time)
        if self.fitted(Commands.LINE):
            return (Event(EventKind.WORD, time=time, a=word),)
        made = Event(EventKind.RELAY, time=time if word is Word.OPEN else time - PRESS, a=1.0)
        return (made,) if word is Word.OPEN else (made, Event(EventKind.RELAY, time=time, a=0.0))

    def eyes_see(self, eye: Eye, time: float, **when: Any) -> tuple[Event, ...]:
        """Present sensor and beam, as far as they are fitted, say the same."""
        kinds = ((Eyes.PRESENT, EventKind.PRESENT), (Eyes.BEAM, EventKind.BEAM))
        return tuple(Event(kind, time=time, a=eye, **when) for fitted, kind in kinds if self.sees(fitted))

    # ---- places ---------------------------------------------------------------------------------------

    def share(self, share: float) -> float:
        """The place at a share of the travel from shut [rad or m]."""
        return share * self.over.full

    def passing(self, share: float, *, opening: bool, after: float = 0.0) -> dict[str, Any]:
        """When the leaf passes a share of its travel."""
        when = When.PASSING_OPENING if opening else When.PASSING_CLOSING
        return {"when": when, "place": self.share(share), "time": after}

    def edge_way(self, gap: float) -> float | None:
        """Way of the closing edge from shut at a gap before it [m]; None where the travel has no such gap."""
        place = place_at_gap(self.project, gap)
        return None if place is None or not place < self.over.full else place * self.over.edge_radius

    def obstacle(
        self, edge_way: float, stiffness: float = INSTRUMENT_STIFFNESS, *, opening: bool = False
    ) -> tuple[Event, ...]:
        """Something stands in the leaf's way from the beginning; a pressure edge says so when touched.

        Parameters
        ----------
        edge_way : float
            Way of the closing edge from shut at which the leaf meets it. [m]
        stiffness : float
            Of the obstacle. [N/m]
        opening : bool
            Whether it stands against opening.
        """
        there = Event(EventKind.OBSTACLE, time=0.0, a=edge_way, b=stiffness, d=1.0 if opening else 0.0)
        if opening or not self.sees(Eyes.EDGE):
            return (there,)
        place = edge_way / self.over.edge_radius
        meets, leaves = When.PASSING_CLOSING, When.PASSING_OPENING
        return (
            there,
            Event(EventKind.EDGE, time=FIRST, a=Eye.SEES, when=meets, place=place),
            Event(EventKind.EDGE, time=FIRST, a=Eye.CLEAR, when=leaves, place=place),
        )

    # ---- limits ---------------------------------------------------------------------------------------

    @property
    def vertical(self) -> bool:
        """Whether the leaf moves up and down."""
        return self.project.door is not None and self.project.door.kind is DoorKind.LIFT

    def bound(self, quantity: Quantity, limit: float, source: Source, own: str = "") -> Bound:
        """An upper limit; the builder's own of that check's key where it is stricter.

        Parameters
        ----------
        quantity : Quantity
            What is bounded.
        limit : float
            The limit. [dimension of the quantity]
        source : Source
            Where it comes from.
        own : str
            Key of the check whose limit the builder may have set.
        """
        theirs = self.project.limits.get(own, math.inf)
        if theirs < limit:
            return Bound(
                quantity=quantity, limit=theirs, source=Source(OWN, f'limits."{own}"', Standing.READ)
            )
        return Bound(quantity=quantity, limit=limit, source=source)

    def force_bounds(self, gap: float) -> tuple[Bound, ...]:
        """The limits of a force test at a gap [m]: peak, duration, rest; and the time to reverse."""
        return (
            self.bound(
                Quantity.PEAK,
                peak_limit(gap, vertical=self.vertical),
                EN_12453_VERTICAL if self.vertical and gap > 0.5 else EN_12453_LIMITS,
                "guard.peak_force",
            ),
            *lasting_bounds(),
        )

    # ---- runs -----------------------------------------------------------------------------------------

    def door_on(self, day: Day) -> Record:
        """The simulated door in the weather of a day; not to be written to.

        Parameters
        ----------
        day : Day
            The day.
        """
        return sim_door(self.project, day.conditions, voltage=day.voltage)

    def play(
        self,
        events: Iterable[Event],
        *,
        day: Day | None = None,
        opened: bool = False,
        place_known: bool = True,
        duration: float,
        door: Mapping[str, float] | None = None,
        settings: Mapping[str, int] | None = None,
        settle: float = SETTLE,
        words: str | None = None,
    ) -> Prepared:
        """A run that is ready to be made.

        Parameters
        ----------
        events : iterable of Event
            What happens.
        day : Day or None
            In what weather; None for a mild day.
        opened : bool
            Whether the leaf begins open; else shut.
        place_known : bool
            Whether the controller begins knowing where the leaf is.
        duration : float
            How long it runs at most. [s]
        door : Mapping or None
            Fields of the simulated door that are otherwise here.
        settings : Mapping or None
            Fields of the settings that are otherwise here.
        settle : float
            Ends early once at rest for so long after the last event; 0 never does. [s]
        words : str or None
            The circumstances; None for those of the day.
        """
        day = self.mild() if day is None else day
        record = self.door_on(day).copy()
        for name, value in (door or {}).items():
            record[name] = value
        own = self.settings
        if settings:
            own = own.copy()
            for name, number in settings.items():
                own[name] = number
            own = sealed(own)
        listed = list(events)
        if self.fitted(Commands.LINE):
            listed.insert(0, Event(EventKind.LINE, a=1.0))
        if day.conditions.wind and not any(event.kind is EventKind.GUST for event in listed):
            listed.insert(0, Event(EventKind.GUST, a=1.0))
        last = max((event.time for event in listed if event.when is When.AT_TIME), default=0.0)
        listed.append(Event(EventKind.WORD, time=last + LISTENS, a=Word.NOTHING))
        return Prepared(
            words=day.words if words is None else words,
            door=record,
            settings=own,
            events=scenario(
                listed,
                start_open=opened,
                place_known=place_known,
                duration=duration,
                settle=settle,
                seed=self.noise,
            ),
        )


def lasting_bounds() -> tuple[Bound, ...]:
    """The limits of a force test that do not depend on the gap, and the time to reverse."""
    return (
        Bound(quantity=Quantity.LASTING, limit=LASTING_TIME, source=EN_12453_LIMITS),
        Bound(quantity=Quantity.REST, limit=REST_FORCE, source=EN_12453_LIMITS),
        Bound(quantity=Quantity.REVERSAL, limit=REVERSAL_TIME, source=REVERSAL),
    )


def none_of(quantity: Quantity, source: Source = MANUAL) -> Bound:
    """Nothing of a quantity at all."""
    return Bound(quantity=quantity, limit=0.0, source=source)


def at_least(quantity: Quantity, limit: float, source: Source = MANUAL) -> Bound:
    """A lower limit.

    Parameters
    ----------
    quantity : Quantity
        What is bounded.
    limit : float
        The limit. [dimension of the quantity]
    source : Source
        Where it comes from.
    """
    return Bound(quantity=quantity, limit=limit, source=source, sense=Sense.AT_LEAST)
