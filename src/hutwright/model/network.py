"""The wireless network."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from hutwright.errors import ModelError
from hutwright.model.quantities import (
    BitsPerSecond,
    Fraction,
    Metres,
    PowerRatio,
    Watts,
    above_zero,
    not_below_zero,
)


class Band(Enum):
    """A licence-free band."""

    LOW = "2.4 GHz"
    MIDDLE = "5 GHz"
    HIGH = "6 GHz"


class Region(Enum):
    """Whose rules of radiated power hold."""

    EU = "EU"


@dataclass(frozen=True, kw_only=True, slots=True)
class Need:
    """What the machine needs from the network.

    Attributes
    ----------
    rate : float
        Data rate. [bit/s]
    reliability : float
        Share of time and place at one spot. [-]
    area : float
        Share of the ground that must be served. [-]
    """

    rate: BitsPerSecond
    reliability: Fraction
    area: Fraction

    def __post_init__(self) -> None:
        """Refuse a need for nothing, and certainty."""
        above_zero(rate=self.rate, reliability=self.reliability, area=self.area)
        if not self.reliability < 1.0:
            raise ModelError("reliability", "100 %", "less than 100 %", "no radio is certain; 90 % is usual")


@dataclass(frozen=True, kw_only=True, slots=True)
class RadioNode:
    """An access point or relay, as one buys it.

    Attributes
    ----------
    power : float
        Its transmit power. [W]
    gain : float
        Gain of its antenna, as a ratio of powers. [-]
    up : float
        Height of its antenna. [m]
    region : Region
        Whose rules of radiated power hold.
    """

    power: Watts
    gain: PowerRatio
    up: Metres
    region: Region

    def __post_init__(self) -> None:
        """Refuse a node without power."""
        above_zero(power=self.power, gain=self.gain)
        not_below_zero(up=self.up)


@dataclass(frozen=True, kw_only=True, slots=True)
class Network:
    """The wireless network; places, walls and trees stand in the ground file.

    Attributes
    ----------
    bands : tuple
        Bands that machine and nodes can use.
    need : Need
        What the machine needs.
    node : RadioNode
        The node that one can buy.
    """

    bands: tuple[Band, ...]
    need: Need
    node: RadioNode

    def __post_init__(self) -> None:
        """Refuse a network on no band."""
        if not self.bands:
            raise ModelError("bands", "an empty list", "at least one band", 'write bands = ["2.4 GHz"]')
