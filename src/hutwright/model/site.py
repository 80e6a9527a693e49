"""The ground, the weather and who comes near."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from math import pi

from hutwright import units
from hutwright.errors import ModelError
from hutwright.model.quantities import (
    Kelvins,
    Line,
    Metres,
    MetresPerSecond,
    Pascals,
    Radians,
    in_order,
    not_below_zero,
)


class NorthKind(Enum):
    """Which north the builder's azimuths run from."""

    TRUE = "true"
    MAGNETIC = "magnetic"


class Terrain(Enum):
    """Terrain category of EN 1991-1-4, table 4.1."""

    COAST = "0"
    OPEN_WATER = "I"
    FIELDS = "II"
    VILLAGE = "III"
    TOWN = "IV"


class Exposure(Enum):
    """Exposure of a roof to wind that clears it of snow, EN 1991-1-3, table 5.1."""

    WINDSWEPT = "windswept"
    NORMAL = "normal"
    SHELTERED = "sheltered"


class Reach(Enum):
    """Who can come near the door."""

    ADULTS = "adults"
    CHILDREN = "children"
    ANIMALS = "animals"


@dataclass(frozen=True, kw_only=True, slots=True)
class Place:
    """Where on the globe.

    Attributes
    ----------
    latitude : float
        North of the equator positive. [rad]
    longitude : float
        East of Greenwich positive. [rad]
    elevation : float
        Height above sea level. [m]
    """

    latitude: Radians
    longitude: Radians
    elevation: Metres

    def __post_init__(self) -> None:
        """Refuse what lies off the globe."""
        if not abs(self.latitude) <= pi / 2:
            raise ModelError(
                "latitude", f"{self.latitude * 180 / pi:g} deg", "-90..90 deg", "swap it with the longitude?"
            )
        if not abs(self.longitude) <= pi:
            raise ModelError(
                "longitude", f"{self.longitude * 180 / pi:g} deg", "-180..180 deg", "west is negative"
            )
        if not -500.0 <= self.elevation <= 9000.0:
            raise ModelError(
                "elevation", f"{self.elevation:g} m", "-500..9000 m", "give metres above sea level"
            )


@dataclass(frozen=True, kw_only=True, slots=True)
class North:
    """How azimuths in the file are to be read.

    Attributes
    ----------
    kind : NorthKind
        True north, or what a compass shows.
    declination : float
        What is added to a compass reading to get true north, east positive. [rad]
    """

    kind: NorthKind
    declination: Radians


@dataclass(frozen=True, kw_only=True, slots=True)
class Wind:
    """Wind of the region, as EN 1991-1-4 gives it.

    Attributes
    ----------
    basic : float
        Basic wind speed: ten minutes' mean at 10 m over open fields, exceeded once in 50 years. [m/s]
    terrain : Terrain
        How rough the ground upwind is.
    working : float
        Gust at the hut in which the door must still move; above it the door stays where it is. [m/s]
    """

    basic: MetresPerSecond
    terrain: Terrain
    working: MetresPerSecond

    def __post_init__(self) -> None:
        """Refuse a wind no region has."""
        if not 0.0 < self.basic <= 80.0:
            raise ModelError(
                "basic", f"{self.basic:g} m/s", "0..80 m/s", "give the basic wind speed of the region"
            )


@dataclass(frozen=True, kw_only=True, slots=True)
class Snow:
    """Snow of the region, as EN 1991-1-3 gives it.

    Attributes
    ----------
    ground : float
        Characteristic load of snow on the ground. [Pa]
    exposure : Exposure
        How the wind treats the roof.
    drift : float
        Depth that drifts in front of the door between two clearings. [m]
    """

    ground: Pascals
    exposure: Exposure
    drift: Metres

    def __post_init__(self) -> None:
        """Refuse negative snow."""
        not_below_zero(ground=self.ground, drift=self.drift)


@dataclass(frozen=True, kw_only=True, slots=True)
class Air:
    """Air temperatures that the shelter must live through.

    Attributes
    ----------
    coldest : float
        The coldest in which it must work. [K]
    warmest : float
        The warmest in the shade. [K]
    """

    coldest: Kelvins
    warmest: Kelvins

    def __post_init__(self) -> None:
        """Refuse a winter warmer than the summer, and temperatures no place on earth has."""
        in_order({"coldest": self.coldest, "warmest": self.warmest}, units.TEMPERATURE)
        if not self.coldest >= 183.15:
            raise ModelError(
                "coldest", f"{self.coldest - 273.15:g} degC", "-90 degC or more", "check the sign and unit"
            )
        if not self.warmest <= 333.15:
            raise ModelError(
                "warmest", f"{self.warmest - 273.15:g} degC", "60 degC or less", "check the unit"
            )


@dataclass(frozen=True, kw_only=True, slots=True)
class Soil:
    """What the base stands on.

    Attributes
    ----------
    kind : str
        Plain words, such as "medium sand".
    frost_depth : float
        Depth that freezes in a hard winter. [m]
    """

    kind: Line
    frost_depth: Metres

    def __post_init__(self) -> None:
        """Refuse frost above the ground."""
        not_below_zero(frost_depth=self.frost_depth)


@dataclass(frozen=True, kw_only=True, slots=True)
class Site:
    """The ground, the weather and who comes near.

    Attributes
    ----------
    place : Place or None
        Where on the globe.
    time_zone : str or None
        Name of the time zone, such as "Europe/Berlin".
    north : North
        How azimuths are to be read.
    wind : Wind
        Wind of the region.
    snow : Snow
        Snow of the region.
    air : Air
        Temperatures to live through.
    soil : Soil or None
        What the base stands on.
    skyline : tuple
        Pairs of azimuth and elevation of what stands around, seen from the hut. [rad]
    reach : tuple
        Who can come near the door.
    """

    place: Place | None
    time_zone: Line | None
    north: North
    wind: Wind
    snow: Snow
    air: Air
    soil: Soil | None
    skyline: tuple[tuple[Radians, Radians], ...]
    reach: tuple[Reach, ...]

    def __post_init__(self) -> None:
        """Refuse a skyline below the ground or beyond the zenith, and an azimuth given twice."""
        check_skyline(self.skyline)


def check_skyline(skyline: tuple[tuple[float, float], ...]) -> None:
    """Refuse a skyline that goes beyond the zenith or names an azimuth twice."""
    seen: set[float] = set()
    for number, (azimuth, elevation) in enumerate(skyline):
        if not -pi / 6 <= elevation <= pi / 2:
            raise ModelError(
                f"skyline.{number}",
                f"elevation {elevation * 180 / pi:g} deg",
                "-30..90 deg",
                "azimuth comes first, then elevation",
            )
        if not -2 * pi <= azimuth <= 2 * pi:
            raise ModelError(
                f"skyline.{number}",
                f"azimuth {azimuth * 180 / pi:g} deg",
                "0..360 deg",
                "count clockwise from north",
            )
        turned = azimuth % (2 * pi)
        if turned in seen:
            raise ModelError(
                f"skyline.{number}",
                f"azimuth {azimuth * 180 / pi:g} deg again",
                "each azimuth once",
                "leave one out",
            )
        seen.add(turned)
