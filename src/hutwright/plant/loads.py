"""What it takes to move the leaf, place by place, each part apart.

Every part is the moment [N m] of a hinged leaf, or the force along the track [N] of a straight one, that the
drive must give *towards open*. What must be lifted counts above zero; what drives the leaf open by itself
counts below zero. Friction is above zero while opening and below zero while closing. The seal resists while
closing only: a strip that has lain pressed gives little back, so nothing is counted on it while opening. Ice
and snow resist while opening only. The wind across a straight leaf makes friction in its track; that part is
counted as wind.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np

from hutwright.catalogue.snow import SNOW_KINDS
from hutwright.laws.kinetic import FREE_FALL
from hutwright.laws.leaf_wind import (
    INTERNAL_OVER,
    OPEN_LEAF_COEFFICIENT,
    ZONE_A,
    ShutLeafPressure,
    edge_zone,
    shut_leaf_pressure,
)
from hutwright.laws.snow import SIDE_PRESSURE_RATIO, drift_force
from hutwright.layout.frame import Floats, Frame, door_of, frame
from hutwright.layout.leaf import shut_leaf
from hutwright.layout.solids import step_height
from hutwright.model.door import DoorKind
from hutwright.model.project import Project
from hutwright.model.remembered import KEPT, once_a_project
from hutwright.plant.conditions import Conditions
from hutwright.plant.masses import leaf_mass
from hutwright.plant.travel import Travel, travel

ICE_OVER = 2e-3  # edge travel after which a frozen edge is free: a choice of this project [m]
SNOW = SNOW_KINDS["settled"]  # what lies before a door after a day or two
SNOW_FRICTION = 0.2  # of settled snow on wood or metal; standing: practice [-]


@dataclass(frozen=True)
class Loads:
    """What it takes towards open, each part over the places of the travel [N m hinged, N straight]."""

    gravity: Floats
    friction: Floats
    seal: Floats
    ice: Floats
    wind: Floats
    snow: Floats

    @cached_property
    def total(self) -> Floats:
        """All parts together [N m or N]."""
        return self.gravity + self.friction + self.seal + self.ice + self.wind + self.snow

    def parts(self) -> dict[str, Floats]:
        """The parts by name [N m or N]."""
        return {
            "gravity": self.gravity,
            "friction": self.friction,
            "seal": self.seal,
            "ice": self.ice,
            "wind": self.wind,
            "snow": self.snow,
        }


@dataclass(frozen=True, slots=True)
class Drift:
    """Snow before the shut leaf.

    Attributes
    ----------
    depth : float
        Of the snow that touches the leaf. [m]
    force : float
        Square to the leaf. [N]
    load : float
        What it takes at shut to push it away. [N m hinged, N straight]
    edge_force : float
        The same, at the closing edge. [N]
    """

    depth: float
    force: float
    load: float
    edge_force: float


def loads(project: Project, conditions: Conditions, *, opening: bool) -> Loads:
    """What it takes to move the leaf, over the places of its travel.

    Parameters
    ----------
    project : Project
        The project.
    conditions : Conditions
        In what weather.
    opening : bool
        Whether it opens; else it closes.

    Returns
    -------
    Loads
        Towards open. [N m hinged, N straight]
    """
    return _opening_loads(project, conditions) if opening else _closing_loads(project, conditions)


@once_a_project
def _opening_loads(project: Project, conditions: Conditions) -> Loads:
    return _loads(project, conditions, opening=True)


@once_a_project
def _closing_loads(project: Project, conditions: Conditions) -> Loads:
    return _loads(project, conditions, opening=False)


def _loads(project: Project, conditions: Conditions, *, opening: bool) -> Loads:
    over = travel(project)
    door = door_of(project)
    nothing = np.zeros(len(over.places))
    way = 1.0 if opening else -1.0
    ice = opening and conditions.ice
    return Loads(
        gravity=FREE_FALL * (leaf_mass(project) * over.rise - door.counterweight * over.edge_radius),
        friction=np.full(len(over.places), way * friction(project)),
        seal=nothing if opening else -door.seal.force * over.edge_radius * _fading(over, door.seal.over),
        ice=door.ice * over.edge_radius * _fading(over, ICE_OVER) if ice else nothing,
        wind=_wind(project, over, conditions.wind, way) if conditions.wind else nothing,
        snow=_snow(project, over) if opening and conditions.snow else nothing,
    )


def friction(project: Project) -> float:
    """Friction of hinges or track without wind, either way [N m or N]."""
    door = door_of(project)
    if door.hinge is not None and door.kind.hinged:
        return door.hinge.friction
    return 0.0 if door.track is None else door.track.friction * leaf_mass(project) * FREE_FALL


def _fading(over: Travel, edge_way: float) -> Floats:
    """1 at shut, falling in a straight line to nothing over some way of the edge [-]."""
    if not edge_way > 0.0:
        return np.where(over.places > 0.0, 0.0, 1.0)
    return np.asarray(np.maximum(0.0, 1.0 - over.edge_way / edge_way))


# ---- wind -------------------------------------------------------------------------------------------------


def shut_coefficients(project: Project) -> ShutLeafPressure:
    """Net pressure coefficients of the shut leaf: pushed in, and (below zero) drawn out [-].

    Without a described hut the leaf counts as standing at the edge that the wind meets first.
    """
    hut = project.hut
    if hut is None:
        inward = shut_leaf_pressure(1.0, 0.0, 1.0, 1.0).inward
        return ShutLeafPressure(inward, ZONE_A - INTERNAL_OVER)
    sizes, leaf = frame(project), shut_leaf(project)
    return _shut_coefficients(sizes.width, sizes.depth, _top(sizes), leaf.left, leaf.right)


@lru_cache(maxsize=KEPT)
def _shut_coefficients(
    width: float, depth: float, height: float, left: float, right: float
) -> ShutLeafPressure:
    near, far = sorted((max(left, 0.0), max(right, 0.0)))
    if width - far < near:
        near, far = max(width - far, 0.0), width - near
    return shut_leaf_pressure(1.0, near, far, edge_zone(depth, height))


def wind_load(project: Project, pressure: float) -> Floats:
    """Moment of the wind on a hinged leaf against opening, or its force square to a straight one.

    Parameters
    ----------
    project : Project
        The project.
    pressure : float
        Velocity pressure, above zero onto the leaf's outer face. [Pa]

    Returns
    -------
    ndarray
        Over the places of the travel, with the sign of the pressure. [N m hinged, N straight]
    """
    over = travel(project)
    pair = shut_coefficients(project)
    shut = pair.inward if pressure > 0.0 else -pair.outward
    levers = (over.shut_lever, over.open_lever) if over.hinged else (over.area, over.area)
    meets_shut, meets_open = shut * levers[0], OPEN_LEAF_COEFFICIENT * levers[1]
    return np.asarray(pressure * (meets_shut + over.openness * (meets_open - meets_shut)))


def _wind(project: Project, over: Travel, pressure: float, way: float) -> Floats:
    load = wind_load(project, pressure)
    if over.hinged:
        return load
    track = door_of(project).track
    return np.asarray(way * (0.0 if track is None else track.friction) * np.abs(load))


# ---- snow -------------------------------------------------------------------------------------------------


def drift(project: Project, *, weight: float | None = None, ratio: float = SIDE_PRESSURE_RATIO[1]) -> Drift:
    """Snow before the shut leaf, and what it takes to push it away.

    Parameters
    ----------
    project : Project
        The project.
    weight : float or None
        Weight of the snow by volume; None for snow that has settled. [N/m3]
    ratio : float
        Side pressure over the weight above. [-]
    """
    over, door = travel(project), door_of(project)
    low = shut_leaf(project).low + step_height(project)  # above the ground before the door
    depth = min(max(project.site.snow.drift - low, 0.0), door.leaf.height)
    heavy = SNOW.unit_weight.nominal if weight is None else weight
    force = drift_force(heavy, depth, door.leaf.width, ratio)
    load = force * _snow_lever(project, depth)
    return Drift(depth, force, load, load / over.edge_radius)


def _snow_lever(project: Project, depth: float) -> float:
    """Load per force of the snow, which acts at a third of its depth [m hinged, - straight]."""
    door, leaf = door_of(project), shut_leaf(project)
    hinge = door.hinge
    if not door.kind.hinged or hinge is None:
        return SNOW_FRICTION
    if door.kind in (DoorKind.LEFT_HINGED, DoorKind.RIGHT_HINGED):
        return abs((leaf.left + leaf.right) / 2 - (hinge.x or 0.0))
    return abs(leaf.low + depth / 3 - (hinge.z or 0.0))


def _snow(project: Project, over: Travel) -> Floats:
    """A leaf that leaves the snow is free of it after as much edge way as it is deep; one along it never."""
    found = drift(project)
    if not found.depth > 0.0:
        return np.zeros(len(over.places))
    if door_of(project).kind is DoorKind.SLIDING:
        return np.full(len(over.places), found.load)
    return found.load * _fading(over, found.depth)


def hut_height(project: Project) -> float:
    """Height of the hut's roof over the ground before the door; without a hut that of the leaf [m]."""
    ground = step_height(project)
    if project.hut is None:
        return shut_leaf(project).high + ground
    return _top(frame(project)) + ground


def _top(sizes: Frame) -> float:
    """Height of the roof's highest place over the floor [m]."""
    under = (
        slope.height + slope.rise_x * x + slope.rise_y * y
        for slope in sizes.slopes
        for x, y in (slope.start, slope.end)
    )
    return max(under) + sizes.roof
