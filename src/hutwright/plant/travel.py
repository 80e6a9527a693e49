"""The door's geometry on a grid of places over its travel, from shut to open.

Everything here depends on geometry alone - not on friction, masses, seal or weather - and is kept by exactly
the fields that it reads, so that asking again with another mass or friction costs next to nothing.

The places lie close together near shut, where seal, ice and the slow last stretch act: the travel is the full
one times the square of an even share.
"""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass, field
from functools import lru_cache
from math import inf, radians

import numpy as np
from numpy.typing import NDArray

from hutwright.errors import RequestError
from hutwright.laws.leaf_wind import open_leaf_arm
from hutwright.layout.frame import Floats, door_of, leaf_thickness
from hutwright.layout.leaf import (
    edge_radius,
    full_travel,
    hinge_line,
    leaf_pose,
    leaf_solid,
    leaf_velocity,
    shut_leaf,
    travel_at_gap,
)
from hutwright.layout.linkage import arm, linkage_of, rod_length
from hutwright.model.door import DoorKind
from hutwright.model.drive import Drive
from hutwright.model.project import Project
from hutwright.model.remembered import KEPT, once_a_project
from hutwright.model.watched import apart

Flags = NDArray[np.bool_]
PLACES = 61  # over the travel: a choice of this project [-]
DEAD_ARM = 1e-3  # a rod with a shorter arm (or gearing) moves nothing: a choice of this project [m or -]
# From where a hinged leaf stands out in the wind; see laws.leaf_wind.open_leaf_pressure. Standing: practice
OPEN_FROM = radians(10.0)


@dataclass(frozen=True, slots=True, eq=False)
class Travel:
    """A door over its travel; hinged leaves count in radians, straight ones in metres.

    Attributes
    ----------
    hinged : bool
        Whether the leaf turns.
    full : float
        Travel from shut to open. [rad or m]
    places : ndarray, shape (n,)
        Travel of each place, the first shut, the last open. [rad or m]
    edge_way : ndarray, shape (n,)
        Way of the closing edge from shut. [m]
    edge_radius : float
        Way of the closing edge per travel; 1 for a straight leaf. [m/rad or -]
    arm : ndarray, shape (n,)
        Change of the rod's length per travel, signed; 1 for a direct drive. [m/rad or -]
    lever : ndarray, shape (n,)
        Size of that arm; infinite at or next to a dead centre. [m/rad or -]
    rod_length : ndarray, shape (n,)
        Between the pins; of a direct drive the travel. [m]
    dead : ndarray of bool, shape (n,)
        Where the rod is at or next to a dead centre.
    height : ndarray, shape (n,)
        Of the leaf's middle above the floor. [m]
    rise : ndarray, shape (n,)
        Change of that height per travel. [m/rad or -]
    middle_radius : float
        From the hinge line to the leaf's middle; 0 for a straight leaf. [m]
    gyration : float
        Moment of inertia about the hinge line per mass; 1 for a straight leaf. [m2 or -]
    area : float
        Of the leaf. [m2]
    shut_lever : float
        Moment about the hinge per pressure on the shut leaf; 0 for a straight one. [m3]
    open_lever : float
        The same for the leaf out in the wind, whose force sits off its middle. [m3]
    openness : ndarray, shape (n,)
        0 where the wind meets a shut leaf, 1 where it meets an open one, between them in between. [-]
    """

    hinged: bool
    full: float
    places: Floats
    edge_way: Floats
    edge_radius: float
    arm: Floats
    lever: Floats
    rod_length: Floats
    dead: Flags
    height: Floats
    rise: Floats
    middle_radius: float
    gyration: float
    area: float
    shut_lever: float
    open_lever: float
    openness: Floats

    def at(self, values: Floats, place: float) -> float:
        """A value given over the places, at a travel between them; infinite next to an infinite one.

        Parameters
        ----------
        values : ndarray, shape (n,)
            Over the places. [any]
        place : float
            Travel. [rad or m]
        """
        after, share = _between(self, place)
        left, right = float(values[after - 1]), float(values[after])
        if share in (0.0, 1.0):
            return right if share == 1.0 else left
        if inf in (left, right):
            return inf
        return left + share * (right - left)


@lru_cache(maxsize=4 * KEPT)
def _between(over: Travel, place: float) -> tuple[int, float]:
    """Which of the places comes after one, and its share of the way there from the place before [-]."""
    after = min(max(int(over.places.searchsorted(place)), 1), len(over.places) - 1)
    share = (place - float(over.places[after - 1])) / float(over.places[after] - over.places[after - 1])
    return after, min(max(share, 0.0), 1.0)


