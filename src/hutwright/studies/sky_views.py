"""What the sky looks like from the machine's antenna: tracks, openings, directions, the part without any.

Azimuths are counted from true north, angles in radians.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import pi

import numpy as np

from hutwright.errors import RequestError
from hutwright.laws.open_sky import open_sky_density_db
from hutwright.layout.faces import DOOR, door_hole, placed_openings
from hutwright.layout.frame import (
    Floats,
    LocalDirections,
    Skyline,
    direction_from_local,
    facing,
    true_skyline,
)
from hutwright.model.project import Project
from hutwright.plant.sky.field import antenna_at
from hutwright.plant.sky.inside import Season, State, loss_db, reading
from hutwright.plant.sky.kernel import PATTERNS
from hutwright.plant.sky.readiness import LOWEST_COUNTED, SHUT, Flags, day, room_db
from hutwright.plant.sky.satellites import Sky
from hutwright.plant.sky.skyline import EmptyBand, clear_of, empty_band, shells, skyline_elevation

COMPASS = ("N", "NE", "E", "SE", "S", "SW", "W", "NW")
# Elevations that are told apart: low is where half of all satellites stand. Ours to choose [rad]
BANDS = (LOWEST_COUNTED, pi / 6, pi / 3, pi / 2)
SAMPLES = 8  # along and across one of these parts of the sky, for its mean: ours to choose
EDGE_POINTS = 24  # of an opening's edge as it is seen: ours to choose
FINE = pi / 90  # rad between the points of a picture's grid: ours to choose
SCARCE = 0.25  # of a satellite on average: of fewer no share is told: ours to choose [-]
WEATHERS = (Season.DESCRIBED, Season.RAIN, Season.THAW)


@dataclass(frozen=True, slots=True, eq=False)
class Tracks:
    """Satellites over a day, moments x satellites.

    Attributes
    ----------
    sky : Sky
        Where they stand.
    clear : numpy.ndarray
        Which stand clear of the skyline and of the lowest elevation.
    heard : numpy.ndarray
        Which of these the machine hears, the door shut.
    shared : numpy.ndarray
        Which of these the roof antenna hears too; the same where there is none.
    """

    sky: Sky
    clear: Flags
    heard: Flags
    shared: Flags


@dataclass(frozen=True, slots=True)
class Sector:
    """A part of the sky, and what the hut leaves of it.

    Attributes
    ----------
    towards : str
        Compass point in its middle, from true north.
    low : float
        Elevation of its lower end. [rad]
    high : float
        Elevation of its upper end. [rad]
    levels_db : tuple
        Level inside over that with no hut, mean of the power, as described, in rain, in a thaw. [dB]
    satellites : float
        How many stand there clear of the skyline, mean over a day. [-]
    heard : float or None
        Share of those that the machine hears as described; None where there are hardly any. [-]
    """

    towards: str
    low: float
    high: float
    levels_db: tuple[float, float, float]
    satellites: float
    heard: float | None


@dataclass(frozen=True, slots=True, eq=False)
class Outline:
    """The edge of an opening as seen from the middle of the machine's antenna.

    Attributes
    ----------
    name : str
        Name of the opening, or "door".
    azimuth : numpy.ndarray
        Azimuths along its edge; what is below the level counts as level. [rad]
    elevation : numpy.ndarray
        Elevations along it. [rad]
    """

    name: str
    azimuth: Floats
    elevation: Floats

    @property
    def towards(self) -> str:
        """The compass point of its middle."""
        middle = np.exp(1j * self.azimuth) * np.cos(self.elevation)
        return compass_point(float(np.angle(middle.mean())))


@dataclass(frozen=True, slots=True, eq=False)
class LevelMap:
    """Level inside over that with no hut, over azimuths and elevations (elevations x azimuths) [rad, dB]."""

    azimuth: Floats
    elevation: Floats
    levels_db: Floats


@dataclass(frozen=True, slots=True)
class Band:
    """The part of the sky that never holds a satellite: its share, ends in elevation and in azimuth [-, rad].

    `around` says that it goes all round; `left` and `right` are then those of the whole circle.
    """

    share: float
    low: float
    high: float
    left: float
    right: float
    around: bool


def compass_point(azimuth: float) -> str:
    """The nearest of eight compass points.

    Parameters
    ----------
    azimuth : float
        From true north. [rad]
    """
    return COMPASS[round(azimuth / (2 * pi / len(COMPASS))) % len(COMPASS)]


def tracks(project: Project, sky: Sky, state: State = SHUT) -> Tracks:
    """Which satellites of a sky are clear and heard.

    Parameters
    ----------
    project : Project
        The project.
    sky : Sky
        Where the satellites stand; of systems that the receiver does not know none counts.
    state : State
        The hut's state.

    Raises
    ------
    RequestError
        Where something that it needs is not described.
    """
    machine = project.machine
    if machine is None or machine.antenna is None or machine.receiver is None:
        raise RequestError("this needs the machine's antenna and receiver; describe both under machine first")
    clear = clear_of(sky, true_skyline(project, project.site.skyline), least=LOWEST_COUNTED)
    clear &= sky.of(machine.receiver.systems)
    up = np.sin(np.maximum(np.nan_to_num(sky.elevation), 0.0))
    pattern = open_sky_density_db(PATTERNS[machine.antenna.pattern](up), 0.0)
    levels = pattern + levels_towards(project, state, sky.azimuth, sky.elevation)
    heard = clear & (levels >= -room_db(project))
    shared = heard
    if project.roof_antenna is not None:
        skyline = true_skyline(project, project.roof_antenna.skyline)
        shared = heard & clear_of(sky, skyline, least=LOWEST_COUNTED)
    return Tracks(sky, clear, heard, shared)


def levels_towards(project: Project, state: State, azimuth: Floats, elevation: Floats) -> Floats:
    """Level inside over that with no hut in some directions [dB].

    Parameters
    ----------
    project : Project
        The project.
    state : State
        The hut's state.
    azimuth : array
        From true north. [rad]
    elevation : array
        Above the level. [rad]
    """
    return np.asarray(reading(azimuth - (facing(project) + pi), elevation).of(loss_db(project, state)))


def level_map(project: Project, season: Season) -> LevelMap:
    """Levels over the whole sky, the door shut.

    Parameters
    ----------
    project : Project
        The project.
    season : Season
        How wet it is.
    """
    azimuth = np.arange(0.0, 2 * pi + FINE / 2, FINE)
    elevation = np.arange(0.0, pi / 2 + FINE / 2, FINE)
    grid = np.meshgrid(azimuth, elevation)
    return LevelMap(azimuth, elevation, levels_towards(project, State(season=season), *grid))


def sectors(project: Project) -> tuple[Sector, ...]:
    """The parts of the sky by compass point, in each the low, the middle and the high one.

    Parameters
    ----------
    project : Project
        The project.
    """
    over = tracks(project, day(project).sky)
    wide = 2 * pi / len(COMPASS)
    with np.errstate(invalid="ignore"):
        point = np.nan_to_num(np.rint(over.sky.azimuth / wide), nan=0.0).astype(int) % len(COMPASS)
    found = []
    for number, name in enumerate(COMPASS):
        for low, high in pairwise(BANDS):
            inside = over.clear & (point == number)
            inside &= (over.sky.elevation > low) & (over.sky.elevation <= high)
            count = float(inside.sum(axis=1).mean())
            share = float((inside & over.heard).sum() / inside.sum()) if count >= SCARCE else None
            levels = _means_db(project, number * wide, wide, low, high)
            found.append(Sector(name, low, high, levels, count, share))
    return tuple(found)


def _means_db(
    project: Project, middle: float, wide: float, low: float, high: float
) -> tuple[float, float, float]:
    """Means of the power over one part of the sky in each weather."""
    steps = (np.arange(SAMPLES) + 0.5) / SAMPLES
    azimuth, elevation = np.meshgrid(middle + wide * (steps - 0.5), low + (high - low) * steps)
    weight = np.cos(elevation)
    described, rain, thaw = (
        float(
            10.0
            * np.log10(
                np.average(
                    10.0 ** (levels_towards(project, State(season=season), azimuth, elevation) / 10.0),
                    weights=weight,
                )
            )
        )
        for season in WEATHERS
    )
    return described, rain, thaw


def outlines(project: Project) -> tuple[Outline, ...]:
    """Every opening, and the door's hole, of which the antenna sees some above the level.

    Parameters
    ----------
    project : Project
        The project.
    """
    eye = antenna_at(project, spread=False).places[0]
    holes = [(each.name, each.inner) for each in placed_openings(project)]
    if project.door is not None:
        holes.append((DOOR, door_hole(project).inner))
    steps = np.linspace(0.0, 1.0, EDGE_POINTS, endpoint=False)[:, None]
    found = []
    for name, corners in holes:
        around = np.roll(corners, -1, axis=0)
        edge = np.concatenate(
            [one + steps * (two - one) for one, two in zip(corners, around, strict=True)] + [corners[:1]]
        )
        seen = direction_from_local(project, LocalDirections(edge - eye))
        if (seen.elevation > 0.0).any():
            found.append(Outline(name, seen.azimuth, np.maximum(seen.elevation, 0.0)))
    return tuple(found)


def band_of_sky(project: Project) -> EmptyBand:
    """The part of the sky that never holds a satellite of the receiver's systems.

    Parameters
    ----------
    project : Project
        The project.

    Raises
    ------
    RequestError
        Where place or receiver is not described.
    """
    place, machine = project.site.place, project.machine
    if place is None or machine is None or machine.receiver is None:
        raise RequestError("this needs site.place and machine.receiver; describe both first")
    return empty_band(place.latitude, shells(machine.receiver.systems))


def band(project: Project) -> Band | None:
    """Where the empty part of the sky lies; None where there is none.

    Parameters
    ----------
    project : Project
        The project.
    """
    found = band_of_sky(project)
    some = ~np.isnan(found.low)
    if not some.any():
        return None
    place = project.site.place
    pole = 0.0 if place is None or place.latitude >= 0.0 else pi
    turn = (found.azimuth[some] - pole + pi) % (2 * pi) - pi
    return Band(
        share=found.share,
        low=float(np.nanmin(found.low)),
        high=float(np.nanmax(found.high)),
        left=float((pole + turn.min()) % (2 * pi)),
        right=float((pole + turn.max()) % (2 * pi)),
        around=bool(some.all()),
    )


def skyline_around(skyline: Skyline) -> tuple[Floats, Floats]:
    """A skyline as a line all round: azimuths and elevations [rad].

    Parameters
    ----------
    skyline : tuple
        Pairs of azimuth from true north and elevation. [rad]
    """
    azimuth = np.arange(0.0, 2 * pi + FINE / 2, FINE)
    return azimuth, skyline_elevation(skyline, azimuth)
