"""How many satellites the machine hears in the hut over a day, how well they stand, and when it could start.

A satellite is heard where its level under an open sky, less what the antenna loses towards it and what the
hut takes, is over the receiver's threshold, and it stands clear of the skyline and of the lowest elevation.
Where there is a roof antenna, only satellites that both hear count for the start. All over one sidereal day
of the constellations as planned, which are good for a day's statistics and for no certain hour.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, log10, pi

import numpy as np
from numpy.typing import NDArray

from hutwright.catalogue.dielectrics import METAL, dielectric
from hutwright.errors import RequestError
from hutwright.laws.dilution import position_dilution
from hutwright.laws.gnss_time import gps_seconds
from hutwright.laws.open_sky import open_sky_density_db
from hutwright.layout.frame import Floats, facing, hut_of, true_skyline
from hutwright.model.hut import Layer
from hutwright.model.machine import Antenna, Receiver, StartRule
from hutwright.model.project import Project
from hutwright.model.remembered import once_a_project
from hutwright.model.site import Place
from hutwright.plant.sky.inside import Reading, Season, State, is_wet, loss_db, reading
from hutwright.plant.sky.kernel import PATTERNS
from hutwright.plant.sky.satellites import Sky, moments, planned_orbits, sky_over
from hutwright.plant.sky.skyline import clear_of

Flags = NDArray[np.bool_]
Counts = NDArray[np.intp]
DAY_OF = float(gps_seconds(2025, 1, 1, 0.0))  # s; any day will do for orbits as planned: ours to choose
LOWEST_COUNTED = (
    5.0 * pi / 180.0
)  # rad; mask of receivers and of published availabilities; standing: practice
LOW_SHARE = 0.05  # of the day that counts as its bad hours: ours to choose [-]


@dataclass(frozen=True, slots=True)
class Accuracy:
    """How far the integral may be off, against full-wave solutions of huts.

    Attributes
    ----------
    fewer : int
        Satellites that may be fewer than worked out.
    more : int
        Satellites that may be more than worked out.
    quieter_db : float
        How much too low the integral may have every level; 0 where `more` says it in satellites. [dB]
    words : str
        For which huts, and how it was found.
    """

    fewer: int
    more: int
    quieter_db: float
    words: str


# Against finite-difference solutions: a trial's on a 5 mm grid (timber with windows 1.2 to 1.7 dB and within
# one satellite; a closed roof over dry timber 2.4 dB, about 3 satellites low; wet timber up to 5 satellites
# low; walls of metal 5 to 8 dB low), and our own (docs/handbook/full-wave.md), with overhangs
# and with walls of metal and only the door open besides. Standing: derived here.
WINDOWED = Accuracy(1, 1, 0.0, "timber with windows: 1.2 to 1.7 dB, within one satellite")
CLOSED = Accuracy(
    1, 3, 0.0, "a roof of metal without windows over dry timber: 2.4 dB, about 3 satellites low"
)
OVERHUNG = Accuracy(
    3, 1, 0.0, "timber with windows under a roof of metal that hangs over: 2 dB, up to 3 satellites too many"
)
OVERHUNG_CLOSED = Accuracy(
    3, 3, 0.0, "timber under a closed roof of metal that hangs over: 2.4 dB, within 3 satellites"
)
SOAKED = Accuracy(1, 5, 0.0, "wet timber: up to 5 satellites low")
METAL_WALLS = Accuracy(1, 0, 8.0, "walls of metal: 5 to 8 dB low")
METAL_OPEN = Accuracy(1, 0, 12.5, "walls of metal with only the door open: up to 12 dB low")


@dataclass(frozen=True, slots=True, eq=False)
class Day:
    """What stands over the hut in a day, moments x satellites.

    Attributes
    ----------
    sky : Sky
        Directions of all satellites.
    up : numpy.ndarray
        Which of them stand above the lowest elevation that counts.
    clear : numpy.ndarray
        Which of these stand clear of the machine's skyline.
    inside : Reading
        Where to read the hut's grid of directions.
    products : numpy.ndarray
        Of each satellite's unit vector: its products xx, xy, xz, yy, yz, zz, itself, and 1: (moments, 10,
        satellites).
    first_of_clock : numpy.ndarray
        Number of the first satellite of each system.
    """

    sky: Sky
    up: Flags
    clear: Flags
    inside: Reading
    products: Floats
    first_of_clock: Counts


@dataclass(frozen=True, slots=True, eq=False)
class Heard:
    """Which satellites are heard, moments x satellites, and what became of the others, as means over the day.

    Attributes
    ----------
    flags : numpy.ndarray
        Which are heard.
    up : float
        How many stand above the lowest elevation that counts.
    hidden : float
        How many of these the skyline hides.
    weak : float
        How many of the rest are too weak.
    """

    flags: Flags
    up: float
    hidden: float
    weak: float

    @property
    def counts(self) -> Counts:
        """How many are heard at each moment."""
        return np.asarray(self.flags.sum(axis=1))


@once_a_project
def day(project: Project) -> Day:
    """What stands over the hut in a day.

    Parameters
    ----------
    project : Project
        The project.

    Raises
    ------
    RequestError
        Where the place, the hut or the receiver is not described.
    """
    sky = sky_over(_place(project), planned_orbits(_receiver(project).systems), moments(DAY_OF))
    clear = clear_of(sky, true_skyline(project, project.site.skyline), least=LOWEST_COUNTED)
    turn = sky.azimuth - (facing(project) + pi)
    clocks = sky.clocks  # satellites are in the order of their systems
    first = np.flatnonzero(np.r_[True, clocks[1:] != clocks[:-1]])
    return Day(sky, sky.above(LOWEST_COUNTED), clear, reading(turn, sky.elevation), _products(sky), first)


def _products(sky: Sky) -> Floats:
    azimuth, elevation = np.nan_to_num(sky.azimuth), np.nan_to_num(sky.elevation)
    flat = np.cos(elevation)
    x, y, z = flat * np.sin(azimuth), flat * np.cos(azimuth), np.sin(elevation)
    parts = [x * x, x * y, x * z, y * y, y * z, z * z, x, y, z, np.ones_like(x)]
    return np.stack(parts, axis=1)


def _place(project: Project) -> Place:
    if project.site.place is None:
        raise RequestError("this needs the hut's place on the globe; describe site.place first")
    return project.site.place


def _receiver(project: Project) -> Receiver:
    machine = project.machine
    if machine is None or machine.receiver is None:
        raise RequestError("this needs the machine's receiver; describe machine.receiver first")
    return machine.receiver


def _antenna(project: Project) -> Antenna:
    machine = project.machine
    if machine is None or machine.antenna is None:
        raise RequestError("this needs the machine's antenna; describe machine.antenna first")
    return machine.antenna


def rule_of(project: Project) -> StartRule:
    """When the machine starts.

    Raises
    ------
    RequestError
        Where that is not described.
    """
    machine = project.machine
    if machine is None or machine.start_rule is None:
        raise RequestError(
            "this needs the rule by which the machine starts; describe machine.start_rule first"
        )
    return machine.start_rule


@once_a_project
def above_overhead_db(project: Project, state: State) -> NDArray[np.float32]:
    """Level of every satellite inside over that of one overhead under an open sky, moments x satellites [dB].

    Parameters
    ----------
    project : Project
        The project.
    state : State
        The hut's state.
    """
    found = day(project)
    up = np.sin(np.maximum(np.nan_to_num(found.sky.elevation), 0.0))
    antenna = open_sky_density_db(PATTERNS[_antenna(project).pattern](up), 0.0)
    return np.asarray(antenna.astype(np.float32) + found.inside.of(loss_db(project, state)))


def room_db(project: Project) -> float:
    """How far a satellite overhead in the open is over the receiver's threshold [dB]."""
    receiver = _receiver(project)
    return 10.0 * log10(receiver.overhead / receiver.threshold)


