"""How the leaf moves: when it is where, how fast its edge is, and what current it takes.

The leaf is taken to move steadily, with the speed that the balance of forces has at each place. What rotor
and leaf need to gather speed is left out; that makes a move about one time constant of the drive longer.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from hutwright.layout.frame import Floats
from hutwright.model.controller import SpeedShares
from hutwright.model.project import Project
from hutwright.plant.conditions import Conditions
from hutwright.plant.mechanism import rod_force
from hutwright.plant.motor import line
from hutwright.plant.travel import Travel, drive_of, travel

LEAST_WAY = 1e-12  # a rod that does not move takes for ever to move nothing, and not some undefined time [m]


@dataclass(frozen=True, slots=True, eq=False)
class Motion:
    """A move over the whole travel; arrays go over the places, the first shut, the last open.

    Attributes
    ----------
    opening : bool
        Whether the leaf opens; else it closes.
    places : ndarray
        Travel of each place. [rad or m]
    time : ndarray
        When the leaf is there, from the start of the move; infinite behind a stall. [s]
    total : float
        How long the whole move takes; infinite where it stalls. [s]
    edge_speed : ndarray
        Of the closing edge. [m/s]
    rod_speed : ndarray
        Of the rod or pull. [m/s]
    rod_force : ndarray
        That the drive must give; below zero where the load helps. [N]
    current : ndarray
        Of the motor. [A]
    heat : float
        Square of the current over the time of the move. [A2 s]
    stalls_at : float or None
        The first place on the way at which the drive does not move the leaf. [rad or m]
    """

    opening: bool
    places: Floats
    time: Floats
    total: float
    edge_speed: Floats
    rod_speed: Floats
    rod_force: Floats
    current: Floats
    heat: float
    stalls_at: float | None

    def travel_at(self, time: ArrayLike) -> Floats:
        """Travel at each time; it stays where the move ends or stalls.

        Parameters
        ----------
        time : array_like
            From the start of the move. [s]

        Returns
        -------
        ndarray
            From shut. [rad or m]
        """
        order = slice(None) if self.opening else slice(None, None, -1)
        times, places = self.time[order], self.places[order]
        reached = np.isfinite(times)
        return np.asarray(np.interp(np.asarray(time, dtype=float), times[reached], places[reached]))


def shares(project: Project) -> SpeedShares:
    """Shares of full duty over the travel; full speed all the way where no controller is described."""
    if project.controller is None:
        return SpeedShares(normal=1.0, last=1.0, last_over=0.0)
    return project.controller.speed


def duty_at(project: Project, edge_way: float, *, opening: bool) -> float:
    """Share of full duty with the edge some way from shut.

    Parameters
    ----------
    project : Project
        The project.
    edge_way : float
        Of the closing edge from shut. [m]
    opening : bool
        Whether the leaf opens; else it closes.
    """
    speed = shares(project)
    return speed.last if not opening and edge_way < speed.last_over else speed.normal


def move(project: Project, conditions: Conditions, *, opening: bool, slow: bool = False) -> Motion:
    """A whole move of the leaf.

    Parameters
    ----------
    project : Project
        The project.
    conditions : Conditions
        In what weather.
    opening : bool
        Whether it opens; else it closes.
    slow : bool
        Whether the whole of it runs at the duty of the slow last stretch, as after a power cut.

    Returns
    -------
    Motion
        Over the places of the travel.
    """
    over = travel(project)
    force = rod_force(project, conditions, opening=opening)
    duties = shares(project)
    quick = line(project, conditions, duty=duties.last if slow else duties.normal)
    speed, current = quick.speed(force), quick.current(force)
    rod_way = np.maximum(np.abs(np.diff(over.rod_length)), LEAST_WAY)
    spent, warmed = _interval(rod_way, speed, current)
    if not (opening or slow) and duties.last_over > 0.0 and duties.last < duties.normal:
        end = line(project, conditions, duty=duties.last)
        last_speed, last_current = end.speed(force), end.current(force)
        late = _interval(rod_way, last_speed, last_current)
        share = np.clip((duties.last_over - over.edge_way[:-1]) / np.diff(over.edge_way), 0.0, 1.0)
        spent, warmed = _blend(share, late[0], spent), _blend(share, late[1], warmed)
        last = over.edge_way < duties.last_over
        speed, current = np.where(last, last_speed, speed), np.where(last, last_current, current)
    return _motion(over, force, speed, current, spent, float(warmed.sum()), opening=opening)


def _interval(rod_way: Floats, speed: Floats, current: Floats) -> tuple[Floats, Floats]:
    """Time that each stretch between places takes, and what it warms [s, A2 s]."""
    slowness = np.full(len(speed), np.inf)
    np.divide(1.0, speed, out=slowness, where=~(speed <= 0.0))
    heating = np.full(len(speed), np.inf)
    np.divide(np.square(current), speed, out=heating, where=~(speed <= 0.0))
    return rod_way * (slowness[:-1] + slowness[1:]) / 2, rod_way * (heating[:-1] + heating[1:]) / 2


def _blend(share: Floats, first: Floats, second: Floats) -> Floats:
    """A share of one and the rest of the other; a share of nothing counts nothing, however much it is."""
    low = np.multiply(share, first, out=np.zeros(len(share)), where=share > 0.0)
    high = np.multiply(1.0 - share, second, out=np.zeros(len(share)), where=share < 1.0)
    return low + high


def _motion(
    over: Travel, force: Floats, speed: Floats, current: Floats, spent: Floats, heat: float, *, opening: bool
) -> Motion:
    time = np.zeros(len(over.places))
    if opening:
        np.cumsum(spent, out=time[1:])
    else:
        time[:-1] = np.cumsum(spent[::-1])[::-1]
    still = np.flatnonzero(~(speed > 0.0))
    stalls = None if not len(still) else float(over.places[still[0] if opening else still[-1]])
    return Motion(
        opening=opening,
        places=over.places,
        time=time,
        total=float(time[-1] if opening else time[0]),
        edge_speed=speed * over.edge_radius / over.lever,
        rod_speed=speed,
        rod_force=force,
        current=current,
        heat=heat,
        stalls_at=stalls,
    )


# ---- duty and warming -------------------------------------------------------------------------------------


def heat_share(project: Project, *motions: Motion) -> float:
    """Share of the heat which the winding stands that some moves one after the other bring.

    The winding stands its stall current for as long as it endures a stall; no heat leaves it meanwhile, which
    is cautious.

    Parameters
    ----------
    project : Project
        The project.
    *motions : Motion
        The moves.

    Returns
    -------
    float
        1 where nothing is left; infinite for a move that stalls. [-]
    """
    stall = drive_of(project).stall
    return sum(motion.heat for motion in motions) / (stall.current**2 * stall.endurance)


def rest_wanted(project: Project, running: float) -> float:
    """How long the drive must rest after running for a time, to keep the listing's duty.

    Parameters
    ----------
    project : Project
        The project.
    running : float
        How long it ran. [s]

    Returns
    -------
    float
        Rest. [s]
    """
    return running * (1.0 / drive_of(project).rating.duty - 1.0)


def running_a_day(project: Project, opened: Motion, closed: Motion) -> float:
    """How long a day the drive runs, over all cycles; one a day where no controller is described [s]."""
    cycles = 1 if project.controller is None else project.controller.cycles_a_day
    return cycles * (opened.total + closed.total) if cycles else 0.0
