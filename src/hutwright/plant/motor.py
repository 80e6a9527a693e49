"""The described drive as straight lines of speed and current over force, behind its real supply.

The resistance of the winding is the one that was measured, else the one that the listing's own line has
between running free and full load. The stall current of the listing, from which the wiring trade takes the
worst current, is not mixed in: it serves only where the listing's two points make no line. What stands before
the drive - supply, cables, bridge - comes from the described circuit; where none is described the drive hangs
on its rated voltage without any resistance.
"""

from __future__ import annotations

from math import isnan
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from hutwright.laws.motor_line import (
    ROOM,
    DriveConstants,
    constants_at,
    constants_from_rating,
    constants_from_stall,
    line_current,
    line_speed,
    line_stall_force,
)
from hutwright.layout.frame import Floats
from hutwright.model.project import Project
from hutwright.model.remembered import once_a_project
from hutwright.plant.circuit import motor_loop
from hutwright.plant.conditions import Conditions
from hutwright.plant.travel import drive_of


class Line(NamedTuple):
    """A drive at a temperature, behind its supply, at a duty.

    Attributes
    ----------
    constants : DriveConstants
        At that temperature. Resistance [ohm], constant [V s/m], force constant [N/A], friction current [A].
    voltage : float
        Behind all constant drops, times the duty. [V]
    series_resistance : float
        Of supply, cables and bridge. [ohm]
    """

    constants: DriveConstants
    voltage: float
    series_resistance: float

    def speed(self, force: ArrayLike) -> Floats:
        """Speed of the rod against a force; 0 where it stalls [m/s]."""
        return line_speed(force, self.voltage, self.constants, series_resistance=self.series_resistance)

    def current(self, force: ArrayLike) -> Floats:
        """Current against a force, not more than held fast [A]."""
        return np.minimum(line_current(force, self.constants), self.stall_current)

    @property
    def stall_current(self) -> float:
        """Current held fast [A]."""
        return self.voltage / (self.constants.resistance + self.series_resistance)

    @property
    def stall_force(self) -> float:
        """Force at which it comes to rest; 0 where it does not even move by itself [N]."""
        return line_stall_force(self.voltage, self.constants, series_resistance=self.series_resistance)

    @property
    def free_speed(self) -> float:
        """Speed of the rod without any load [m/s]."""
        return float(self.speed(0.0))


@once_a_project
def drive_constants(project: Project) -> DriveConstants:
    """Constants of the drive at 20 degC.

    From a measured resistance, if there is one, with the listing's free run and rated force; else from the
    listing's free run and full load; where those two make no line, from free run and stall.

    Returns
    -------
    DriveConstants
        Resistance [ohm], constant [V s/m], force constant [N/A], friction current [A].
    """
    drive = drive_of(project)
    rating, free, stall = drive.rating, drive.no_load, drive.stall
    line = constants_from_rating(
        rating.voltage, free.speed, free.current, rating.speed, rating.current, rating.force
    )
    if isnan(line.resistance):
        line = constants_from_stall(rating.voltage, free.speed, free.current, stall.current, stall.force)
    measured = drive.motor.resistance
    if measured is None:
        return line
    constant = (rating.voltage - measured * free.current) / free.speed
    return line._replace(resistance=measured, constant=constant)


def friction_factor(project: Project, temperature: float) -> float:
    """Friction of the drive as a multiple of that at 20 degC: straight from there to the coldest day.

    Parameters
    ----------
    project : Project
        The project.
    temperature : float
        Of the drive. [K]

    Returns
    -------
    float
        1 from 20 degC up. [-]
    """
    coldest, cold = project.site.air.coldest, drive_of(project).cold_friction
    if temperature >= ROOM or coldest >= ROOM:
        return 1.0
    return 1.0 + (cold - 1.0) * (ROOM - temperature) / (ROOM - coldest)


def line(project: Project, conditions: Conditions, *, duty: float = 1.0) -> Line:
    """The drive's lines of speed and current.

    Parameters
    ----------
    project : Project
        The project.
    conditions : Conditions
        Whose temperature counts.
    duty : float
        Share of the time that the bridge is on. [-]

    Returns
    -------
    Line
        At that temperature and duty.
    """
    return _line(project, conditions.temperature, duty)


@once_a_project
def _line(project: Project, temperature: float, duty: float) -> Line:
    constants = constants_at(drive_constants(project), temperature, friction_factor(project, temperature))
    loop = motor_loop(project, temperature)
    if loop is None:
        return Line(constants, duty * drive_of(project).rating.voltage, 0.0)
    series = loop.source + loop.feed + loop.bridge + loop.lead
    return Line(constants, duty * max(loop.voltage - loop.offset, 0.0), series)


def speed_under(project: Project, force: ArrayLike, conditions: Conditions, *, duty: float = 1.0) -> Floats:
    """Speed of the rod against forces.

    Parameters
    ----------
    project : Project
        The project.
    force : array_like
        Against the drive; below zero where the load helps. [N]
    conditions : Conditions
        Whose temperature counts.
    duty : float
        Share of the time that the bridge is on. [-]

    Returns
    -------
    ndarray
        0 where it stalls. [m/s]
    """
    return line(project, conditions, duty=duty).speed(force)


def current_under(project: Project, force: ArrayLike, conditions: Conditions, *, duty: float = 1.0) -> Floats:
    """Current of the motor against forces; parameters as of `speed_under` [A]."""
    return line(project, conditions, duty=duty).current(force)


def stall_force(project: Project, conditions: Conditions, *, duty: float = 1.0) -> float:
    """Force along the rod at which the drive comes to rest; parameters as of `speed_under` [N]."""
    return line(project, conditions, duty=duty).stall_force
