"""What the edge presses with at calibrated thresholds: contacts simulated with them, and what would help.

The simulated leaf has a profile of its own, learnt from its own free move: the recorded one is that of the
real door, and the difference between the two is no obstacle.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from math import isnan, nan

import numpy as np

from hutwright.bench.contact import Contact, Spot, contact_of, contact_scenarios
from hutwright.bench.plant import sim_door
from hutwright.bench.played_moves import Setting, played_move
from hutwright.bench.settings import sealed
from hutwright.bench.stage import Day, Stage
from hutwright.evidence.trace import Way
from hutwright.laws.force_trace import (
    INSTRUMENT_STIFFNESS,
    LASTING_TIME,
    REST_FORCE,
    TEST_GAPS,
    peak_limit,
)
from hutwright.model.project import Project
from hutwright.native import engine
from hutwright.native.records import Record
from hutwright.native.words import Mode
from hutwright.plant.conditions import nominal
from hutwright.plant.motor import line
from hutwright.plant.travel import place_at_gap, travel
from hutwright.studies.calibrate_claim import Branch, Threshold
from hutwright.studies.calibrate_heard import heard
from hutwright.studies.calibrate_learn import put_detector
from hutwright.studies.calibrate_profile import Profile, profile_of, sums_of, told_by

SOFT_STIFFNESS = (
    20e3  # of a body part; 10 to 75 N/mm are published for hands and arms. Standing: practice [N/m]
)
# Of what yields far more: a cushion, a belly, a coat. The force grows so slowly in it that a wide threshold
# lets it last. Standing: practice [N/m]
YIELDING = (5e3, 1e3)
PLAYED = 5  # simulated moves over the trained range: a choice of this project
TURNED = (Mode.REVERSING, Mode.OPENING, Mode.OPEN)  # what a closing ends in that was turned back
STIFFNESSES = (INSTRUMENT_STIFFNESS, SOFT_STIFFNESS, *YIELDING)
Thresholds = Mapping[Way, Mapping[Branch, Threshold]]


@dataclass(frozen=True, slots=True)
class Press:
    """The closing edge meets something.

    Attributes
    ----------
    weather : str
        In what weather, at what supply.
    gap : float
        Before the edge. [m]
    stiffness : float
        Of what it meets. [N/m]
    contact : Contact
        What comes of it.
    limit : float
        Of the peak. [N]
    """

    weather: str
    gap: float
    stiffness: float
    contact: Contact
    limit: float

    @property
    def kept(self) -> bool:
        """Whether peak, duration and rest keep their limits, and the controller decided at all.

        What yields far more than the force test's instrument is held against peak and duration only: after
        five seconds its force may still be growing, and where it stays below both, nothing need be decided.
        """
        met = self.contact
        if not met.touched:
            return True
        kept = met.peak_seen <= self.limit and met.above_150 <= LASTING_TIME
        if self.yielding:
            return kept
        return kept and (isnan(met.at_5s) or met.at_5s <= REST_FORCE) and self.decided

    @property
    def yielding(self) -> bool:
        """Whether what it meets yields far more than a body part."""
        return self.stiffness < SOFT_STIFFNESS

    @property
    def held(self) -> float:
        """What something yielding is pressed with for good, because nothing reversed; else 0 [N]."""
        met = self.contact
        stays = met.touched and (not self.decided or met.mode is Mode.SHUT)
        return met.end_force if self.yielding and stays and met.end_force > REST_FORCE else 0.0

    @property
    def decided(self) -> bool:
        """Whether the controller turned the leaf back, at the touch or before it."""
        return not isnan(self.contact.trip_time) or self.contact.mode in TURNED

    @property
    def by_itself(self) -> bool:
        """Whether the leaf reversed by itself before it met anything, or could not get there."""
        met = self.contact
        return not met.touched or (isnan(met.trip_time) and met.mode in TURNED)

    @property
    def worst_share(self) -> float:
        """The greatest of peak, duration and rest as a share of its limit; infinite where not known [-]."""
        met = self.contact
        if not met.touched:
            return 0.0
        shares = [met.peak_seen / self.limit, met.above_150 / LASTING_TIME]
        if self.yielding:
            return float("inf") if any(map(isnan, shares)) else max(shares)
        if not self.decided:
            shares.append(float("inf"))
        if not isnan(met.at_5s):
            shares.append(met.at_5s / REST_FORCE)
        return float("inf") if any(map(isnan, shares)) else max(shares)


@dataclass(frozen=True, slots=True)
class Sensed:
    """What a current means at the edge, closing, on a mild day.

    Attributes
    ----------
    gap : float
        Before the edge. [m]
    a_count : float
        Force at the edge that one step of the converter stands for; NaN without a converter. [N]
    an_ampere : float
        Force at the edge for an ampere. [N/A]
    at_trip : float
        On the instrument when the controller decides; NaN where it never does. [N]
    """

    gap: float
    a_count: float
    an_ampere: float
    at_trip: float


def simulated_profiles(
    project: Project, base: Record, like: Mapping[Way, Profile], trained: tuple[float, float] | None
) -> dict[Way, Profile]:
    """The profiles of the simulated leaf over the trained range, with the slopes that were learnt.

    Parameters
    ----------
    project : Project
        The project.
    base : Record
        The core's settings that follow from it.
    like : Mapping
        The recorded profiles.
    trained : tuple or None
        Least and greatest temperature that moves were recorded at. [K, K]
    """
    calm, found = nominal(project), {}
    for way, recorded in like.items():
        low, high = trained or (recorded.temperature, recorded.temperature)
        settings = [
            Setting(calm._replace(temperature=float(kelvin)), sensed=False)
            for kelvin in np.linspace(low, high, PLAYED if high > low else 1)
        ]
        moves = heard([played_move(project, each, way, settings=base) for each in settings], base)
        supply = float(np.median([np.median(each.supply) for each in moves if each.supply is not None]))
        told = told_by(base, recorded.temperature, supply)
        slopes = recorded.per_kelvin, recorded.per_volt
        found[way] = profile_of([sums_of(each, told) for each in moves], told, slopes)
    return found


def trial_settings(base: Record, profiles: Mapping[Way, Profile], thresholds: Thresholds) -> Record:
    """The core's settings for simulated contacts: thresholds as calibrated, profiles of the simulated leaf.

    Parameters
    ----------
    base : Record
        The settings that follow from the description.
    profiles : Mapping
        Of the simulated leaf.
    thresholds : Mapping
        As calibrated.
    """
    own = base.copy()
    own["stuck_ms"] = 0  # a reading without noise may stay the same
    closing = profiles[Way.CLOSING]
    own["reference_dC"] = round(10.0 * (closing.temperature - 273.15))
    own["reference_mV"] = round(1e3 * closing.supply)
    for way, profile in profiles.items():
        put_detector(own, way, profile, dict(thresholds[way]))
    return sealed(own)


def days_of(stage: Stage, trained: tuple[float, float] | None) -> tuple[Day, ...]:
    """A mild day; then, at both ends of the supply, the ends of the trained range and of the climate.

    Parameters
    ----------
    stage : Stage
        The stage.
    trained : tuple or None
        Least and greatest temperature that moves were recorded at. [K, K]
    """
    calm = nominal(stage.project)
    ends = [
        Day(f"{words} that was trained, calm", calm._replace(temperature=kelvin))
        for words, kelvin in zip(("coldest", "warmest"), trained or (), strict=False)
    ]
    supplied = [stage.at_supply(day, highest=high) for day in ends for high in (False, True)]
    return (stage.mild(), *(supplied if stage.voltages else ends), *stage.extremes())


def spots_of(stage: Stage) -> tuple[tuple[float, float, Spot], ...]:
    """Gap, stiffness and spot of every contact that the travel has."""
    return tuple(
        (gap, stiffness, Spot(place, stiffness))
        for gap in TEST_GAPS
        if (place := place_at_gap(stage.project, gap)) is not None
        for stiffness in STIFFNESSES
    )


def presses(stage: Stage, settings: Record, days: Sequence[Day]) -> tuple[Press, ...]:
    """The closing edge meets an instrument, a body part and what yields more, in all gaps, in all weather.

    Parameters
    ----------
    stage : Stage
        The stage.
    settings : Record
        The core's settings for it.
    days : sequence of Day
        In what weather.
    """
    spots = spots_of(stage)
    found: list[Press] = []
    if not spots:
        return ()
    for day in days:
        door = sim_door(stage.project, day.conditions, sensed=False, voltage=day.voltage)
        scenes = contact_scenarios(
            stage.project, day.conditions, [spot for _, _, spot in spots], followed=True
        )
        results = engine.batch(door, settings, scenes)
        found.extend(
            Press(
                day.words,
                gap,
                stiffness,
                contact_of(spot, result, followed=True),
                peak_limit(gap, vertical=stage.vertical),
            )
            for (gap, stiffness, spot), result in zip(spots, results, strict=True)
        )
    return tuple(found)


def sensed_at(stage: Stage, settings: Record, step: float | None) -> Iterator[Sensed]:
    """What a current means at the edge, gap by gap.

    Parameters
    ----------
    stage : Stage
        The stage.
    settings : Record
        The core's settings for simulated contacts.
    step : float or None
        Of the converter. [A]
    """
    project, day = stage.project, stage.mild()
    over, drive = travel(project), line(project, day.conditions)
    for gap, stiffness, spot in spots_of(stage):
        if stiffness != INSTRUMENT_STIFFNESS:
            continue
        arm = abs(over.at(over.arm, spot.place))
        an_ampere = drive.constants.force_constant * arm / over.edge_radius
        scenes = contact_scenarios(project, day.conditions, (spot,))
        run = engine.run(sim_door(project, day.conditions, sensed=False), settings, scenes)
        trip = float(run.result["trip_time"])
        force = nan
        if trip >= 0.0:
            force = float(run.rows["force"][int(np.argmin(np.abs(run.rows["time"] - trip)))])
        yield Sensed(gap, nan if not step else step * an_ampere, an_ampere, force)


def scaled(thresholds: Thresholds, factor: float) -> Thresholds:
    """All thresholds times a factor [-], for a look at what another choice would cost."""
    return {
        way: {branch: replace(each, value=factor * each.value) for branch, each in some.items()}
        for way, some in thresholds.items()
    }
