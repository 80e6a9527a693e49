"""Single contacts of the moving leaf, each with the real controller, from a little before the touch.

A contact is simulated without noise and without the steps of a converter, so that it is the same every
time and changes smoothly with what is described. The leaf starts at the speed that the balance of forces
gives it, far enough before the obstacle for filter and mount to have settled, and the controller is past its
blind time. What happens within the blind time after a start, or with a noisy sensor, is for a whole run to
tell.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import nan
from typing import NamedTuple

import numpy as np

from hutwright.bench.plant import sim_door
from hutwright.bench.settings import core_settings, sealed
from hutwright.laws.contact_force import series_stiffness
from hutwright.layout.frame import Floats, door_of
from hutwright.layout.leaf import hinge_side_gap
from hutwright.layout.linkage import linkage_of
from hutwright.model.project import Project
from hutwright.model.remembered import once_a_project
from hutwright.native import engine
from hutwright.native.records import SCENARIO, Record
from hutwright.native.words import Ended, EventKind, Fault, Mode, Why
from hutwright.plant.conditions import Conditions
from hutwright.plant.mechanism import rod_force
from hutwright.plant.motion import shares
from hutwright.plant.motor import Line, line
from hutwright.plant.swing import detection_of
from hutwright.plant.travel import Travel, place_at_gap, travel

LEAD = 0.15  # of free motion before the touch: several time constants of filter and mount [s]
FOLLOWED = 6.0  # after the touch, or until the leaf lets go: a force test takes five seconds [s]
# That a force may go on growing, as near a hinge: a cap of the run time ends it by then. A choice of this
# project
LONGEST = 15.0  # [s]
# Where only the peak is asked for: some time constants of rotor and mount. A choice of this project
AT_LEAST = 0.3  # [s]
TIME_CONSTANTS = 6.0  # after which what nears its end is there within 0.3 %: derived here [-]
# From the hinge line of a hinged leaf to where a finger is caught on its hinge side. Standing: practice
HINGE_LEVER = 0.05  # [m]


class Spot(NamedTuple):
    """What the leaf is to meet, and where."""

    place: float  # travel of the leaf at the touch [rad or m]
    obstacle: float  # stiffness [N/m]
    opening: bool = False  # stands against opening; else against closing
    lever: float = 0.0  # way of the leaf there per travel; 0 for that of the closing edge [m/rad or -]
    damping: float = 0.0  # of the obstacle [N s/m]


@dataclass(frozen=True, slots=True)
class Contact:
    """The moving leaf has met an obstacle.

    Attributes
    ----------
    spot : Spot
        What it met, and where.
    touched : bool
        Whether it got there at all.
    speed : float
        At the touch, of the leaf where it touches. [m/s]
    peak : float
        Greatest force; NaN where no door of this world is described. [N]
    peak_seen : float
        As an instrument with a rise time of 5 ms shows it. [N]
    above_150 : float
        How long that stayed above 150 N. [s]
    above_25 : float
        How long that stayed above 25 N. [s]
    at_5s : float
        The force five seconds after the touch; NaN unless followed so long. [N]
    trip_time : float
        From the touch to the controller's decision; NaN where it never decided. [s]
    back_time : float
        From the touch until the leaf moved back; NaN where it never did. [s]
    end_force : float
        What is left at the end. [N]
    mode : Mode
        State of the controller at the end.
    why : Why
        Why it did what it did last.
    fault : Fault
        What it reports.
    """

    spot: Spot
    touched: bool
    speed: float
    peak: float
    peak_seen: float
    above_150: float
    above_25: float
    at_5s: float
    trip_time: float
    back_time: float
    end_force: float
    mode: Mode
    why: Why
    fault: Fault


# ---- spots ------------------------------------------------------------------------------------------------


def at_gap(project: Project, gap: float, *, obstacle: float) -> Spot | None:
    """An obstacle in a gap before the closing edge; None where the travel has no such gap.

    Parameters
    ----------
    project : Project
        The project.
    gap : float
        Clear width, above zero. [m]
    obstacle : float
        Stiffness of the obstacle. [N/m]
    """
    place = place_at_gap(project, gap)
    return None if place is None else Spot(place, obstacle)


def at_hinge_side(
    project: Project, gap: float, *, obstacle: float, lever: float = HINGE_LEVER
) -> Spot | None:
    """An obstacle in a gap at the hinge side of the closing leaf; None where there is no such gap.

    Parameters
    ----------
    project : Project
        The project.
    gap : float
        Clear width, above zero. [m]
    obstacle : float
        Stiffness of the obstacle. [N/m]
    lever : float
        From the hinge line to where it is caught. [m]
    """
    if not door_of(project).kind.hinged:
        return None
    over = travel(project)
    wide = np.asarray(hinge_side_gap(project, over.places))
    if not float(wide[-1]) >= gap or float(wide[0]) >= gap:
        return None
    after = int(np.argmax(wide >= gap))
    share = (gap - wide[after - 1]) / (wide[after] - wide[after - 1])
    place = over.places[after - 1] + share * (over.places[after] - over.places[after - 1])
    return Spot(float(place), obstacle, lever=lever)


# ---- contacts ---------------------------------------------------------------------------------------------


def contacts(
    project: Project, conditions: Conditions, spots: Sequence[Spot], *, followed: bool = False
) -> tuple[Contact, ...]:
    """What becomes of the leaf's meeting with each of some obstacles, one at a time.

    Parameters
    ----------
    project : Project
        The project, with door, linkage, drive and controller.
    conditions : Conditions
        In what weather.
    spots : sequence of Spot
        What it meets, and where.
    followed : bool
        Whether one that does not let go is followed for at least six seconds, for times and lasting forces;
        else only until its force can grow no more, for the peak.

    Returns
    -------
    tuple of Contact
        In the order of the spots.

    Raises
    ------
    RequestError
        Where door, linkage, drive or controller is not described.
    ModelError
        Where the controller cannot be set as described.
    """
    return _contacts(project, conditions, tuple(spots), followed)


@once_a_project
def _contacts(
    project: Project,
    conditions: Conditions,
    spots: tuple[Spot, ...],
    followed: bool,  # noqa: FBT001
) -> tuple[Contact, ...]:
    if not spots:
        return ()
    results = engine.batch(
        sim_door(project, conditions, sensed=False),
        contact_settings(project),
        contact_scenarios(project, conditions, spots, followed=followed),
    )
    return tuple(
        contact_of(spot, result, followed=followed) for spot, result in zip(spots, results, strict=True)
    )


def contact_to_the_trip(project: Project, conditions: Conditions, spot: Spot) -> tuple[Contact, float]:
    """One contact, and the force on what is met when the controller decides.

    Parameters
    ----------
    project : Project
        The project, with door, linkage, drive and controller.
    conditions : Conditions
        In what weather.
    spot : Spot
        What the leaf meets, and where.

    Returns
    -------
    tuple of Contact and float
        The contact as of `contacts`, and the force; NaN where the controller never decides. [N]

    Raises
    ------
    RequestError
        Where door, linkage, drive or controller is not described.
    ModelError
        Where the controller cannot be set as described.
    """
    return _contact_to_the_trip(project, conditions, spot)


@once_a_project
def _contact_to_the_trip(project: Project, conditions: Conditions, spot: Spot) -> tuple[Contact, float]:
    scenes = contact_scenarios(project, conditions, (spot,))
    found = engine.run(sim_door(project, conditions, sensed=False), contact_settings(project), scenes)
    trip = float(found.result["trip_time"])
    at = int(np.argmin(np.abs(found.rows["time"] - trip)))
    force = float(found.rows["force"][at]) if trip >= 0.0 else nan
    return contact_of(spot, found.result, followed=False), force


@once_a_project
def contact_settings(project: Project) -> Record:
    """The controller's settings for a current without noise: that it may stay the same is no fault then."""
    settings = core_settings(project).copy()
    settings["stuck_ms"] = 0
    return sealed(settings)


