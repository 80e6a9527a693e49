"""What is known of the satellites' orbits, from files or as planned."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from hutwright.laws.orbit import OrbitElements
from hutwright.model.machine import SatelliteSystem

Floats = NDArray[np.float64]


@dataclass(frozen=True, order=True, slots=True)
class Satellite:
    """One satellite.

    Attributes
    ----------
    system_name : str
        Name of its system, such as "GPS".
    name : str
        Its name within the files, such as "G06", or its slot, such as "A1".
    """

    system_name: str
    name: str

    @property
    def system(self) -> SatelliteSystem:
        """Its system."""
        return SatelliteSystem(self.system_name)


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class ElementOrbits:
    """Records of orbital elements; a satellite may have several.

    Attributes
    ----------
    satellites : tuple
        Satellite of each record.
    elements : OrbitElements
        Elements, arrays over the records or one number for all.
    epochs : numpy.ndarray
        GPS time since 1980-01-06 for which each record holds. [s]
    healthy : numpy.ndarray
        Whether the satellite calls itself usable.
    geostationary : numpy.ndarray
        Whether the elements are given in the tilted frame of BeiDou's geostationary satellites.
    """

    satellites: tuple[Satellite, ...]
    elements: OrbitElements
    epochs: Floats
    healthy: NDArray[np.bool_]
    geostationary: NDArray[np.bool_]


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class StateOrbits:
    """Records of place and velocity in the frame that turns with the Earth; a satellite may have several.

    Attributes
    ----------
    satellites : tuple
        Satellite of each record.
    epochs : numpy.ndarray
        GPS time since 1980-01-06 for which each record holds. [s]
    positions : numpy.ndarray
        Places, the last axis x, y, z. [m]
    velocities : numpy.ndarray
        Velocities. [m/s]
    accelerations : numpy.ndarray
        Pull of Sun and Moon. [m/s2]
    healthy : numpy.ndarray
        Whether the satellite calls itself usable.
    """

    satellites: tuple[Satellite, ...]
    epochs: Floats
    positions: Floats
    velocities: Floats
    accelerations: Floats
    healthy: NDArray[np.bool_]


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class Orbits:
    """Everything known of the satellites' orbits.

    Attributes
    ----------
    origin : str
        Where it comes from, in words.
    nominal : bool
        Whether these are orbits as planned: good for a day's statistics, for no certain hour.
    elements : tuple
        Records of orbital elements, in groups.
    states : tuple
        Records of place and velocity, in groups.
    """

    origin: str
    nominal: bool
    elements: tuple[ElementOrbits, ...]
    states: tuple[StateOrbits, ...]

    @property
    def satellites(self) -> tuple[Satellite, ...]:
        """Every satellite once, in order."""
        found = {each for group in self.elements for each in group.satellites}
        found.update(each for group in self.states for each in group.satellites)
        return tuple(sorted(found))
