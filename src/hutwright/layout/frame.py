"""The hut's frame: its sizes and heights, and how it lies to true, magnetic and local north.

The frame's origin is the left outer corner of the door wall at floor level, seen from outside; x runs right,
y into the hut, z up. Lengths are in metres, angles in radians.

Three kinds of azimuth are kept apart by their types: what the builder wrote (`DescribedAzimuth`, from the
north that the site names), true ones, and directions in the hut's own frame (`LocalDirections`).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import atan, cos, hypot, pi
from typing import NewType

import numpy as np
from numpy.typing import ArrayLike, NDArray

from hutwright.errors import RequestError
from hutwright.model.door import Door
from hutwright.model.hut import Hut, RoofForm, Side
from hutwright.model.project import Project
from hutwright.model.remembered import once_a_project
from hutwright.model.site import NorthKind

Floats = NDArray[np.float64]
DescribedAzimuth = NewType("DescribedAzimuth", float)
TrueAzimuth = NewType("TrueAzimuth", float)
MagneticAzimuth = NewType("MagneticAzimuth", float)
Skyline = tuple[tuple[TrueAzimuth, float], ...]


@dataclass(frozen=True, slots=True)
class TrueDirections:
    """Directions by azimuth clockwise from true north and by elevation [rad]."""

    azimuth: Floats
    elevation: Floats


@dataclass(frozen=True, slots=True)
class LocalDirections:
    """Directions as unit vectors in the hut's frame, the last axis x, y, z [-]."""

    vectors: Floats


@dataclass(frozen=True, slots=True)
class Slope:
    """One plane of the roof's underside: z = height + rise_x * x + rise_y * y.

    It spans from `start` to `end` in plan (x, y), walls only; the overhang comes on top. [m]
    """

    name: str
    height: float
    rise_x: float
    rise_y: float
    start: tuple[float, float]
    end: tuple[float, float]

    def z(self, x: ArrayLike, y: ArrayLike) -> Floats:
        """Height of the underside above the floor [m]."""
        return np.asarray(self.height + self.rise_x * np.asarray(x) + self.rise_y * np.asarray(y))

    @property
    def stretch(self) -> float:
        """Length along the slope per length in plan [-]."""
        return hypot(1.0, self.rise_x, self.rise_y)


@dataclass(frozen=True, slots=True)
class Frame:
    """Sizes of the hut; outer width and depth over the walls, without the roof's overhang [m, rad]."""

    wall: float
    roof: float
    width: float
    depth: float
    inner_width: float
    inner_depth: float
    overhang: float
    pitch: float
    slopes: tuple[Slope, ...]

    def underside(self, x: ArrayLike, y: ArrayLike) -> Floats:
        """Height of the roof's underside over a place in plan [m]."""
        heights = np.array([slope.z(x, y) for slope in self.slopes])
        return np.asarray(heights.min(axis=0))

    @property
    def ridge(self) -> float | None:
        """Where a double pitch has its ridge, across the front [m]."""
        return self.width / 2 if len(self.slopes) == 2 else None


def hut_of(project: Project) -> Hut:
    """The hut.

    Raises
    ------
    RequestError
        Where none is described.
    """
    if project.hut is None:
        raise RequestError("this needs the hut's walls and roof; describe [hut] first")
    return project.hut


def door_of(project: Project) -> Door:
    """The door.

    Raises
    ------
    RequestError
        Where none is described.
    """
    if project.door is None:
        raise RequestError("this needs the door; describe [door] first")
    return project.door


def thickness(project: Project, build_up: str) -> float:
    """Thickness of a build-up, all layers together; 0 where it is not described [m]."""
    return sum(layer.thickness for layer in project.build_ups.get(build_up, ()))


def wall_thickness(project: Project) -> float:
    """Thickness of the walls; 0 where no hut is described [m]."""
    return 0.0 if project.hut is None else thickness(project, project.hut.walls.build_up)


@once_a_project
def leaf_thickness(project: Project) -> float:
    """Thickness of the leaf [m]."""
    return thickness(project, door_of(project).leaf.build_up)


