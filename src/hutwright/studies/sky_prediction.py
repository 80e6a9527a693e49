"""How strongly every satellite should be heard at the moments of readings, with what was open then.

With real orbits a moment is a moment; with constellations as planned, or orbits that do not reach it, a
reading is held against the whole day. Between dry and soaked walls levels are read straight, in decibels.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import pi

import numpy as np
from numpy.typing import NDArray

from hutwright.errors import RequestError
from hutwright.evidence.sky_readings import Opened
from hutwright.laws.open_sky import open_sky_density_db
from hutwright.layout.frame import Floats, facing, hut_of, true_skyline
from hutwright.model.hut import Moisture
from hutwright.model.machine import SatelliteSystem
from hutwright.model.orbits import Orbits
from hutwright.model.project import Project
from hutwright.plant.sky.inside import Season, State, loss_db, reading
from hutwright.plant.sky.kernel import PATTERNS
from hutwright.plant.sky.readiness import DAY_OF, LOWEST_COUNTED
from hutwright.plant.sky.satellites import Sky, moments, planned_orbits, sky_over
from hutwright.plant.sky.skyline import clear_of

DAY_STEP = 1800.0  # s between the moments of a day that stands for any: ours to choose
# Of a system's satellites that must be known at a moment for its count to be one; each has 24 or more. Ours
# to choose [-]
KNOWN = 15


@dataclass(frozen=True, slots=True, eq=False)
class Levels:
    """Levels of all satellites in view over that of one overhead in the open, one after the other.

    `dry` and `wet` are for dry and soaked walls [dB]; `moment` says at which of `moments` moments each is,
    `shared` whether the roof antenna is clear to hear it too.
    """

    dry: Floats
    wet: Floats
    moment: NDArray[np.intp]
    moments: int
    shared: NDArray[np.bool_]

    def at(self, wetness: float) -> Floats:
        """Levels with walls so far on the way from dry to soaked [- -> dB]."""
        return (1.0 - wetness) * self.dry + wetness * self.wet

    def summed(self, values: Floats) -> Floats:
        """Sum over the satellites of each moment [the values' own]."""
        return np.asarray(np.bincount(self.moment, weights=values, minlength=self.moments), dtype=float)

    def both(self) -> Levels:
        """Those that the roof antenna is clear to hear too."""
        own = self.shared
        return Levels(self.dry[own], self.wet[own], self.moment[own], self.moments, own[own])


def lacking(
    project: Project, orbits: Orbits | None, epochs: Sequence[float]
) -> tuple[tuple[SatelliteSystem, ...], ...]:
    """Which of the receiver's systems the orbits do not know well enough at each moment.

    Parameters
    ----------
    project : Project
        The project.
    orbits : Orbits or None
        Real orbits, or none.
    epochs : Sequence
        Moments, GPS time since 1980-01-06. [s]
    """
    systems = _systems(project)
    if orbits is None or orbits.nominal or not epochs:
        return tuple(systems for _ in epochs)
    sky = _over(project, orbits, np.asarray(epochs))
    known = np.isfinite(sky.elevation)
    enough = np.stack([known[:, sky.of([each])].sum(axis=1) >= KNOWN for each in systems], axis=1)
    return tuple(
        tuple(each for each, good in zip(systems, row, strict=True) if not good) for row in enough.tolist()
    )


def levels_at(project: Project, opened: Opened, orbits: Orbits, epochs: Floats) -> Levels:
    """Levels at some moments.

    Parameters
    ----------
    project : Project
        The project.
    opened : Opened
        What was open.
    orbits : Orbits
        The orbits.
    epochs : array
        Moments, GPS time since 1980-01-06. [s]
    """
    sky = _over(project, orbits, epochs)
    clear = clear_of(sky, true_skyline(project, project.site.skyline), least=LOWEST_COUNTED)
    clear &= sky.of(_systems(project))
    where = reading(sky.azimuth - (facing(project) + pi), sky.elevation)
    up = np.sin(np.maximum(np.nan_to_num(sky.elevation), 0.0))
    machine = project.machine
    if machine is None or machine.antenna is None:
        raise RequestError("this needs the machine's antenna; describe machine.antenna first")
    pattern = open_sky_density_db(PATTERNS[machine.antenna.pattern](up), 0.0)
    dry, wet = (
        (pattern + where.of(_loss(project, opened, moisture)))[clear].astype(float)
        for moisture in (Moisture.DRY, Moisture.WET)
    )
    shared = np.ones(clear.shape, dtype=bool)
    if project.roof_antenna is not None:
        skyline = true_skyline(project, project.roof_antenna.skyline)
        shared = clear_of(sky, skyline, least=LOWEST_COUNTED)
    return Levels(dry, wet, np.nonzero(clear)[0], len(clear), shared[clear])


def levels_of_a_day(project: Project, opened: Opened) -> Levels:
    """Levels over a day of the constellations as planned.

    Parameters
    ----------
    project : Project
        The project.
    opened : Opened
        What was open.
    """
    orbits = planned_orbits(_systems(project))
    return levels_at(project, opened, orbits, moments(DAY_OF, step=DAY_STEP))


def roof_openings(project: Project) -> frozenset[str]:
    """Names of the described openings in the roof."""
    return frozenset(
        name for name, each in project.openings.items() if each.place.face.value.startswith("roof")
    )


def _loss(project: Project, opened: Opened, moisture: Moisture) -> Floats:
    hut = hut_of(project)
    walls = replace(hut.walls, moisture=moisture)
    roof = replace(hut.roof, build_up="") if opened.roof_off else hut.roof
    built = replace(project, hut=replace(hut, walls=walls, roof=roof))
    named = roof_openings(project)
    shut = named if opened.roof_off else frozenset() if opened.openings is None else named - opened.openings
    return loss_db(built, State(season=Season.DESCRIBED, is_open=opened.door, closed=shut))


def _over(project: Project, orbits: Orbits, epochs: Floats) -> Sky:
    place = project.site.place
    if place is None:
        raise RequestError("this needs the hut's place on the globe; describe site.place first")
    return sky_over(place, orbits, epochs)


def _systems(project: Project) -> tuple[SatelliteSystem, ...]:
    machine = project.machine
    if machine is None or machine.receiver is None:
        raise RequestError("this needs the machine's receiver; describe machine.receiver first")
    return machine.receiver.systems
