"""What an obstacle meets at a place of the closing travel: speed, mass, energy, and the force until reversal.

The controller reverses at a set current. A leaf that falls shut by itself is first carried by the obstacle:
that much the current does not tell. A soft edge is in series with the obstacle as long as it gives.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from hutwright.errors import RequestError
from hutwright.laws.contact_force import (
    PeakRange,
    contact_peak_range,
    current_per_force,
    detection_delay,
    driven_force,
    impact_force,
    series_stiffness,
    trip_force,
)
from hutwright.laws.kinetic import kinetic_energy, reflected_rotor_mass
from hutwright.laws.motor_line import line_running
from hutwright.layout.frame import Floats, door_of
from hutwright.layout.linkage import linkage_of
from hutwright.model.controller import Detection, SpeedShares
from hutwright.model.door import Edge
from hutwright.model.project import Project
from hutwright.model.watched import apart
from hutwright.plant.conditions import Conditions
from hutwright.plant.masses import edge_mass
from hutwright.plant.mechanism import rod_force
from hutwright.plant.motion import shares
from hutwright.plant.motor import Line, drive_constants, line
from hutwright.plant.travel import Travel, drive_of, travel


class Contact(NamedTuple):
    """The closing leaf meets an obstacle at its edge.

    Attributes
    ----------
    place : float
        Travel at which it does. [rad or m]
    leverage : float
        Force along the rod for a newton at the edge; infinite next to a dead centre. [-]
    duty : float
        Share of full duty there. [-]
    edge_speed : float
        Of the edge. [m/s]
    rod_speed : float
        Of the rod. [m/s]
    rod_force : float
        That moves the free leaf; below zero where it falls by itself. [N]
    current : float
        That moves the free leaf. [A]
    edge_mass : float
        Mass of the leaf as felt at the edge. [kg]
    rotor_mass : float
        Mass of the rotor as felt at the rod. [kg]
    leaf_energy : float
        Kinetic energy of the leaf. [J]
    rotor_energy : float
        Kinetic energy of the rotor. [J]
    sensitivity : float
        Rise of the current for a newton at the edge. [A/N]
    threshold : float
        Set current above the running one; 0 where that trips by itself. [A]
    blind_force : float
        At the edge, before the current begins to tell. [N]
    delay : float
        Between a current that is too high and the reversal. [s]
    stiffness : float
        Of obstacle and mount in series, at the edge. [N/m]
    stall_force : float
        At the edge, at which the drive comes to rest. [N]
    trip_force : float
        At the edge, when the controller reverses. [N]
    impact : float
        Of the leaf's own mass. [N]
    driven : float
        That the drive builds up. [N]
    peak : PeakRange
        Least, usual and greatest force. [N]
    bottoms : bool
        Whether a soft edge gives all it can before the usual peak.
    """

    place: float
    leverage: float
    duty: float
    edge_speed: float
    rod_speed: float
    rod_force: float
    current: float
    edge_mass: float
    rotor_mass: float
    leaf_energy: float
    rotor_energy: float
    sensitivity: float
    threshold: float
    blind_force: float
    delay: float
    stiffness: float
    stall_force: float
    trip_force: float
    impact: float
    driven: float
    peak: PeakRange
    bottoms: bool


class _Approach(NamedTuple):
    """All that does not depend on the obstacle."""

    leverage: float
    speed: float
    mass: float
    efficiency: float
    sensitivity: float
    threshold: float
    blind_force: float
    delay: float
    stall_force: float
    rotor_energy: float
    mount: float


def detection_of(project: Project) -> Detection:
    """How the controller tells an obstacle.

    Raises
    ------
    RequestError
        Where no controller is described.
    """
    if project.controller is None:
        raise RequestError("this needs how the controller tells an obstacle; describe [controller] first")
    return project.controller.detection


def rotor_mass(project: Project) -> float:
    """Mass that the rotor seems to have at the rod, at 20 degC [kg]."""
    constants = drive_constants(project)
    return reflected_rotor_mass(
        drive_of(project).motor.time_constant, constants.resistance, constants.constant
    )


def with_edge(obstacle: float, edge: Edge) -> float:
    """Stiffness of an obstacle with the described edge before it, while that gives.

    Parameters
    ----------
    obstacle : float
        Stiffness of the obstacle. [N/m]
    edge : Edge
        The closing edge.

    Returns
    -------
    float
        Of both in series. [N/m]
    """
    return obstacle if edge.stiffness is None else 1.0 / (1.0 / obstacle + 1.0 / edge.stiffness)


@dataclass(frozen=True, slots=True, eq=False)
class Closing:
    """The closing leaf in some weather, before it meets anything.

    Attributes
    ----------
    over : Travel
        The door's geometry.
    edge : Edge
        The closing edge.
    seen : Detection
        How the controller tells an obstacle.
    shares : SpeedShares
        Shares of full duty.
    force : ndarray
        That the drive must give over the places of the travel. [N]
    drive : Line
        The drive at full duty.
    edge_mass : float
        Mass of the leaf as felt at the edge. [kg]
    rotor_mass : float
        Mass of the rotor as felt at the rod. [kg]
    mount : float
        Stiffness of the mount along the rod. [N/m]
    """

    over: Travel
    edge: Edge
    seen: Detection
    shares: SpeedShares
    force: Floats
    drive: Line
    edge_mass: float
    rotor_mass: float
    mount: float

    def at_share(self, duty: float) -> Line:
        """The drive's line at a share of full duty [-]."""
        return self.drive._replace(voltage=duty * self.drive.voltage)

    def duty_at(self, place: float) -> float:
        """Share of full duty at a place of the travel [-]."""
        slow = self.over.at(self.over.edge_way, place) < self.shares.last_over
        return self.shares.last if slow else self.shares.normal

    def meets(self, places: Sequence[float], *, obstacle: float) -> tuple[Contact, ...]:
        """What an obstacle meets at each of some places; the rest as of `contact`."""
        over = self.over
        forces = [over.at(self.force, place) for place in places]
        duties = [self.duty_at(place) for place in places]
        drives = {duty: self.at_share(duty) for duty in duties}
        stalls = {duty: drive.stall_force for duty, drive in drives.items()}
        found = []
        for place, force, duty in zip(places, forces, duties, strict=True):
            speed, pair = self._running(force, drives[duty])
            arm = abs(over.at(over.arm, place))
            leverage = over.edge_radius / arm if arm > 0.0 else np.inf
            constants, stall = self.drive.constants, stalls[duty]
            approach = _Approach(
                leverage=leverage,
                speed=speed * leverage,
                mass=self.edge_mass,
                efficiency=constants.efficiency,
                sensitivity=current_per_force(leverage, constants.efficiency, constants.constant),
                threshold=max(self.seen.trip - pair[1], 0.0),
                blind_force=max(-force, 0.0) / leverage,
                delay=detection_delay(self.seen.filter, 1, self.seen.after),
                stall_force=max(stall - force, 0.0) / leverage,
                rotor_energy=kinetic_energy(self.rotor_mass, speed),
                mount=self.mount,
            )
            found.append(self._contact(approach, (place, force, duty, speed, pair[0]), obstacle))
        return tuple(found)

    @staticmethod
    def _running(force: float, drive: Line) -> tuple[float, tuple[float, float]]:
        """Speed [m/s]; current, and current of a load that does not help [A]."""
        stall, behind = drive.stall_current, drive.series_resistance
        speed, current = line_running(force, drive.voltage, drive.constants, series_resistance=behind)
        against = current if force >= 0.0 else drive.constants.friction_current
        return speed, (min(current, stall), min(against, stall))

    def _contact(
        self, approach: _Approach, there: tuple[float, float, float, float, float], obstacle: float
    ) -> Contact:
        place, force, duty, speed, current = there
        (stiffness, trip, impact, driven), peak, bottoms = _touch(approach, self.edge, obstacle)
        return Contact(
            place=place,
            leverage=approach.leverage,
            duty=duty,
            edge_speed=approach.speed,
            rod_speed=speed,
            rod_force=force,
            current=current,
            edge_mass=self.edge_mass,
            rotor_mass=self.rotor_mass,
            leaf_energy=kinetic_energy(self.edge_mass, approach.speed),
            rotor_energy=approach.rotor_energy,
            sensitivity=approach.sensitivity,
            threshold=approach.threshold,
            blind_force=approach.blind_force,
            delay=approach.delay,
            stiffness=stiffness,
            stall_force=approach.stall_force,
            trip_force=trip,
            impact=impact,
            driven=driven,
            peak=peak,
            bottoms=bottoms,
        )


