"""Directions, antennas and huts for the tests of the field inside."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import ArrayLike, NDArray

from hutwright.model.machine import AntennaPattern
from hutwright.model.project import Project
from hutwright.plant.sky.field import Antenna
from tests.described import orchard

STEEL = ["0.6 mm steel sheet"]
METAL_HUT = {
    "build_ups.wall": STEEL,
    "build_ups.leaf": STEEL,
    "build_ups.roof": STEEL,
    "openings.vent": None,
}
BUILD_UPS = ("build_ups.wall", "build_ups.roof", "build_ups.leaf")
NO_OVERHANG = {"hut.roof.overhang": "0 m"}
# A low hut of timber, of few cells for the full wave.
SMALL_HUT: dict[str, object] = {
    **NO_OVERHANG,
    "build_ups.roof": ["22 mm softwood boards"],
    "openings.first_window": None,
    "openings.vent": None,
    "members": None,
    "allow": None,
    "hut.inside": {"width": "0.50 m", "depth": "0.40 m", "front": "0.34 m", "back": "0.30 m"},
    "machine.parked": {"x": "0.26 m", "y": "0.11 m", "error": "0 m"},
    "machine.antenna.up": "0.14 m",
    "door.opening": {"left": "0.10 m", "sill": "0.03 m", "width": "0.34 m", "height": "0.24 m"},
    "door.leaf.width": "0.36 m",
    "door.leaf.height": "0.26 m",
    "door.hinge.z": "0.29 m",
}


def spread_sky(count: int, lowest_deg: float = 5.0) -> NDArray[np.float64]:
    """Unit vectors evenly spread over the sky above an elevation."""
    up = np.linspace(np.sin(np.radians(lowest_deg)), 0.999, count)
    flat, azimuth = np.sqrt(1.0 - up**2), np.arange(count) * np.pi * (3.0 - np.sqrt(5.0))
    return np.stack([flat * np.sin(azimuth), flat * np.cos(azimuth), up], axis=-1)


def one_place(
    x: float = 0.47, y: float = 0.55, z: float = 0.30, pattern: AntennaPattern = AntennaPattern.ISOTROPIC
) -> Antenna:
    """An antenna at one place."""
    return Antenna(np.array([[x, y, z]]), np.ones(1), pattern)


def metal_hut(**more: object) -> Project:
    """The orchard hut all of steel, without its vent; more changes by address, a dot as two underlines."""
    return orchard({**METAL_HUT, **{name.replace("__", "."): value for name, value in more.items()}}).project


def small_hut(changes: Mapping[str, object] | None = None) -> Project:
    """A low hut of timber, of few cells."""
    return orchard({**SMALL_HUT, **(changes or {})}).project


def db(ratio: ArrayLike) -> NDArray[np.float64]:
    """Field ratio in decibels."""
    return np.asarray(20.0 * np.log10(np.abs(np.asarray(ratio))))
