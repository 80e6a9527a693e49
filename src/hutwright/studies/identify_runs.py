"""Which rows of a recorded move tell of the drive, and what voltage the motor had in them.

Where the duty was recorded, all rows from the start to where the drive's own switch cuts the current. Where
it was not, a start whose current leaps is taken for a plain switch. Any other is a ramp of unknown voltage:
its rows are left out, and so are those of the slow last stretch; what is left had the described steady duty.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from hutwright.bench.plant import rod
from hutwright.bench.settings import rod_share
from hutwright.evidence.trace import LEAST_ROWS, Floats, Trace, Way
from hutwright.laws.motor_constants import Run
from hutwright.model.project import Project
from hutwright.plant.circuit import motor_loop
from hutwright.plant.travel import travel

OFF_BELOW = 0.4  # of the middling current: the drive's own switch has cut it: ours to choose
# A start draws most within so long, or within two rows, where the whole voltage came at once; on simulated
# doors that is 2 to 20 ms, and 140 ms or more under the controller's ramp. [s]
AT_ONCE = 0.05
STARTING = 0.6  # in which the greatest current of a start is looked for: ours to choose [s]
AFTER_RAMP = (
    2.0  # times the moment of the greatest current; by then a ramp and its rise are over: ours to choose
)
BESIDE_SLOW = 0.02  # of the travel that is left out beside the slow last stretch: ours to choose
BETWEEN_DUTIES = (
    0.5e-3  # a duty is set once a millisecond and held: on average it acts half of that later [s]
)


class Rig(NamedTuple):
    """What lies between a recorded voltage and the motor, as described."""

    offset: float  # that the bridge takes whatever the current. [V]
    series: float  # of bridge and motor cable. [ohm]
    stroke: float  # of the rod, from shut to open. [m]
    normal: float  # steady duty of the controller; 1 where none is described. [-]
    slow: float  # share of the rod's travel before shut in which it is slower. [-]


@dataclass(frozen=True, slots=True, eq=False)
class Heard:
    """Rows of a move that serve.

    Attributes
    ----------
    trace : Trace
        The move.
    run : Run
        The rows, with the voltage that drives the loop.
    supply : ndarray
        At the bridge in these rows; shape (n,). [V]
    drawn : ndarray
        Current that the bridge takes in these rows; shape (n,). [A]
    from_rest : bool
        Whether they begin with the start of the move.
    """

    trace: Trace
    run: Run
    supply: Floats
    drawn: Floats
    from_rest: bool


def rig_of(project: Project, temperature: float) -> Rig:
    """What is described between the bridge's terminals and the motor.

    Parameters
    ----------
    project : Project
        The project, with door, linkage and drive.
    temperature : float
        Of the moves. [K]
    """
    loop = motor_loop(project, temperature)
    offset, series = (0.0, 0.0) if loop is None else (loop.offset, loop.bridge + loop.lead)
    stroke = abs(rod(project).travel(travel(project).full))
    speed = None if project.controller is None else project.controller.speed
    if speed is None:
        return Rig(offset, series, stroke, 1.0, 0.0)
    slow = rod_share(project, speed.last_over) if speed.last < speed.normal else 0.0
    return Rig(offset, series, stroke, speed.normal, slow)


def heard(trace: Trace, rig: Rig, left_out: list[str]) -> Heard | None:
    """The rows of a move that serve; None where none do. What is left out is told.

    Parameters
    ----------
    trace : Trace
        A whole move with the voltage at the bridge.
    rig : Rig
        What lies between that and the motor.
    left_out : list of str
        Where a sentence is put on what is left out.
    """
    assert trace.supply is not None  # kept by who calls
    on = np.flatnonzero(trace.current > OFF_BELOW * float(np.median(trace.current)))
    rows, duty = slice(max(int(on[0]) - 1, 0), int(on[-1]) + 1), trace.duty
    from_rest = duty is not None or _at_once(trace.time[rows], trace.current[rows])
    if duty is None:
        duty = np.full(len(trace.time), 1.0 if from_rest else rig.normal)
        if not from_rest:
            kept = _steady(trace, rows, rig, left_out)
            if kept is None:
                return None
            rows = kept
    else:
        duty = np.interp(trace.time - BETWEEN_DUTIES, trace.time, duty)
    share = np.zeros(len(trace.time)) if trace.place is None else trace.place
    covered = rig.stroke * (share if trace.way is Way.OPENING else 1.0 - share)
    run = Run(
        trace.time[rows] - trace.time[rows][0],
        # the bridge's drop is against the current, which goes backwards where the duty falls
        ((trace.supply - rig.offset * np.sign(trace.current)) * duty)[rows],
        trace.current[rows],
        covered[rows],
        step_of(trace.current),
    )
    return Heard(trace, run, trace.supply[rows], (duty * trace.current)[rows], from_rest)


def step_of(current: Floats) -> float:
    """Step of the converter that read a current, told by the readings themselves; 0 where they show none [A].

    Parameters
    ----------
    current : ndarray
        The readings; shape (n,). [A]
    """
    levels = np.unique(np.round(current, 6))
    if len(levels) < 2 or 2 * len(levels) > len(current):
        return 0.0
    return float(np.diff(levels).min())


def _at_once(time: Floats, current: Floats) -> bool:
    """Whether the whole voltage came at once: the greatest current of the start comes with its first rows."""
    start = time - time[0] <= STARTING
    most = int(np.argmax(current[start]))
    return bool(most <= 2 or time[most] - time[0] <= AT_ONCE)


def _steady(trace: Trace, rows: slice, rig: Rig, left_out: list[str]) -> slice | None:
    """The rows between the ramp and the slow last stretch; None where too few are left."""
    name = f"{trace.source or 'a move'}: {trace.way.value} of cycle {trace.cycle}"
    time = trace.time[rows] - trace.time[rows][0]
    over = AFTER_RAMP * float(time[int(np.argmax(trace.current[rows][time <= STARTING]))])
    if trace.place is None:
        left_out.append(
            f"{name}: read a current that rises slowly, and neither duty nor position_mm; "
            "wanted one of them, or the whole voltage at once; record one of these"
        )
        return None
    keep = time >= over
    if trace.way is Way.CLOSING and rig.slow:
        keep &= trace.place[rows] > rig.slow + BESIDE_SLOW
    served = np.flatnonzero(keep)
    if len(served) < LEAST_ROWS:
        left_out.append(
            f"{name}: read {len(served)} rows behind the ramp; wanted {LEAST_ROWS} or more; record its duty"
        )
        return None
    first, last = int(served[0]), int(served[-1])
    at_end = f" and its last {time[-1] - time[last]:.1f} s, where it is slow" if last < len(time) - 1 else ""
    left_out.append(
        f"{name}: the rows of its first {time[first]:.2f} s, in which the voltage still rose{at_end}, "
        f"because nobody recorded the duty; elsewhere it is taken to be {100 * rig.normal:.0f} %"
    )
    return slice(rows.start + first, rows.start + last + 1)
