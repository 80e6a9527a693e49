"""What the relay tells the broker: topics, and the state and the answers as JSON."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import UTC, datetime
from enum import Enum
from typing import Any

from hutwright.live.lines import Bits, Telemetry
from hutwright.native.words import Eye, Fault, spoken

ROOT = "hutwright"
GONE = "the relay is gone; nothing is known of the door"
_LONGEST_NAME = 60  # letters of a hut's name in a topic: a choice of this project


class Verdict(Enum):
    """What came of a command."""

    TAKEN = "taken"
    REFUSED = "refused"
    UNANSWERED = "unanswered"
    ALLOWED = "allowed"
    BROKEN_OFF = "broken off"


class Starting(Enum):
    """How far an "open, wait, start" has come."""

    NONE = "none"
    OPENING = "opening"
    WAITING = "waiting"
    ALLOWED = "allowed"


@dataclass(frozen=True, slots=True)
class Message:
    """Something for the broker.

    Attributes
    ----------
    topic : str
        Where it goes.
    values : dict
        What it says.
    retained : bool
        Whether the broker keeps it for who comes later.
    """

    topic: str
    values: dict[str, Any]
    retained: bool

    def payload(self) -> bytes:
        """What it says, as JSON."""
        return json.dumps(self.values, ensure_ascii=False, allow_nan=False).encode("utf-8")


@dataclass(frozen=True, slots=True)
class Topics:
    """The topics of one hut.

    Attributes
    ----------
    name : str
        The hut's name as the builder wrote it.
    """

    name: str

    @property
    def slug(self) -> str:
        """The name with nothing in it but letters, digits and hyphens."""
        words = "".join(char if char.isalnum() else " " for char in self.name.lower()).split()
        return "-".join(words)[:_LONGEST_NAME] or "hut"

    @property
    def state(self) -> str:
        """Where the state is kept."""
        return f"{ROOT}/{self.slug}/state"

    @property
    def command(self) -> str:
        """Where commands are heard."""
        return f"{ROOT}/{self.slug}/command"

    @property
    def answer(self) -> str:
        """Where each command gets its answer."""
        return f"{ROOT}/{self.slug}/answer"

    @property
    def start(self) -> str:
        """Where the machine's permission to start is told."""
        return f"{ROOT}/{self.slug}/machine/start"


def moment(seconds: float) -> str:
    """A time of day for people and programs.

    Parameters
    ----------
    seconds : float
        Since 1970. [s]

    Returns
    -------
    str
        Date and time, in UTC, to the second.
    """
    return datetime.fromtimestamp(seconds, UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def doorway(heard: Telemetry) -> str:
    """What the board says of the doorway.

    Parameters
    ----------
    heard : Telemetry
        The board's last line.

    Returns
    -------
    str
        "not watched", "sensor failed", "something there" or "clear".
    """
    if heard.bits & (Bits.BEAM | Bits.EDGE) or heard.present is Eye.SEES:
        return "something there"
    return {Eye.NONE: "not watched", Eye.CLEAR: "clear"}.get(heard.present, "sensor failed")


def state_of(heard: Telemetry, starting: Starting) -> dict[str, Any]:
    """The state while the board is heard; all but the place is worth a message when it changes.

    Parameters
    ----------
    heard : Telemetry
        The board's last line.
    starting : Starting
        How far an "open, wait, start" has come.

    Returns
    -------
    dict
        As docs/relay.md says.
    """
    return {
        "link": "well",
        "told": spoken(heard.mode),
        "mode": spoken(heard.mode),
        "may_leave": Bits.MAY_LEAVE in heard.bits,
        "fault": None if heard.fault is Fault.WELL else spoken(heard.fault),
        "doorway": doorway(heard),
        "start": starting.value,
        "place_percent": round(heard.place * 100) if Bits.PLACE_KNOWN in heard.bits else None,
        "supply_V": round(heard.supply, 1),
        "temperature_degC": round(heard.temperature),
    }


def state_lost(why: str) -> dict[str, Any]:
    """The state while nothing is heard of the board.

    Parameters
    ----------
    why : str
        A few words for people.

    Returns
    -------
    dict
        The same keys as `state_of`; nothing is claimed of the door.
    """
    unknown = ("mode", "fault", "doorway", "place_percent", "supply_V", "temperature_degC")
    values: dict[str, Any] = {"link": "lost", "told": f"link lost: {why}", "may_leave": False}
    return values | dict.fromkeys(unknown) | {"start": Starting.NONE.value}


def last_will(topics: Topics) -> Message:
    """What the broker tells when the relay is gone; it cannot know since when.

    Parameters
    ----------
    topics : Topics
        The hut's.

    Returns
    -------
    Message
        Retained.
    """
    return Message(topics.state, state_lost(GONE) | {"since": None, "at": None}, True)
