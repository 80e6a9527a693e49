"""Simulated moves of a door, drawn over weather, supply and noise."""

from __future__ import annotations

from functools import cache

import numpy as np

from hutwright.bench.played_moves import Setting, played_cycle
from hutwright.description.described import Described
from hutwright.evidence.trace import Trace
from hutwright.laws.copper import CELSIUS_ZERO
from hutwright.plant.conditions import nominal
from hutwright.studies.rehearse import stage_of
from tests.described import orchard, sports_field

DOORS = {"orchard": orchard, "sports_field": sports_field}


@cache
def door(name: str) -> Described:
    """One of the demos, the same object each time."""
    return DOORS[name]()


def drawn(name: str, cycles: int, celsius: tuple[float, float], *, seed: int = 1) -> tuple[Trace, ...]:
    """Openings and closings with nothing in the way, each in weather and with a battery of its own."""
    return _drawn(name, cycles, celsius, seed)


@cache
def _drawn(name: str, cycles: int, celsius: tuple[float, float], seed: int) -> tuple[Trace, ...]:
    described, rng = door(name), np.random.default_rng(seed)
    ends = stage_of(described).voltages
    found: list[Trace] = []
    for cycle in range(1, cycles + 1):
        kelvin = CELSIUS_ZERO + rng.uniform(*celsius)
        # the upper half of the supply's range: below that the controller may refuse to start
        volts = None if ends is None else rng.uniform(0.5 * (ends[0] + ends[1]), ends[1])
        weather = nominal(described.project)._replace(temperature=float(kelvin))
        setting = Setting(weather, None if volts is None else float(volts), seed=1000 * seed + cycle)
        found += played_cycle(described.project, setting, cycle=cycle)
    return tuple(found)
