"""The drive, as a listing gives it or as it was measured."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import Annotated

from hutwright import units
from hutwright.model.quantities import (
    Amperes,
    Fraction,
    Henries,
    Metres,
    MetresPerSecond,
    Newtons,
    Ohms,
    Seconds,
    Share,
    Volts,
    above_zero,
    in_order,
    not_below_zero,
)


class EndSwitches(Enum):
    """What the drive's end switches do."""

    INSIDE = "inside"
    TO_THE_BOARD = "to the board"
    NONE = "none"


@dataclass(frozen=True, kw_only=True, slots=True)
class RodLength:
    """Length of a rod drive between its pins.

    Attributes
    ----------
    shortest : float
        Fully drawn in. [m]
    stroke : float
        How much longer it gets. [m]
    """

    shortest: Metres
    stroke: Metres

    def __post_init__(self) -> None:
        """Refuse a rod of no length."""
        above_zero(shortest=self.shortest, stroke=self.stroke)


@dataclass(frozen=True, kw_only=True, slots=True)
class Rating:
    """The load the listing promises to move for ever, within the duty.

    Attributes
    ----------
    voltage : float
        At which the listing holds. [V]
    force : float
        Force at full load. [N]
    speed : float
        Speed at full load. [m/s]
    current : float
        Current at full load. [A]
    duty : float
        Share of the time it may run. [-]
    """

    voltage: Volts
    force: Newtons
    speed: MetresPerSecond
    current: Amperes
    duty: Fraction

    def __post_init__(self) -> None:
        """Refuse a rating of nothing."""
        above_zero(
            voltage=self.voltage, force=self.force, speed=self.speed, current=self.current, duty=self.duty
        )


@dataclass(frozen=True, kw_only=True, slots=True)
class NoLoad:
    """Running free at the rated voltage.

    Attributes
    ----------
    speed : float
        Speed running free. [m/s]
    current : float
        Current running free. [A]
    """

    speed: MetresPerSecond
    current: Amperes

    def __post_init__(self) -> None:
        """Refuse a drive that stands still when free."""
        above_zero(speed=self.speed, current=self.current)


@dataclass(frozen=True, kw_only=True, slots=True)
class Stall:
    """Held fast at the rated voltage.

    Attributes
    ----------
    current : float
        Current at the drive's own terminals, winding at 20 degC. [A]
    force : float
        Force it presses with. [N]
    endurance : float
        How long the winding stands it before it is harmed. [s]
    """

    current: Amperes
    force: Newtons
    endurance: Seconds

    def __post_init__(self) -> None:
        """Refuse a stall of nothing."""
        above_zero(current=self.current, force=self.force, endurance=self.endurance)


@dataclass(frozen=True, kw_only=True, slots=True)
class Screw:
    """The screw between gearbox and rod.

    Attributes
    ----------
    lead : float
        Travel per turn. [m]
    self_locking : bool
        Whether it holds without current.
    efficiency : float
        Share of the work that reaches the rod. [-]
    """

    lead: Metres
    self_locking: bool
    efficiency: Fraction

    def __post_init__(self) -> None:
        """Refuse a screw without a lead or without any efficiency."""
        above_zero(lead=self.lead, efficiency=self.efficiency)


@dataclass(frozen=True, kw_only=True, slots=True)
class Motor:
    """The motor inside the drive.

    Attributes
    ----------
    resistance : float or None
        Of winding and brushes at 20 degC; where absent it follows from the stall current. [ohm]
    inductance : float
        Of the winding. [H]
    time_constant : float
        How fast it runs up by itself: rotor inertia times resistance over both motor constants. [s]
    """

    resistance: Ohms | None
    inductance: Henries
    time_constant: Seconds

    def __post_init__(self) -> None:
        """Refuse a motor without resistance or inertia."""
        above_zero(inductance=self.inductance, time_constant=self.time_constant)
        if self.resistance is not None:
            above_zero(resistance=self.resistance)


@dataclass(frozen=True, kw_only=True, slots=True)
class Drive:
    """The drive.

    Attributes
    ----------
    length : RodLength or None
        Of a rod drive.
    rating : Rating
        At full load.
    no_load : NoLoad
        Running free.
    stall : Stall
        Held fast.
    screw : Screw
        Between gearbox and rod.
    motor : Motor
        Inside.
    body : float
        Thickness of its body, across the rod. [m]
    holding : float
        Force it holds without current. [N]
    cold_friction : float
        Its friction on the coldest day as a multiple of that at 20 degC. [-]
    end_switches : EndSwitches
        What its end switches do.
    """

    length: RodLength | None
    rating: Rating
    no_load: NoLoad
    stall: Stall
    screw: Screw
    motor: Motor
    body: Metres
    holding: Newtons
    cold_friction: Annotated[float, Share(1.0, 6.0)]
    end_switches: EndSwitches

    def __post_init__(self) -> None:
        """Refuse a drive that gets quicker or draws less under load, or stalls below its rating."""
        above_zero(body=self.body)
        not_below_zero(holding=self.holding)
        in_order({"rating.speed": self.rating.speed, "no_load.speed": self.no_load.speed}, units.SPEED)
        in_order(
            {
                "no_load.current": self.no_load.current,
                "rating.current": self.rating.current,
                "stall.current": self.stall.current,
            },
            units.CURRENT,
        )
        in_order({"rating.force": self.rating.force, "stall.force": self.stall.force}, units.FORCE)
