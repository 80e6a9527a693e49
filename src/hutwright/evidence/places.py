"""Places for moves of which nobody recorded any: from the motor's back-EMF, else from the time.

What the supply gives less what the resistance takes goes with the speed; its integral, as a share of that
over the whole move, is the share of the travel. Without the supply's voltage the leaf counts as moving
evenly.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from hutwright.evidence.trace import Floats, Trace, Way


def with_places(traces: Sequence[Trace], *, resistance: float | None, drop: float = 0.0) -> tuple[Trace, ...]:
    """The traces, each with a place in every row; those that have one keep it.

    Parameters
    ----------
    traces : sequence of Trace
        The moves.
    resistance : float or None
        Of the loop from the bridge through the winding; without it places go by time. [ohm]
    drop : float
        That the bridge takes whatever the current. [V]

    Returns
    -------
    tuple of Trace
        A move that did not reach its end is measured by the middling whole move of its direction; where there
        is none, it stays without a place.

    Notes
    -----
    Right to 1 % of the travel where the resistance is right to 10 % and the whole voltage was on, to 2 %
    under a controller whose duty was recorded; without that a soft start counts as if it were quicker than it
    is. By time it is right to what the speed changes on the way.
    """
    covered = [None if each.place is not None else _covered(each, resistance, drop) for each in traces]
    whole: dict[tuple[Way, bool], list[float]] = {}
    for trace, mine in zip(traces, covered, strict=True):
        if mine is not None and trace.reached is not False:
            whole.setdefault((trace.way, trace.supply is None), []).append(float(mine[-1]))
    found = []
    for trace, mine in zip(traces, covered, strict=True):
        if mine is None:
            found.append(trace)
            continue
        of = float(mine[-1])
        if trace.reached is False:
            of = float(np.median(whole.get((trace.way, trace.supply is None), [0.0])))
        found.append(replace(trace, place=_place(trace.way, mine / of)) if of > 0.0 else trace)
    return tuple(found)


def _covered(trace: Trace, resistance: float | None, drop: float) -> Floats:
    """What a move has covered by each row, in volt seconds or seconds."""
    time: Floats = trace.time - trace.time[0]
    if trace.supply is None or resistance is None:
        return time
    duty = 1.0 if trace.duty is None else trace.duty
    speed = np.maximum(duty * (trace.supply - drop) - resistance * trace.current, 0.0)
    # rows after the drive's own switch has cut the current are at rest
    on = np.flatnonzero(trace.current > 0.0)
    speed[int(on[-1]) + 1 if len(on) else 0 :] = 0.0
    return np.concatenate([[0.0], np.cumsum(0.5 * np.diff(time) * (speed[1:] + speed[:-1]))])


def _place(way: Way, share: Floats) -> Floats:
    found: Floats = share if way is Way.OPENING else 1.0 - share
    return found
