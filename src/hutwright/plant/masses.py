"""What moves: the leaf with its fittings, taken as a uniform slab, and the counterweight.

The fittings are spread evenly over the leaf. A counterweight hangs on a rope that pulls the closing edge
along its way, towards open; it moves as fast as the edge does.
"""

from __future__ import annotations

from hutwright.laws.kinetic import edge_mass as mass_at
from hutwright.layout.frame import Floats, door_of
from hutwright.layout.leaf import leaf_pose, leaf_solid
from hutwright.model.project import Project
from hutwright.plant.travel import travel


def leaf_mass(project: Project) -> float:
    """Mass of the leaf with its fittings [kg]."""
    leaf = door_of(project).leaf
    return leaf.mass + leaf.fittings


def moving_mass(project: Project) -> float:
    """Mass of the leaf with its fittings and counterweight [kg]."""
    return leaf_mass(project) + door_of(project).counterweight


def centre_of_gravity(project: Project, place: float = 0.0) -> Floats:
    """Middle of the leaf in the hut's frame.

    Parameters
    ----------
    project : Project
        The project.
    place : float
        Travel from shut. [rad or m]

    Returns
    -------
    ndarray, shape (3,)
        x, y, z. [m]
    """
    return leaf_pose(project, place).apply(leaf_solid(project).corners.mean(axis=0))


def leaf_inertia(project: Project) -> float:
    """Moment of inertia of a hinged leaf about its hinge line [kg m2]; of a straight leaf its mass [kg]."""
    return leaf_mass(project) * travel(project).gyration


def inertia(project: Project) -> float:
    """What resists a change of the travel's speed, counterweight included [kg m2 hinged, kg straight]."""
    return leaf_inertia(project) + door_of(project).counterweight * travel(project).edge_radius ** 2


def edge_mass(project: Project) -> float:
    """Mass that leaf and counterweight seem to have at the closing edge [kg]."""
    return mass_at(inertia(project), travel(project).edge_radius)
