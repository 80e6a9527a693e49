"""How near the moving parts come to what stands still and to the machine, over the whole travel.

Everything here is geometry alone and costs milliseconds; it is kept by exactly the fields that it reads, so
that asking again with another mass, friction or speed costs next to nothing.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable
from dataclasses import dataclass, field, replace
from functools import lru_cache

import numpy as np

from hutwright.layout.frame import Floats, door_of, thickness
from hutwright.layout.lane import clearance, way_when_before_door
from hutwright.layout.leaf import leaf_solid
from hutwright.layout.linkage import dead_centres, is_direct, linkage_of, reach, rod_length
from hutwright.layout.linkage import drive_solid as rod_solid
from hutwright.layout.solid import Approach, Solid, box, sweep
from hutwright.layout.solids import (
    base,
    lane,
    machine_at,
    machine_passage,
    parked_machine,
    roof,
    threshold,
    walls,
)
from hutwright.model.project import Project
from hutwright.model.remembered import KEPT, once_a_project
from hutwright.model.watched import apart
from hutwright.plant.travel import travel

EVERY = 2  # of the places of the travel at which solids are held against each other [-]
WAYS = 81  # of the machine on its way past the leaf: a choice of this project [-]
BEYOND = 0.3  # how far past the swept leaf the machine's way is followed: a choice of this project [m]
NOWHERE = "nothing"


@dataclass(frozen=True, slots=True)
class Span:
    """What the rod must span over the travel.

    Attributes
    ----------
    least : float
        Shortest distance between the pins. [m]
    least_at : float
        Travel where that is. [rad or m]
    greatest : float
        Longest distance between the pins. [m]
    greatest_at : float
        Travel where that is. [rad or m]
    """

    least: float
    least_at: float
    greatest: float
    greatest_at: float


@dataclass(frozen=True, slots=True, eq=False)
class Meetings:
    """How near machine and leaf are for every place of the leaf and every way of the machine.

    Attributes
    ----------
    places : ndarray, shape (n,)
        Travel of the leaf from shut. [rad or m]
    ways : ndarray, shape (m,)
        Way of the machine from its parked place, out positive. [m]
    distances : ndarray, shape (n, m)
        Distance; below zero where they overlap, infinite where the leaf lies below the machine. [m]
    """

    places: Floats
    ways: Floats
    distances: Floats

    def at(self, places: Floats) -> Floats:
        """Distance at each way, with the leaf at a place of its own for each, shape (m,) [m]."""
        after = np.clip(np.searchsorted(self.places, places), 1, len(self.places) - 1)
        low, high = self.places[after - 1], self.places[after]
        share = np.clip((places - low) / (high - low), 0.0, 1.0)
        number = np.arange(len(self.ways))
        near, far = self.distances[after - 1, number], self.distances[after, number]
        return np.asarray(_between(near, far, share))

    def clears_from(self, need: float) -> Floats:
        """Least travel from which on the leaf keeps a distance, for each way; infinite where it never does.

        Parameters
        ----------
        need : float
            The distance. [m]
        """
        return _clears_from(self, need)


@lru_cache(maxsize=KEPT)
def _clears_from(met: Meetings, need: float) -> Floats:
    close = met.distances < need
    last = len(met.places) - 1 - np.argmax(close[::-1], axis=0)  # the last place that is too near
    number = np.arange(len(met.ways))
    after = np.minimum(last + 1, len(met.places) - 1)
    near, far = met.distances[last, number], met.distances[after, number]
    with np.errstate(invalid="ignore", divide="ignore"):
        share = np.where(np.isinf(far) | (last == after), 0.0, (need - near) / (far - near))
    found = met.places[last] + share * (met.places[after] - met.places[last])
    found = np.where(last == len(met.places) - 1, np.inf, found)
    return np.where(close.any(axis=0), found, 0.0)


def _between(near: Floats, far: Floats, share: Floats) -> Floats:
    """Between two values, one of which may be infinite."""
    with np.errstate(invalid="ignore"):
        blend = near + share * (far - near)
    return np.where(np.isfinite(near) & np.isfinite(far), blend, np.minimum(near, far))


@dataclass(frozen=True, slots=True)
class _Seen:
    """The fields that a piece of geometry reads, and a project to read them from, which does not count."""

    key: Hashable
    project: Project = field(compare=False, repr=False)


def _door_key(project: Project) -> Hashable:
    door = door_of(project)
    hinge, track = door.hinge, door.track
    return (
        door.kind,
        apart(door.opening),
        (door.leaf.width, door.leaf.height, thickness(project, door.leaf.build_up)),
        hinge and (hinge.x, hinge.y, hinge.z),
        track and (track.way, track.travel, track.tilt),
        door.open_angle,
    )


def link_key(project: Project) -> Hashable:
    """All that a linkage's geometry rests on, to remember things by."""
    linkage = linkage_of(project)
    return (_door_key(project), linkage.kind, apart(linkage.foot), apart(linkage.head))