@dataclass(frozen=True, slots=True)
class _Shape:
    """The geometry that a travel reads, and a project to read it from, which does not count."""

    key: Hashable
    project: Project = field(compare=False, repr=False)


def _shape(project: Project) -> _Shape:
    door, linkage = door_of(project), linkage_of(project)
    hinge, track = door.hinge, door.track
    return _Shape(
        (
            door.kind,
            (door.opening.left, door.opening.sill, door.opening.width, door.opening.height),
            (door.leaf.width, door.leaf.height, leaf_thickness(project)),
            hinge and (hinge.x, hinge.y, hinge.z),
            track and (track.way, track.travel, track.tilt),
            door.open_angle,
            (linkage.kind, apart(linkage.foot), apart(linkage.head)),
        ),
        project,
    )


@once_a_project
def travel(project: Project) -> Travel:
    """The door's geometry over its travel.

    Raises
    ------
    RequestError
        Where no door or no linkage is described.
    """
    return _travel(_shape(project))


@once_a_project
def place_at_gap(project: Project, gap: float) -> float | None:
    """The least travel at which the gap before the closing edge reaches a width; None where it never does.

    Parameters
    ----------
    project : Project
        The project.
    gap : float
        Clear width, above zero. [m]
    """
    return _place_at_gap(_shape(project), gap)


def drive_of(project: Project) -> Drive:
    """The drive.

    Raises
    ------
    RequestError
        Where none is described.
    """
    if project.drive is None:
        raise RequestError("this needs the drive's listing; describe [drive] first")
    return project.drive


@lru_cache(maxsize=KEPT)
def _place_at_gap(shape: _Shape, gap: float) -> float | None:
    return travel_at_gap(shape.project, gap)


@lru_cache(maxsize=KEPT)
def _travel(shape: _Shape) -> Travel:
    project = shape.project
    door = door_of(project)
    full = full_travel(project)
    places = full * np.linspace(0.0, 1.0, PLACES) ** 2
    middle = leaf_solid(project).corners.mean(axis=0)
    arms = arm(project, places)
    dead = _dead(arms)
    radius, gyration, width, along = 0.0, 1.0, 0.0, 0.0
    if door.kind.hinged:
        point, axis = hinge_line(project)
        spoke = middle - point - axis * np.dot(middle - point, axis)
        upright = door.kind in (DoorKind.LEFT_HINGED, DoorKind.RIGHT_HINGED)
        width = door.leaf.width if upright else door.leaf.height
        radius = float(np.linalg.norm(spoke))
        gyration = (width**2 + leaf_thickness(project) ** 2) / 12.0 + radius**2
        along = float(np.hypot(spoke[0], spoke[2]))  # in the plane of the shut leaf
    seen = shut_leaf(project)
    area = (seen.right - seen.left) * (seen.high - seen.low)
    out = np.minimum(places / OPEN_FROM, 1.0) if door.kind.hinged else places / full
    return Travel(
        hinged=door.kind.hinged,
        full=full,
        places=_fixed(places),
        edge_way=_fixed(places * edge_radius(project)),
        edge_radius=edge_radius(project),
        arm=_fixed(arms),
        lever=_fixed(np.where(dead, np.inf, np.abs(arms))),
        rod_length=_fixed(rod_length(project, places)),
        dead=dead,
        height=_fixed(leaf_pose(project, places).apply(middle)[..., 2]),
        rise=_fixed(leaf_velocity(project, middle, places)[..., 2]),
        middle_radius=radius,
        gyration=gyration,
        area=area,
        shut_lever=area * along if door.kind.hinged else 0.0,
        open_lever=area * (along - width / 2 + open_leaf_arm(width)) if door.kind.hinged else 0.0,
        openness=_fixed(out),
    )


def _dead(arms: Floats) -> Flags:
    """Where the arm is next to nothing, or changes its sign before the next place."""
    dead = np.abs(arms) < DEAD_ARM
    turned = arms[:-1] * arms[1:] < 0.0
    dead[:-1] |= turned
    dead[1:] |= turned
    dead.flags.writeable = False
    return dead


def _fixed(values: Floats) -> Floats:
    """A copy that nobody can write to."""
    kept = np.array(values)
    kept.flags.writeable = False
    return kept
