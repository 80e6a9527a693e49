"""Orbits, readings and incidents for the tests of what readings say."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np

from hutwright.evidence.sky_readings import AS_DESCRIBED, Incident, Opened, SkyReading
from hutwright.model.machine import SatelliteSystem
from hutwright.model.orbits import Orbits
from hutwright.plant.sky.readiness import DAY_OF, room_db
from hutwright.plant.sky.satellites import planned_orbits
from hutwright.studies.readings_likelihood import COUNT_SCATTER, SIGNAL_SCATTER_DB, expected
from hutwright.studies.sky_prediction import Levels, levels_at
from tests.described import orchard

HUT = orchard({"machine.parked.error": "0 mm"})
PROJECT = HUT.project
SYSTEMS = tuple(SatelliteSystem)  # all that the receiver uses
OVERHEAD_DB = 45.0  # as the description assumes it
CLOSED = Opened(frozenset(), door=False, roof_off=False)
WITH_DOOR = Opened(None, door=True, roof_off=False)
NO_ROOF = Opened(frozenset(), door=False, roof_off=True)
KINDS = (CLOSED, AS_DESCRIBED, WITH_DOOR, NO_ROOF)


@cache
def real_orbits() -> Orbits:
    """Constellations that pose as records of one day."""
    planned = planned_orbits(SYSTEMS)
    groups = tuple(replace(each, epochs=np.full(len(each.satellites), DAY_OF)) for each in planned.elements)
    return replace(planned, origin="almanac made up", nominal=False, elements=groups)


@cache
def levels(opened: Opened, count: int, seed: int) -> tuple[tuple[float, ...], Levels]:
    """Moments within ten days by chance, and the levels then."""
    epochs = DAY_OF + 864_000.0 * np.random.default_rng([seed, count]).random(count)
    return tuple(epochs.tolist()), levels_at(PROJECT, opened, real_orbits(), epochs)


def simulated(
    count: int, seed: int, threshold_db: float, wetness: float, bias: float, *, signals: bool
) -> list[SkyReading]:
    """So many readings of each kind, with errors as the model has them."""
    chance = np.random.default_rng(seed)
    found: list[SkyReading] = []
    for opened in KINDS:
        epochs, there = levels(opened, count, seed)
        counts, means = expected(there, OVERHEAD_DB - threshold_db, wetness)
        counts = counts + bias + chance.normal(0.0, COUNT_SCATTER, count)
        means = OVERHEAD_DB + means + chance.normal(0.0, SIGNAL_SCATTER_DB, count)
        for number, epoch in enumerate(epochs):
            signal = float(means[number]) if signals else None
            seen = max(0, round(float(counts[number])))
            found.append(SkyReading(len(found) + 2, epoch, opened, seen, signal))
    return found


def starts(count: int, seed: int, rise: float) -> list[Incident]:
    """So many starts, whose logit rises so much for each satellite that should have counted."""
    epochs, there = levels(AS_DESCRIBED, count, seed)
    counts, _ = expected(there.both(), room_db(PROJECT), 0.0)
    logit = rise * (counts - np.median(counts))
    came = np.random.default_rng(seed).random(count) < 1.0 / (1.0 + np.exp(-logit))
    return [
        Incident(number + 2, epoch, AS_DESCRIBED, bool(started))
        for number, (epoch, started) in enumerate(zip(epochs, came, strict=True))
    ]
