"""What several questions of the drive ask of a move on the worst day: load, lines, and how to say so."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from hutwright import units
from hutwright.checks.step import Number, Step
from hutwright.errors import HutwrightError
from hutwright.laws.motor_line import line_current
from hutwright.layout.frame import Floats
from hutwright.model.project import Project
from hutwright.model.remembered import once_a_project
from hutwright.plant.conditions import Conditions, coldest_worst, nominal, warmest_calm
from hutwright.plant.loads import loads
from hutwright.plant.mechanism import through_linkage
from hutwright.plant.motion import Motion, move, shares
from hutwright.plant.motor import Line, line
from hutwright.plant.travel import Travel, travel
from hutwright.sources import Source, Standing
from hutwright.units import NUMBER

DESCRIBED = (("door",), ("linkage",), ("drive",))  # what a question about a move needs
WAYS = {True: "opening", False: "closing"}
HUNDRED_NEWTONS = 100.0  # lines are printed as what each 100 N takes [N]
TEN_MILLIMETRES = 0.01  # and as the voltage that each 10 mm/s wants [m/s]
ENDS_WITHIN = 1e-9  # a place so near an end of the travel is that end, as a share of it [-]
LISTING = Source("the drive as described", "its rating", Standing.READ)


@dataclass(frozen=True, slots=True, eq=False)
class Way:
    """One way of the leaf on the coldest day, with gust, ice and snow against it.

    Attributes
    ----------
    opening : bool
        Whether the leaf opens; else it closes.
    over : Travel
        The door's geometry.
    parts : Mapping
        What each part of the load takes towards open, by name. [N m hinged, N straight]
    force : ndarray
        That the drive must give over the places. [N]
    slow : ndarray
        Whether the slow last stretch holds, over the places. [-]
    duties : tuple
        Shares of full duty, of most of the travel and of its last stretch. [-]
    """

    opening: bool
    over: Travel
    parts: Mapping[str, Floats]
    force: Floats
    slow: NDArray[np.bool_]
    duties: tuple[float, float]

    @property
    def dead(self) -> int | None:
        """The first place at which the rod has no arm; None where it has one everywhere."""
        found = np.flatnonzero(self.over.dead)
        return int(found[0]) if len(found) else None

    def duty(self, index: int) -> float:
        """Share of full duty at a place [-]."""
        return self.duties[1] if self.slow[index] else self.duties[0]

    def at_duty(self, normal: Floats | float, last: Floats | float) -> Floats:
        """Values over the places, from those at the normal duty and those of the last stretch."""
        return np.where(self.slow, last, normal)


def ways(project: Project) -> tuple[Way, ...]:
    """Both ways of the leaf; none where its travel cannot be worked out.

    Parameters
    ----------
    project : Project
        The project.
    """
    return _ways(project)


@once_a_project
def _ways(project: Project) -> tuple[Way, ...]:
    try:
        return tuple(_way(project, opening=opening) for opening in (True, False))
    except HutwrightError:
        return ()


def _way(project: Project, *, opening: bool) -> Way:
    over = travel(project)
    found = loads(project, coldest_worst(project, opening=opening), opening=opening)
    speed = shares(project)
    slow = np.zeros(len(over.places), dtype=bool) if opening else over.edge_way < speed.last_over
    return Way(
        opening=opening,
        over=over,
        parts=found.parts(),
        force=through_linkage(over, found.total if opening else -found.total),
        slow=slow,
        duties=(speed.normal, speed.last),
    )


@dataclass(frozen=True, slots=True)
class Days:
    """The drive's lines at one duty, on the coldest day, at 20 degC and on the warmest day."""

    cold: Line
    mild: Line
    warm: Line

    def named(self) -> tuple[tuple[str, str, Line], ...]:
        """The three, each with what stands behind its symbols and with its words."""
        return (
            ("cold", "on the coldest day", self.cold),
            ("20", "at 20 degC", self.mild),
            ("warm", "on the warmest day", self.warm),
        )


def days(project: Project, *, slow: bool) -> Days:
    """The drive's lines at the duty of the slow last stretch, or at the normal one.

    Parameters
    ----------
    project : Project
        The project.
    slow : bool
        Whether the last stretch is meant.
    """
    normal, last = _days(project)
    return last if slow else normal


@once_a_project
def _days(project: Project) -> tuple[Days, Days]:
    """At the normal duty and at that of the last stretch."""
    speed = shares(project)
    weather = (Conditions(project.site.air.coldest), nominal(project), warmest_calm(project))
    normal, last = (
        Days(*(line(project, each, duty=duty) for each in weather)) for duty in (speed.normal, speed.last)
    )
    return normal, last


