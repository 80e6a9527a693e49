"""Recorded moves as the controller's core would have heard them: zeroed, median of three, filtered, placed.

What the board itself told is behind its own filter already, and is not filtered again.

All moves are worked on side by side, a column each, because a filter cannot be unrolled in time.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from hutwright.errors import RequestError
from hutwright.evidence.trace import LEAST_ROWS, Trace, Way
from hutwright.native.records import PLACE_OPEN, Record

Floats = NDArray[np.float64]
TICK = 1e-3  # of the core [s]
PER_MILLE = 1000.0
# Rows further apart than the filter's time constant tell it nothing: a choice of this project [-]
COARSEST = 1.0


@dataclass(frozen=True, slots=True, eq=False)
class Heard:
    """One move as the core would have heard it.

    Attributes
    ----------
    trace : Trace
        As it was recorded.
    time : ndarray
        Since the drive came on; shape (n,). [s]
    filtered : ndarray
        Current behind median and filter; shape (n,). [A]
    place : ndarray
        Share of the travel, 0 shut; shape (n,). [-]
    supply : ndarray or None
        At the bridge; shape (n,). [V]
    step : float
        From row to row, in the middle. [s]
    """

    trace: Trace
    time: Floats
    filtered: Floats
    place: Floats
    supply: Floats | None
    step: float


def filter_time(settings: Record) -> float:
    """The time constant of the core's filter [s]."""
    return float(-TICK / np.log1p(-float(settings["filter_q16"]) / 65536.0))


def heard(traces: Sequence[Trace], settings: Record) -> tuple[Heard, ...]:
    """What the core would have made of recorded moves.

    Parameters
    ----------
    traces : sequence of Trace
        The moves.
    settings : Record
        The core's settings: filter, and how it follows the place.

    Returns
    -------
    tuple of Heard
        In the order of the traces.

    Raises
    ------
    RequestError
        Where rows are too far apart for the filter.
    """
    if not traces:
        return ()
    constant = filter_time(settings)
    least = float(settings["none_mA"]) / PER_MILLE
    clean = [_zeroed(each, least) for each in traces]
    steps = [float(np.median(np.diff(time))) for time, _, _ in clean]
    for trace, step in zip(traces, steps, strict=True):
        if not trace.filtered and step > COARSEST * constant:
            raise RequestError(
                f"{trace.source or f'cycle {trace.cycle}'}: read a row every {1e3 * step:.3g} ms; wanted "
                f"one every {1e3 * COARSEST * constant:.3g} ms or quicker, for the filter of the detection; "
                "record quicker, or give controller.detection.filter a longer time"
            )
    times = _columns([time for time, _, _ in clean])
    share = -np.expm1(-np.diff(times, axis=0, prepend=times[:1] - np.array(steps)) / constant)
    currents = _columns(
        [
            current if trace.filtered else median_of_three(current)
            for trace, (_, current, _) in zip(traces, clean, strict=True)
        ]
    )
    filtered = np.where([trace.filtered for trace in traces], currents, low_pass(currents, share))
    places = _places(traces, clean, times, settings)
    return tuple(
        Heard(
            trace,
            time,
            filtered[: len(time), at],
            np.clip(places[: len(time), at], 0.0, 1.0),
            supply,
            steps[at],
        )
        for at, (trace, (time, _, supply)) in enumerate(zip(traces, clean, strict=True))
    )


def _zeroed(trace: Trace, least: float) -> tuple[Floats, Floats, Floats | None]:
    """Time, current, supply of the rows in which the drive has current.

    Rows before the drive came on are rest, and give the sensor's zero; a drive that cuts its own current at
    its end has none from there on, and what has none is no part of the profile.
    """
    rest = trace.time < 0.0
    zero = float(trace.current[rest].mean()) if rest.any() else 0.0
    current = np.abs(trace.current - zero)
    driven = np.flatnonzero(~rest & (median_of_three(current) >= least))
    part = slice(int(np.argmax(~rest)), int(driven[-1]) + 1 if len(driven) > LEAST_ROWS else None)
    return trace.time[part], current[part], None if trace.supply is None else trace.supply[part]


