"""The watch on a terminal: what the door does now, and its current over time, in plain letters."""

from __future__ import annotations

import textwrap
from itertools import pairwise

from hutwright.evidence.trace import Way
from hutwright.live.lines import Bits, Telemetry
from hutwright.live.moves import ROUND_MS
from hutwright.live.watching import Watcher
from hutwright.native.words import Fault, spoken

LEAST_COLUMNS, LEAST_LINES = 48, 14  # of a screen with room for the plot: choices of this project
CURRENT, TRIP, BOTH = "*", "=", "#"
SCALE = 10  # columns left of the plot
NICE = (1.0, 2.0, 5.0)  # tops of scales, times a power of ten


def frame(watcher: Watcher, now: float, *, name: str, columns: int, lines: int) -> str:
    """What the screen shows.

    Parameters
    ----------
    watcher : Watcher
        What is known.
    now : float
        By a steady clock. [s]
    name : str
        The hut's.
    columns : int
        Of the screen. [-]
    lines : int
        Of the screen. [-]

    Returns
    -------
    str
        At most so many lines of at most so many columns, without colour.
    """
    head = _wrapped([f"hutwright watch: {name}; Ctrl-C ends it", *_state(watcher, now)], columns)
    news = _wrapped(list(watcher.news), columns)
    room = lines - len(head) - min(len(news), max(lines // 3, 2)) - 1
    drawn: list[str] = []
    if columns >= LEAST_COLUMNS and lines >= LEAST_LINES and room >= 6:
        drawn = plot(watcher.shown, watcher.compared.trip, columns=columns, lines=room)
    left = max(lines - len(head) - len(drawn) - 1, 0)
    return "\n".join([*head, *drawn, *(news[-left:] if left else [])][: max(lines - 1, 1)])


def _wrapped(texts: list[str], columns: int) -> list[str]:
    width = max(columns - 1, 1)
    return [line for text in texts for line in textwrap.wrap(text, width) or [""]]


def _state(watcher: Watcher, now: float) -> list[str]:
    last = watcher.last
    if last is None or watcher.is_silent(now):
        return [f"port {watcher.port}; the board says nothing"]
    place = f"{100 * last.place:.0f} % open" if Bits.PLACE_KNOWN in last.bits else "place not known"
    fault = "" if last.fault is Fault.WELL else f"; FAULT: {spoken(last.fault)}"
    claim = [watcher.since.claim.words] if watcher.is_trained else []
    return [
        f"{spoken(last.mode)}, {place}{fault}; {watcher.moves} moves recorded",
        f"current {last.current:.2f} A, residual {last.residual:.2f} A; supply {last.supply:.1f} V; "
        f"{last.temperature:.0f} degC",
        *claim,
    ]


def plot(rows: list[Telemetry], trip_of: object, *, columns: int, lines: int) -> list[str]:
    """Current of a move over time, and where it would trip.

    Parameters
    ----------
    rows : list of Telemetry
        Of the move; may be empty.
    trip_of : Callable
        Gives the residual that trips, by the way of moving. [A]
    columns : int
        Of the plot with its scale. [-]
    lines : int
        Of the plot with its scale. [-]
    """
    if not rows or not callable(trip_of):
        return ["no move was heard yet"]
    way = Way.OPENING if rows[0].duty > 0.0 else Way.CLOSING
    trip = float(trip_of(way))
    times = [0.0]
    for before, after in pairwise(rows):
        times.append(times[-1] + ((after.ms - before.ms) % ROUND_MS) / 1000.0)
    tops = [max(row.current, 0.0) for row in rows]
    trips = [max(row.expected + trip, 0.0) for row in rows]
    height, width = lines - 3, columns - SCALE - 2
    top = _top(max(*tops, *trips, 0.1))
    grid = [[" "] * width for _ in range(height)]
    for values, mark in ((trips, TRIP), (tops, CURRENT)):
        for time, value in zip(times, values, strict=True):
            column = round(time / max(times[-1], 1e-3) * (width - 1))
            row = height - 1 - round(min(value / top, 1.0) * (height - 1))
            there = grid[row][column]
            grid[row][column] = mark if there in (" ", mark) else BOTH
    drawn = [f"{way.value}: {CURRENT} current, {TRIP} where it trips, {BOTH} both"[: columns - 1]]
    for number, cells in enumerate(grid):
        told = {0: f"{top:g} A", height - 1: "0 A"}.get(number, "")
        drawn.append(f"{told:>{SCALE - 2}} |{''.join(cells).rstrip()}")
    drawn.append(f"{'':>{SCALE - 2}} +{'-' * width}")
    drawn.append(f"{'':>{SCALE}}0 s{f'{times[-1]:.1f} s':>{width - 3}}")
    return drawn[:lines]


def _top(value: float) -> float:
    """The least nice number that is not below a value."""
    power = 1e-3
    while True:
        for each in NICE:
            if each * power >= value * 0.999:
                return round(each * power, 6)
        power *= 10.0