@once_a_project
def heard(project: Project, state: State, louder_db: float = 0.0) -> Heard:
    """What the machine hears inside the hut over a day.

    Parameters
    ----------
    project : Project
        The project.
    state : State
        The hut's state.
    louder_db : float
        How much louder every satellite is taken to be than worked out. [dB]
    """
    found = day(project)
    strong = above_overhead_db(project, state) >= -(room_db(project) + louder_db)
    flags = strong & found.clear
    up, clear = found.up.sum(axis=1).mean(), found.clear.sum(axis=1).mean()
    return Heard(flags, float(up), float(up - clear), float(clear - flags.sum(axis=1).mean()))


@once_a_project
def roof_hears(project: Project) -> Flags | None:
    """What the roof antenna hears, moments x satellites; None where there is none.

    It stands in the open: all that clears its own skyline and the lowest elevation.
    """
    if project.roof_antenna is None:
        return None
    skyline = true_skyline(project, project.roof_antenna.skyline)
    return clear_of(day(project).sky, skyline, least=LOWEST_COUNTED)


@once_a_project
def counted(project: Project, state: State, louder_db: float = 0.0) -> Flags:
    """Which satellites count for the start: those heard, and by the roof antenna too where there is one.

    Parameters
    ----------
    project : Project
        The project.
    state : State
        The hut's state.
    louder_db : float
        How much louder every satellite is taken to be than worked out. [dB]
    """
    flags, roof = heard(project, state, louder_db).flags, roof_hears(project)
    return flags if roof is None else np.asarray(flags & roof)


