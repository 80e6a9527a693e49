"""The closing leaf meets something: in which weather that is hardest, and the working of it.

All of it is kept by the project it was worked out for, because every question of the trade asks for the same.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from math import isnan, nan

from hutwright import units
from hutwright.catalogue.body_regions import BODY_REGIONS, BodyRegion
from hutwright.checks.lever import WhenWanted
from hutwright.checks.shown import shown
from hutwright.checks.step import Number, Step
from hutwright.laws.contact_force import (
    PeakRange,
    contact_peak_range,
    driven_force,
    impact_force,
    series_stiffness,
    trip_force,
)
from hutwright.laws.force_trace import INSTRUMENT_STIFFNESS, TEST_GAPS
from hutwright.model.paths import Keys
from hutwright.model.project import Project
from hutwright.model.remembered import once_a_project
from hutwright.plant.conditions import Conditions, coldest_calm, nominal, warmest_calm
from hutwright.plant.motor import line
from hutwright.plant.swing import Closing, Contact, closing, with_edge
from hutwright.plant.travel import place_at_gap
from hutwright.units import NUMBER

NEEDS: tuple[Keys, ...] = (("door",), ("linkage",), ("drive",), ("controller",))
KEPT = 512  # texts that are remembered: a choice of this project [-]
WEATHERS: tuple[tuple[str, Callable[[Project], Conditions]], ...] = (
    ("on a calm day of 20 degC", nominal),
    ("on the coldest day, calm", coldest_calm),
    ("on the warmest day, calm", warmest_calm),
)
HAND: BodyRegion = BODY_REGIONS["hand and fingers"]
# 49 CFR 571.118, S5, holds for obstacles of 4 to 200 mm; standing: read. The narrow and the wide end that a
# hand may be caught in; a choice of this project [m]
HAND_GAPS = (0.050, 0.200)


@dataclass(frozen=True, slots=True, eq=False)
class Meeting:
    """The closing leaf meets an obstacle in a gap.

    Attributes
    ----------
    gap : float
        Before the closing edge. [m]
    weather : str
        In what weather, in words.
    obstacle : float
        Stiffness of the obstacle. [N/m]
    leaf : Closing
        The leaf before it meets anything.
    contact : Contact
        What it comes to.
    """

    gap: float
    weather: str
    obstacle: float
    leaf: Closing
    contact: Contact

    @property
    def force_above(self) -> float:
        """Force at the edge at which the current gets to the trip, if the drive can give that much [N]."""
        return self.contact.blind_force + self.contact.threshold / self.contact.sensitivity

    @property
    def never_trips(self) -> bool:
        """Whether the drive stands before its current gets to the trip, by the closed form."""
        return self.force_above >= self.contact.stall_force

    @property
    def conditions(self) -> Callable[[Project], Conditions]:
        """What makes its weather."""
        return dict(WEATHERS)[self.weather]

    @property
    def where(self) -> str:
        """Place and weather in words."""
        edge_way = self.leaf.over.at(self.leaf.over.edge_way, self.contact.place)
        return (
            f"at a gap of {length_text(self.gap)}, the edge {length_text(edge_way)} from shut, {self.weather}"
        )


@lru_cache(maxsize=KEPT)
def length_text(length: float) -> str:
    """A length [m] in words; kept, because the same places come again and again."""
    return shown(length, units.LENGTH)


@lru_cache(maxsize=KEPT)
def _share_text(share: float) -> str:
    return shown(share, units.RATIO)


def gaps_met(project: Project) -> tuple[float, ...]:
    """The gaps of the force test that the closing travel really has [m]."""
    return tuple(gap for gap in TEST_GAPS if place_at_gap(project, gap) is not None)


def gap_name(gap: float) -> str:
    """What a check about one of the gaps [m] is called."""
    return f"gap_{round(1e3 * gap)}"


def leaves(project: Project) -> tuple[tuple[str, Closing], ...]:
    """The closing leaf in every weather, with the weather in words."""
    return _leaves(project)


@once_a_project
def _leaves(project: Project) -> tuple[tuple[str, Closing], ...]:
    """In calm weather the leaf's loads are the same; only the drive is another."""
    mild = closing(project, WEATHERS[0][1](project))
    rest = ((words, replace(mild, drive=line(project, weather(project)))) for words, weather in WEATHERS[1:])
    return (WEATHERS[0][0], mild), *rest


@once_a_project
def _with_instrument(project: Project) -> tuple[Meeting, ...]:
    return _meetings(project, TEST_GAPS, INSTRUMENT_STIFFNESS)


@once_a_project
def _with_hand(project: Project) -> tuple[Meeting, ...]:
    return _meetings(project, HAND_GAPS, HAND.stiffness)


def _meetings(project: Project, gaps: tuple[float, ...], obstacle: float) -> tuple[Meeting, ...]:
    """The leaf meets an obstacle in every gap that its travel has, in every weather."""
    spots = [(gap, place) for gap in gaps if (place := place_at_gap(project, gap)) is not None]
    places = [place for _, place in spots]
    return tuple(
        Meeting(gap, words, obstacle, leaf, contact)
        for words, leaf in leaves(project)
        for (gap, _), contact in zip(spots, leaf.meets(places, obstacle=obstacle), strict=True)
    )