def moves(project: Project) -> tuple[Motion, ...]:
    """Opening and closing on the worst day; none where the travel cannot be worked out."""
    return _moves(project)


@once_a_project
def _moves(project: Project) -> tuple[Motion, ...]:
    try:
        return tuple(
            move(project, coldest_worst(project, opening=opening), opening=opening)
            for opening in (True, False)
        )
    except HutwrightError:
        return ()


# ---- how it is said ---------------------------------------------------------------------------------------


def newtons(value: float) -> Number:
    """A force put into a step."""
    return Number(value, units.FORCE)


def amperes(value: float) -> Number:
    """A current put into a step."""
    return Number(value, units.CURRENT)


def ratio(value: float) -> Number:
    """A share put into a step."""
    return Number(value, units.RATIO)


def where(way: Way, index: int) -> str:
    """A place of the travel in words."""
    place, full = float(way.over.places[index]), way.over.full
    if place <= ENDS_WITHIN * full:
        return "with the leaf shut"
    if place >= (1.0 - ENDS_WITHIN) * full:
        return "with the leaf fully open"
    return f"with the edge {units.show(float(way.over.edge_way[index]), units.LENGTH)} from shut"


def force_step(way: Way, index: int) -> Step:
    """What the drive must give at a place, from the parts of the load.

    Parameters
    ----------
    way : Way
        The way of the leaf.
    index : int
        Which of its places. [-]
    """
    load, letter, arm = (units.TORQUE, "M", units.LENGTH) if way.over.hinged else (units.FORCE, "F", NUMBER)
    parts = {
        f"{letter}_{name}": Number(float(values[index]), load)
        for name, values in way.parts.items()
        if name == "friction" or values[index] != 0.0
    }
    sign = "" if way.opening else "-"
    return Step(
        symbol="F_rod",
        formula=f"{sign}({' + '.join(parts)}) / r",
        numbers={**parts, "r": Number(abs(float(way.over.arm[index])), arm)},
        result=newtons(float(way.force[index])),
        words=f"what the drive must give {where(way, index)}, {WAYS[way.opening]} on the coldest day "
        "with the working gust against it, and what it has in ice and snow; below zero the load helps",
    )


def dead_step(way: Way, index: int) -> Step:
    """Why nothing can be said: at this place no force of the rod moves the leaf."""
    endless = newtons(float("inf"))
    return Step(
        symbol="F_rod",
        formula="F_endless",
        numbers={"F_endless": endless},
        result=endless,
        words=f"{where(way, index)} the rod pulls through the hinge (a dead centre), and no force is enough: "
        "move foot or head first, as door.dead_centre says",
    )


def current_numbers(drive: Line, force: float) -> dict[str, Number]:
    """The numbers of ``i_0 + i_100 * F_rod / F_100``, for a load that resists or helps.

    Parameters
    ----------
    drive : Line
        The drive's lines.
    force : float
        Against the drive. [N]
    """
    constants = drive.constants
    own = constants.friction_current
    more = HUNDRED_NEWTONS / constants.force_constant
    if force < 0.0:
        more = own - float(line_current(-HUNDRED_NEWTONS, constants))
    return {
        "i_0": amperes(own),
        "i_100": amperes(more),
        "F_rod": newtons(force),
        "F_100": newtons(HUNDRED_NEWTONS),
    }


def current_of(numbers: Mapping[str, Number]) -> float:
    """The current that those numbers make [A]."""
    own, more, force, sample = (numbers[each].value for each in ("i_0", "i_100", "F_rod", "F_100"))
    return own + more * force / sample


def speed_step(symbol: str, drive: Line, force: float, words: str) -> Step:
    """Speed of the rod against a force.

    Parameters
    ----------
    symbol : str
        What it is called.
    drive : Line
        The drive's lines.
    force : float
        Against the drive. [N]
    words : str
        What it means.
    """
    numbers = current_numbers(drive, force)
    loop = drive.constants.resistance + drive.series_resistance
    tenth = drive.constants.constant * TEN_MILLIMETRES
    speed = TEN_MILLIMETRES * max(0.0, drive.voltage - loop * current_of(numbers)) / tenth
    return Step(
        symbol=symbol,
        formula="v_10 * max(0, U - R * (i_0 + i_100 * F_rod / F_100)) / u_10",
        numbers={
            "v_10": Number(TEN_MILLIMETRES, units.SPEED),
            "U": Number(drive.voltage, units.VOLTAGE),
            "R": Number(loop, units.RESISTANCE),
            **numbers,
            "u_10": Number(tenth, units.VOLTAGE),
        },
        result=Number(speed, units.SPEED),
        words=words,
    )