def closing(project: Project, conditions: Conditions) -> Closing:
    """The closing leaf in some weather, to be met at any place.

    Parameters
    ----------
    project : Project
        The project.
    conditions : Conditions
        In what weather.

    Raises
    ------
    RequestError
        Where door, linkage, drive or controller is not described.
    """
    return Closing(
        over=travel(project),
        edge=apart(door_of(project).edge),
        seen=apart(detection_of(project)),
        shares=apart(shares(project)),
        force=rod_force(project, conditions, opening=False),
        drive=line(project, conditions),
        edge_mass=edge_mass(project),
        rotor_mass=rotor_mass(project),
        mount=linkage_of(project).mount_stiffness,
    )


def contact(project: Project, place: float, conditions: Conditions, *, obstacle: float) -> Contact:
    """What an obstacle meets at a place of the closing travel.

    Parameters
    ----------
    project : Project
        The project.
    place : float
        Travel from shut. [rad or m]
    conditions : Conditions
        In what weather.
    obstacle : float
        Stiffness of the obstacle. [N/m]

    Returns
    -------
    Contact
        All the steps from speed to force.

    Raises
    ------
    RequestError
        Where door, linkage, drive or controller is not described.
    """
    return closing(project, conditions).meets([place], obstacle=obstacle)[0]


