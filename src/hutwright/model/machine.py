"""The machine that lives in the shelter, its dock, and the roof antenna it relies on."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import Annotated

from hutwright.errors import ModelError
from hutwright.model.door import Point
from hutwright.model.quantities import (
    CarrierToNoise,
    Count,
    Fraction,
    Kilograms,
    Metres,
    MetresPerSecond,
    PowerRatio,
    Radians,
    Seconds,
    Tangent,
    Watts,
    above_zero,
    not_below_zero,
)
from hutwright.model.site import check_skyline


class AntennaPattern(Enum):
    """How an antenna hears from each direction."""

    PATCH = "patch"
    HELIX = "helix"
    ISOTROPIC = "isotropic"


class SatelliteSystem(Enum):
    """A satellite navigation system."""

    GPS = "GPS"
    GALILEO = "Galileo"
    GLONASS = "GLONASS"
    BEIDOU = "BeiDou"


class CorrectionLink(Enum):
    """How the roof antenna's corrections reach the machine."""

    RADIO = "radio"
    WIRELESS_NETWORK = "wireless network"
    CELLULAR = "cellular"


@dataclass(frozen=True, kw_only=True, slots=True)
class Body:
    """The machine's body.

    Attributes
    ----------
    length : float
        Along its way. [m]
    width : float
        Across its way. [m]
    height : float
        From the ground up. [m]
    mass : float
        Its mass. [kg]
    charging_heat : float
        Heat it gives off while charging. [W]
    """

    length: Metres
    width: Metres
    height: Metres
    mass: Kilograms
    charging_heat: Watts

    def __post_init__(self) -> None:
        """Refuse a machine of no size or mass."""
        above_zero(length=self.length, width=self.width, height=self.height, mass=self.mass)
        not_below_zero(charging_heat=self.charging_heat)


@dataclass(frozen=True, kw_only=True, slots=True)
class Motion:
    """How the machine moves.

    Attributes
    ----------
    speed : float
        Its speed. [m/s]
    leaves_unasked : bool
        Whether it may start out although nobody asked the door.
    """

    speed: MetresPerSecond
    leaves_unasked: bool

    def __post_init__(self) -> None:
        """Refuse a machine that never moves."""
        above_zero(speed=self.speed)


@dataclass(frozen=True, kw_only=True, slots=True)
class Parked:
    """Where the middle of the machine stands when parked, in the hut's frame.

    Attributes
    ----------
    x : float
        To the right, seen from outside. [m]
    y : float
        Into the hut. [m]
    error : float
        How far off it may park. [m]
    """

    x: Metres
    y: Metres
    error: Metres

    def __post_init__(self) -> None:
        """Refuse a negative error."""
        not_below_zero(error=self.error)


@dataclass(frozen=True, kw_only=True, slots=True)
class Antenna:
    """The machine's satellite antenna.

    Attributes
    ----------
    ahead : float
        From the machine's middle towards its front. [m]
    up : float
        From the floor. [m]
    pattern : AntennaPattern
        How it hears from each direction.
    """

    ahead: Metres
    up: Metres
    pattern: AntennaPattern

    def __post_init__(self) -> None:
        """Refuse an antenna under the floor."""
        not_below_zero(up=self.up)


@dataclass(frozen=True, kw_only=True, slots=True)
class Receiver:
    """The machine's satellite receiver.

    Attributes
    ----------
    systems : tuple
        The systems it uses.
    threshold : float
        Carrier to noise density from which a satellite counts. [Hz]
    overhead : float
        Carrier to noise density of a satellite overhead under an open sky. [Hz]
    """

    systems: tuple[SatelliteSystem, ...]
    threshold: CarrierToNoise
    overhead: CarrierToNoise

    def __post_init__(self) -> None:
        """Refuse a receiver of no system, and one that shows levels that are none."""
        above_zero(threshold=self.threshold, overhead=self.overhead)
        if not self.systems:
            raise ModelError("systems", "an empty list", "at least one system", 'write systems = ["GPS"]')


@dataclass(frozen=True, kw_only=True, slots=True)
class StartRule:
    """When the machine starts.

    Attributes
    ----------
    satellites : int
        How many it must hear.
    pdop : float
        Highest position dilution of precision. [-]
    share_of_day : float
        Share of the day in which it must be able to start. [-]
    """

    satellites: Annotated[int, Count(3, 60)]
    pdop: float
    share_of_day: Fraction

    def __post_init__(self) -> None:
        """Refuse a dilution no geometry reaches."""
        if not 0.5 <= self.pdop <= 50.0:
            raise ModelError("pdop", f"{self.pdop:g}", "0.5..50", "3.0 is usual")


