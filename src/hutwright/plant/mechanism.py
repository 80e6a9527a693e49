"""What the drive's rod (or pull) must give over the travel.

A force above zero is a load that the drive must overcome; below zero the load helps and the drive holds it
back. It does not matter whether the rod pushes or pulls: what counts is whether it works against the load.
Next to a dead centre no force is enough, and the force counts as infinite.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hutwright.layout.frame import Floats
from hutwright.model.project import Project
from hutwright.plant.conditions import Conditions
from hutwright.plant.loads import loads
from hutwright.plant.travel import Travel, travel


@dataclass(frozen=True, slots=True)
class Extreme:
    """A force at the place of the travel where it is most.

    Attributes
    ----------
    force : float
        The force. [N]
    travel : float
        Where. [rad or m]
    index : int
        Which of the places that is. [-]
    """

    force: float
    travel: float
    index: int


def through_linkage(over: Travel, load: Floats) -> Floats:
    """Force along the rod that goes with a load; infinite next to a dead centre.

    Parameters
    ----------
    over : Travel
        The door's geometry.
    load : ndarray
        Over its places. [N m hinged, N straight]

    Returns
    -------
    ndarray
        With the load's sign. [N]
    """
    return np.where(over.dead, np.inf, load / over.lever)


def rod_force(project: Project, conditions: Conditions, *, opening: bool) -> Floats:
    """Force that the drive must give over the places of the travel.

    Parameters
    ----------
    project : Project
        The project.
    conditions : Conditions
        In what weather.
    opening : bool
        Whether the leaf opens; else it closes.

    Returns
    -------
    ndarray
        Above zero against the load, below zero where the load helps. [N]
    """
    load = loads(project, conditions, opening=opening).total
    return through_linkage(travel(project), load if opening else -load)


def greatest(project: Project, conditions: Conditions, *, opening: bool) -> Extreme:
    """The greatest force that the drive must give, and where; see `rod_force`."""
    forces = rod_force(project, conditions, opening=opening)
    index = int(np.argmax(forces))
    return Extreme(float(forces[index]), float(travel(project).places[index]), index)


def most_helping(project: Project, conditions: Conditions, *, opening: bool) -> Extreme:
    """The least force, below zero where the load helps most, and where; see `rod_force`."""
    forces = rod_force(project, conditions, opening=opening)
    index = int(np.argmin(forces))
    return Extreme(float(forces[index]), float(travel(project).places[index]), index)
