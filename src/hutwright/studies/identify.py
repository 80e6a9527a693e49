"""What recorded moves say of drive, supply and load, with standard errors, and what to write down of it.

Moves are best recorded at a plain switch, the whole voltage at once, at 500 rows a second or more. With a
recorded position resistance and constant come from all of each move; without one, or where only starts are
quick enough, from the starts and the known stroke.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot, isfinite

import numpy as np

from hutwright import units
from hutwright.bench.plant import rod
from hutwright.errors import RequestError
from hutwright.evidence.trace import Floats, Trace, Way
from hutwright.laws.copper import winding_factor
from hutwright.laws.motor_constants import (
    Constants,
    Run,
    Slope,
    constants_from_start,
    constants_from_travel,
    source_resistance,
)
from hutwright.laws.motor_line import ROOM, magnet_factor
from hutwright.model.circuit import BRIDGE
from hutwright.model.project import Project
from hutwright.plant.circuit import cables_resistance, feed, motor_loop
from hutwright.plant.travel import drive_of, travel

# Quoted are two standard errors, and never less than the laws' own accuracy on simulated doors: choices of
# this project
SPREAD = 2.0
LEAST_OF_RESISTANCE, LEAST_OF_CONSTANT, LEAST_OF_SOURCE = 0.02, 0.01, 0.02
MOST_OF_RESISTANCE, MOST_OF_CONSTANT = 0.15, 0.05  # beyond which a value is not offered: ours to choose
OFF_BELOW = 0.4  # of the middling current: the drive's own switch has cut it: ours to choose
MIDDLE = (0.2, 0.8)  # of the travel, in which loads are compared, without start, seal and end: ours to choose
BINS = 24  # of that: ours to choose


@dataclass(frozen=True, kw_only=True, slots=True)
class Loads:
    """Currents that the loads take, in the middle of the travel, on average over its places.

    Attributes
    ----------
    friction : Slope
        Half the sum of opening and closing: all friction, dry and viscous together. [A]
    gravity : Slope
        Half of what opening takes more than closing: what weight and spring do. [A]
    """

    friction: Slope
    gravity: Slope


@dataclass(frozen=True, kw_only=True, slots=True)
class Identified:
    """What was found.

    Attributes
    ----------
    resistance : Slope
        Of winding and brushes at the moves' temperature. [ohm]
    constant : Slope
        Back-emf over the rod's speed at that temperature. [V s/m]
    source : Slope
        Of supply and feed together; NaN where it does not show. [ohm]
    loads : Loads or None
        None where opening or closing is missing.
    temperature : float
        Of the moves; 20 degC where nobody recorded it. [K]
    told : bool
        Whether it was recorded.
    by_start : bool
        Whether resistance and constant come from starts and the stroke.
    moves : int
        How many moves were used. [-]
    """

    resistance: Slope
    constant: Slope
    source: Slope
    loads: Loads | None
    temperature: float
    told: bool
    by_start: bool
    moves: int


def identify(
    project: Project, traces: Sequence[Trace], *, duties: Sequence[Floats] | None = None, step: float = 0.0
) -> Identified:
    """What recorded moves say of drive, supply and load.

    Parameters
    ----------
    project : Project
        The project, with door, linkage and drive.
    traces : sequence of Trace
        Whole moves with the voltage at the bridge.
    duties : sequence of ndarray or None
        Of the bridge, for each row of each move; None where the whole voltage was on. [-]
    step : float
        Of the converter that read the current; 0 where it is not known. [A]

    Raises
    ------
    RequestError
        Where no move tells resistance and constant apart.
    """
    used = [
        (trace, None if duties is None else duties[number])
        for number, trace in enumerate(traces)
        if trace.supply is not None and trace.reached is not False
    ]
    if not used:
        raise RequestError(
            "read no whole move with the supply's voltage; wanted a column supply_V; record it at the bridge"
        )
    warm = [trace.temperature for trace, _ in used if trace.temperature is not None]
    temperature = float(np.mean(warm)) if warm else ROOM
    loop = motor_loop(project, temperature)
    offset, series = (0.0, 0.0) if loop is None else (loop.offset, loop.bridge + loop.lead)
    stroke = abs(rod(project).travel(travel(project).full))
    runs = [_run(trace, duty, offset, stroke, step) for trace, duty in used]
    found, by_start = _constants(runs, used, stroke, drive_of(project).motor.inductance)
    currents = [run.current if duty is None else duty[: len(run.time)] * run.current
                for run, (_, duty) in zip(runs, used, strict=True)]  # fmt: skip
    volts = [_supply(trace)[: len(run.time)] for run, (trace, _) in zip(runs, used, strict=True)]
    return Identified(
        resistance=Slope(found.resistance - series, found.resistance_error),
        constant=Slope(found.constant, found.constant_error),
        source=source_resistance(volts, currents),
        loads=_loads([trace for trace, _ in used]),
        temperature=temperature,
        told=bool(warm),
        by_start=by_start,
        moves=len(used),
    )


def _supply(trace: Trace) -> Floats:
    assert trace.supply is not None  # kept by who calls
    return trace.supply


def _run(trace: Trace, duty: Floats | None, offset: float, stroke: float, step: float) -> Run:
    """The move up to where the drive's own switch cuts its current."""
    on = np.flatnonzero(trace.current > OFF_BELOW * float(np.median(trace.current)))
    rows = slice(0, int(on[-1]) + 1)
    share = np.zeros(len(trace.time)) if trace.place is None else trace.place
    covered = share if trace.way is Way.OPENING else 1.0 - share
    volts = _supply(trace) - offset
    if duty is not None:
        volts = volts * np.concatenate([duty[:1], 0.5 * (duty[1:] + duty[:-1])])
    return Run(
        trace.time[rows] - trace.time[0], volts[rows], trace.current[rows], stroke * covered[rows], step
    )