def contact_scenarios(
    project: Project, conditions: Conditions, spots: Sequence[Spot], *, followed: bool = False
) -> Record:
    """The scenario of each contact; parameters as of `contacts`."""
    found = np.zeros(len(spots), dtype=SCENARIO)
    moving = {way: approach(project, conditions, opening=way) for way in {spot.opening for spot in spots}}
    starts = [moving[spot.opening].start(spot.place) for spot in spots]
    found["place_known"] = 1
    found["start_at_q"] = 1
    found["start_q"] = [place for place, _ in starts]
    found["start_rate"] = [rate for _, rate in starts]
    least = FOLLOWED if followed else 0.0
    longest = [max(moving[spot.opening].settled(spot), least) for spot in spots]
    found["duration"] = LEAD + np.array(longest)
    found["stop_on_release"] = 1.0  # nothing presses any more once the leaf has let go
    found["events_used"] = 2 if conditions.wind else 1
    event = found["events"][:, 0]
    radius = travel(project).edge_radius
    event["kind"] = EventKind.OBSTACLE
    event["a"] = [(spot.lever or radius) * spot.place for spot in spots]
    event["b"] = [spot.obstacle for spot in spots]
    event["c"] = [spot.lever for spot in spots]
    event["d"] = [float(spot.opening) for spot in spots]
    event["e"] = [spot.damping for spot in spots]
    wind = found["events"][:, 1]
    wind["kind"], wind["a"] = EventKind.GUST, 1.0
    return found


