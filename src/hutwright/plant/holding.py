"""What the drive must hold without current while a gale blows: the shut leaf and the open one."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hutwright.laws.leaf_wind import open_leaf_pressure
from hutwright.laws.wind import TERRAINS, peak_velocity_pressure
from hutwright.layout.frame import Floats
from hutwright.model.project import Project
from hutwright.plant.conditions import Conditions
from hutwright.plant.loads import hut_height, loads, shut_coefficients, wind_load
from hutwright.plant.mechanism import through_linkage
from hutwright.plant.travel import Travel, travel


@dataclass(frozen=True, slots=True)
class Holding:
    """What the drive must hold without current in the 50-year gale.

    Attributes
    ----------
    peak : float
        Peak velocity pressure. [Pa]
    shut : float
        Along the rod, on the shut leaf: what draws it open, for pushed in it lies in its frame. [N]
    opened : float
        Along the rod, on the open leaf, from whichever side it is more. [N]
    inward : float
        Pressure that pushes the shut leaf in. [Pa]
    outward : float
        Pressure that draws the shut leaf out, below zero. [Pa]
    across : float
        Pressure on the open leaf, either way. [Pa]
    """

    peak: float
    shut: float
    opened: float
    inward: float
    outward: float
    across: float


def peak_pressure(project: Project) -> float:
    """Peak velocity pressure at the height of the hut, exceeded once in 50 years [Pa]."""
    wind = project.site.wind
    ground = TERRAINS[wind.terrain.value]
    return peak_velocity_pressure(
        wind.basic, ground.roughness_length, ground.least_height, hut_height(project)
    )


def holding(project: Project) -> Holding:
    """What the drive must hold without current; friction is not counted on.

    Raises
    ------
    RequestError
        Where no door or no linkage is described.
    """
    peak = peak_pressure(project)
    pair = shut_coefficients(project)
    gravity = loads(project, Conditions(0.0), opening=True).gravity
    over = travel(project)
    outward, inward = (_along_travel(project, over, sign * peak) for sign in (-1.0, 1.0))
    # Towards closed above zero; a leaf that would open is held back.
    opens = through_linkage(over, -(gravity + outward))
    either = through_linkage(over, np.maximum(np.abs(gravity + outward), np.abs(gravity + inward)))
    return Holding(
        peak=peak,
        shut=max(0.0, float(opens[0])),
        opened=float(either[-1]),
        inward=pair.inward * peak,
        outward=pair.outward * peak,
        across=open_leaf_pressure(peak),
    )


def _along_travel(project: Project, over: Travel, pressure: float) -> Floats:
    """What the wind adds along the travel; square to a straight leaf it adds nothing."""
    return wind_load(project, pressure) if over.hinged else np.zeros(len(over.places))