def _touch(
    approach: _Approach, edge: Edge, obstacle: float
) -> tuple[tuple[float, float, float, float], PeakRange, bool]:
    """Stiffness and forces as of `_forces`, the peak, and whether a soft edge gives all it can."""
    soft = _forces(approach, with_edge(obstacle, edge))
    peak = contact_peak_range(soft[2], soft[3])
    if edge.stiffness is None or edge.depth is None:
        return soft, peak, False
    gives = edge.stiffness * edge.depth
    hard = _forces(approach, obstacle)
    bottoms = peak.usual > gives
    return (
        hard if bottoms else soft,
        _past(peak, contact_peak_range(hard[2], hard[3]), gives),
        bottoms,
    )


def _forces(approach: _Approach, obstacle: float) -> tuple[float, float, float, float]:
    """Stiffness at the edge [N/m], and forces at the trip, of impact and driven [N]."""
    stiffness = series_stiffness(obstacle, approach.mount, approach.leverage)
    trip = trip_force(
        approach.blind_force,
        approach.threshold,
        approach.sensitivity,
        approach.speed,
        stiffness,
        approach.delay,
        approach.stall_force,
    )
    impact = impact_force(approach.speed, obstacle, approach.mass)
    return stiffness, trip, impact, driven_force(trip, stiffness, approach.efficiency, approach.rotor_energy)


def _past(soft: PeakRange, hard: PeakRange, gives: float) -> PeakRange:
    """Each end of the range with the soft edge, or as without it where the edge gives no more."""
    return PeakRange(*(low if low <= gives else max(low, high) for low, high in zip(soft, hard, strict=True)))
