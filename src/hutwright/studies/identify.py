"""What recorded moves say of drive, supply and load, with standard errors, and what to write down of it.

Moves are best recorded at a plain switch, the whole voltage at once, at 500 rows a second or more. With a
recorded position resistance and constant come from all of each move; without one, or where only starts are
quick enough, from the starts and the known stroke. Under a controller the duty belongs into every row.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import hypot, isfinite
from typing import NamedTuple

import numpy as np

from hutwright import units
from hutwright.errors import RequestError
from hutwright.evidence.trace import Trace, Way
from hutwright.laws.copper import winding_factor
from hutwright.laws.motor_constants import (
    Constants,
    Slope,
    constants_from_start,
    constants_from_travel,
    source_resistance,
)
from hutwright.laws.motor_line import ROOM, magnet_factor
from hutwright.model.circuit import BRIDGE
from hutwright.model.project import Project
from hutwright.plant.circuit import cables_resistance, feed
from hutwright.plant.travel import drive_of
from hutwright.studies.identify_runs import Heard, Rig, heard, rig_of

# Quoted are two standard errors, and never less than the laws' own accuracy on simulated doors: choices of
# this project
SPREAD = 2.0
LEAST_OF_RESISTANCE, LEAST_OF_CONSTANT, LEAST_OF_SOURCE = 0.02, 0.01, 0.02
MOST_OF_RESISTANCE, MOST_OF_CONSTANT = 0.15, 0.05  # beyond which a value is not offered: ours to choose
# What recorded duties add to the error of resistance and constant: on simulated doors, rows 1 to 20 ms apart,
# means of six moves are off by up to 0.5 and 0.1 %. Standing: computed here
OF_DUTIES = 0.005, 0.001  # [-]
# What the current's noise adds to that of the supply's resistance: it pulls the slope, by up to 0.2 % on
# simulated doors. Standing: computed here
OF_SOURCE = 0.002  # [-]
DIGITS = 4  # of a value that is offered: ours to choose
LEAST_OF_LOADS = 0.05  # of the current that friction takes
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
    left_out : tuple of str
        A sentence on each move, or part of one, from which nothing was taken of resistance and constant.
    """

    resistance: Slope
    constant: Slope
    source: Slope
    loads: Loads | None
    temperature: float
    told: bool
    by_start: bool
    moves: int
    left_out: tuple[str, ...] = ()


def identify(project: Project, traces: Sequence[Trace], *, starts: Sequence[Trace] = ()) -> Identified:
    """What recorded moves say of drive, supply and load.

    Parameters
    ----------
    project : Project
        The project, with door, linkage and drive.
    traces : sequence of Trace
        Whole moves both ways with the voltage at the bridge.
    starts : sequence of Trace
        Whole moves, one way or both, whose starts were recorded quickly; their position is not looked at.

    Raises
    ------
    RequestError
        Where moves lack the voltage or a direction, do not tell resistance and constant apart, or give values
        that no motor has.
    """
    whole = [each for each in traces if each.supply is not None and each.reached is not False]
    quick = [replace(each, place=None) for each in starts if each.supply is not None]
    if not whole and not quick:
        raise RequestError(
            "read no whole move with the supply's voltage; wanted a column supply_V; record it at the bridge"
        )
    ways = {each.way for each in whole}
    if len(ways) == 1 and not quick:
        (way,) = ways
        raise RequestError(
            f"read {len(whole)} usable moves, all of them {way.value}; wanted some of both ways; record the "
            "other way too, or give these as quickly recorded starts (--inrush)"
        )
    warm = [each.temperature for each in (*whole, *quick) if each.temperature is not None]
    temperature = float(np.mean(warm)) if warm else ROOM
    rig, left_out = rig_of(project, temperature), list[str]()
    moved = [
        each for trace in whole if (each := heard(_measured(trace, left_out), rig, left_out)) is not None
    ]
    begun = [each for trace in quick if (each := heard(trace, rig, left_out)) is not None]
    found, by_start = _constants(moved, begun, rig, drive_of(project).motor.inductance, left_out)
    _plausible(found, rig)
    used = (*moved, *begun)
    source = source_resistance([each.supply for each in used], [each.drawn for each in used])
    return Identified(
        resistance=Slope(found.resistance - rig.series, found.resistance_error),
        constant=Slope(found.constant, found.constant_error),
        source=source._replace(error=hypot(source.error, OF_SOURCE * source.value)),
        loads=_loads(whole),
        temperature=temperature,
        told=bool(warm),
        by_start=by_start,
        moves=len(used),
        left_out=tuple(left_out),
    )


def _measured(trace: Trace, left_out: list[str]) -> Trace:
    """The move without a place that itself follows from voltage, current and an assumed motor."""
    if not trace.reckoned:
        return trace
    left_out.append(
        f"{trace.source or 'a move'}: where the leaf was, because the controller reckoned it from voltage, "
        "current and the very values that are sought; a measured position_mm would serve"
    )
    return replace(trace, place=None, reckoned=False)