@once_a_project
def dilution(project: Project, state: State, louder_db: float = 0.0) -> Floats:
    """Position dilution of the satellites that count, at each moment; infinite where there is none [-].

    Every system has a clock of its own.

    Parameters
    ----------
    project : Project
        The project.
    state : State
        The hut's state.
    louder_db : float
        How much louder every satellite is taken to be than worked out. [dB]
    """
    return dilution_of(day(project), counted(project, state, louder_db))


@once_a_project
def open_dilution(project: Project) -> Floats:
    """Position dilution of all that stands clear of the machine's skyline, at each moment [-]."""
    found = day(project)
    return dilution_of(found, found.clear)


def dilution_of(over: Day, flags: Flags) -> Floats:
    """Position dilution of some satellites of a day, at each moment [-].

    Parameters
    ----------
    over : Day
        The day.
    flags : array
        Which satellites count, moments x satellites; none that is not known where it stands.
    """
    sums = np.add.reduceat(over.products * flags[:, None, :], over.first_of_clock, axis=2)
    sums = np.moveaxis(sums, 1, -1)
    second = sums[..., [0, 1, 2, 1, 3, 4, 2, 4, 5]].reshape(*sums.shape[:-1], 3, 3)
    return position_dilution(second, sums[..., 6:9], sums[..., 9])


@once_a_project
def enough_share(project: Project, state: State, louder_db: float = 0.0) -> float:
    """Share of the day in which as many satellites count as the machine wants [-].

    Parameters
    ----------
    project : Project
        The project.
    state : State
        The hut's state.
    louder_db : float
        How much louder every satellite is taken to be than worked out. [dB]
    """
    return float(np.mean(counted(project, state, louder_db).sum(axis=1) >= rule_of(project).satellites))


@once_a_project
def ready_share(project: Project, state: State, louder_db: float = 0.0) -> float:
    """Share of the day in which the machine could start: enough satellites, well enough spread [-].

    Parameters
    ----------
    project : Project
        The project.
    state : State
        The hut's state.
    louder_db : float
        How much louder every satellite is taken to be than worked out. [dB]
    """
    rule = rule_of(project)
    enough = counted(project, state, louder_db).sum(axis=1) >= rule.satellites
    if not enough.any():
        return 0.0
    return float(np.mean(enough & (dilution(project, state, louder_db) <= rule.pdop)))


@once_a_project
def doubt_db(project: Project, state: State) -> tuple[float, float]:
    """How much louder all satellites are taken to be for the least and the most that is likely [dB].

    Where the accuracy is stated in satellites, the levels are moved until as many are heard more, or fewer.

    Parameters
    ----------
    project : Project
        The project.
    state : State
        The hut's state.
    """
    known, found = accuracy(project, state), day(project)
    levels = np.sort(above_overhead_db(project, state)[found.clear])[::-1]
    if not len(levels):
        return 0.0, known.quieter_db
    room, moments_ = room_db(project), len(found.clear)
    now = int(np.searchsorted(-levels, room, side="right"))

    def moved_to(count: int) -> float:
        return -room - float(levels[min(max(count, 1), len(levels)) - 1])

    least = min(0.0, moved_to(now - known.fewer * moments_))
    return least, max(0.0, known.quieter_db or moved_to(now + known.more * moments_))


# ---- how good it is ---------------------------------------------------------------------------------------


@once_a_project
def accuracy(project: Project, state: State) -> Accuracy:
    """How far the integral may be off for the hut in a state.

    Parameters
    ----------
    project : Project
        The project.
    state : State
        The hut's state.
    """
    hut = hut_of(project)
    windows = bool(set(roof_windows(project)) - state.closed)
    if is_metal(project.build_ups.get(hut.walls.build_up, ())):
        return METAL_OPEN if state.is_open and not windows else METAL_WALLS
    if is_wet(project, state.season):
        return SOAKED
    lit = state.is_open or windows
    if not is_metal(project.build_ups.get(hut.roof.build_up, ())):
        return WINDOWED
    if hut.roof.overhang > 0.0:
        return OVERHUNG if lit else OVERHUNG_CLOSED
    return WINDOWED if lit else CLOSED


def is_metal(layers: tuple[Layer, ...]) -> bool:
    """Whether a build-up has a layer of metal."""
    return any(dielectric(each.material).dry is METAL for each in layers)


def roof_windows(project: Project) -> tuple[str, ...]:
    """Names of the openings in the roof that a pane closes, in the order of the file."""
    return tuple(
        name
        for name, each in project.openings.items()
        if each.pane is not None and each.place.face.value.startswith("roof")
    )


def at_share(values: Floats | Counts, share: float) -> float:
    """The value that this share of the day does not exceed [the values' own].

    Parameters
    ----------
    values : array
        One for each moment.
    share : float
        Share of the day. [-]
    """
    return float(np.sort(values)[max(0, ceil(share * len(values) - 1e-9) - 1)])


SHUT = State()
OPEN = State(is_open=True)
RAIN = State(season=Season.RAIN)
THAW = State(season=Season.THAW)
