"""The closed form of a contact against the bench, over invented doors and over described ones drawn anew."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np

from hutwright.bench.contact import LEAD, Spot, contacts
from hutwright.bench.settings import OFF, sealed
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
from hutwright.laws.kinetic import kinetic_energy
from hutwright.layout.frame import Floats, door_of
from hutwright.layout.linkage import linkage_of
from hutwright.model.controller import SpeedShares
from hutwright.model.project import Project
from hutwright.native import engine
from hutwright.native.records import DOOR, SCENARIO, SETTINGS, SETTINGS_VERSION, Record, blank
from hutwright.native.words import Commands, Ends, EventKind, Linkage
from hutwright.plant.conditions import Conditions
from hutwright.plant.swing import closing
from hutwright.plant.travel import travel

VOLTAGE = 12.0  # of every invented door: the constants scale with it [V]
TICK = 1e-3  # of the controller [s]
AT, FULL = 0.5, 1.0  # where the edge meets the obstacle, of its whole way: nothing hangs on it [m]
LOOKED_AT = 3.0  # after the touch: all that reverse at all have done so by then [s]
INDUCTANCE = 1e-3  # of the winding, usual for small motors; the closed form knows none [H]


# Of the invented doors: least and greatest. Small rod drives and shelters, as common practice has them; even
# chance of the logarithm. Standing: practice
DRAWN: dict[str, tuple[float, float]] = {
    "speed": (0.008, 0.060),  # of the free rod [m/s]
    "leverage": (1.0, 5.0),  # force along the rod for a newton at the edge [-]
    "obstacle": (5e3, 500e3),  # stiffness [N/m]
    "threshold": (0.2, 1.0),  # of the trip above the running current [A]
    "mass": (1.0, 15.0),  # of the leaf at its edge [kg]
    "mount": (100e3, 500e3),  # stiffness along the rod [N/m]
    "filter": (0.005, 0.030),  # time constant [s]
    "resistance": (1.0, 3.0),  # of the winding [ohm]
    "efficiency": (0.3, 0.6),  # from motor to rod [-]
    "after": (0.003, 0.030),  # how long the current must be too high [s]
    "damping": (0.01, 0.2),  # of the leaf on its mount, of critical [-]
    "free_current": (0.4, 1.0),  # [A]
    "time_constant": (0.010, 0.040),  # mechanical, of the motor by itself [s]
}


@dataclass(frozen=True, slots=True, eq=False)
class Compared:
    """Contacts by the closed form and by the bench, one beside the other.

    Attributes
    ----------
    impact : ndarray
        Of the leaf's own mass, by the closed form. [N]
    driven : ndarray
        That the drive builds up, by the closed form. [N]
    peak : ndarray
        By the bench. [N]
    tripped : ndarray of bool
        Whether the bench's controller decided at all.
    """

    impact: Floats
    driven: Floats
    peak: Floats
    tripped: np.ndarray[tuple[int], np.dtype[np.bool_]]

    @property
    def greater(self) -> Floats:
        """The greater of impact and driven force over the bench's peak [-]."""
        return np.asarray(np.maximum(self.impact, self.driven) / self.peak)

    @property
    def usual(self) -> Floats:
        """Root of the squares of both over the bench's peak: what the closed form expects [-]."""
        return np.asarray(np.hypot(self.impact, self.driven) / self.peak)

    @property
    def total(self) -> Floats:
        """The sum of both over the bench's peak [-]."""
        return np.asarray((self.impact + self.driven) / self.peak)

    @property
    def bounds(self) -> tuple[PeakRange, ...]:
        """Least, usual and greatest force by the closed form [N]."""
        return tuple(contact_peak_range(*each) for each in zip(self.impact, self.driven, strict=True))

    @property
    def within(self) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
        """Whether the bench's peak lies between the closed form's least and greatest."""
        low, _, high = np.array(self.bounds).T
        return np.asarray((low <= self.peak) & (self.peak <= high))


def invented(count: int, rng: np.random.Generator) -> dict[str, Floats]:
    """Invented doors and obstacles, slow and quick, soft and hard, light and heavy.

    Parameters
    ----------
    count : int
        How many. [-]
    rng : Generator
        What they are drawn with.

    Returns
    -------
    dict of ndarray
        A row for each name of `DRAWN`, and "constant" [V s/m] and "rotor" [kg].
    """
    case = {
        name: np.exp(rng.uniform(math.log(low), math.log(high), count)) for name, (low, high) in DRAWN.items()
    }
    case["constant"] = (VOLTAGE - case["resistance"] * case["free_current"]) / case["speed"]
    case["rotor"] = case["time_constant"] * case["constant"] ** 2 / case["resistance"]
    return case


def ratios(count: int, rng: np.random.Generator) -> Compared:
    """Closed form and bench over invented doors whose drive, free of any load, meets an obstacle.

    Parameters
    ----------
    count : int
        How many doors. [-]
    rng : Generator
        What they are drawn with.

    Returns
    -------
    Compared
        In the order in which they were drawn.
    """
    case = invented(count, rng)
    found = [_closed({name: float(values[each]) for name, values in case.items()}) for each in range(count)]
    results = engine.batch(_doors(case), _settings(case), _scenarios(case))
    return Compared(
        impact=np.array([each[0] for each in found]),
        driven=np.array([each[1] for each in found]),
        peak=results["peak_force"].copy(),
        tripped=results["trip_time"] >= 0.0,
    )


