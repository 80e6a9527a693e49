"""When a command from afar may go on to the board.  Every rule can only refuse; none makes anything move."""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import dataclass

from hutwright.live.asking import Asked, Wish
from hutwright.live.lines import Bits, Telemetry
from hutwright.native.words import Eye, Mode, spoken

AHEAD = 3.0  # how far a sender's clock may be ahead: a choice of this project [s]
REMEMBERED = 256  # ids at once: a choice of this project
FORGOTTEN = 600.0  # an id counts as used for so long: a choice of this project [s]


@dataclass(frozen=True, slots=True)
class Moment:
    """Now, by two clocks.

    Attributes
    ----------
    steady : float
        Of a clock that nobody sets. [s]
    wall : float
        Since 1970, as well as the computer knows. [s]
    """

    steady: float
    wall: float


def too_late(asked: Asked, now: Moment, *, heard_since: float, oldest: float) -> str | None:
    """Why a command's time forbids it.

    Parameters
    ----------
    asked : Asked
        The command; not a stop.
    now : Moment
        Now.
    heard_since : float
        When the relay came to its broker, since 1970. [s]
    oldest : float
        Greatest age of a command that still counts. [s]

    Returns
    -------
    str or None
        A sentence; None where nothing forbids it.
    """
    age = now.wall - asked.at
    if age > oldest:
        return f"it is {age:.0f} s old; wanted at most {oldest:g} s; ask again"
    if age < -AHEAD:
        return (
            f"it is dated {-age:.0f} s ahead of this computer's clock; wanted at most {AHEAD:g} s; set both "
            "clocks, and give seconds, not milliseconds"
        )
    if asked.at < heard_since:
        return "it was asked before the relay had come to its broker; ask again"
    return None


class Known:
    """The ids of commands that were dealt with, so that none counts twice."""

    def __init__(self) -> None:
        self._at: OrderedDict[str, float] = OrderedDict()

    def refusal(self, name: str, now: float) -> str | None:
        """Why an id forbids its command; from now on it is known.

        Parameters
        ----------
        name : str
            The id.
        now : float
            By the steady clock. [s]

        Returns
        -------
        str or None
            A sentence; None where it is new.
        """
        while self._at and now - next(iter(self._at.values())) > FORGOTTEN:
            self._at.popitem(last=False)
        if name in self._at:
            return "a command with this id was dealt with already; wanted a new id for each command"
        if len(self._at) >= REMEMBERED:
            return f"there were {REMEMBERED} commands within {FORGOTTEN / 60:g} min; wait, and ask again"
        self._at[name] = now
        return None


def board_refusal(wish: Wish, heard: Telemetry) -> str | None:
    """Why the board's own report forbids a movement.

    Parameters
    ----------
    wish : Wish
        What is wanted; not a stop.
    heard : Telemetry
        The board's last line.

    Returns
    -------
    str or None
        A sentence; None where nothing forbids it.
    """
    if heard.mode is Mode.FAULT:
        return (
            f"the board is in a fault ({spoken(heard.fault)}); somebody has to look at the door and clear it"
        )
    if heard.mode is Mode.LAID_UP:
        return "the door is laid up; wake it at the hut"
    if wish is not Wish.CLOSE:
        return None
    return _unwatched(heard)


def _unwatched(heard: Telemetry) -> str | None:
    """Nobody stands by: closing wants a healthy sensor in the doorway that sees nothing."""
    if heard.present is Eye.NONE:
        return "no sensor watches the doorway; nothing closes from afar without; close with the button"
    if heard.present is Eye.FAILED:
        return "the sensor in the doorway has failed; nothing closes from afar without; close with the button"
    if heard.present is Eye.SEES or heard.bits & (Bits.BEAM | Bits.EDGE):
        return "something stands in the doorway"
    return None
