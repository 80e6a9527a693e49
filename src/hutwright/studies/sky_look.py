"""All that can be told of the sky over a hut at once: how ready, from where, what windows would help."""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import Executor
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, tzinfo

import numpy as np

from hutwright.description.described import Described
from hutwright.errors import Cancel, Progress, RequestError, stopped
from hutwright.evidence.beside import Beside
from hutwright.laws.gnss_time import EPOCH_UNIX, gps_from_utc, utc_from_gps
from hutwright.model.machine import SatelliteSystem
from hutwright.model.orbits import Orbits
from hutwright.model.project import Project
from hutwright.plant.sky.inside import Season, State
from hutwright.plant.sky.readiness import day, room_db, rule_of
from hutwright.plant.sky.satellites import moments, sky_over
from hutwright.studies.incidents import Explanation, explain
from hutwright.studies.placement import Placement, Readiness, place_windows, readiness
from hutwright.studies.readings import ReadingsFit, fit_readings
from hutwright.studies.sky_confirm import Confirmation
from hutwright.studies.sky_confirm import confirm as confirmed
from hutwright.studies.sky_prediction import lacking
from hutwright.studies.sky_views import (
    Band,
    Outline,
    Sector,
    Tracks,
    band,
    outlines,
    sectors,
    tracks,
)
from hutwright.studies.sky_ways import Way, other_ways
from hutwright.studies.window_worth import Worth, window_worth

HOUR_STEP = 900.0  # s between the moments of a real day: ours to choose
NOON = 12  # of the day whose sky is shown: ours to choose [h]


@dataclass(frozen=True, kw_only=True, slots=True)
class StateReady:
    """How ready the machine is in one state of the hut.

    Attributes
    ----------
    is_open : bool
        Whether the door is open.
    season : Season
        How wet it is.
    readiness : Readiness or None
        How ready; None where it cannot be told.
    why_not : str
        Why it cannot; "" where it can.
    """

    is_open: bool
    season: Season
    readiness: Readiness | None
    why_not: str


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class RealDay:
    """The day to which files of orbits belong, hour by hour, the door shut and the hut as described.

    Attributes
    ----------
    origin : str
        What they are and from which files.
    start : datetime.datetime
        Where the day begins, in the site's clock time.
    over : Tracks
        The satellites of that day.
    lacking : tuple
        Systems of the receiver of which they know too little.
    short : tuple
        Stretches in which too few count, first and last moment, GPS time since 1980-01-06. [s]
    """

    origin: str
    start: datetime
    over: Tracks
    lacking: tuple[SatelliteSystem, ...]
    short: tuple[tuple[float, float], ...]

    @property
    def counts(self) -> tuple[float, int, int]:
        """How many count: on average, at least, at most [-]."""
        count = self.over.shared.sum(axis=1)
        return float(count.mean()), int(count.min()), int(count.max())

    def clock(self, epoch: float) -> datetime:
        """The site's clock at a moment of GPS time [s]."""
        return _utc(epoch).astimezone(self.start.tzinfo)


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class Look:
    """What can be told of the sky over a hut.

    Attributes
    ----------
    described : Described
        The description.
    wanted : float
        Share of the day that the start rule asks for. [-]
    least : int
        Satellites that it asks for. [-]
    room_db : float
        What a satellite overhead may lose before it is not heard any more. [dB]
    states : tuple
        Readiness by door and weather.
    band : Band or None
        The part of the sky that never holds a satellite.
    sectors : tuple
        What the hut leaves, by direction.
    outlines : tuple
        Openings as seen from the antenna.
    over : Tracks
        A day of the constellations as planned.
    real : RealDay or None
        The day of the files of orbits.
    placement : Placement or None
        Where roof windows help; None where none was asked for.
    ways : tuple
        What else was tried.
    worth : tuple
        What the best window would be worth elsewhere; empty where that was not asked for.
    readings : ReadingsFit or None
        What readings say; None without any.
    readings_why_not : str
        Why they say nothing; "" where they do.
    incidents : Explanation or None
        What incidents say; None without any.
    complete : bool
        Whether it went to its end; False where it was cancelled.
    confirmation : Confirmation or None
        What the full wave says; None where it was not asked.
    """

    described: Described
    wanted: float
    least: int
    room_db: float
    states: tuple[StateReady, ...]
    band: Band | None
    sectors: tuple[Sector, ...]
    outlines: tuple[Outline, ...]
    over: Tracks
    real: RealDay | None
    placement: Placement | None
    ways: tuple[Way, ...]
    worth: tuple[Worth, ...]
    readings: ReadingsFit | None
    readings_why_not: str
    incidents: Explanation | None
    complete: bool
    confirmation: Confirmation | None = None

    @property
    def short(self) -> bool:
        """Whether the door shut, in any weather, leaves less of the day than is wanted."""
        shut = [each.readiness for each in self.states if not each.is_open]
        return any(each is None or each.ready < self.wanted for each in shut)


