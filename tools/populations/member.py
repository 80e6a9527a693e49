"""The members of a population: one description, and doors that each turned out otherwise within it."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

import numpy as np

from hutwright.assessment import case_of
from hutwright.bench.plant import sim_door
from hutwright.bench.settings import core_settings
from hutwright.checks.judging import Case
from hutwright.description.build import build
from hutwright.description.described import Described
from hutwright.description.overlay import whole
from hutwright.description.reading import parse_sheet
from hutwright.model.project import Project
from hutwright.native.records import Record
from hutwright.plant.conditions import Conditions, working_pressure
from hutwright.plant.travel import Travel, travel
from hutwright.studies.rehearse import supply_ends
from hutwright.studies.trials import drawn

DOORS = Path(__file__).parent / "doors"
POPULATIONS = ("slow_hatch", "quick_hatch", "straight_lift")
# A current sensor reads a few per cent too much or too little, the same all its life. Standing: practice
GAIN_SPREAD = 0.03  # [-]


def text_of(population: str) -> str:
    """The description that all members of a population share."""
    return (DOORS / f"{population}.toml").read_text("utf-8")


@cache
def described(population: str) -> Described:
    """That description, read."""
    return build(whole(parse_sheet(text_of(population), f"{population}.toml")))


@dataclass(frozen=True, slots=True)
class Member:
    """One door: what its builder described, and what it turned out to be.

    Attributes
    ----------
    described : Described
        What its builder knows; the settings follow from it.
    project : Project
        What it is: every unsure value somewhere within its range.
    gain : float
        Of its current sensor; 1 is true. [-]
    supply : tuple of float
        Least and greatest voltage of its supply without load. [V]
    settings : Record
        The controller's settings that follow from the description.
    """

    described: Described
    project: Project
    gain: float
    supply: tuple[float, float]
    settings: Record
    _doors: dict[tuple[int, int], Record] = field(default_factory=dict, repr=False)

    @property
    def over(self) -> Travel:
        """Its geometry."""
        return travel(self.project)

    def door(self, kelvin: int, wind: int) -> Record:
        """The simulated door at a temperature [K], in the working gust from one side (1) or the other (-1).

        The record is not to be written to; the gust blows as far as a scenario lets it.
        """
        key = kelvin, wind
        if key not in self._doors:
            gust = wind * working_pressure(self.project)
            record = sim_door(self.project, Conditions(float(kelvin), gust)).copy()
            record["sensor_gain"] = self.gain
            record.flags.writeable = False
            self._doors[key] = record
        return self._doors[key]


def member(population: str, seed: int, number: int) -> Member:
    """One member of a population.

    Parameters
    ----------
    population : str
        Which.
    seed : int
        Of the whole study. [-]
    number : int
        Of the member, from 0. [-]
    """
    found = described(population)
    case = Case(found.project, dict(case_of(found).ranges))
    project = next(
        (each for point in drawn(case.ranges, seed, number) if (each := case.moved(point)) is not None),
        found.project,
    )
    ends = supply_ends(found)
    assert ends is not None, "a population's supply has a range"
    rng = np.random.default_rng([seed, number, 77])
    return Member(
        described=found,
        project=project,
        gain=1.0 + GAIN_SPREAD * float(rng.uniform(-1.0, 1.0)),
        supply=ends,
        settings=core_settings(found.project),
    )
