"""Ways to take away what a scenario is about, so that what it declares can no longer come about."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from hutwright.bench.scenario import Prepared
from hutwright.native import engine
from hutwright.native.words import Ends, EventKind, LinkLost, Word

NEVER = 40000  # a current that no detector ever sees [mA]
DEAF = {"opening.trip_mA": NEVER, "closing.trip_mA": NEVER, "backstop_mA": NEVER}
JUMPY = {"opening.trip_mA": 200, "closing.trip_mA": 200, "blind_ms": 0}
BLIND = {"eyes": 0}
WANTS_MORE = {"stop_below_mV": 20000, "start_above_mV": 20100, "stop_below_ms": 1}


@dataclass(frozen=True, slots=True)
class Spoil:
    """What is taken away.

    Attributes
    ----------
    demo : str
        Where the scenario is met as it stands.
    settings : Mapping
        Settings that are otherwise; a dot leads into a detector.
    door : Mapping
        Fields of the simulated door that are otherwise.
    without : tuple
        Kinds of events that do not happen.
    without_word : Word or None
        A word that is not said.
    """

    demo: str
    settings: Mapping[str, int] = field(default_factory=dict)
    door: Mapping[str, float] = field(default_factory=dict)
    without: tuple[EventKind, ...] = ()
    without_word: Word | None = None

    def apply(self, run: Prepared) -> Prepared:
        """The run without it."""
        door, settings, events = run.door.copy(), run.settings.copy(), run.events.copy()
        for name, value in self.door.items():
            door[name] = value
        for name, number in self.settings.items():
            outer, _, inner = name.partition(".")
            if inner:
                settings[outer][inner] = number
            else:
                settings[outer] = number
        for event in events["events"][: int(events["events_used"])]:
            gone = event["kind"] in self.without
            unsaid = event["kind"] == EventKind.WORD and event["a"] == self.without_word
            if gone or unsaid:
                event["kind"], event["a"] = EventKind.WORD, Word.NOTHING
        return replace(run, door=door, settings=engine.sealed(settings), events=events)


SPOILS: dict[str, Spoil] = {
    "free.mild": Spoil("orchard", JUMPY),
    "free.warmest": Spoil("orchard", JUMPY),
    "free.coldest": Spoil("sports_field", JUMPY),
    "free.lowest_supply": Spoil("sports_field", JUMPY),
    "free.highest_supply": Spoil("orchard", JUMPY),
    "free.iced": Spoil("sports_field", JUMPY),
    "free.gusty": Spoil("sports_field", JUMPY),
    "free.three_cycles": Spoil("orchard", JUMPY),
    "free.held_open": Spoil("orchard", door={"self_locking": 0, "efficiency": 0.9, "friction_current": 0.0}),
    "obstacle.hand_300": Spoil("orchard", DEAF),
    "obstacle.hand_500": Spoil("orchard", DEAF),
    "obstacle.opening": Spoil("orchard", DEAF),
    "obstacle.taken_away": Spoil("orchard", DEAF),
    "obstacle.twice": Spoil("orchard", {"most_reversals": 1}),
    "obstacle.too_often": Spoil("orchard", {"most_reversals": 9}),
    "command.stop_opening": Spoil("orchard", without_word=Word.STOP),
    "command.stop_closing": Spoil("sports_field", without_word=Word.STOP),
    "command.button_bounces": Spoil("orchard", {"debounce_ms": 1}),
    "command.laid_up": Spoil("orchard", without_word=Word.LAY_UP),
    "command.link_lost": Spoil("orchard", {"link_lost": LinkLost.STOP}),
    "command.unwatched": Spoil("orchard", without=(EventKind.PRESENT,)),
    "machine.stands_there": Spoil("orchard", BLIND),
    "machine.comes_in": Spoil("sports_field", {**BLIND, **DEAF}),
    "machine.drives_off": Spoil("sports_field", {"present_hold_ms": 10000}),
    "machine.eye_failed": Spoil("orchard", BLIND),
    "machine.eye_fails": Spoil("orchard", BLIND),
    "machine.beam_broken": Spoil("sports_field", BLIND),
    "supply.sag_opening": Spoil("orchard", WANTS_MORE),
    "supply.sag_closing": Spoil("orchard", WANTS_MORE),
    "supply.too_low": Spoil("orchard", {"start_above_mV": 7500}),
    "supply.cut_opening": Spoil("orchard", without=(EventKind.POWER,)),
    "supply.cut_closing": Spoil("orchard", without=(EventKind.POWER,)),
    "ends.arrival": Spoil("orchard", JUMPY),
    "ends.wire_opening": Spoil("orchard", without=(EventKind.SENSOR_FAULT,)),
    "ends.wire_closing": Spoil("orchard", without=(EventKind.SENSOR_FAULT,)),
    "ends.shut_stuck": Spoil("sports_field", {"ends": Ends.STALL}),
    "ends.open_stuck": Spoil("sports_field", {"ends": Ends.STALL}),
    "ends.both_made": Spoil("sports_field", {"ends": Ends.STALL}),
    "sensor.stuck": Spoil("orchard", {"stuck_ms": 0}),
    "sensor.small_offset": Spoil("orchard", {"zero_most_mA": 10}),
    "sensor.great_offset": Spoil("orchard", {"zero_most_mA": 10000}),
    "sensor.noisy": Spoil("orchard", JUMPY),
    "sensor.disconnected": Spoil("orchard", {"range_mA": 32000}),
    "sensor.silent": Spoil("sports_field", without=(EventKind.SENSOR_FAULT,)),
    "drive.bridge_opening": Spoil("orchard", without_word=Word.STOP),
    "drive.bridge_closing": Spoil("orchard", without_word=Word.STOP),
}