@dataclass(frozen=True, kw_only=True, slots=True)
class MachineRadio:
    """The machine's wireless network radio.

    Attributes
    ----------
    power : float
        Its transmit power. [W]
    gain : float
        Gain of its antenna, as a ratio of powers. [-]
    up : float
        Height of its antenna. [m]
    """

    power: Watts
    gain: PowerRatio
    up: Metres

    def __post_init__(self) -> None:
        """Refuse a radio without power."""
        above_zero(power=self.power, gain=self.gain)
        not_below_zero(up=self.up)


@dataclass(frozen=True, kw_only=True, slots=True)
class Machine:
    """The machine.

    Attributes
    ----------
    body : Body
        Its body.
    motion : Motion
        How it moves.
    parked : Parked or None
        Where it stands.
    antenna : Antenna or None
        Its satellite antenna.
    receiver : Receiver or None
        Its satellite receiver.
    start_rule : StartRule or None
        When it starts.
    radio : MachineRadio or None
        Its wireless network radio.
    """

    body: Body
    motion: Motion
    parked: Parked | None
    antenna: Antenna | None
    receiver: Receiver | None
    start_rule: StartRule | None
    radio: MachineRadio | None


@dataclass(frozen=True, kw_only=True, slots=True)
class Lane:
    """The way out and home, straight, in front of the door.

    Attributes
    ----------
    length : float
        Its length. [m]
    width : float
        Its width. [m]
    slope : float
        Its rise per length, uphill away from the hut positive. [-]
    """

    length: Metres
    width: Metres
    slope: Tangent

    def __post_init__(self) -> None:
        """Refuse a lane of no size."""
        above_zero(length=self.length, width=self.width)


@dataclass(frozen=True, kw_only=True, slots=True)
class Threshold:
    """The step at the door.

    Attributes
    ----------
    height : float
        Its height. [m]
    """

    height: Metres

    def __post_init__(self) -> None:
        """Refuse a negative step."""
        not_below_zero(height=self.height)


@dataclass(frozen=True, kw_only=True, slots=True)
class ComesHome:
    """What the machine does before a shut door.

    Attributes
    ----------
    waits_for_door : bool
        Whether it waits until the door is open.
    stops_at : float
        How far before the door it stops. [m]
    """

    waits_for_door: bool
    stops_at: Metres

    def __post_init__(self) -> None:
        """Refuse a stop behind the door."""
        not_below_zero(stops_at=self.stops_at)


@dataclass(frozen=True, kw_only=True, slots=True)
class Dock:
    """Where the machine rests and charges.

    Attributes
    ----------
    lane : Lane or None
        The way out and home.
    threshold : Threshold or None
        The step at the door.
    comes_home : ComesHome or None
        What the machine does before a shut door.
    """

    lane: Lane | None
    threshold: Threshold | None
    comes_home: ComesHome | None


@dataclass(frozen=True, kw_only=True, slots=True)
class Corrections:
    """How the roof antenna's corrections come to the machine, and how old they may be.

    Attributes
    ----------
    every : float
        Time from one to the next. [s]
    delay : float
        Time on their way. [s]
    gap : float
        The longest stretch in which none came that was seen while the machine stood in the hut. [s]
    oldest : float
        Age up to which the machine goes by them. [s]
    """

    every: Seconds
    delay: Seconds
    gap: Seconds
    oldest: Seconds

    def __post_init__(self) -> None:
        """Refuse times that run backwards and a receiver that uses none."""
        above_zero(every=self.every, oldest=self.oldest)
        not_below_zero(delay=self.delay, gap=self.gap)


@dataclass(frozen=True, kw_only=True, slots=True)
class RoofAntenna:
    """The fixed receiver whose satellites the machine must share.

    Attributes
    ----------
    place : Point
        Where its antenna stands, in the hut's frame.
    skyline : tuple
        Pairs of azimuth and elevation of what stands around it. [rad]
    link : CorrectionLink
        How its corrections reach the machine.
    corrections : Corrections or None
        How old its corrections are at the machine.
    """

    place: Point
    skyline: tuple[tuple[Radians, Radians], ...]
    link: CorrectionLink
    corrections: Corrections | None

    def __post_init__(self) -> None:
        """Refuse a skyline beyond the zenith."""
        check_skyline(self.skyline)