def _closed(one: dict[str, float]) -> tuple[float, float]:
    """Impact and driven force by the laws [N, N]."""
    edge = one["speed"] * one["leverage"]
    force_constant = one["efficiency"] * one["constant"]
    stall = force_constant * (VOLTAGE / one["resistance"] - one["free_current"])
    stiffness = series_stiffness(one["obstacle"], one["mount"], one["leverage"])
    trip = trip_force(
        0.0,
        one["threshold"],
        current_per_force(one["leverage"], one["efficiency"], one["constant"]),
        edge,
        stiffness,
        detection_delay(one["filter"], 1, one["after"]),
        stall / one["leverage"],
    )
    turning = kinetic_energy(one["rotor"], one["speed"])
    return impact_force(edge, one["obstacle"], one["mass"]), driven_force(
        trip, stiffness, one["efficiency"], turning
    )


def _doors(case: dict[str, Floats]) -> Record:
    doors = np.zeros(len(case["speed"]), dtype=DOOR)
    for name in ("resistance", "constant", "efficiency"):
        doors[name] = case[name]
    doors["friction_current"] = case["free_current"]
    doors["linkage"] = Linkage.DIRECT
    doors["k1"] = 1.0 / case["leverage"]
    doors["way"] = doors["edge_radius"] = doors["sensor_gain"] = doors["sensor_seen"] = 1.0
    doors["full"] = FULL
    doors["inertia"] = case["mass"]
    doors["self_locking"] = case["efficiency"] < 0.5
    doors["inductance"] = INDUCTANCE
    doors["rotor_mass"] = case["rotor"]
    doors["rod_low"], doors["rod_high"] = -1e9, 1e9
    doors["mount_stiffness"] = case["mount"]
    doors["mount_damping"] = 2.0 * case["damping"] * np.sqrt(case["mount"] * case["mass"]) * case["leverage"]
    doors["slip_force"] = 1e30
    doors["stop_stiffness"] = 200e3
    doors["voltage"] = VOLTAGE
    doors["temperature"] = 293.15
    doors["sensor_range"] = 32.0
    doors["limit_open"] = FULL
    return doors


def _settings(case: dict[str, Floats]) -> Record:
    """A trip so much above each door's free current, and nothing else that could act."""
    made = []
    for threshold, free, after, lag, constant, leverage in zip(
        *(case[name] for name in ("threshold", "free_current", "after", "filter", "constant", "leverage")),
        strict=True,
    ):
        one = blank(SETTINGS)
        for name, value in _PLAIN.items():
            one[name] = value
        one["after_ms"] = max(round(after / TICK), 1)
        one["filter_q16"] = round(65536.0 * (1.0 - math.exp(-TICK / lag)))
        one["place_gain_q8"] = min(max(round(2.0**38 * 1e-6 / (constant * FULL / leverage)), 1), 65535)
        for way in ("opening", "closing"):
            one[way]["trip_mA"] = round(1e3 * (free + threshold))
            one[way]["rise_mA"] = OFF
        made.append(sealed(one))
    return np.array(made, dtype=SETTINGS)


_PLAIN = {
    "version": SETTINGS_VERSION,
    "ends": Ends.SWITCHES,
    "commands": int(Commands.BUTTON),
    "most_reversals": 3,
    "normal_permille": 1000,
    "last_permille": 1000,
    "start_permille": 1000,
    "ramp_ms": 1,
    "dead_ms": 5,
    "opening_cap_ms": 60000,
    "closing_cap_ms": 60000,
    "backstop_mA": 40000,
    "backstop_ms": 500,
    "slow_q16": 218,
    "start_step_ms": 1,
    "reference_mV": 12000,
    "trained_low_dC": -600,
    "trained_high_dC": 900,
    "trained_high_mV": 60000,
    "start_above_mV": 3000,
    "stop_below_mV": 2000,
    "stop_below_ms": 1000,
    "end_permille": 1,
    "slip_permille": 1000,
    "zero_ms": 50,
    "zero_most_mA": 1000,
    "range_mA": 32000,
    "none_mA": 1,
    "none_ms": 2000,
    "relax_permille": 1,
    "debounce_ms": 20,
    "clear_ms": 3000,
}


def _scenarios(case: dict[str, Floats]) -> Record:
    scenes = np.zeros(len(case["speed"]), dtype=SCENARIO)
    edge = case["speed"] * case["leverage"]
    scenes["place_known"] = scenes["start_at_q"] = scenes["events_used"] = 1
    scenes["start_q"] = AT + edge * LEAD
    scenes["start_rate"] = -edge
    scenes["duration"] = LEAD + LOOKED_AT
    scenes["stop_on_release"] = 1.0
    event = scenes["events"][:, 0]
    event["kind"], event["a"], event["b"] = EventKind.OBSTACLE, AT, case["obstacle"]
    return scenes