def _most(found: tuple[Meeting, ...], by: Callable[[Contact], float]) -> Meeting:
    """The meeting with the greatest of something; what cannot be told counts as the worst."""
    return max(found, key=lambda each: (isnan(by(each.contact)), by(each.contact)))


def with_instrument(project: Project, gap: float) -> tuple[Meeting, ...]:
    """The meetings with the instrument of the force test at a gap [m], in every weather."""
    return tuple(each for each in _with_instrument(project) if each.gap == gap)


def hardest(project: Project, gap: float) -> Meeting | None:
    """The meeting with the instrument of the force test that presses hardest; None without such a gap."""
    found = with_instrument(project, gap)
    return _most(found, lambda contact: contact.peak.greatest) if found else None


def hardest_on_hand(project: Project) -> Meeting | None:
    """The meeting with a hand that presses hardest; None where the travel has no gap for one."""
    found = _with_hand(project)
    return _most(found, lambda contact: contact.peak.greatest) if found else None


def latest_on_hand(project: Project) -> Meeting | None:
    """The meeting with a hand that the drive presses hardest by itself; None without a gap for one."""
    found = _with_hand(project)
    return _most(found, lambda contact: contact.driven) if found else None


# ---- working ----------------------------------------------------------------------------------------------


def newtons(value: float) -> Number:
    """A force put into a step."""
    return Number(value, units.FORCE)


def stiff(value: float) -> Number:
    """A stiffness put into a step."""
    return Number(value, units.STIFFNESS)


def bare(value: float) -> Number:
    """A ratio or a count put into a step."""
    return Number(value, NUMBER)


def approach_steps(met: Meeting) -> tuple[Step, ...]:
    """From the rod to the edge: leverage and speed."""
    over, contact = met.leaf.over, met.contact
    arm = abs(over.at(over.arm, contact.place))
    return (
        Step(
            symbol="n",
            formula="rho / arm",
            numbers={"rho": bare(over.edge_radius), "arm": bare(arm)},
            result=bare(over.edge_radius / arm),
            words=f"force in the rod for a newton at the edge, {met.where}",
        ),
        Step(
            symbol="v",
            formula="v_rod * n",
            numbers={"v_rod": Number(contact.rod_speed, units.SPEED), "n": bare(contact.leverage)},
            result=Number(contact.edge_speed, units.SPEED),
            words=f"speed of the edge at {_share_text(contact.duty)} of full duty",
        ),
    )


def touch_steps(met: Meeting) -> tuple[Step, ...]:
    """What the obstacle meets, up to the force at which the controller reverses."""
    return _touching(met, _touch(met))


def driven_step(met: Meeting) -> Step:
    """The greatest force that the drive gets to; its rotor may still turn as the controller decides."""
    return _pressing(met, _touch(met))[1]


def peak_steps(met: Meeting) -> tuple[Step, ...]:
    """The whole way from the rod to the greatest force."""
    touch = _touch(met)
    return (*approach_steps(met), *_touching(met, touch), *_pressing(met, touch))


@dataclass(frozen=True, slots=True)
class _Touch:
    """Stiffness that the edge meets, with or without what a soft edge gives."""

    stiffness: float
    series: float
    trip: float
    impact: float
    driven: float
    peak: PeakRange
    flat_at: float | None  # force that presses a soft edge flat, where that is exceeded [N]
    soft: bool


def _touch(met: Meeting) -> _Touch:
    """As the greatest force has it: with the soft edge as long as that is not pressed flat."""
    edge = met.leaf.edge
    soft = _forces(met, with_edge(met.obstacle, edge), soft=edge.stiffness is not None, flat_at=None)
    if edge.stiffness is None or edge.depth is None:
        return soft
    gives = edge.stiffness * edge.depth
    return soft if soft.peak.greatest <= gives else _forces(met, met.obstacle, soft=False, flat_at=gives)


def _forces(met: Meeting, stiffness: float, *, soft: bool, flat_at: float | None) -> _Touch:
    contact = met.contact
    series = series_stiffness(stiffness, met.leaf.mount, contact.leverage)
    trip = trip_force(
        contact.blind_force,
        contact.threshold,
        contact.sensitivity,
        contact.edge_speed,
        series,
        contact.delay,
        contact.stall_force,
    )
    impact = impact_force(contact.edge_speed, stiffness, contact.edge_mass)
    driven = driven_force(trip, series, met.leaf.drive.constants.efficiency, contact.rotor_energy)
    peak = contact_peak_range(impact, driven)
    return _Touch(stiffness, series, trip, impact, driven, peak, flat_at, soft)


