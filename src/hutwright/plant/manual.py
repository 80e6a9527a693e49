"""What a hand must give at the closing edge when the power is gone."""

from __future__ import annotations

import math

import numpy as np

from hutwright.laws.screw import overhauling_efficiency
from hutwright.model.project import Project
from hutwright.plant.conditions import Conditions
from hutwright.plant.loads import loads
from hutwright.plant.motor import line
from hutwright.plant.travel import drive_of, travel


def hand_force(project: Project, conditions: Conditions, *, opening: bool, released: bool) -> float:
    """Greatest force at the closing edge that moves the leaf by hand over its whole travel.

    Parameters
    ----------
    project : Project
        The project.
    conditions : Conditions
        In what weather.
    opening : bool
        Whether the hand opens the leaf; else it closes it.
    released : bool
        Whether the leaf is freed from its drive.

    Returns
    -------
    float
        0 where the leaf goes by itself; infinite where the drive holds it. [N]
    """
    over = travel(project)
    load = loads(project, conditions, opening=opening).total
    wanted = load if opening else -load
    if not released:
        back = driving_back(project, conditions)
        if math.isinf(back):
            return math.inf
        wanted = wanted + back * np.abs(over.arm)
    return max(0.0, float(np.max(wanted))) / over.edge_radius


def driving_back(project: Project, conditions: Conditions) -> float:
    """Force along the rod that turns the drive backwards without current; infinite where it locks.

    The bridge is taken as open; one that shorts the motor brakes it besides.

    Parameters
    ----------
    project : Project
        The project.
    conditions : Conditions
        Whose temperature counts.

    Returns
    -------
    float
        Force. [N]
    """
    constants = line(project, conditions).constants
    back = overhauling_efficiency(min(constants.efficiency, 1.0))
    if drive_of(project).screw.self_locking or back <= 0.0:
        return math.inf
    return constants.friction_current * constants.constant / back