# ---- described doors -------------------------------------------------------------------------------------


class Both(NamedTuple):
    """One contact of a described door, by the closed form and by the bench."""

    closed: PeakRange  # least, usual and greatest [N]
    peak: float  # by the bench [N]
    tripped: bool  # whether the bench's controller decided


def both(project: Project, conditions: Conditions, spots: tuple[Spot, ...]) -> tuple[Both, ...]:
    """Contacts of the closing edge of a described door, by the closed form and by the bench.

    Parameters
    ----------
    project : Project
        The project, with door, linkage, drive and controller.
    conditions : Conditions
        In what weather.
    spots : tuple of Spot
        What the closing edge is to meet.

    Returns
    -------
    tuple of Both
        In the order of the spots.
    """
    leaf = closing(project, conditions)
    closed = [leaf.meets([spot.place], obstacle=spot.obstacle)[0].peak for spot in spots]
    met = contacts(project, conditions, spots)
    return tuple(
        Both(bounds, each.peak, not math.isnan(each.trip_time))
        for bounds, each in zip(closed, met, strict=True)
    )


# Of a described door drawn anew: least and greatest. Standing: practice
LEAF_DRAWN = (1.0, 12.0)  # mass of the leaf without its fittings [kg]
MOUNT_DRAWN = (60e3, 500e3)  # along the rod; even chance of the logarithm [N/m]
AFTER_DRAWN, FILTER_DRAWN = (0.005, 0.06), (0.005, 0.03)  # of the controller [s]
TRIP_DRAWN = (0.6, 1.05)  # of the described trip [-]
SHARES_DRAWN = (0.3, 0.95)  # of the travel, where it meets the obstacle [-]


def redrawn(project: Project, rng: np.random.Generator) -> Project:
    """A described door with leaf, mount and detection drawn anew, at full duty all the way.

    Parameters
    ----------
    project : Project
        The project, with door, linkage, drive and controller.
    rng : Generator
        What is drawn with.
    """
    controller, door = project.controller, door_of(project)
    assert controller is not None
    return replace(
        project,
        door=replace(door, leaf=replace(door.leaf, mass=float(rng.uniform(*LEAF_DRAWN)))),
        linkage=replace(
            linkage_of(project), mount_stiffness=float(np.exp(rng.uniform(*np.log(MOUNT_DRAWN))))
        ),
        controller=replace(
            controller,
            speed=SpeedShares(normal=1.0, last=1.0, last_over=0.0),
            detection=replace(
                controller.detection,
                trip=controller.detection.trip * float(rng.uniform(*TRIP_DRAWN)),
                after=float(rng.uniform(*AFTER_DRAWN)),
                filter=float(rng.uniform(*FILTER_DRAWN)),
            ),
        ),
    )


def described(
    project: Project, conditions: Conditions, count: int, rng: np.random.Generator
) -> tuple[Both, ...]:
    """One contact each of a described door that is drawn anew so many times.

    Parameters
    ----------
    project : Project
        The project, with door, linkage, drive and controller.
    conditions : Conditions
        In what weather.
    count : int
        How many. [-]
    rng : Generator
        What they are drawn with.

    Returns
    -------
    tuple of Both
        In the order in which they were drawn.
    """
    found: list[Both] = []
    for _ in range(count):
        moved = redrawn(project, rng)
        place = float(rng.uniform(*SHARES_DRAWN)) * travel(moved).full
        found += both(moved, conditions, (Spot(place, float(rng.uniform(*DRAWN["obstacle"]))),))
    return tuple(found)


class Summary(NamedTuple):
    """The closed form over the bench, of contacts in which the controller decided."""

    number: int  # of contacts [-]
    tripped: int  # of them, in which it did [-]
    median: float  # of the usual force over the bench's [-]
    least: float  # of the same [-]
    greatest: float  # of the same [-]
    within: float  # share of contacts between the closed form's least and greatest [-]
    above: int  # contacts above its greatest [-]
    most_above: float  # the bench's over the closed form's greatest, at its most [-]


def summary(
    bounds: Sequence[PeakRange],
    peak: Floats,
    tripped: Sequence[bool] | np.ndarray[tuple[int], np.dtype[np.bool_]],
) -> Summary:
    """Sum up contacts.

    Parameters
    ----------
    bounds : sequence of PeakRange
        By the closed form. [N]
    peak : ndarray
        By the bench. [N]
    tripped : sequence of bool
        Whether the bench's controller decided.
    """
    decided = np.asarray(tripped, dtype=bool)
    low, usual, high = np.array(bounds)[decided].T
    met = peak[decided]
    ratio = usual / met
    return Summary(
        number=len(decided),
        tripped=int(decided.sum()),
        median=float(np.median(ratio)),
        least=float(ratio.min()),
        greatest=float(ratio.max()),
        within=float(np.mean((low <= met) & (met <= high))),
        above=int((met > high).sum()),
        most_above=float((met / high).max()),
    )
