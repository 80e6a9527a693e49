"""The full wave beside the integral, for the hut as described and for the windows that were found.

Both are asked for the antenna at the middle of where it may be, and both are read in the same way over the
same day, so that what is between them is the method alone.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from hutwright.description.build import rebuild
from hutwright.description.described import Described
from hutwright.errors import Cancel, Progress, RequestError, StoppedError, stopped
from hutwright.laws.open_sky import open_sky_density_db
from hutwright.layout.frame import Floats
from hutwright.model.machine import AntennaPattern
from hutwright.model.project import Project
from hutwright.native.full_wave import full_wave
from hutwright.plant.sky.field import field_ratio
from hutwright.plant.sky.inside import FLOOR_DB, Season, State, dome, inside_sums, weather_of
from hutwright.plant.sky.kernel import PATTERNS
from hutwright.plant.sky.readiness import (
    LOWEST_COUNTED,
    Flags,
    accuracy,
    day,
    dilution_of,
    doubt_db,
    roof_hears,
    room_db,
    rule_of,
)
from hutwright.plant.sky.wave_accuracy import wave_accuracy
from hutwright.studies.placement import Placement

COMPARED_DB = -10.0  # weaker directions by the full wave are left out of the differences [dB]
PARTS = 100  # of one run, of which progress is told
STATES = (
    State(),
    State(season=Season.RAIN),
    State(season=Season.THAW),
    State(is_open=True),
)
RAIN = STATES[1]


@dataclass(frozen=True, kw_only=True, slots=True)
class Reckoning:
    """What one method makes of a day.

    Attributes
    ----------
    count : float
        Satellites that count, mean over the day. [-]
    fewest : float
        The same with all levels as low as the method's accuracy allows. [-]
    most : float
        And as high. [-]
    ready : float
        Share of the day in which the machine could start. [-]
    ready_least : float
        As for `fewest`. [-]
    ready_most : float
        As for `most`. [-]
    accuracy : str
        How good the method is for such a hut, in words.
    """

    count: float
    fewest: float
    most: float
    ready: float
    ready_least: float
    ready_most: float
    accuracy: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Both:
    """Full wave and integral for one hut in one state.

    Attributes
    ----------
    windows : int or None
        How many roof windows were placed; None for the hut as described. [-]
    state : State
        The hut's state.
    side : float
        Side of the full wave's cells. [m]
    integral : Reckoning
        By the integral.
    full_wave : Reckoning
        By the full wave.
    rms_db : float
        Of the integral's levels over the full wave's, where the latter is over `COMPARED_DB` and a satellite
        could count; NaN where it never is. [dB]
    mean_db : float
        Their mean. [dB]
    """

    windows: int | None
    state: State
    side: float
    integral: Reckoning
    full_wave: Reckoning
    rms_db: float
    mean_db: float

    @property
    def differ(self) -> bool:
        """Whether the integral's count lies outside of what the full wave's accuracy allows."""
        wave = self.full_wave
        return not wave.fewest - 0.5 <= self.integral.count <= wave.most + 0.5

    @property
    def count(self) -> tuple[float, float]:
        """Satellites that count: the full wave's twice, or the two methods' where they differ [-]."""
        wave, integral = self.full_wave.count, self.integral.count
        return (min(wave, integral), max(wave, integral)) if self.differ else (wave, wave)

    @property
    def ready(self) -> tuple[float, float]:
        """Share of the day ready: what the full wave allows, and the integral where they differ [-]."""
        wave = self.full_wave
        if not self.differ:
            return wave.ready_least, wave.ready_most
        integral = self.integral.ready
        return min(wave.ready_least, integral), max(wave.ready_most, integral)


@dataclass(frozen=True, kw_only=True, slots=True)
class Confirmation:
    """What came of asking the full wave.

    Attributes
    ----------
    asked : int
        How many huts and states it was asked for. [-]
    found : tuple
        What was done of them.
    left_out : tuple
        Why others could not be.
    other_pattern : bool
        Whether the described antenna hears otherwise than the full wave's, which is a small patch.
    """

    asked: int
    found: tuple[Both, ...]
    left_out: tuple[str, ...]
    other_pattern: bool

    @property
    def complete(self) -> bool:
        """Whether it went to its end; False where it was cancelled."""
        return len(self.found) + len(self.left_out) == self.asked


def confirm(
    described: Described,
    placement: Placement | None = None,
    *,
    progress: Progress | None = None,
    cancel: Cancel | None = None,
) -> Confirmation:
    """Ask the full wave for the hut as described, and in rain for the windows that were found.

    What was worked out before is remembered.

    Parameters
    ----------
    described : Described
        The description.
    placement : Placement or None
        Roof windows that were found.
    progress : Callable or None
        Is told how many parts of how many are done, about five times a second.
    cancel : Cancel or None
        Ends it early; what was done by then is given.

    Raises
    ------
    RequestError
        Where what readiness needs is not described.
    """
    asked = list(_asked(described, placement))
    found: list[Both] = []
    left_out: list[str] = []
    for number, (windows, project, state) in enumerate(asked):
        if stopped(cancel):
            break
        told = None if progress is None else _Part(progress, number, len(asked))
        try:
            found.append(both(project, state, windows=windows, progress=told, cancel=cancel))
        except StoppedError:
            break
        except RequestError as error:
            left_out.append(f"{state_text(state)}: {error}")
    machine = described.project.machine
    antenna = None if machine is None else machine.antenna
    return Confirmation(
        asked=len(asked),
        found=tuple(found),
        left_out=tuple(left_out),
        other_pattern=antenna is not None and antenna.pattern is not AntennaPattern.PATCH,
    )


def _asked(described: Described, placement: Placement | None) -> Iterator[tuple[int | None, Project, State]]:
    """Huts and states, what is soonest done first."""
    wet = []
    for state in STATES:
        if state.is_open and described.project.door is None:
            continue
        entry = (None, described.project, state)
        if state == RAIN:
            wet.append(entry)
        else:
            yield entry
    yield from wet
    for layout in () if placement is None else placement.layouts:
        project = rebuild(described, layout.changes).project if layout.changes else described.project
        yield len(layout.windows), project, RAIN


def state_text(state: State) -> str:
    """A state in words."""
    door = "door open" if state.is_open else "door shut"
    return door if state.season is Season.DESCRIBED else f"{door}, {state.season.value}"


class _Part:
    """Tells the progress of one run as a part of that of all."""

    def __init__(self, progress: Progress, number: int, runs: int) -> None:
        self.progress, self.before, self.all = progress, PARTS * number, PARTS * runs

    def __call__(self, done: int, of: int) -> None:
        self.progress(self.before + min(PARTS - 1, PARTS * done // max(1, of)), self.all)


# ---- one hut in one state ---------------------------------------------------------------------------------


def both(
    project: Project,
    state: State,
    *,
    windows: int | None = None,
    progress: Progress | None = None,
    cancel: Cancel | None = None,
) -> Both:
    """Full wave and integral for one hut in one state.

    Parameters
    ----------
    project : Project
        The project.
    state : State
        The hut's state; every opening counts as cut.
    windows : int or None
        How many roof windows were placed, for the record. [-]
    progress : Callable or None
        Is told steps done, of how many as a rule.
    cancel : Cancel or None
        Looked at as often.

    Raises
    ------
    StoppedError
        Once it is cancelled.
    RequestError
        Where it cannot be done for this hut.
    """
    good = wave_accuracy(project, state)
    by_integral = integral_levels_db(project, state)
    heard = full_wave(
        project,
        dome().toward,
        weather=weather_of(project, state.season),
        open_by=1.0 if state.is_open else 0.0,
        side=good.side,
        progress=progress,
        cancel=cancel,
    )
    by_wave = _decibels(heard.power)
    compared = (by_wave > COMPARED_DB) & (dome().toward[:, 2] >= np.sin(LOWEST_COUNTED))
    off = (by_integral - by_wave)[compared]
    return Both(
        windows=windows,
        state=state,
        side=good.side,
        integral=reckoning(project, by_integral, doubt_db(project, state), accuracy(project, state).words),
        full_wave=reckoning(project, by_wave, (-good.within_db, good.within_db), good.words),
        rms_db=float(np.sqrt((off**2).mean())) if compared.any() else float("nan"),
        mean_db=float(off.mean()) if compared.any() else float("nan"),
    )


def integral_levels_db(project: Project, state: State) -> Floats:
    """Level by the integral over that with no hut, the antenna at the middle of where it may be [dB].

    Parameters
    ----------
    project : Project
        The project.
    state : State
        The hut's state.

    Raises
    ------
    RequestError
        Where how far the door opens is not described.
    """
    sums = inside_sums(project)
    if state.is_open and len(sums.leaf_poses) < 2:
        raise RequestError("how far the door opens is not described; describe [door] with its travel first")
    leaf = int(state.is_open) if sums.leaf_poses else None
    ratio = field_ratio(project, sums, weather_of(project, state.season), leaf=leaf, closed=state.closed)
    return _decibels(np.abs(ratio[0].astype(complex)) ** 2)  # the first of the antenna's places


def _decibels(power: Floats) -> Floats:
    """Levels, those that are no fact by the integral as its floor has them [dB]."""
    return np.asarray(10.0 * np.log10(np.maximum(power, 10.0 ** (FLOOR_DB / 10.0))))


def reckoning(project: Project, levels_db: Floats, doubt: tuple[float, float], words: str) -> Reckoning:
    """What levels make of a day.

    Parameters
    ----------
    project : Project
        The project.
    levels_db : array
        Level inside over that with no hut, by direction of the grid. [dB]
    doubt : tuple
        How much louder all of it may be, least and most. [dB]
    words : str
        How good the method is.
    """
    least, at, most = (_heard(project, levels_db + louder) for louder in (doubt[0], 0.0, doubt[1]))
    count, ready = _day(project, at)
    (fewest, ready_least), (largest, ready_most) = _day(project, least), _day(project, most)
    return Reckoning(
        count=count,
        fewest=min(count, fewest),
        most=max(count, largest),
        ready=ready,
        ready_least=min(ready, ready_least),
        ready_most=max(ready, ready_most),
        accuracy=words,
    )


def _heard(project: Project, levels_db: Floats) -> Flags:
    """Which satellites count at each moment of the day."""
    over, machine, roof = day(project), project.machine, roof_hears(project)
    if machine is None or machine.antenna is None:
        raise RequestError("this needs the machine's antenna; describe machine.antenna first")
    up = np.sin(np.maximum(np.nan_to_num(over.sky.elevation), 0.0))
    pattern = open_sky_density_db(PATTERNS[machine.antenna.pattern](up), 0.0)
    flags = (pattern + over.inside.of(levels_db) >= -room_db(project)) & over.clear
    return flags if roof is None else np.asarray(flags & roof)


def _day(project: Project, flags: Flags) -> tuple[float, float]:
    """Mean count, and share of the day in which the machine could start [-]."""
    rule, counts = rule_of(project), flags.sum(axis=1)
    enough = counts >= rule.satellites
    if not enough.any():
        return float(counts.mean()), 0.0
    spread = dilution_of(day(project), flags) <= rule.pdop
    return float(counts.mean()), float(np.mean(enough & spread))
