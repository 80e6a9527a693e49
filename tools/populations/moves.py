"""Moves of a member through the engine: recorded ones to train with, free ones and contacts to judge by."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from hutwright.bench.contact import Contact, Spot, contact_of
from hutwright.bench.free import NEEDLESS, asked_at_button, with_button
from hutwright.bench.played_moves import SAMPLING, trace_of
from hutwright.evidence.trace import Trace, Way
from hutwright.laws.force_trace import INSTRUMENT_STIFFNESS, TEST_GAPS, peak_limit
from hutwright.model.door import DoorKind
from hutwright.native import engine
from hutwright.native.records import DOOR, SCENARIO, Record
from hutwright.native.scenario import Event, obstacle
from hutwright.native.words import Mode
from hutwright.plant.travel import place_at_gap
from hutwright.studies.calibrate_forces import SOFT_STIFFNESS, Press
from tools.populations.member import Member
from tools.populations.year import Circumstances

WAYS = (Way.OPENING, Way.CLOSING)
AFTER_TOUCH = 7.0  # that a contact is followed beyond the cap of the closing: a force test takes five [s]
# Of what is soft and slow: a cushion, a cat. Even chance in the logarithm between the ends
SOFT = (1e3, 5e3)  # [N/m]
SOFT_GAPS = (0.03, 0.45)  # even chance between the ends [m]


class Met(NamedTuple):
    """What the closing leaf is to meet."""

    gap: float  # before the edge [m]
    stiffness: float  # [N/m]
    when: Circumstances


class Freely(NamedTuple):
    """What came of a free cycle, an opening and a closing."""

    needless: bool  # the controller took something for an obstruction
    unfinished: bool  # it did not get to its end for another reason


class Touch(NamedTuple):
    """What came of a contact."""

    press: Press
    tripped: bool  # a detector or the backstop, before or after the touch
    delay: float  # from the touch to the decision; infinite without one [s]

    @property
    def touched(self) -> bool:
        """Whether the leaf got there."""
        return self.press.contact.touched

    @property
    def over_peak(self) -> bool:
        """Whether the peak went over its limit."""
        return self.touched and not self.press.contact.peak_seen <= self.press.limit


def door_in(member: Member, when: Circumstances) -> Record:
    """The simulated door in the circumstances of a cycle."""
    own = member.door(when.kelvin, when.side).copy()
    own["temperature"] = when.read
    own["voltage"] = when.voltage
    for name in ("resist_open", "resist_close"):
        own[name] *= when.friction
    return own


def recorded(member: Member, when: Circumstances, cycle: int) -> tuple[Trace, ...]:
    """An opening and a closing with nothing in the way, as the board records them."""
    chosen, door = with_button(member.settings, sensed=True), door_in(member, when)
    found = []
    for way in WAYS:
        rows = engine.run(door, chosen, _scene(member, chosen, when, way), every=SAMPLING).rows
        found.append(trace_of(rows, chosen, way, cycle=cycle, temperature=when.read))
    return tuple(found)


def _scene(member: Member, chosen: Record, when: Circumstances, way: Way, *there: Event) -> Record:
    """The scenario of a move one way in the circumstances of a cycle, with what stands there besides."""
    return asked_at_button(
        chosen,
        (*when.events(member), *there),
        opening=way is Way.OPENING,
        seed=2 * when.seed + (way is Way.CLOSING),
    )


class FreeRuns:
    """Free cycles of a member, made ready once and run with many settings."""

    def __init__(self, member: Member, cycles: Sequence[Circumstances]) -> None:
        """Put the scenarios together."""
        self.number = len(cycles)
        chosen = with_button(member.settings, sensed=True)
        self.doors = np.zeros(2 * self.number, DOOR)
        self.scenes = np.zeros(2 * self.number, SCENARIO)
        for at, when in enumerate(cycles):
            self.doors[2 * at : 2 * at + 2] = door_in(member, when)
            self.scenes[2 * at : 2 * at + 2] = [_scene(member, chosen, when, way) for way in WAYS]

    def run(self, settings: Record, only: Sequence[int] | None = None) -> dict[int, Freely]:
        """What comes of them, by their number.

        Parameters
        ----------
        settings : Record
            The controller's settings.
        only : sequence of int or None
            Which; all where None.
        """
        which = list(range(self.number)) if only is None else list(only)
        if not which:
            return {}
        at = np.array([[2 * each, 2 * each + 1] for each in which]).reshape(-1)
        results = engine.batch(self.doors[at], with_button(settings, sensed=True), self.scenes[at])
        trips = results["counters"][:, list(NEEDLESS)].sum(axis=1) > 0
        ends = np.tile([int(Mode.OPEN), int(Mode.SHUT)], len(which))
        lost = ~trips & (results["end_mode"] != ends)
        return {
            each: Freely(bool(trips[2 * row : 2 * row + 2].any()), bool(lost[2 * row : 2 * row + 2].any()))
            for row, each in enumerate(which)
        }


class ContactRuns:
    """Whole closings of a member in which the edge meets something, run with many settings."""

    def __init__(self, member: Member, mets: Sequence[Met]) -> None:
        """Put the scenarios together; what the travel has no gap for is left out."""
        chosen = with_button(member.settings, sensed=True)
        over = member.over
        door = member.project.door
        assert door is not None
        self.vertical = door.kind is DoorKind.LIFT
        placed = [(met, place_at_gap(member.project, met.gap)) for met in mets]
        self.mets = tuple(
            (met, Spot(place, met.stiffness))
            for met, place in placed
            if place is not None and place < over.full
        )
        self.doors = np.zeros(len(self.mets), DOOR)
        self.scenes = np.zeros(len(self.mets), SCENARIO)
        for at, (met, spot) in enumerate(self.mets):
            there = obstacle(0.0, face=over.edge_radius * spot.place, stiffness=met.stiffness)
            scene = _scene(member, chosen, met.when, Way.CLOSING, there)
            scene["duration"] += AFTER_TOUCH
            scene["settle"] = AFTER_TOUCH
            scene["stop_on_release"] = 1.0
            self.doors[at], self.scenes[at] = door_in(member, met.when), scene

    def run(self, settings: Record) -> tuple[Touch, ...]:
        """What comes of them.

        Parameters
        ----------
        settings : Record
            The controller's settings.
        """
        if not self.mets:
            return ()
        results = engine.batch(self.doors, with_button(settings, sensed=True), self.scenes)
        found = []
        for (met, spot), result in zip(self.mets, results, strict=True):
            contact = contact_of(spot, result, followed=True)
            tripped = sum(int(result["counters"][each]) for each in NEEDLESS) > 0
            press = Press(
                met.when.season.value,
                met.gap,
                met.stiffness,
                contact,
                peak_limit(met.gap, vertical=self.vertical),
            )
            found.append(Touch(press, tripped, _delay(contact, tripped=tripped)))
        return tuple(found)


def _delay(contact: Contact, *, tripped: bool) -> float:
    known = tripped and contact.touched and contact.trip_time >= 0.0
    return contact.trip_time if known else float("inf")


def hard_ones(when: Sequence[Circumstances]) -> tuple[Met, ...]:
    """The contacts of a force test: instrument and body part, in its gaps, one weather each."""
    kinds = [(gap, stiffness) for gap in TEST_GAPS for stiffness in (INSTRUMENT_STIFFNESS, SOFT_STIFFNESS)]
    return tuple(Met(*kinds[at % len(kinds)], each) for at, each in enumerate(when))


def soft_ones(when: Sequence[Circumstances], rng: np.random.Generator) -> tuple[Met, ...]:
    """Soft slow contacts: something yielding, anywhere on the way."""
    return tuple(
        Met(
            float(rng.uniform(*SOFT_GAPS)),
            float(np.exp(rng.uniform(*np.log(SOFT)))),
            each,
        )
        for each in when
    )