def look(
    described: Described,
    beside: Beside,
    zone: tzinfo,
    *,
    most: int,
    worth: bool = False,
    confirm: bool = False,
    executor: Executor | None = None,
    progress: Progress | None = None,
    cancel: Cancel | None = None,
) -> Look:
    """All that can be told of the sky over a hut.

    Parameters
    ----------
    described : Described
        The description.
    beside : Beside
        Readings, incidents and orbits that lie beside it.
    zone : tzinfo
        The site's time zone.
    most : int
        How many roof windows are placed at most; with 0 none is, and nothing else is tried. [-]
    worth : bool
        Whether to work out what the best window would be worth elsewhere.
    confirm : bool
        Whether to ask the full wave for the hut as described and for the windows that were found.
    executor : Executor or None
        Where slow tables are worked out; here without one. The answer is the same.
    progress : Callable or None
        Is told how many parts of how many of the search are done, and then of the full wave.
    cancel : Cancel or None
        Ends it early; what was found by then is given.

    Raises
    ------
    RequestError
        Where what it needs is not described.
    """
    project, orbits = described.project, beside.orbits
    rule = rule_of(project)
    states = tuple(_states(project))
    placement: Placement | None = None
    ways: tuple[Way, ...] = ()
    maps: tuple[Worth, ...] = ()
    if most:
        placement = place_windows(described, most=most, executor=executor, progress=progress, cancel=cancel)
        ways = other_ways(described, cancel=cancel)
        if worth and not stopped(cancel):
            maps = window_worth(described, placement, executor=executor)
    sure = confirmed(described, placement, progress=progress, cancel=cancel) if confirm else None
    fit, why_not = _fit(project, beside)
    return Look(
        described=described,
        wanted=rule.share_of_day,
        least=rule.satellites,
        room_db=room_db(project),
        states=states,
        band=band(project),
        sectors=sectors(project),
        outlines=outlines(project),
        over=tracks(project, day(project).sky),
        real=None if orbits is None else real_day(project, orbits, zone),
        placement=placement,
        ways=ways,
        worth=maps,
        readings=fit,
        readings_why_not=why_not,
        incidents=None if beside.incidents is None else explain(project, beside.incidents, orbits),
        complete=not stopped(cancel),
        confirmation=sure,
    )


def _states(project: Project) -> Iterator[StateReady]:
    for is_open in (False, True) if project.door is not None else (False,):
        for season in Season:
            found, why_not = None, ""
            try:
                found = readiness(project, State(season=season, is_open=is_open))
            except RequestError as error:
                if not is_open:
                    raise
                why_not = str(error)
            yield StateReady(is_open=is_open, season=season, readiness=found, why_not=why_not)


def _fit(project: Project, beside: Beside) -> tuple[ReadingsFit | None, str]:
    if beside.readings is None:
        return None, ""
    try:
        return fit_readings(project, beside.readings, beside.orbits), ""
    except RequestError as error:
        return None, str(error)


# ---- the day of real orbits -------------------------------------------------------------------------------


def _utc(epoch: float) -> datetime:
    return datetime.fromtimestamp(EPOCH_UNIX, UTC) + timedelta(seconds=float(utc_from_gps(epoch)))


def real_day(project: Project, orbits: Orbits, zone: tzinfo) -> RealDay:
    """The day in the middle of files of orbits.

    Parameters
    ----------
    project : Project
        The project.
    orbits : Orbits
        Real orbits.
    zone : tzinfo
        The site's time zone, in which the day begins and ends.

    Raises
    ------
    RequestError
        Where something that it needs is not described.
    """
    place = project.site.place
    if place is None:
        raise RequestError("this needs the hut's place on the globe; describe site.place first")
    groups = [each.epochs for each in orbits.elements] + [each.epochs for each in orbits.states]
    records = np.sort(np.concatenate(groups))
    noted = _utc(float(records[len(records) // 2])).astimezone(zone)
    start = noted.replace(hour=0, minute=0, second=0, microsecond=0)
    first, last = (
        float(gps_from_utc(each.timestamp() - EPOCH_UNIX)) for each in (start, start + timedelta(days=1))
    )
    epochs = moments(first, span=last - first, step=HOUR_STEP)
    over = tracks(project, sky_over(place, orbits, epochs))
    few = over.shared.sum(axis=1) < rule_of(project).satellites
    noon = float(epochs[len(epochs) * NOON // 24])
    return RealDay(
        origin=orbits.origin,
        start=start,
        over=over,
        lacking=lacking(project, orbits, [noon])[0],
        short=tuple(_stretches(epochs.tolist(), few.tolist())),
    )


def _stretches(epochs: list[float], flags: list[bool]) -> Iterator[tuple[float, float]]:
    """Ends of each stretch of moments that are flagged, up to the next moment that is not."""
    began = None
    for epoch, flag in zip(epochs, flags, strict=True):
        if flag and began is None:
            began = epoch
        elif not flag and began is not None:
            yield began, epoch
            began = None
    if began is not None:
        yield began, epochs[-1] + HOUR_STEP
