"""How quick the closing leaf is over its travel, and with what energy; two questions rest on it."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from hutwright.layout.frame import Floats
from hutwright.model.project import Project
from hutwright.model.remembered import once_a_project
from hutwright.plant.conditions import Conditions, nominal, working_pressure
from hutwright.plant.mechanism import rod_force
from hutwright.plant.swing import Closing
from hutwright.trades.guard.meeting import leaves


@dataclass(frozen=True, slots=True, eq=False)
class Run:
    """The closing leaf in some weather, at one place of its travel.

    Attributes
    ----------
    weather : str
        In words.
    leaf : Closing
        The leaf.
    edge_way : float
        Way of the edge from shut. [m]
    rod_speed : float
        Of the rod. [m/s]
    edge_speed : float
        Of the edge. [m/s]
    """

    weather: str
    leaf: Closing
    edge_way: float
    rod_speed: float
    edge_speed: float


def most_energetic(project: Project) -> Run:
    """Where and when leaf and rotor together have the greatest energy."""
    return _fastest(project)[0]


def quickest(project: Project) -> Run:
    """Where and when the edge is quickest."""
    return _fastest(project)[1]


@once_a_project
def _fastest(project: Project) -> tuple[Run, Run]:
    """By energy and by speed: in every calm weather, and with the gust that presses a hinged leaf shut."""
    found = list(leaves(project))
    mild = found[0][1]
    if mild.over.hinged:
        gust = Conditions(nominal(project).temperature, working_pressure(project))
        windy = replace(mild, force=rod_force(project, gust, opening=False))
        found.append(("at 20 degC with the working gust pressing it shut", windy))
    over = mild.over
    leverage = over.edge_radius / over.lever
    slow = over.edge_way < mild.shares.last_over
    rod = np.stack([_speeds(leaf, slow) for _, leaf in found])
    edge = rod * leverage
    energy = mild.edge_mass * edge**2 + mild.rotor_mass * rod**2
    runs = []
    for most in (energy, edge):
        number, place = divmod(int(np.argmax(most)), most.shape[1])
        words, leaf = found[number]
        way = float(over.edge_way[place])
        runs.append(Run(words, leaf, way, float(rod[number, place]), float(edge[number, place])))
    return runs[0], runs[1]


def _speeds(leaf: Closing, slow: NDArray[np.bool_]) -> Floats:
    """Of the rod over the places of the travel, with the last stretch at its own share [m/s]."""
    speed = leaf.at_share(leaf.shares.normal).speed(leaf.force)
    if leaf.shares.last < leaf.shares.normal and slow.any():
        return np.where(slow, leaf.at_share(leaf.shares.last).speed(leaf.force), speed)
    return speed
