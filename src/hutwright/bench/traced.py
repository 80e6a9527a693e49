"""A move of the simulated door as the trace that somebody would have recorded of it."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from hutwright.bench.electrics import DIVIDER_ROOM, SUPPLY_NOISE, sensing, supply_voltage
from hutwright.bench.free import REST, asked_at_button, gust, settings_with_button
from hutwright.bench.plant import sim_door
from hutwright.errors import RequestError
from hutwright.evidence.trace import Floats, Trace, Way
from hutwright.model.project import Project
from hutwright.native import engine
from hutwright.native.records import Record
from hutwright.native.scenario import Event, scenario
from hutwright.native.words import Mode
from hutwright.plant.conditions import Conditions

PER_MILLE = 1e-3
LONGEST = 60.0  # of a move at a plain switch: as long as the controller may let one last at all [s]


class Instrument(NamedTuple):
    """What a recording is made with: noise as standard deviations of one reading, and steps; 0 for none."""

    current_noise: float  # [A]
    current_step: float  # [A]
    supply_noise: float  # [V]
    supply_step: float  # [V]
    place_noise: float = 0.0  # of the travel [-]


def board_instrument(project: Project) -> Instrument:
    """The board's own sensor, converter and divider, with the noise and steps that the bench gives them.

    Parameters
    ----------
    project : Project
        The project; without a current sensor the current is as it is.
    """
    found = sensing(project)
    step = DIVIDER_ROOM * supply_voltage(project) / 1024.0
    noise, counts = (0.0, 0.0) if found is None else (found.noise, found.step)
    return Instrument(noise, counts, SUPPLY_NOISE * step, step)


def commanded_move(
    project: Project,
    conditions: Conditions,
    *,
    way: Way,
    cycle: int = 1,
    seed: int = 1,
    every: int = 1,
    events: tuple[Event, ...] = (),
    instrument: Instrument | None = None,
) -> Trace:
    """A move under the controller, asked for at a button, recorded from its first duty to its last, with it.

    Parameters
    ----------
    project : Project
        The project, with door, linkage, drive and controller.
    conditions : Conditions
        In what weather.
    way : Way
        Which way.
    cycle : int
        Number of the cycle. [-]
    seed : int
        Of all noise. [-]
    every : int
        Milliseconds from row to row. [ms]
    events : tuple of Event
        What happens besides, an obstacle for one.
    instrument : Instrument or None
        What it is recorded with; the board's own where none is given.

    Raises
    ------
    RequestError
        Where door, linkage, drive or controller is not described, or the leaf did not move.
    """
    settings = settings_with_button(project, sensed=True)
    opening = way is Way.OPENING
    record = asked_at_button(settings, (*gust(conditions), *events), opening=opening, seed=seed)
    door = sim_door(project, conditions)
    run = engine.run(door, settings, record, every=every)
    rows = _driven(run.rows, 1.0 if opening else -1.0)
    reached = int(run.result["end_mode"]) == (Mode.OPEN if opening else Mode.SHUT)
    tool = board_instrument(project) if instrument is None else instrument
    return _recorded(rows, door, tool, way=way, cycle=cycle, reached=reached, seed=seed, commanded=True)


def switched_move(
    project: Project,
    conditions: Conditions,
    *,
    way: Way,
    cycle: int = 1,
    seed: int = 1,
    every: int = 1,
    instrument: Instrument | None = None,
) -> Trace:
    """A move at a plain switch, the whole voltage at once and no controller, up to where the leaf arrives.

    Parameters
    ----------
    project : Project
        The project, with door, linkage and drive.
    conditions : Conditions
        In what weather.
    way : Way
        Which way.
    cycle : int
        Number of the cycle. [-]
    seed : int
        Of all noise. [-]
    every : int
        Milliseconds from row to row. [ms]
    instrument : Instrument or None
        What it is recorded with; the board's own where none is given.

    Raises
    ------
    RequestError
        Where door, linkage or drive is not described, or the leaf did not get there.
    """
    opening = way is Way.OPENING
    door = sim_door(project, conditions)
    record = scenario(gust(conditions), start_open=not opening, duration=LONGEST, settle=REST, seed=seed)
    rows = engine.free(door, record, duty=1.0 if opening else -1.0, every=every).rows
    low, high = _switches(door)
    arrived = np.flatnonzero(rows["rod"] >= high if opening else rows["rod"] <= low)
    if not len(arrived):
        raise RequestError(
            f"read a leaf {way.value} that does not arrive; wanted one that does; see the drive's force"
        )
    rows = rows[: int(arrived[0]) + 1]
    tool = board_instrument(project) if instrument is None else instrument
    return _recorded(rows, door, tool, way=way, cycle=cycle, reached=True, seed=seed)


def _switches(door: Record) -> tuple[float, float]:
    """Where the rod is as the leaf arrives, shut and open [m]."""
    whole = engine.rod(door, float(door["full"]))[0]
    return max(float(door["switch_shut"]), 0.0), min(float(door["switch_open"]), whole)


def _driven(rows: Record, sign: float) -> Record:
    """The rows from the first to the last in a row that drive that way."""
    driven = np.flatnonzero(sign * rows["duty_permille"] > 0.0)
    if not len(driven):
        raise RequestError("read a leaf that did not move; wanted a move; see what the rehearsal says of it")
    stops = np.flatnonzero(np.diff(driven) > 1)
    last = driven[stops[0]] if len(stops) else driven[-1]
    return rows[driven[0] : last + 1]


def _recorded(
    rows: Record,
    door: Record,
    tool: Instrument,
    *,
    way: Way,
    cycle: int,
    reached: bool,
    seed: int,
    commanded: bool = False,
) -> Trace:
    """The rows as an instrument shows them."""
    sign = 1.0 if way is Way.OPENING else -1.0
    rng = np.random.default_rng([seed, cycle, way is Way.OPENING])
    whole = engine.rod(door, float(door["full"]))[0]
    place = rows["rod"].astype(float) / whole + tool.place_noise * rng.standard_normal(len(rows))
    return Trace(
        cycle=cycle,
        way=way,
        time=rows["time"].astype(float) - float(rows["time"][0]),
        current=_seen(sign * rows["current"].astype(float), tool.current_noise, tool.current_step, rng),
        supply=_seen(rows["bus"].astype(float), tool.supply_noise, tool.supply_step, rng),
        duty=PER_MILLE * np.abs(rows["duty_permille"].astype(float)) if commanded else None,
        place=place,
        temperature=float(door["temperature"]),
        reached=reached,
        source="the simulated door",
    )


def _seen(values: Floats, noise: float, step: float, rng: np.random.Generator) -> Floats:
    """Values through noise and the steps of a converter."""
    noisy = values + noise * rng.standard_normal(len(values))
    shown: Floats = step * np.round(noisy / step) if step > 0.0 else noisy
    return shown
