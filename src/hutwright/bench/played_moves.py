"""Simulated moves as the board itself tells them: its reading, and the place that its core believes in."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from hutwright.bench.free import asked_at_button, gust, with_button
from hutwright.bench.plant import sim_door
from hutwright.bench.settings import core_settings
from hutwright.errors import ModelError
from hutwright.evidence.trace import LEAST_ROWS, Trace, Way
from hutwright.model.project import Project
from hutwright.native import engine
from hutwright.native.records import Record
from hutwright.native.scenario import Event
from hutwright.native.words import Mode, Sense
from hutwright.plant.conditions import Conditions

LEAST_DUTY = 50.0  # that the core divides by: detect.c [permille]
SAMPLING = 2  # of a trace: choices of this project [ms]


class Setting(NamedTuple):
    """In what circumstances a door is played."""

    conditions: Conditions
    voltage: float | None = None  # of the supply without load; None for that of the description [V]
    seed: int = 1  # of the sensor's noise [-]
    sensed: bool = True  # whether the current is seen with noise and in steps
    every: int = SAMPLING  # from row to row [ms]
    events: tuple[Event, ...] = ()  # what else happens, on the clock of the run


def played_cycle(
    project: Project, setting: Setting, *, cycle: int = 1, settings: Record | None = None
) -> tuple[Trace, ...]:
    """An opening and a closing of the simulated door, each from rest at an end.

    Parameters
    ----------
    project : Project
        The project, with door, linkage, drive and controller.
    setting : Setting
        In what circumstances.
    cycle : int
        Its number. [-]
    settings : Record or None
        The controller's settings; None for those that follow from the description.

    Returns
    -------
    tuple of Trace
        The opening and the closing.
    """
    return tuple(
        played_move(project, setting, way, cycle=cycle, settings=settings)
        for way in (Way.OPENING, Way.CLOSING)
    )


def played_move(
    project: Project, setting: Setting, way: Way, *, cycle: int = 1, settings: Record | None = None
) -> Trace:
    """One move of the simulated door, as it is recorded; parameters as of `played_cycle`.

    Parameters
    ----------
    project : Project
        The project, with door, linkage, drive and controller.
    setting : Setting
        In what circumstances.
    way : Way
        Which way it moves.
    cycle : int
        Its number. [-]
    settings : Record or None
        The controller's settings; None for those that follow from the description.
    """
    chosen = core_settings(project) if settings is None else settings
    rows = move_rows(project, setting, way, chosen)
    return trace_of(rows, chosen, way, cycle=cycle, temperature=setting.conditions.temperature)


def move_rows(project: Project, setting: Setting, way: Way, settings: Record | None = None) -> Record:
    """The whole run of such a move, row by row; parameters as of `played_move`.

    Parameters
    ----------
    project : Project
        The project, with door, linkage, drive and controller.
    setting : Setting
        In what circumstances.
    way : Way
        Which way it moves.
    settings : Record or None
        The controller's settings; None for those that follow from the description.
    """
    chosen = with_button(core_settings(project) if settings is None else settings, sensed=setting.sensed)
    door = sim_door(project, setting.conditions, sensed=setting.sensed, voltage=setting.voltage)
    events = (*gust(setting.conditions), *setting.events)
    record = asked_at_button(chosen, events, opening=way is Way.OPENING, seed=setting.seed)
    return engine.run(door, chosen, record, every=setting.every).rows


def trace_of(rows: Record, settings: Record, way: Way, *, cycle: int, temperature: float) -> Trace:
    """A run's first move as it is recorded: from the row in which the drive comes on to the last driven one.

    Parameters
    ----------
    rows : records of ROW
        The whole run, row by row.
    settings : Record
        The controller's settings.
    way : Way
        Which way it moves.
    cycle : int
        Its number. [-]
    temperature : float
        That is recorded with it. [K]

    Raises
    ------
    ModelError
        Where nothing moved.
    """
    duty = np.asarray(rows["duty_permille"], dtype=np.float64) * (1.0 if way is Way.OPENING else -1.0)
    on = np.flatnonzero(duty > 0.0)
    if not len(on):
        raise ModelError(
            "supplies",
            f"{float(rows['bus'][0]):.3g} V at the bridge, and no move",
            "a simulated move that begins",
            "take a supply above that at which the controller refuses to start",
        )
    first = int(on[0])
    off = np.flatnonzero(duty[first:] <= 0.0)
    last = first + int(off[0]) if len(off) else len(rows)
    last = max(last, first + LEAST_ROWS)
    reading = np.asarray(rows["reading_mA"], dtype=np.float64) / 1e3
    zero = float(reading[:first].mean()) if first else 0.0
    part = slice(first, last)
    current = np.abs(reading[part] - zero)
    # a sensor in the supply lead sees duty times current; the core divides by the duty likewise
    if int(settings["sense"]) == Sense.SUPPLY:
        current /= np.maximum(np.abs(duty[part]), LEAST_DUTY) / 1e3
    end = Mode.OPEN if way is Way.OPENING else Mode.SHUT
    time = np.asarray(rows["time"], dtype=np.float64)[part]
    return Trace(
        cycle=cycle,
        way=way,
        time=time - time[0],
        current=current,
        supply=np.asarray(rows["bus"], dtype=np.float64)[part],
        duty=1e-3 * np.abs(duty[part]),
        place=np.clip(np.asarray(rows["place_share"], dtype=np.float64)[part], 0.0, 1.0),
        reckoned=True,
        temperature=temperature,
        reached=int(rows["mode"][-1]) == end,
        source=f"simulated cycle {cycle}",
    )