def _constants(
    runs: Sequence[Run], used: Sequence[tuple[Trace, Floats | None]], stroke: float, inductance: float
) -> tuple[Constants, bool]:
    """The better of what positions and starts say, and whether it is the starts."""
    placed = [run for run, (trace, _) in zip(runs, used, strict=True) if trace.place is not None]
    nothing = Constants(*[np.nan] * 5)
    by_travel = constants_from_travel(placed, inductance) if placed else nothing
    whole = [
        stroke if trace.place is None else float(run.travel[-1] - run.travel[0])
        for run, (trace, _) in zip(runs, used, strict=True)
    ]
    by_start = constants_from_start(runs, whole)
    sure = [
        each.resistance_error / each.resistance if each.resistance > 0.0 and each.constant > 0.0 else np.inf
        for each in (by_travel, by_start)
    ]
    if not min(sure) < np.inf:
        raise RequestError(
            "read moves that do not tell the motor's resistance from its constant; wanted starts at 500 rows "
            "a second, or opening and closing with their position; record one of these"
        )
    return (by_start, True) if sure[1] < sure[0] else (by_travel, False)


def _loads(traces: Sequence[Trace]) -> Loads | None:
    means = {way: [_middle(trace) for trace in traces if trace.way is way] for way in Way}
    if not all(means.values()):
        return None
    sides = []
    for way in Way:
        values = np.array([each.value for each in means[way]])
        inside = float(np.sqrt(np.mean([each.error**2 for each in means[way]]) / len(values)))
        between = float(np.std(values, ddof=1)) / np.sqrt(len(values)) if len(values) > 1 else 0.0
        sides.append(Slope(float(values.mean()), max(inside, float(between))))
    opening, closing = sides
    error = 0.5 * hypot(opening.error, closing.error)
    return Loads(
        friction=Slope(0.5 * (opening.value + closing.value), error),
        gravity=Slope(0.5 * (opening.value - closing.value), error),
    )


def _middle(trace: Trace) -> Slope:
    """Mean current over the places in the middle of the travel [A]; by time where no place was recorded."""
    share = (trace.time - trace.time[0]) / trace.duration if trace.place is None else trace.place
    edges = np.linspace(*MIDDLE, BINS + 1)
    bins = np.digitize(share, edges) - 1
    held = [trace.current[bins == each] for each in range(BINS)]
    held = [each for each in held if len(each)]
    noise = float(np.std(np.diff(trace.current, n=2))) / np.sqrt(6.0)
    error = np.sqrt(sum(noise**2 / len(each) for each in held)) / max(len(held), 1)
    return Slope(float(np.mean([each.mean() for each in held])), float(error))


# --- what to write down --------------------------------------------------------------------------------


def offered(project: Project, found: Identified) -> dict[str, object]:
    """Changes of the description that follow, for `hutwright.description.writing.edit`.

    Parameters
    ----------
    project : Project
        The project.
    found : Identified
        What was found.

    Returns
    -------
    dict
        By address: values with their ranges, and for each a note under `measured`. What is too unsure is not
        offered.
    """
    drive = drive_of(project)
    flux = magnet_factor(found.temperature)
    ohms = _at_room(found.resistance, winding_factor(found.temperature), LEAST_OF_RESISTANCE)
    constant = _at_room(found.constant, flux, LEAST_OF_CONSTANT)
    values: dict[str, tuple[Slope, units.Dimension]] = {}
    if 0.0 < ohms.error < MOST_OF_RESISTANCE * ohms.value:
        values["drive.motor.resistance"] = ohms, units.RESISTANCE
        if 0.0 < constant.error < MOST_OF_CONSTANT * constant.value:
            speed = (drive.rating.voltage - ohms.value * drive.no_load.current) / constant.value
            error = speed * constant.error / constant.value
            values["drive.no_load.speed"] = Slope(speed, error), units.SPEED
    source = _source(project, found)
    if source is not None:
        name, slope = source
        values[f"supplies.{name}.resistance"] = slope, units.RESISTANCE
    note = f"from {found.moves} recorded moves" + ("" if found.told else ", taken to be at 20 degC")
    changes: dict[str, object] = {}
    for path, (slope, dimension) in values.items():
        changes[path] = f"{units.write(_rounded(slope.value), dimension)} +- {_percent(slope):.1f} %"
    for path in values:
        changes[f'measured."{path}"'] = note
    return changes


def _at_room(slope: Slope, factor: float, least: float) -> Slope:
    value = slope.value / factor
    return Slope(value, max(SPREAD * slope.error / factor, least * value))


def _source(project: Project, found: Identified) -> tuple[str, Slope] | None:
    """The supply by its name, and its own resistance without the cables' to the bridge [ohm]."""
    fed = feed(project, BRIDGE)
    if fed is None or not isfinite(found.source.value):
        return None
    own = found.source.value - cables_resistance(project, fed.cables, found.temperature)
    error = max(SPREAD * found.source.error, LEAST_OF_SOURCE * found.source.value)
    return (fed.supply, Slope(own, error)) if own > error else None


def _rounded(value: float) -> float:
    return float(f"{value:.4g}")


def _percent(slope: Slope) -> float:
    return 100.0 * slope.error / slope.value