def _hut_key(project: Project) -> Hashable:
    hut, dock, machine = project.hut, project.dock, project.machine
    parked = None if machine is None or machine.parked is None else machine.parked.x
    around = (apart(dock.lane), apart(dock.threshold)) if dock is not None else None
    if hut is None:
        return (around, parked)
    build_ups = tuple(thickness(project, name) for name in (hut.walls.build_up, hut.roof.build_up))
    return (apart(hut.inside), apart(hut.roof), apart(hut.base), build_ups, around, parked)


def _machine_key(project: Project) -> Hashable:
    machine, parked = parked_machine(project)
    size = (machine.body.length, machine.body.width, machine.body.height)
    return (size, parked.x, parked.y, _wall_key(project))


def _wall_key(project: Project) -> Hashable:
    wall = None if project.hut is None else thickness(project, project.hut.walls.build_up)
    dock = project.dock
    return (wall, (apart(dock.lane), apart(dock.threshold)) if dock is not None else None)


# ---- the rod ----------------------------------------------------------------------------------------------


@once_a_project
def rod_span(project: Project) -> Span:
    """What the rod must span over the travel, exactly.

    Raises
    ------
    RequestError
        Where door or linkage is not described.
    """
    return _rod_span(_Seen(link_key(project), project))


@once_a_project
def hangs_at(project: Project) -> float | None:
    """How far the leaf opens with the drive's stroke as it is; None where the drive fits nowhere.

    Without a described length of the drive it opens all the way. [rad or m]

    Raises
    ------
    RequestError
        Where door or linkage is not described.
    """
    drive = project.drive
    if drive is None or drive.length is None:
        return travel(project).full
    return _hangs_at(_Seen((link_key(project), drive.length), project))


@once_a_project
def rod_to_hut(project: Project) -> Approach | None:
    """How near the axis of the rod comes to hut, base and ground; None for a direct drive.

    Returns
    -------
    Approach or None
        Without the thickness of the drive's body. [m]
    """
    return _rod_to_hut(_Seen((link_key(project), _hut_key(project)), project))


@once_a_project
def rod_to_machine(project: Project) -> Approach | None:
    """How near the axis of the rod comes to the parked machine over the travel; None for a direct drive.

    The machine may stand off by its parking error, whichever way is worse.

    Returns
    -------
    Approach or None
        Without the thickness of the drive's body. [m]
    """
    _, parked = parked_machine(project)
    return _rod_to_machine(_Seen((link_key(project), _machine_key(project), parked.error), project))


@once_a_project
def rod_to_passage(project: Project) -> Approach | None:
    """How near the axis of the rod comes to where the machine drives out; None for a direct drive.

    Returns
    -------
    Approach or None
        Without the thickness of the drive's body. [m]
    """
    _, parked = parked_machine(project)
    open_at = hangs_at(project)
    if open_at is None:
        return None
    key = (link_key(project), _machine_key(project), parked.error, open_at)
    return _rod_to_passage(_Seen(key, project), open_at)


@lru_cache(maxsize=KEPT)
def _rod_span(seen: _Seen) -> Span:
    project = seen.project
    at = np.array([0.0, *dead_centres(project), travel(project).full])
    lengths = rod_length(project, at)
    least, greatest = int(np.argmin(lengths)), int(np.argmax(lengths))
    return Span(float(lengths[least]), float(at[least]), float(lengths[greatest]), float(at[greatest]))


@lru_cache(maxsize=KEPT)
def _hangs_at(seen: _Seen) -> float | None:
    return reach(seen.project).last


def _rod(project: Project) -> tuple[Solid, Floats] | None:
    """The rod's axis over the travel."""
    if is_direct(project):
        return None
    places = _some(travel(project).places)
    found = rod_solid(project, places)
    return None if found is None else (replace(found, radius=0.0), places)


@lru_cache(maxsize=KEPT)
def _rod_to_hut(seen: _Seen) -> Approach | None:
    found = _rod(seen.project)
    return None if found is None else _nearest(*found, (*_hut(seen.project), *_ground(seen.project)))


@lru_cache(maxsize=KEPT)
def _rod_to_machine(seen: _Seen) -> Approach | None:
    found = _rod(seen.project)
    return None if found is None else _nearest(*found, [_spread(seen.project, machine_at(seen.project))])


@lru_cache(maxsize=KEPT)
def _rod_to_passage(seen: _Seen, open_at: float) -> Approach | None:
    project = seen.project
    found = None if is_direct(project) else rod_solid(project, np.array([open_at]))
    if found is None:
        return None
    sweeps = -float(leaf_solid(project, travel(project).places).corners[..., 1].min())
    passage = machine_passage(project, way_when_before_door(project, max(sweeps, 0.0)))
    return _nearest(replace(found, radius=0.0), np.array([open_at]), [_spread(project, passage)])