def _constants(
    moved: Sequence[Heard], begun: Sequence[Heard], rig: Rig, inductance: float, left_out: Sequence[str]
) -> tuple[Constants, bool]:
    """The better of what positions and starts say, and whether it is the starts."""
    placed = [each.run for each in moved if each.trace.place is not None]
    nothing = Constants(*[np.nan] * 5)
    by_travel = constants_from_travel(placed, inductance) if placed else nothing
    if any(each.trace.duty is not None and each.trace.place is not None for each in moved):
        by_travel = by_travel._replace(
            resistance_error=hypot(by_travel.resistance_error, OF_DUTIES[0] * by_travel.resistance),
            constant_error=hypot(by_travel.constant_error, OF_DUTIES[1] * by_travel.constant),
        )
    from_rest = [each for each in begun or moved if each.from_rest]
    covered = [
        rig.stroke if each.trace.place is None else float(each.run.travel[-1] - each.run.travel[0])
        for each in from_rest
    ]
    by_start = constants_from_start([each.run for each in from_rest], covered) if from_rest else nothing
    sure = [
        abs(each.resistance_error / each.resistance) if isfinite(each.resistance) else np.inf
        for each in (by_travel, by_start)
    ]
    if not min(sure) < 1.0:
        more = "".join(f"; {each}" for each in left_out[:1])
        raise RequestError(
            "read moves that do not tell the motor's resistance from its constant; wanted starts at 500 rows "
            f"a second, or opening and closing with their position; record one of these{more}"
        )
    return (by_start, True) if sure[1] < sure[0] else (by_travel, False)


def _plausible(found: Constants, rig: Rig) -> None:
    """Refuse what no motor has."""
    remedy = (
        "look whether current_A and supply_V were read at the same moment at the bridge, whether both have "
        "their right sign and unit, and whether linkage, stroke, bridge and motor cable are described rightly"
    )
    own = found.resistance - rig.series
    if not own > 0.0:
        raise RequestError(
            f"read moves from which a resistance of {own:.3g} ohm follows for the motor, beside "
            f"{rig.series:.2g} ohm of bridge and cable; wanted one above zero; {remedy}"
        )
    if not found.constant > 0.0:
        raise RequestError(
            f"read moves from which a motor constant of {found.constant:.3g} V s/m follows; "
            f"wanted one above zero; {remedy}"
        )


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


# --- as the description has it --------------------------------------------------------------------------


class Told(NamedTuple):
    """A value as the description has it, at 20 degC where that counts."""

    value: float  # [its own]
    error: float  # one standard error. [its own]
    quoted: float  # half of the range that is offered: two standard errors, or the law's accuracy. [its own]

    @property
    def share(self) -> float:
        """Half of that range as a share of the value [-]."""
        return self.quoted / self.value


def resistance_told(found: Identified) -> Told:
    """Resistance of winding and brushes at 20 degC [ohm].

    Parameters
    ----------
    found : Identified
        What was found.
    """
    return _told(found.resistance, winding_factor(found.temperature), LEAST_OF_RESISTANCE)


def constant_told(found: Identified) -> Told:
    """Back-EMF over the rod's speed at 20 degC [V s/m].

    Parameters
    ----------
    found : Identified
        What was found.
    """
    return _told(found.constant, magnet_factor(found.temperature), LEAST_OF_CONSTANT)


def speed_told(project: Project, found: Identified) -> Told:
    """Speed without load at the rated voltage, which is how a description tells the constant [m/s].

    Parameters
    ----------
    project : Project
        The project.
    found : Identified
        What was found.
    """
    drive, constant = drive_of(project), constant_told(found)
    speed = (drive.rating.voltage - resistance_told(found).value * drive.no_load.current) / constant.value
    return Told(speed, abs(speed) * constant.error / constant.value, abs(speed) * constant.share)


def source_told(project: Project, found: Identified) -> tuple[str, Told] | None:
    """The supply by its name, and its own resistance without the cables' to the bridge [ohm].

    Parameters
    ----------
    project : Project
        The project.
    found : Identified
        What was found.

    Returns
    -------
    tuple or None
        None where no supply is described, or its resistance does not show.
    """
    fed = feed(project, BRIDGE)
    if fed is None or not isfinite(found.source.value):
        return None
    own = found.source.value - cables_resistance(project, fed.cables, found.temperature)
    error = found.source.error
    return fed.supply, Told(own, error, max(SPREAD * error, LEAST_OF_SOURCE * abs(found.source.value)))


def loads_told(loads: Loads) -> tuple[Told, Told]:
    """Currents of friction, and of weight and spring [A, A].

    Parameters
    ----------
    loads : Loads
        What was found.
    """
    least = LEAST_OF_LOADS * abs(loads.friction.value)
    friction, gravity = (
        Told(each.value, each.error, max(SPREAD * each.error, least))
        for each in (loads.friction, loads.gravity)
    )
    return friction, gravity


def _told(slope: Slope, factor: float, least: float) -> Told:
    value, error = slope.value / factor, slope.error / factor
    return Told(value, error, max(SPREAD * error, least * value))


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
    ohms, constant, speed = resistance_told(found), constant_told(found), speed_told(project, found)
    values: dict[str, tuple[Told, str]] = {}
    if 0.0 < ohms.quoted < MOST_OF_RESISTANCE * ohms.value:
        values["drive.motor.resistance"] = ohms, _ohms(ohms)
        if 0.0 < constant.quoted < MOST_OF_CONSTANT * constant.value and speed.value > 0.0:
            values["drive.no_load.speed"] = (
                speed,
                units.write_as(speed.value, units.SPEED, "mm/s", digits=DIGITS),
            )
    source = source_told(project, found)
    if source is not None and source[1].value > source[1].quoted:
        name, told = source
        values[f"supplies.{name}.resistance"] = told, _ohms(told)
    note = f"from {found.moves} recorded move{'s' if found.moves > 1 else ''}" + (
        "" if found.told else ", taken to be at 20 degC"
    )
    changes: dict[str, object] = {}
    for path, (told, spelled) in values.items():
        changes[path] = f"{spelled} +- {100.0 * told.share:.1f} %"
    for path in values:
        changes[f'measured."{path}"'] = note
    return changes


def _ohms(told: Told) -> str:
    """As the file spells it."""
    unit = "ohm" if told.value >= 1.0 else "mohm"
    return units.write_as(told.value, units.RESISTANCE, unit, digits=DIGITS)
