"""The controller's settings, as they are flashed."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import Annotated

from hutwright.errors import ModelError
from hutwright.model.quantities import Amperes, Count, Fraction, Metres, Seconds, above_zero, not_below_zero


class Command(Enum):
    """A way to command the door."""

    BUTTON = "button"
    RELAY = "relay"
    REMOTE = "remote"
    SENSOR = "sensor"


class ProtectiveLayer(Enum):
    """A layer of protection beside reversing on motor current."""

    PRESENT_SENSOR = "present sensor"
    SOFT_EDGE = "soft edge"
    PRESSURE_EDGE = "pressure edge"
    BEAM = "beam"


class PowerReturn(Enum):
    """What the door does when power comes back."""

    STAY = "stay"
    CLOSE = "close"
    OPEN = "open"


@dataclass(frozen=True, kw_only=True, slots=True)
class Detection:
    """How the controller tells an obstacle by the motor's current.

    Attributes
    ----------
    trip : float
        Current that means an obstacle. [A]
    after : float
        How long it must last. [s]
    filter : float
        Time constant of the filter before it. [s]
    blind_after_start : float
        How long after a start nothing is judged. [s]
    """

    trip: Amperes
    after: Seconds
    filter: Seconds
    blind_after_start: Seconds

    def __post_init__(self) -> None:
        """Refuse a trip at nothing and times that run backwards."""
        above_zero(trip=self.trip)
        not_below_zero(after=self.after, filter=self.filter, blind_after_start=self.blind_after_start)


@dataclass(frozen=True, kw_only=True, slots=True)
class SpeedShares:
    """Speed as a share of full duty.

    Attributes
    ----------
    normal : float
        Over most of the travel. [-]
    last : float
        Just before shut. [-]
    last_over : float
        Edge travel before shut over which the slow share holds. [m]
    """

    normal: Fraction
    last: Fraction
    last_over: Metres

    def __post_init__(self) -> None:
        """Refuse a standstill, and a last stretch quicker than the rest."""
        above_zero(normal=self.normal, last=self.last)
        not_below_zero(last_over=self.last_over)
        if self.last > self.normal:
            raise ModelError(
                "last", f"{self.last:g}", f"at most normal, which is {self.normal:g}", "swap the two"
            )


@dataclass(frozen=True, kw_only=True, slots=True)
class LongestRun:
    """After how long a run is ended whatever happens.

    Attributes
    ----------
    opening : float
        While opening. [s]
    closing : float
        While closing. [s]
    """

    opening: Seconds
    closing: Seconds

    def __post_init__(self) -> None:
        """Refuse no time at all."""
        above_zero(opening=self.opening, closing=self.closing)


@dataclass(frozen=True, kw_only=True, slots=True)
class Controller:
    """The controller's settings.

    Attributes
    ----------
    detection : Detection
        How an obstacle is told.
    speed : SpeedShares
        Speed over the travel.
    longest_run : LongestRun
        Run-time caps.
    wait : float
        From the start of opening until the machine is sent out. [s]
    cycles_a_day : int
        How often a day the door opens and shuts again.
    commands : tuple
        Ways to command the door.
    layers : tuple
        Protective layers beside the motor's current.
    after_power_return : PowerReturn
        What happens when power comes back.
    """

    detection: Detection
    speed: SpeedShares
    longest_run: LongestRun
    wait: Seconds
    cycles_a_day: Annotated[int, Count(0, 500)]
    commands: tuple[Command, ...]
    layers: tuple[ProtectiveLayer, ...]
    after_power_return: PowerReturn

    def __post_init__(self) -> None:
        """Refuse a negative wait."""
        not_below_zero(wait=self.wait)
