"""What a cycle meets over the year: temperature, battery, wind, friction, a rough place, ice.

All of it is invented; nothing was measured. What differs from cycle to cycle is drawn here and nowhere else.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

import numpy as np

from hutwright.laws.copper import CELSIUS_ZERO
from hutwright.native.scenario import Event
from hutwright.native.words import EventKind, When
from tools.populations.member import Member


class Season(Enum):
    """A quarter of the year."""

    SPRING = "spring"
    SUMMER = "summer"
    AUTUMN = "autumn"
    WINTER = "winter"


@dataclass(frozen=True, slots=True)
class Weather:
    """What a season is like.

    Attributes
    ----------
    celsius : tuple of float
        Temperature of the drive, even chance between the ends. [degC, degC]
    battery : tuple of float
        Share of the supply's range, even chance between the ends. [-, -]
    wind : float
        Most likely mean wind at the hut; the wind of a cycle has Rayleigh's distribution. [m/s]
    friction : float
        Of hinges, track and seal as a multiple of the described, before each cycle's own part. [-]
    frozen : float
        Share of cycles that begin with the shut leaf frozen to its frame. [-]
    """

    celsius: tuple[float, float]
    battery: tuple[float, float]
    wind: float
    friction: float
    frozen: float


YEAR = {
    Season.SPRING: Weather((2.0, 18.0), (0.3, 0.9), 2.0, 1.00, 0.0),
    Season.SUMMER: Weather((14.0, 34.0), (0.5, 1.0), 1.5, 0.95, 0.0),
    Season.AUTUMN: Weather((1.0, 18.0), (0.2, 0.8), 2.0, 1.10, 0.0),
    Season.WINTER: Weather((-14.0, 6.0), (0.0, 0.6), 2.2, 1.15, 0.3),
}
FRICTION_SPREAD = 0.10  # of a cycle's own part: dust, damp; standard deviation of its logarithm [-]
# Somewhere every move meets a rough place. How rough has an exponential distribution of this mean
ROUGH = 1.5  # at the edge [N]
ROUGH_OVER = (0.02, 0.10)  # of the travel [-]
GUST_EVERY = 2.0  # from one gust to the next [s]
GUST_RISE = 0.7  # until it blows [s]
GUSTINESS = 0.3  # of the mean wind, standard deviation from gust to gust [-]
# Between the drive and the sensor of the temperature that the controller reads; standard deviation [K]
APART = 1.5
GUSTS = 6  # of a move; the last one lasts [-]


@dataclass(frozen=True, slots=True)
class Circumstances:
    """What one cycle meets.

    Attributes
    ----------
    season : Season
        When.
    kelvin : int
        Of the drive. [K]
    read : float
        What the controller is told. [K]
    voltage : float
        Of the supply without load. [V]
    friction : float
        Factor on what resists by the tables. [-]
    side : int
        Where the wind comes from: 1, -1. [-]
    gusts : tuple of float
        Factor on the working gust's pressure, one every `GUST_EVERY`. [-]
    rough : tuple of float
        Where, over how much of the travel [-, -], and how rough at the edge [N].
    frozen : bool
        Whether the shut leaf is frozen to its frame.
    seed : int
        Of the sensor's noise.
    """

    season: Season
    kelvin: int
    read: float
    voltage: float
    friction: float
    side: int
    gusts: tuple[float, ...]
    rough: tuple[float, float, float]
    frozen: bool
    seed: int

    def events(self, member: Member) -> tuple[Event, ...]:
        """What happens in a move, as events of its scenario; a command or an obstacle comes besides."""
        over = member.over
        place, wide, force = self.rough
        ends = [(place - wide / 2.0) * over.full, (place + wide / 2.0) * over.full]
        drag = force * over.edge_radius
        found = [Event(EventKind.GUST, time=0.0, a=self.gusts[0])]
        found += [
            Event(EventKind.GUST, time=GUST_EVERY * at, a=factor, b=GUST_RISE)
            for at, factor in enumerate(self.gusts[1:], start=1)
        ]
        for when, (begin, end) in (
            (When.PASSING_OPENING, ends),
            (When.PASSING_CLOSING, reversed(ends)),
        ):
            found.append(Event(EventKind.DRAG, when=when, place=begin, a=drag))
            found.append(Event(EventKind.DRAG, when=when, place=end, a=0.0))
        if self.frozen:
            assert member.project.door is not None
            found.append(Event(EventKind.ICE, time=0.0, a=member.project.door.ice * over.edge_radius))
        return tuple(found)


def circumstances(member: Member, season: Season, rng: np.random.Generator) -> Circumstances:
    """What one cycle in a season meets.

    Parameters
    ----------
    member : Member
        The door.
    season : Season
        When.
    rng : numpy.random.Generator
        What it is drawn by.
    """
    weather = YEAR[season]
    celsius = rng.uniform(*weather.celsius)
    low, high = member.supply
    working = member.project.site.wind.working
    mean = rng.rayleigh(weather.wind)
    speeds = np.clip(mean * (1.0 + GUSTINESS * rng.standard_normal(GUSTS)), 0.0, working)
    return Circumstances(
        season=season,
        kelvin=round(celsius + CELSIUS_ZERO),
        read=float(celsius + CELSIUS_ZERO + APART * rng.standard_normal()),
        voltage=float(low + rng.uniform(*weather.battery) * (high - low)),
        friction=float(weather.friction * np.exp(FRICTION_SPREAD * rng.standard_normal())),
        side=int(rng.choice((-1, 1))),
        gusts=tuple(float(each) for each in (speeds / working) ** 2),
        rough=(
            float(rng.uniform(0.1, 0.9)),
            float(rng.uniform(*ROUGH_OVER)),
            float(rng.exponential(ROUGH)),
        ),
        frozen=bool(rng.random() < weather.frozen),
        seed=int(rng.integers(1, 2**31)),
    )