def median_of_three(current: Floats) -> Floats:
    """The median of each reading and the two before it; before the first there was no current [A].

    Parameters
    ----------
    current : ndarray, shape (n,)
        Readings. [A]
    """
    before = np.concatenate([[0.0, 0.0], current])
    found: Floats = np.median(np.stack([before[2:], before[1:-1], before[:-2]]), axis=0)
    return found


def low_pass(values: Floats, share: Floats, first: Floats | None = None) -> Floats:
    """A first-order filter down each column.

    Parameters
    ----------
    values : ndarray, shape (n, m)
        What goes in. [any]
    share : ndarray, shape (n, m)
        Share of the new value, row by row. [-]
    first : ndarray or None
        Where it begins, shape (m,); nothing where not given. [as values]
    """
    found = np.empty_like(values)
    level = np.zeros(values.shape[1]) if first is None else first.copy()
    for at, (value, part) in enumerate(zip(values, share, strict=True)):
        level += part * (value - level)
        found[at] = level
    return found


def _columns(rows: Sequence[Floats]) -> Floats:
    """Each row as a column, its last value repeated down to the longest."""
    longest = max(len(each) for each in rows)
    return np.stack([np.pad(each, (0, longest - len(each)), mode="edge") for each in rows], axis=1)


def _places(
    traces: Sequence[Trace],
    clean: Sequence[tuple[Floats, Floats, Floats | None]],
    times: Floats,
    settings: Record,
) -> Floats:
    """The recorded place; else as the core follows it from the back-EMF; else the share of the time."""
    found = np.empty_like(times)
    follow = []
    for at, (trace, (time, _, supply)) in enumerate(zip(traces, clean, strict=True)):
        opening = trace.way is Way.OPENING
        if trace.place is not None:
            first = int(np.argmax(trace.time >= 0.0))
            column = trace.place[first : first + len(time)]
        else:
            gone = (time - time[0]) / (time[-1] - time[0])
            column = gone if opening else 1.0 - gone
            if supply is not None:
                follow.append(at)
        found[:, at] = np.pad(column, (0, len(times) - len(column)), mode="edge")
    if follow:
        part = _followed([traces[at] for at in follow], [clean[at] for at in follow], settings)
        found[:, follow] = np.pad(part, ((0, len(times) - len(part)), (0, 0)), mode="edge")
    return found


def _followed(
    traces: Sequence[Trace], clean: Sequence[tuple[Floats, Floats, Floats | None]], settings: Record
) -> Floats:
    """The place from the back-EMF, as the core follows it; longest column first decides the rows."""
    times = _columns([time for time, _, _ in clean])
    spent = np.diff(times, axis=0, prepend=times[:1])
    current = _columns([each for _, each, _ in clean])
    supply = _columns([np.zeros(1) if each is None else each for _, _, each in clean])
    opening = np.array([each.way is Way.OPENING for each in traces])
    gain = float(settings["place_gain_q8"]) / 256.0 / PLACE_OPEN * PER_MILLE / TICK  # a volt and second
    lost = float(settings["resistance_mohm"]) / PER_MILLE * current + float(settings["drop_mV"]) / PER_MILLE
    normal, last = (float(settings[name]) / PER_MILLE for name in ("normal_permille", "last_permille"))
    slow = [float(settings[name]) / PER_MILLE for name in ("last_shut_permille", "last_open_permille")]
    way, place = np.where(opening, 1.0, -1.0), np.where(opening, 0.0, 1.0)
    found = np.empty_like(times)
    for at in range(len(times)):
        near = np.where(opening, place > 1.0 - slow[1], place <= slow[0])
        duty = np.where(near, last, normal)
        place = place + way * gain * spent[at] * np.maximum(duty * supply[at] - lost[at], 0.0)
        place = np.clip(place, 0.0, 1.0)
        found[at] = place
    return found
