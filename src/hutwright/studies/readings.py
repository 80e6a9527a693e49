"""What readings of the sky say of the receiver's threshold, the wetness of the walls and the count's bias.

Maximum likelihood over a grid of all that is possible, with intervals from the profile of the likelihood: a
value is in the interval as long as the best that the others can do with it is less than 1.92 below the best
of all, in the logarithm. A reading without a moment, or beyond the orbits, stands for any moment of a day.
The model of errors stands in `readings_likelihood`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from math import log10, sqrt

import numpy as np

from hutwright import units
from hutwright.errors import RequestError
from hutwright.evidence.sky_readings import Opened, SkyReading
from hutwright.laws.gnss_time import utc_from_gps
from hutwright.model.machine import Receiver
from hutwright.model.orbits import Orbits
from hutwright.model.paths import Keys
from hutwright.model.project import Project
from hutwright.studies.readings_likelihood import (
    BIASES,
    ROOMS,
    WETNESSES,
    Fitted,
    Grid,
    Sighting,
    likelihood,
    profile,
    zoomed,
)
from hutwright.studies.sky_prediction import lacking, levels_at, levels_of_a_day

COARSE, FINE = (26, 6), (31, 21)  # points of the grid: rooms and wetnesses: ours to choose
FAR = 20.0  # of twice the logarithm below the best; what is farther off is not looked at finely [-]
# Where all of an interval of the wetness must lie for walls to be called dry or wet: ours to choose [-]
DRY_BELOW, WET_ABOVE = 1.0 / 3.0, 2.0 / 3.0
TANGLED = 0.9  # correlation from which two things cannot be told apart: ours to choose [-]
MOST_READINGS = 2_000  # in one fit; more take long and say nothing new: ours to choose
LEAST_READINGS = 3  # as many as there are unknowns


@dataclass(frozen=True, kw_only=True, slots=True)
class ReadingsFit:
    """What the readings say.

    Attributes
    ----------
    threshold_db : Fitted
        Carrier to noise density from which a satellite counts. [dB-Hz]
    overhead_db : Fitted or None
        That of a satellite overhead in the open; None where no signal was written down. [dB-Hz]
    wetness : Fitted
        How far the walls are on the way from dry, 0, to soaked, 1. [-]
    bias : Fitted
        Satellites that the machine counts too many. [-]
    readings : int
        How many readings there are. [-]
    at_moments : int
        How many of them could be held against real orbits. [-]
    misfit : float
        Mean square of the differences over that of the errors; near 1 where the model fits. [-]
    correlations : Mapping
        Of each two of the fitted values. [-]
    doubts : tuple
        What cannot be told apart or was not fitted, in sentences.
    changes : Mapping
        What hut.toml would have to be changed by; nothing is changed here.
    """

    threshold_db: Fitted
    overhead_db: Fitted | None
    wetness: Fitted
    bias: Fitted
    readings: int
    at_moments: int
    misfit: float
    correlations: Mapping[tuple[str, str], float]
    doubts: tuple[str, ...]
    changes: Mapping[Keys, object]


def fit_readings(
    project: Project, readings: Sequence[SkyReading], orbits: Orbits | None = None, *, file: str = "sky.csv"
) -> ReadingsFit:
    """What readings say of threshold, wetness and bias.

    Parameters
    ----------
    project : Project
        The project, with its openings as described.
    readings : Sequence
        The readings.
    orbits : Orbits or None
        Real orbits of those days, where there are any.
    file : str
        What to call the readings in the notes.

    Raises
    ------
    RequestError
        Where there are too few or too many readings, or something that this needs is not described.
    """
    if not LEAST_READINGS <= len(readings) <= MOST_READINGS:
        raise RequestError(
            f"{len(readings)} readings were given; a fit of three unknowns needs {LEAST_READINGS} to "
            f"{MOST_READINGS} of them, at best with the roof closed, a window open and the roof off"
        )
    receiver = _receiver(project)
    sightings, at_moments = _sightings(project, readings, orbits)
    overhead_db = 10.0 * log10(receiver.overhead)
    rooms, wetnesses = np.linspace(*ROOMS, COARSE[0]), np.linspace(*WETNESSES, COARSE[1])
    grid = likelihood(sightings, rooms, wetnesses)
    near = np.argwhere(grid.worst <= grid.worst.min() + FAR)
    rooms = zoomed(rooms, near[:, 0], FINE[0])
    wetnesses = zoomed(wetnesses, near[:, 1], FINE[1])
    return _told(project, likelihood(sightings, rooms, wetnesses), overhead_db, readings, at_moments, file)


def _receiver(project: Project) -> Receiver:
    if project.machine is None or project.machine.receiver is None:
        raise RequestError("this needs the machine's receiver; describe machine.receiver first")
    return project.machine.receiver


# ---- what should be seen ----------------------------------------------------------------------------------


def _sightings(
    project: Project, readings: Sequence[SkyReading], orbits: Orbits | None
) -> tuple[list[Sighting], int]:
    """The readings by what was open, those with a moment that the orbits reach apart from the others."""
    timed = [each for each in readings if each.epoch is not None]
    gaps = lacking(project, orbits, [each.epoch for each in timed if each.epoch is not None])
    reached = {id(each) for each, gap in zip(timed, gaps, strict=True) if not gap}
    groups: dict[tuple[Opened, bool], list[SkyReading]] = {}
    for each in readings:
        groups.setdefault((each.opened, id(each) in reached), []).append(each)
    found = []
    for (opened, at_moment), own in groups.items():
        if at_moment and orbits is not None:
            epochs = np.array([each.epoch for each in own], dtype=float)
            levels = levels_at(project, opened, orbits, epochs)
        else:
            levels = levels_of_a_day(project, opened)
        counts = np.array([np.nan if each.satellites is None else each.satellites for each in own])
        signals = np.array([np.nan if each.signal_db is None else each.signal_db for each in own])
        found.append(Sighting(levels, counts, signals, not at_moment))
    return found, len(reached)


# ---- what follows -----------------------------------------------------------------------------------------


def _told(
    project: Project,
    grid: Grid,
    overhead_db: float,
    readings: Sequence[SkyReading],
    at_moments: int,
    file: str,
) -> ReadingsFit:
    heard_signals = bool(grid.overhead_weight.max() > 0.0)
    threshold, overhead = _threshold(grid, overhead_db, heard_signals=heard_signals)
    wetness = profile(grid.wetnesses, grid.worst.min(axis=0), WETNESSES)
    biases = np.linspace(*BIASES, 641)
    off = (biases[:, None, None] - grid.bias) ** 2 * grid.bias_weight
    bias = profile(biases, (grid.free + off).min(axis=(1, 2)), BIASES)
    known = sum(each.satellites is not None for each in readings)
    heard = sum(each.signal_db is not None for each in readings)
    unknowns = 3 + heard_signals
    best = np.unravel_index(int(grid.worst.argmin()), grid.worst.shape)
    freedom = max(1, known + heard - unknowns)
    fit = ReadingsFit(
        threshold_db=threshold,
        overhead_db=overhead,
        wetness=wetness,
        bias=bias,
        readings=len(readings),
        at_moments=at_moments,
        misfit=float(grid.squares[best]) / freedom,
        correlations=_correlations(grid, overhead_db, heard_signals=heard_signals),
        doubts=(),
        changes={},
    )
    changes = changes_of(project, fit, readings, file)
    return replace(fit, doubts=tuple(_doubts(fit, readings, freedom)), changes=changes)


def _threshold(grid: Grid, overhead_db: float, *, heard_signals: bool) -> tuple[Fitted, Fitted | None]:
    """The threshold, and the level overhead where signals tell of it."""
    if not heard_signals:
        room = profile(grid.rooms, grid.worst.min(axis=1), ROOMS)
        low, high = overhead_db - room.high, overhead_db - room.low
        return Fitted(value=overhead_db - room.value, low=low, high=high, bounded=room.bounded), None
    middle = grid.overhead[grid.worst <= grid.worst.min() + FAR]
    around = 4.0 / sqrt(float(grid.overhead_weight.max())) + 1.0
    possible = np.linspace(float(middle.min()) - around, float(middle.max()) + around, 201)
    off = (possible[:, None, None] - grid.overhead) ** 2 * grid.overhead_weight
    overhead = profile(possible, (grid.worst + off).min(axis=(1, 2)), (-np.inf, np.inf))
    thresholds = np.linspace(possible[0] - grid.rooms[-1], possible[-1] - grid.rooms[0], 301)
    own = grid.overhead - grid.rooms[:, None]
    off = (thresholds[:, None, None] - own) ** 2 * grid.overhead_weight
    room = profile(grid.rooms, grid.worst.min(axis=1), ROOMS)
    found = profile(thresholds, (grid.worst + off).min(axis=(1, 2)), (-np.inf, np.inf))
    return replace(found, bounded=found.bounded and room.bounded), overhead


def _correlations(grid: Grid, overhead_db: float, *, heard_signals: bool) -> dict[tuple[str, str], float]:
    """Correlation of each two fitted values over all that is likely."""
    weight = np.exp(-0.5 * (grid.worst - grid.worst.min()))
    weight /= weight.sum()
    overhead = grid.overhead if heard_signals else np.full(grid.worst.shape, overhead_db)
    middles = {
        "threshold": overhead - grid.rooms[:, None],
        "wetness": np.broadcast_to(grid.wetnesses, grid.worst.shape),
        "bias": grid.bias,
    }
    own = {"threshold": 0.0, "wetness": 0.0, "bias": float(np.sum(weight / grid.bias_weight.clip(1e-9)))}
    if heard_signals:
        own["threshold"] = float(np.sum(weight / grid.overhead_weight))
    means = {name: float(np.sum(weight * each)) for name, each in middles.items()}
    spreads = {
        name: float(np.sum(weight * (each - means[name]) ** 2)) + own[name] for name, each in middles.items()
    }
    found = {}
    for one, other in (("threshold", "wetness"), ("threshold", "bias"), ("wetness", "bias")):
        shared = float(np.sum(weight * (middles[one] - means[one]) * (middles[other] - means[other])))
        scale = sqrt(spreads[one] * spreads[other])
        found[one, other] = shared / scale if scale > 0.0 else 0.0
    return found


def _doubts(fit: ReadingsFit, readings: Sequence[SkyReading], freedom: int) -> Iterator[str]:
    if fit.overhead_db is None:
        yield (
            "Threshold and the level of a satellite overhead cannot be told apart by counts: only the "
            "difference counts. The threshold is given for the described level overhead; signals, written "
            "down beside the counts, would part the two."
        )
    for (one, other), value in fit.correlations.items():
        if abs(value) >= TANGLED:
            yield f"{one} and {other} cannot be told apart by these readings (correlation {value:+.2f})."
    for name, each in (("threshold", fit.threshold_db), ("wetness", fit.wetness), ("bias", fit.bias)):
        if not each.bounded:
            yield f"One end of the interval of the {name} is what is possible at all, not what was read."
    kinds = {each.opened for each in readings}
    if len(kinds) == 1:
        yield (
            "All readings were taken with the same things open; some with the roof off or closed, and with "
            "the door open, would tell threshold, wetness and bias apart."
        )
    if fit.at_moments < len(readings):
        yield (
            f"{len(readings) - fit.at_moments} of {len(readings)} readings are held against a whole day of "
            "the constellations as planned, for want of a time or of orbits of all systems within 30 days."
        )
    if fit.misfit > 1.0 + 3.0 * sqrt(2.0 / freedom):
        yield (
            f"The readings scatter more than the model allows ({fit.misfit:.1f} times the variance): "
            "something else changed between them, and the intervals are too narrow."
        )
    yield (
        "Wetness also takes up what the method misses: it is up to 5 satellites low for soaked timber, so "
        "that walls may be wetter than the fit says."
    )


def changes_of(
    project: Project, fit: ReadingsFit, readings: Sequence[SkyReading], file: str
) -> dict[Keys, object]:
    """What hut.toml would have to be changed by: values, and their marks as measured.

    Parameters
    ----------
    project : Project
        The project.
    fit : ReadingsFit
        What the readings say.
    readings : Sequence
        The readings.
    file : str
        What to call them.
    """
    note = f"fitted to {len(readings)} readings in {file}{_days(readings)}"
    found: dict[Keys, object] = {}
    receiver = ("machine", "receiver")
    if fit.threshold_db.bounded:
        found[(*receiver, "threshold")] = _density(fit.threshold_db)
        found["measured", "machine.receiver.threshold"] = note
        if fit.overhead_db is not None:
            found[(*receiver, "overhead")] = _density(fit.overhead_db)
            found["measured", "machine.receiver.overhead"] = note
        else:
            overhead = _receiver(project).overhead
            found[(*receiver, "overhead")] = units.write_as(overhead, units.CARRIER_TO_NOISE, "dB-Hz")
    if fit.wetness.high < DRY_BELOW or fit.wetness.low > WET_ABOVE:
        found["hut", "walls", "moisture"] = "dry" if fit.wetness.high < DRY_BELOW else "wet"
        found["measured", "hut.walls.moisture"] = note
    return found


def _density(fitted: Fitted) -> str:
    low, high = round(fitted.low, 1), round(fitted.high, 1)
    return f"{low:.1f}..{high:.1f} dB-Hz" if low < high else f"{low:.1f} dB-Hz"


def _days(readings: Sequence[SkyReading]) -> str:
    """The days of the readings, in UTC; "" where none has a time."""
    epochs = [each.epoch for each in readings if each.epoch is not None]
    if not epochs:
        return ""
    start = datetime(1980, 1, 6, tzinfo=UTC)
    first, last = (
        (start + timedelta(seconds=float(utc_from_gps(each)))).date().isoformat()
        for each in (min(epochs), max(epochs))
    )
    return f", {first}" if first == last else f", {first} to {last}"
