"""One satellite's record as a file gives it, and many of them as arrays."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from hutwright.laws.orbit import OrbitElements
from hutwright.model.orbits import ElementOrbits, Orbits, Satellite, StateOrbits


class ElementRecord(NamedTuple):
    """Orbital elements of one satellite, every element a number."""

    satellite: Satellite
    epoch: float  # GPS time since 1980-01-06. [s]
    elements: OrbitElements
    healthy: bool
    geostationary: bool


class StateRecord(NamedTuple):
    """Place and velocity of one satellite."""

    satellite: Satellite
    epoch: float  # GPS time since 1980-01-06. [s]
    position: tuple[float, float, float]  # [m]
    velocity: tuple[float, float, float]  # [m/s]
    acceleration: tuple[float, float, float]  # [m/s2]
    healthy: bool


Record = ElementRecord | StateRecord


def gathered(records: Sequence[Record], origin: str) -> Orbits:
    """The records of one file as arrays."""
    elements = [each for each in records if isinstance(each, ElementRecord)]
    states = [each for each in records if isinstance(each, StateRecord)]
    return Orbits(
        origin=origin,
        nominal=False,
        elements=(_elements(elements),) if elements else (),
        states=(_states(states),) if states else (),
    )


def merged(parts: Sequence[Orbits]) -> Orbits:
    """What several files know together."""
    return Orbits(
        origin=", ".join(part.origin for part in parts),
        nominal=False,
        elements=tuple(group for part in parts for group in part.elements),
        states=tuple(group for part in parts for group in part.states),
    )


def _elements(records: Sequence[ElementRecord]) -> ElementOrbits:
    columns = np.array([each.elements for each in records], dtype=float).T
    return ElementOrbits(
        satellites=tuple(each.satellite for each in records),
        elements=OrbitElements(*columns),
        epochs=np.array([each.epoch for each in records]),
        healthy=np.array([each.healthy for each in records], dtype=bool),
        geostationary=np.array([each.geostationary for each in records], dtype=bool),
    )


def _states(records: Sequence[StateRecord]) -> StateOrbits:
    return StateOrbits(
        satellites=tuple(each.satellite for each in records),
        epochs=np.array([each.epoch for each in records]),
        positions=np.array([each.position for each in records]),
        velocities=np.array([each.velocity for each in records]),
        accelerations=np.array([each.acceleration for each in records]),
        healthy=np.array([each.healthy for each in records], dtype=bool),
    )