def _spread(project: Project, body: Solid) -> Solid:
    """A box round where a machine may be that parks some way off, to all sides."""
    error = parked_machine(project)[1].error
    low, high = body.corners.min(axis=0), body.corners.max(axis=0)
    off = np.array([error, error, 0.0])
    return box(body.name, low - off, high + off)


# ---- the leaf ---------------------------------------------------------------------------------------------


@once_a_project
def leaf_to_hut(project: Project) -> Approach:
    """How near the leaf comes to walls and roof over its travel; 0 where it only lies on them.

    Raises
    ------
    RequestError
        Where no door or no linkage is described.
    """
    return _leaf_to(_Seen((_door_key(project), _hut_key(project), "hut"), project), ground=False)


@once_a_project
def leaf_to_ground(project: Project) -> Approach:
    """How near the leaf comes to base, threshold and lane over its travel.

    Raises
    ------
    RequestError
        Where no door or no linkage is described.
    """
    return _leaf_to(_Seen((_door_key(project), _hut_key(project), "ground"), project), ground=True)


@lru_cache(maxsize=KEPT)
def _leaf_to(seen: _Seen, *, ground: bool) -> Approach:
    project = seen.project
    places = _some(travel(project).places)
    obstacles = _ground(project) if ground else _hut(project)
    return _nearest(leaf_solid(project, places), places, obstacles)


def _hut(project: Project) -> tuple[Solid, ...]:
    return _solids(_Seen((_hut_key(project), apart(door_of(project).opening)), project))[0]


def _ground(project: Project) -> tuple[Solid, ...]:
    return _solids(_Seen((_hut_key(project), apart(door_of(project).opening)), project))[1]


@lru_cache(maxsize=KEPT)
def _solids(seen: _Seen) -> tuple[tuple[Solid, ...], tuple[Solid, ...]]:
    """Walls and roof, and what lies on the ground."""
    project = seen.project
    return (*walls(project), *roof(project)), (*base(project), *threshold(project), *lane(project))


def _some(places: Floats) -> Floats:
    return places[::EVERY]


def _nearest(moving: Solid, at: Floats, obstacles: Iterable[Solid]) -> Approach:
    """The closest approach to any of them; what is farther off by its outline alone is not looked at."""
    corners = moving.corners.reshape(-1, *moving.corners.shape[-2:])
    low, high = corners.min(axis=1), corners.max(axis=1)
    bounded: list[tuple[float, Solid]] = []
    for each in obstacles:
        apart = np.maximum(each.corners.min(axis=0) - high, low - each.corners.max(axis=0))
        bounded.append((float(np.linalg.norm(np.maximum(apart, 0.0), axis=1).min()), each))
    found = Approach(NOWHERE, np.inf, float(at[0]))
    for bound, each in sorted(bounded, key=lambda pair: pair[0]):
        if bound > found.distance:
            break
        (one,) = sweep(moving, at, [each])
        found = one if one.distance < found.distance else found
    return found


# ---- machine and leaf -------------------------------------------------------------------------------------


def meetings(project: Project, *, home_from: float = 0.0) -> Meetings:
    """How near machine and leaf are, for every place of the leaf and every way of the machine.

    Parameters
    ----------
    project : Project
        The project.
    home_from : float
        How far before the door the machine's way begins at the least. [m]

    Returns
    -------
    Meetings
        From parked until it is past the swept leaf.

    Raises
    ------
    RequestError
        Where door, linkage, machine or its place is not described.
    """
    key = (_door_key(project), _machine_key(project), home_from)
    return _meetings(_Seen(key, project), home_from)


@lru_cache(maxsize=KEPT)
def _meetings(seen: _Seen, home_from: float) -> Meetings:
    project = seen.project
    places = travel(project).places
    swept = -float(leaf_solid(project, places).corners[..., 1].min())
    end = way_when_before_door(project, max(swept + BEYOND, home_from))
    ways = np.linspace(0.0, end, WAYS)
    return Meetings(places, ways, clearance(project, places[:, None], ways[None, :]))


def standing(project: Project, before: float) -> Approach:
    """How near the moving leaf comes to a machine that stands some way before the door.

    Parameters
    ----------
    project : Project
        The project.
    before : float
        From the door wall to the nearest face of the machine. [m]

    Returns
    -------
    Approach
        With the travel of the leaf. [m; rad or m]
    """
    return _standing(_Seen((_door_key(project), _machine_key(project), before), project), before)


@lru_cache(maxsize=KEPT)
def _standing(seen: _Seen, before: float) -> Approach:
    project = seen.project
    places = travel(project).places
    distances = clearance(project, places, way_when_before_door(project, before))
    index = int(np.argmin(distances))
    return Approach("machine", float(distances[index]), float(places[index]))
