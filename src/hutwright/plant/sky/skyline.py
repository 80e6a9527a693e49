"""What stands around and hides satellites, what is left open, and which of them two antennas share."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import pi

import numpy as np
from numpy.typing import ArrayLike, NDArray

from hutwright.catalogue.constellations import NOMINAL
from hutwright.errors import RequestError
from hutwright.laws.open_sky import ZENITH_DENSITY_DB, open_sky_density_db
from hutwright.laws.sky_hole import latitude_above
from hutwright.layout.frame import Skyline
from hutwright.model.machine import AntennaPattern, SatelliteSystem
from hutwright.plant.sky.kernel import PATTERNS
from hutwright.plant.sky.satellites import Sky

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

_BAND_STEPS = 361  # elevations from the horizon to the zenith, every quarter of a degree; ours to choose
_BALL = 0.25 * pi / 180.0  # rad; what counting the Earth as a ball may cost, added to each orbit's tilt


@dataclass(frozen=True, slots=True)
class Shell:
    """A system's circular orbits: their radius [m] and the greatest tilt of their planes [rad]."""

    radius: float
    tilt: float


@dataclass(frozen=True, slots=True, eq=False)
class EmptyBand:
    """From where up to where the sky holds no satellite, by azimuth [rad]; NaN where it is never empty."""

    azimuth: Floats
    low: Floats
    high: Floats

    @property
    def share(self) -> float:
        """Share of the sky above the horizon that it takes [-]."""
        open_part = np.where(np.isnan(self.low), 0.0, np.sin(self.high) - np.sin(self.low))
        return float(np.mean(open_part))


def skyline_elevation(skyline: Skyline, azimuth: ArrayLike) -> Floats:
    """How high things stand in a direction, straight from one described point to the next.

    Parameters
    ----------
    skyline : tuple
        Pairs of azimuth (from true north) and elevation; one holds all around, none is the horizon. [rad]
    azimuth : array_like
        Directions, from true north; NaN stays NaN. [rad]
    """
    around = np.asarray(azimuth, dtype=float)
    if not skyline:
        return np.where(np.isnan(around), np.nan, 0.0)
    points = np.array(sorted((turn % (2 * pi), up) for turn, up in skyline))
    return np.asarray(np.interp(around, points[:, 0], points[:, 1], period=2 * pi))


def clear_of(sky: Sky, skyline: Skyline, *, least: float = 0.0) -> Flags:
    """Which satellites stand above the skyline and above a least elevation, moments x satellites.

    Parameters
    ----------
    sky : Sky
        Directions over moments.
    skyline : tuple
        Pairs of azimuth (from true north) and elevation. [rad]
    least : float
        Least elevation. [rad]
    """
    return np.asarray(sky.elevation > np.maximum(skyline_elevation(skyline, sky.azimuth), least))


def in_common(*heard: Flags) -> Flags:
    """Which satellites every one of the antennas hears.

    Raises
    ------
    RequestError
        Where no antenna is given.
    """
    if not heard:
        raise RequestError("satellites in common were asked for without an antenna; name at least one")
    return np.asarray(np.logical_and.reduce(heard))


def open_sky_levels_db(sky: Sky, pattern: AntennaPattern, *, zenith_db: float = ZENITH_DENSITY_DB) -> Floats:
    """Carrier over noise density of every satellite as if nothing stood around [dB-Hz].

    Parameters
    ----------
    sky : Sky
        Directions over moments.
    pattern : AntennaPattern
        How the antenna hears.
    zenith_db : float
        What it hears from the zenith. [dB-Hz]
    """
    up = np.sin(np.maximum(sky.elevation, 0.0))
    return open_sky_density_db(PATTERNS[pattern](up), zenith_db)


def shells(systems: Iterable[SatelliteSystem]) -> tuple[Shell, ...]:
    """The orbits of the given systems as planned."""
    rows = [NOMINAL[each.value] for each in systems]
    return tuple(
        Shell(row.semi_major_axis, float(np.radians(max(slot.inclination_deg for slot in row.slots))))
        for row in rows
    )


def never_there(latitude: float, orbits: Iterable[Shell], azimuth: ArrayLike, elevation: ArrayLike) -> Flags:
    """Whether no satellite ever stands in a direction.

    Parameters
    ----------
    latitude : float
        Of the place, north positive. [rad]
    orbits : iterable of Shell
        The orbits that count.
    azimuth : array_like
        From true north. [rad]
    elevation : array_like
        Above the level. [rad]
    """
    empty = np.ones(np.broadcast_shapes(np.shape(azimuth), np.shape(elevation)), dtype=bool)
    for shell in orbits:
        over = np.abs(latitude_above(latitude, azimuth, elevation, shell.radius))
        empty &= over > min(shell.tilt, pi - shell.tilt) + _BALL
    return empty


def empty_band(latitude: float, orbits: Iterable[Shell], *, count: int = 360) -> EmptyBand:
    """The part of the sky, on the pole's side, in which no satellite ever stands.

    Parameters
    ----------
    latitude : float
        Of the place, north positive. [rad]
    orbits : iterable of Shell
        The orbits that count.
    count : int
        Azimuths around the sky.
    """
    azimuth = np.linspace(0.0, 2 * pi, count, endpoint=False)
    elevation: Floats = np.linspace(0.0, pi / 2, _BAND_STEPS)
    empty = never_there(latitude, tuple(orbits), azimuth[:, None], elevation)
    some = empty.any(axis=1)
    low: Floats = elevation[empty.argmax(axis=1)]
    high: Floats = elevation[_BAND_STEPS - 1 - empty[:, ::-1].argmax(axis=1)]
    low[~some], high[~some] = np.nan, np.nan
    return EmptyBand(azimuth, low, high)