# ---- before the touch -------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, eq=False)
class Approach:
    """The leaf steadily on its way, in some weather.

    Attributes
    ----------
    over : Travel
        The door's geometry.
    opening : bool
        Whether it opens; else it closes.
    force : ndarray
        That the drive must give over the places of the travel. [N]
    normal : Line
        The drive at the normal share of duty.
    last : Line
        The drive at the share of the last stretch.
    last_over : float
        Way of the edge from shut over which that holds; 0 while opening. [m]
    mount : float
        Stiffness of the mount along the rod. [N/m]
    edge : float
        Give of a soft edge per force; 0 for a hard one. [m/N]
    delay : float
        Of filter and controller, until a current that is too high is acted upon. [s]
    """

    over: Travel
    opening: bool
    force: Floats
    normal: Line
    last: Line
    last_over: float
    mount: float
    edge: float
    delay: float

    def line(self, place: float) -> Line:
        """The drive's line at a place [rad or m]."""
        return self.last if place * self.over.edge_radius < self.last_over else self.normal

    def rate(self, place: float) -> float:
        """Rate of the leaf at a place [rad or m], not below zero; 0 where the drive stalls [rad/s or m/s]."""
        arm = abs(self.over.at(self.over.arm, place))
        speed = float(self.line(place).speed(self.over.at(self.force, place)))
        return speed / arm if arm > 0.0 else 0.0

    def start(self, place: float) -> tuple[float, float]:
        """Where and how fast the leaf starts to be at a place in a while, above zero opening.

        Parameters
        ----------
        place : float
            Where it is to touch. [rad or m]

        Returns
        -------
        tuple of float
            Travel [rad or m] and rate [rad/s or m/s]; there and at rest where the drive cannot move it.
        """
        way = 1.0 if self.opening else -1.0
        begin = min(max(place - way * self.rate(place) * LEAD, 0.0), self.over.full)
        return begin, way * self.rate(begin)

    def settled(self, spot: Spot) -> float:
        """How long after the touch the force cannot grow any more, whether the controller acts or not.

        The drive slows down in proportion to the force, so that the force nears that of the stall like a
        filter's answer, with stall over stiffness and speed as its time constant.

        Parameters
        ----------
        spot : Spot
            What it meets, and where.

        Returns
        -------
        float
            At most fifteen seconds. [s]
        """
        lever, arm = spot.lever or self.over.edge_radius, abs(self.over.at(self.over.arm, spot.place))
        rate = self.rate(spot.place)
        if not (rate > 0.0 and arm > 0.0):
            return AT_LEAST
        leverage = lever / arm
        gives = 1.0 / spot.obstacle + (0.0 if spot.lever or spot.opening else self.edge)
        stiffness = series_stiffness(1.0 / gives, self.mount, leverage)
        stall = self.line(spot.place).stall_force - self.over.at(self.force, spot.place)
        constant = max(stall, 0.0) / leverage / (stiffness * rate * lever)
        return min(AT_LEAST + TIME_CONSTANTS * constant + self.delay, LONGEST)


def approach(project: Project, conditions: Conditions, *, opening: bool) -> Approach:
    """The leaf steadily on its way.

    Parameters
    ----------
    project : Project
        The project, with door, linkage, drive and controller.
    conditions : Conditions
        In what weather.
    opening : bool
        Whether it opens; else it closes.
    """
    duties, seen, edge = shares(project), detection_of(project), door_of(project).edge
    return Approach(
        over=travel(project),
        opening=opening,
        force=rod_force(project, conditions, opening=opening),
        normal=line(project, conditions, duty=duties.normal),
        last=line(project, conditions, duty=duties.last),
        last_over=0.0 if opening else duties.last_over,
        mount=linkage_of(project).mount_stiffness,
        edge=0.0 if edge.stiffness is None else 1.0 / edge.stiffness,
        delay=TIME_CONSTANTS * seen.filter + seen.after,
    )


# ---- after it ---------------------------------------------------------------------------------------------


def contact_of(spot: Spot, result: Record, *, followed: bool) -> Contact:
    """A contact from the result of its run.

    Parameters
    ----------
    spot : Spot
        What was met.
    result : numpy record of RESULT
        Of its run.
    followed : bool
        Whether the run was followed for six seconds.
    """
    began = float(result["contact_time"])
    touched = began >= 0.0
    sense = int(result["ended_early"]) != Ended.SENSELESS
    return Contact(
        spot=spot,
        touched=touched,
        speed=float(result["contact_speed"]) if touched else 0.0,
        peak=float(result["peak_force"]) if sense else nan,
        peak_seen=float(result["peak_seen"]) if sense else nan,
        above_150=float(result["above_150"]),
        above_25=float(result["above_25"]),
        at_5s=float(result["at_5s"]) if followed and touched else nan,
        trip_time=_since(began, float(result["trip_time"])),
        back_time=_since(began, float(result["back_time"])),
        end_force=float(result["static_force"]),
        mode=Mode(int(result["end_mode"])),
        why=Why(int(result["end_why"])),
        fault=Fault(int(result["end_fault"])),
    )


def _since(began: float, time: float) -> float:
    """Time from the touch; NaN where it never came [s]."""
    return time - began if began >= 0.0 and time >= 0.0 else nan
