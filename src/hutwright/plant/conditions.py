"""In what weather the door moves: named cases, from a mild calm day to the worst cold one.

The wind is a velocity pressure with a sign: above zero it presses on the leaf's outer face (which shuts a
hinged leaf), below zero it draws the leaf away from the hut (which opens a hinged leaf). [Pa]
"""

from __future__ import annotations

from typing import NamedTuple

from hutwright.laws.motor_line import ROOM
from hutwright.laws.wind import basic_velocity_pressure
from hutwright.model.project import Project


class Conditions(NamedTuple):
    """In what weather the door moves.

    Attributes
    ----------
    temperature : float
        Of drive and cables. [K]
    wind : float
        Velocity pressure, above zero onto the leaf's outer face. [Pa]
    ice : bool
        Whether the shut leaf is frozen to its frame.
    snow : bool
        Whether snow lies before the shut leaf.
    """

    temperature: float
    wind: float = 0.0
    ice: bool = False
    snow: bool = False


def working_pressure(project: Project) -> float:
    """Velocity pressure of the gust in which the door must still move [Pa]."""
    return basic_velocity_pressure(project.site.wind.working)


def nominal(project: Project) -> Conditions:
    """A calm day of 20 degC."""
    del project  # it is the same everywhere; the others need the site
    return Conditions(ROOM)


def coldest_calm(project: Project) -> Conditions:
    """The coldest day, without wind, ice and snow."""
    return Conditions(project.site.air.coldest)


def warmest_calm(project: Project) -> Conditions:
    """The warmest day, without wind."""
    return Conditions(project.site.air.warmest)


def coldest_worst(project: Project, *, opening: bool) -> Conditions:
    """The coldest day with the working gust against the move, ice at the edge and snow before the leaf."""
    gust = working_pressure(project)
    return Conditions(project.site.air.coldest, gust if opening else -gust, ice=True, snow=True)