@once_a_project
def frame(project: Project) -> Frame:
    """Sizes of the described hut.

    The clear heights hold at the walls' inner faces; the roof's underside is a plane through them. A roof
    that is high on the left or right takes the larger of the two heights on that side. The eaves of a double
    pitch run from front to back at the larger of the two heights.
    """
    hut = hut_of(project)
    wall = wall_thickness(project)
    width, depth = hut.inside.width + 2 * wall, hut.inside.depth + 2 * wall
    slopes = _slopes(hut, wall, width, depth)
    return Frame(
        wall=wall,
        roof=thickness(project, hut.roof.build_up),
        width=width,
        depth=depth,
        inner_width=hut.inside.width,
        inner_depth=hut.inside.depth,
        overhang=hut.roof.overhang,
        pitch=atan(hypot(slopes[0].rise_x, slopes[0].rise_y)),
        slopes=slopes,
    )


def _slopes(hut: Hut, wall: float, width: float, depth: float) -> tuple[Slope, ...]:
    inside, roof = hut.inside, hut.roof
    low, high = sorted((inside.front, inside.back))
    if roof.form is RoofForm.DOUBLE_PITCH and roof.ridge is not None:
        rise = (roof.ridge - high) / (inside.width / 2)
        middle = width / 2
        return (
            Slope("roof_left", high - rise * wall, rise, 0.0, (0.0, 0.0), (middle, depth)),
            Slope("roof_right", high + rise * (width - wall), -rise, 0.0, (middle, 0.0), (width, depth)),
        )
    whole = ((0.0, 0.0), (width, depth))
    if roof.form is RoofForm.MONO_PITCH and roof.high in (Side.LEFT, Side.RIGHT):
        rise = (high - low) / inside.width * (1 if roof.high is Side.RIGHT else -1)
        start = low if roof.high is Side.RIGHT else high
        return (Slope("roof", start - rise * wall, rise, 0.0, *whole),)
    rise = (inside.back - inside.front) / inside.depth
    return (Slope("roof", inside.front - rise * wall, 0.0, rise, *whole),)


# ---- azimuths ------------------------------------------------------------------------------------------


def true_azimuth(project: Project, azimuth: DescribedAzimuth) -> TrueAzimuth:
    """A described azimuth, counted from true north, in 0..2 pi.

    Parameters
    ----------
    project : Project
        Its site says which north the builder used.
    azimuth : DescribedAzimuth
        As the file has it. [rad]
    """
    north = project.site.north
    added = north.declination if north.kind is NorthKind.MAGNETIC else 0.0
    return TrueAzimuth((azimuth + added) % (2 * pi))


def magnetic_azimuth(project: Project, azimuth: TrueAzimuth) -> MagneticAzimuth:
    """What a compass shows for a true azimuth, in 0..2 pi; the declination is east positive [rad]."""
    return MagneticAzimuth((azimuth - project.site.north.declination) % (2 * pi))


def true_skyline(project: Project, skyline: tuple[tuple[float, float], ...]) -> Skyline:
    """A described skyline with its azimuths from true north, rising [rad]."""
    turned = ((true_azimuth(project, DescribedAzimuth(azimuth)), up) for azimuth, up in skyline)
    return tuple(sorted(turned))


def facing(project: Project) -> TrueAzimuth:
    """Where the door wall looks to [rad]."""
    return true_azimuth(project, DescribedAzimuth(hut_of(project).facing))


def direction_to_local(project: Project, directions: TrueDirections) -> LocalDirections:
    """Unit vectors in the hut's frame that point to the given directions of the sky.

    The door wall looks along -y, so a point of the sky at the hut's facing has a negative y.
    """
    turned = np.asarray(directions.azimuth, dtype=float) - (facing(project) + pi)  # clockwise from +y
    flat = np.cos(directions.elevation)
    up = np.broadcast_to(np.sin(directions.elevation), np.shape(turned * flat))
    return LocalDirections(np.stack([flat * np.sin(turned), flat * np.cos(turned), up], axis=-1))


def direction_from_local(project: Project, directions: LocalDirections) -> TrueDirections:
    """The directions of the sky that vectors of the hut's frame point to; they need not have unit length."""
    x, y, z = np.moveaxis(np.asarray(directions.vectors, dtype=float), -1, 0)
    azimuth = (np.arctan2(x, y) + facing(project) + pi) % (2 * pi)
    return TrueDirections(azimuth, np.arctan2(z, np.hypot(x, y)))


def slope_length(sizes: Frame) -> float:
    """Length of a roof plane along its slope, overhang included [m]."""
    slope = sizes.slopes[0]
    across_x = slope.rise_x != 0.0 or len(sizes.slopes) == 2
    plan = (slope.end[0] - slope.start[0]) if across_x else (slope.end[1] - slope.start[1])
    overhangs = 1 if len(sizes.slopes) == 2 else 2
    return (plan + overhangs * sizes.overhang) / cos(sizes.pitch)
