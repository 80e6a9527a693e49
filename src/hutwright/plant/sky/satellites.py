"""Where every satellite stands in the sky of a place, over many moments at once.

All arrays run over moments first and satellites second, so that a mask over a whole day is one array.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from hutwright.catalogue.constellations import GPS_27, NOMINAL, Constellation
from hutwright.errors import RequestError
from hutwright.laws.geodesy import look_angles
from hutwright.laws.gnss_time import DAY, SIDEREAL_DAY
from hutwright.laws.orbit import OrbitElements, geostationary_position, orbit_position
from hutwright.laws.state_orbit import between_states, state_track
from hutwright.model.machine import SatelliteSystem
from hutwright.model.orbits import ElementOrbits, Orbits, Satellite, StateOrbits
from hutwright.model.site import Place

Floats = NDArray[np.float64]
Places = NDArray[np.intp]

STEP = 300.0  # s between moments; a satellite moves 2.5 deg at most; ours to choose
STALE = 30.0 * DAY  # s; a record older than this says nothing of a day's hours; ours to choose
_TRACK_STEP = 300.0  # s; the law is within 25 m over half a day at this step
_SHORTEST_STEP, _MOST_MOMENTS = 1.0, 100_000  # ours to choose


@dataclass(frozen=True, slots=True, eq=False)
class Sky:
    """Directions of satellites over moments; NaN where nothing usable is known of one.

    `epochs` is GPS time [s]; `azimuth` (from true north) and `elevation` [rad] are moments x satellites;
    `age` [s] is how far the record behind each lies away, 0 for orbits as planned.
    """

    satellites: tuple[Satellite, ...]
    epochs: Floats
    azimuth: Floats
    elevation: Floats
    age: Floats
    nominal: bool

    @property
    def clocks(self) -> Places:
        """Number of the system of each satellite, for dilutions with a clock each."""
        names = sorted({each.system_name for each in self.satellites})
        return np.array([names.index(each.system_name) for each in self.satellites], dtype=np.intp)

    def of(self, systems: Iterable[SatelliteSystem]) -> NDArray[np.bool_]:
        """Which of the satellites belong to the given systems."""
        names = {each.value for each in systems}
        return np.array([each.system_name in names for each in self.satellites], dtype=bool)

    def above(self, least: float = 0.0) -> NDArray[np.bool_]:
        """Which satellites stand higher than that elevation [rad], moments x satellites."""
        return np.asarray(self.elevation > least)  # NaN is never higher


def moments(start: float, *, span: float = SIDEREAL_DAY, step: float = STEP) -> Floats:
    """Equally spaced moments of GPS time, by default over one sidereal day.

    Parameters
    ----------
    start : float
        The first moment, GPS time since 1980-01-06. [s]
    span : float
        How long; the end itself is left out. [s]
    step : float
        From one to the next. [s]

    Raises
    ------
    RequestError
        Where that would be no moments or too many.
    """
    if not (np.isfinite(start) and step >= _SHORTEST_STEP and 0.0 < span <= step * _MOST_MOMENTS):
        raise RequestError(
            f"a span of {span:g} s in steps of {step:g} s was asked for; wanted are steps of "
            f"{_SHORTEST_STEP:g} s or more and at most {_MOST_MOMENTS} of them; ask for a shorter span"
        )
    return np.asarray(start + np.arange(0.0, span, step))


def planned_orbits(systems: Iterable[SatelliteSystem], *, expanded: bool = False) -> Orbits:
    """The satellites of the given systems as planned.

    Parameters
    ----------
    systems : iterable of SatelliteSystem
        Which ones.
    expanded : bool
        Whether GPS counts with 27 satellites instead of 24.
    """
    names = {each.value for each in systems}
    rows = [GPS_27 if expanded and name == "GPS" else row for name, row in NOMINAL.items() if name in names]
    return Orbits(
        origin="constellations as planned: " + ", ".join(row.name for row in rows),
        nominal=True,
        elements=tuple(_planned(row) for row in rows),
        states=(),
    )


def _planned(row: Constellation) -> ElementOrbits:
    count = len(row.slots)
    return ElementOrbits(
        satellites=tuple(Satellite(row.system, slot.name) for slot in row.slots),
        elements=row.elements(),
        epochs=np.full(count, row.epoch),
        healthy=np.ones(count, dtype=bool),
        geostationary=np.zeros(count, dtype=bool),
    )


def sky_over(place: Place, orbits: Orbits, epochs: Floats) -> Sky:
    """Directions of all satellites at all moments.

    Where a satellite has several records, the one nearest in time counts; one that calls itself unusable, or
    lies more than 30 days away, leaves NaN.

    Parameters
    ----------
    place : Place
        Where on the globe; its height above the sea stands for that above the ellipsoid.
    orbits : Orbits
        What is known of the orbits.
    epochs : numpy.ndarray
        Moments, GPS time since 1980-01-06. [s]
    """
    epochs = np.atleast_1d(np.asarray(epochs, dtype=float))
    satellites = orbits.satellites
    shape = (len(epochs), len(satellites))
    azimuth, elevation, age = np.full(shape, np.nan), np.full(shape, np.nan), np.full(shape, np.inf)
    columns = {each: number for number, each in enumerate(satellites)}
    groups: list[ElementOrbits | StateOrbits] = [*orbits.elements, *orbits.states]
    for group in groups:
        names, chosen, elapsed = _nearest(group.satellites, group.epochs, epochs)
        if isinstance(group, StateOrbits):
            points = _state_positions(group, chosen, elapsed)
        else:
            points = _element_positions(group, chosen, elapsed)
        seen = look_angles(points, place.latitude, place.longitude, place.elevation)
        away = np.zeros_like(elapsed) if orbits.nominal else np.abs(elapsed)
        usable = group.healthy[chosen] & (away <= STALE)
        column = [columns[each] for each in names]
        nearer = away < age[:, column]
        for target, value in ((azimuth, seen.azimuth), (elevation, seen.elevation), (age, away)):
            told = value if target is age else np.where(usable, value, np.nan)
            target[:, column] = np.where(nearer, told, target[:, column])
    return Sky(satellites, epochs, azimuth, elevation, age, orbits.nominal)


def _nearest(
    satellites: Sequence[Satellite], record_epochs: Floats, epochs: Floats
) -> tuple[tuple[Satellite, ...], Places, Floats]:
    """Each satellite once, the record nearest to each moment and the time since it (moments x satellites)."""
    records: dict[Satellite, list[int]] = {}
    for number, each in enumerate(satellites):
        records.setdefault(each, []).append(number)
    chosen = np.empty((len(epochs), len(records)), dtype=np.intp)
    for column, numbers in enumerate(records.values()):
        order = np.array(numbers)[np.argsort(record_epochs[numbers], kind="stable")]
        middles = (record_epochs[order][1:] + record_epochs[order][:-1]) / 2.0
        chosen[:, column] = order[np.searchsorted(middles, epochs)]
    return tuple(records), chosen, np.asarray(epochs[:, None] - record_epochs[chosen])


def _element_positions(group: ElementOrbits, chosen: Places, elapsed: Floats) -> Floats:
    """Places by orbital elements, moments x satellites x 3."""
    steady = bool(np.all(chosen == chosen[:1]))
    records = chosen[:1] if steady else chosen
    tilted = group.geostationary[chosen[0]]

    def taken(column: NDArray[np.bool_]) -> OrbitElements:
        index = records[:, column]
        return OrbitElements(*(each if isinstance(each, float) else each[index] for each in group.elements))

    if not np.any(tilted):
        return orbit_position(taken(~tilted), elapsed)
    points = np.empty((*elapsed.shape, 3))
    points[:, ~tilted] = orbit_position(taken(~tilted), elapsed[:, ~tilted])
    points[:, tilted] = geostationary_position(taken(tilted), elapsed[:, tilted])
    return points


def _state_positions(group: StateOrbits, chosen: Places, elapsed: Floats) -> Floats:
    """Places by integration from the nearest states, moments x satellites x 3.

    States that must reach equally far are carried on together; far ones are few, as each is the nearest one
    to all the time that it has to span.
    """
    near = np.abs(elapsed) <= STALE
    points = np.full((*elapsed.shape, 3), np.nan)
    for ahead in (True, False):
        side = near & ((elapsed >= 0.0) == ahead)
        steps = np.ceil(np.abs(elapsed) / _TRACK_STEP).astype(int)
        needed = np.zeros(len(group.satellites), dtype=int)
        np.maximum.at(needed, chosen[side], np.maximum(steps[side], 1))
        reach = np.where(needed > 0, np.ceil(np.log2(np.maximum(needed, 1))), -1.0)
        for level in np.unique(reach[reach >= 0.0]):
            records = np.flatnonzero(reach == level)
            part = side & np.isin(chosen, records)
            points[part] = _carried(group, records, chosen[part], elapsed[part], ahead=ahead)
    return points


def _carried(group: StateOrbits, records: Places, chosen: Places, elapsed: Floats, *, ahead: bool) -> Floats:
    """Places at the given times since the chosen records, all on one side of them."""
    step = _TRACK_STEP if ahead else -_TRACK_STEP
    count = max(1, int(np.ceil(np.max(np.abs(elapsed)) / _TRACK_STEP)))
    track = state_track(
        group.positions[records], group.velocities[records], group.accelerations[records], step, count
    )
    row = np.searchsorted(records, chosen)
    number = np.minimum((elapsed / step).astype(int), count - 1)
    places, speeds = track
    return between_states(
        places[number, row],
        speeds[number, row],
        places[number + 1, row],
        speeds[number + 1, row],
        step,
        elapsed - step * number,
    )