def _touching(met: Meeting, touch: _Touch) -> tuple[Step, ...]:
    contact, constants = met.contact, met.leaf.drive.constants
    return (
        *_edge_steps(met, touch),
        Step(
            symbol="k_s",
            formula="1 / (1 / k_edge + n ** 2 / k_mount)"
            if touch.soft
            else "1 / (1 / k_obs + n ** 2 / k_mount)",
            numbers={
                ("k_edge" if touch.soft else "k_obs"): stiff(touch.stiffness),
                "n": bare(contact.leverage),
                "k_mount": stiff(met.leaf.mount),
            },
            result=stiff(touch.series),
            words="with the drive's mount behind it, felt at the edge",
        ),
        Step(
            symbol="F_trip",
            formula="min(F_blind + I_above * eta * K / n + v * k_s * t, F_stall)",
            numbers={
                "F_blind": newtons(contact.blind_force),
                "I_above": Number(contact.threshold, units.CURRENT),
                "eta": bare(constants.efficiency),
                "K": bare(constants.constant),
                "n": bare(contact.leverage),
                "v": Number(contact.edge_speed, units.SPEED),
                "k_s": stiff(touch.series),
                "t": Number(contact.delay, units.TIME),
                "F_stall": newtons(contact.stall_force),
            },
            result=newtons(touch.trip),
            words=(
                "at the edge, when the drive stands: the current never reaches the trip there"
                if met.never_trips
                else "at the edge, when the drive stands, before the controller has decided"
                if touch.trip >= contact.stall_force
                else "at the edge, when the controller reverses"
            )
            + "; K is the force along the rod for an ampere, before losses, in N/A",
        ),
    )


def _edge_steps(met: Meeting, touch: _Touch) -> tuple[Step, ...]:
    edge = met.leaf.edge
    if edge.stiffness is None:
        return ()
    if touch.flat_at is not None and edge.depth is not None:
        return (
            Step(
                symbol="F_flat",
                formula="k_soft * depth",
                numbers={"k_soft": stiff(edge.stiffness), "depth": Number(edge.depth, units.LENGTH)},
                result=newtons(touch.flat_at),
                words="presses the soft edge flat; the force gets beyond it, so that the edge counts as hard",
            ),
        )
    return (
        Step(
            symbol="k_edge",
            formula="1 / (1 / k_obs + 1 / k_soft)",
            numbers={"k_obs": stiff(met.obstacle), "k_soft": stiff(edge.stiffness)},
            result=stiff(touch.stiffness),
            words="obstacle and soft edge one behind the other",
        ),
    )


def _pressing(met: Meeting, touch: _Touch) -> tuple[Step, ...]:
    contact, name = met.contact, "k_edge" if touch.soft else "k_obs"
    parts = {"F_impact": newtons(touch.impact), "F_driven": newtons(touch.driven)}
    return (
        Step(
            symbol="F_impact",
            formula=f"v * sqrt({name} * m_edge)",
            numbers={
                "v": Number(contact.edge_speed, units.SPEED),
                name: stiff(touch.stiffness),
                "m_edge": Number(contact.edge_mass, units.MASS),
            },
            result=newtons(touch.impact),
            words="of the leaf's own mass, before any detector can act",
        ),
        Step(
            symbol="F_driven",
            formula="sqrt(F_trip ** 2 + 2 * k_s * eta * E_rotor)",
            numbers={
                "F_trip": newtons(touch.trip),
                "k_s": stiff(touch.series),
                "eta": bare(met.leaf.drive.constants.efficiency),
                "E_rotor": Number(contact.rotor_energy, units.ENERGY),
            },
            result=newtons(touch.driven),
            words="of the drive, until its rotor has come to rest",
        ),
        Step(
            symbol="F_least",
            formula="max(F_impact, F_driven) / 2.45",
            numbers=parts,
            result=newtons(touch.peak.least),
            words="hardly any simulated contact was softer",
        ),
        Step(
            symbol="F_usual",
            formula="sqrt(F_impact ** 2 + F_driven ** 2)",
            numbers=parts,
            result=newtons(touch.peak.usual),
            words="what the closed form expects",
        ),
        Step(
            symbol="F_most",
            formula="(F_impact + F_driven) / 0.89",
            numbers=parts,
            result=newtons(touch.peak.greatest),
            words="hardly any simulated contact was harder",
        ),
    )


def when_wanted(work: Callable[[Meeting], tuple[Step, ...]], met: Meeting) -> Sequence[Step]:
    """The working about a meeting, made only once somebody looks at it."""
    return WhenWanted(lambda: work(met))


def by_formula(met: Meeting) -> tuple[Step, ...]:
    """The whole way to the greatest force, or why it cannot be told."""
    if isnan(met.contact.peak.greatest):
        return (dead_centre("F_most", newtons(nan), met),)
    return peak_steps(met)


def dead_centre(symbol: str, quantity: Number, met: Meeting) -> Step:
    """The step that says that nothing can be told so near a dead centre."""
    return unknown(symbol, quantity, f"next to a dead centre the force cannot be told, {met.where}")


def unknown(symbol: str, quantity: Number, words: str) -> Step:
    """The step that says what cannot be worked out, and why."""
    return Step(
        symbol=symbol,
        formula=f"{symbol}_open",
        numbers={f"{symbol}_open": quantity},
        result=quantity,
        words=words,
    )
