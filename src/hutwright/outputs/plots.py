"""Runs of a rehearsal as pictures: force over time with its limits, the current with what it is judged by.

The drawing library is loaded only when a picture is wanted.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from hutwright import units
from hutwright.bench.rehearsal import Performance, Take
from hutwright.bench.scenario import Quantity
from hutwright.bench.stage import FIRST
from hutwright.checks.shown import shown
from hutwright.errors import RequestError, shortened, system_words
from hutwright.laws.force_trace import LASTING_FORCE, LASTING_TIME, REST_FORCE, REST_TIME
from hutwright.native import engine
from hutwright.outputs.rehearsal import MET, NOT_MET, state_text

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

SIZE = (7.4, 5.6)  # of a picture [in]
DOTS = 130  # of a picture in dots, to an inch
BEFORE, AFTER = 0.3, 6.2  # that is shown round a contact [s]
BRIEF, AFTER_BRIEF = 1.2, 2.0  # and where the force is gone so soon after the contact [s]
ROOM = 1.15  # above the greatest value [-]
# One hue, in four depths
DEEP, MIDDLE, PALE, FAINT = "#0f4c4a", "#2c8a86", "#8cc4c1", "#d3e8e6"
INK = "#333333"
MOST_POINTS = 4000  # of a line: a choice of this project


class Form(Enum):
    """The kind of file."""

    PNG = "png"
    SVG = "svg"


@dataclass(frozen=True, slots=True)
class _Trace:
    """A run, row by row, with what it is drawn against."""

    time: NDArray[np.float64]  # from the contact on, where there is one
    rows: Any
    take: Take
    force: NDArray[np.float64]


def plot_all(performances: Iterable[Performance], folder: Path, form: Form = Form.PNG) -> tuple[Path, ...]:
    """Draw the worst run of each of some scenarios.

    Parameters
    ----------
    performances : iterable of Performance
        The scenarios.
    folder : pathlib.Path
        Where the pictures go; made where it is missing.
    form : Form
        The kind of file.

    Returns
    -------
    tuple of pathlib.Path
        The files that were written.

    Raises
    ------
    RequestError
        Where they cannot be written.
    """
    written = []
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for performance in performances:
            path = folder / f"{re.sub(r'[^a-z0-9_]+', '_', performance.scenario.key)}.{form.value}"
            _save(draw(performance), path, form)
            written.append(path)
    except OSError as error:
        told = system_words(error)
        raise RequestError(
            f"{shortened(str(folder))} cannot be written to: the system said {told}; choose another folder"
        ) from error
    return tuple(written)


def _save(figure: Figure, path: Path, form: Form) -> None:
    from matplotlib import rc_context

    with rc_context({"svg.hashsalt": "hutwright", "svg.fonttype": "none"}):
        metadata = {"Date": None} if form is Form.SVG else {"Software": None}
        figure.savefig(path, format=form.value, dpi=DOTS, metadata=metadata)


def draw(performance: Performance) -> Figure:
    """The worst run of a scenario as a picture.

    Parameters
    ----------
    performance : Performance
        The scenario.
    """
    from matplotlib.figure import Figure

    take = performance.worst
    prepared = take.prepared
    run = engine.run(prepared.door, prepared.settings, prepared.events)
    rows = run.rows[:: max(1, len(run.rows) // MOST_POINTS)] if not take.touched else run.rows
    zero = float(take.result["contact_time"]) if take.touched else 0.0
    time = np.asarray(rows["time"], dtype=np.float64) - zero
    trace = _Trace(time, rows, take, np.asarray(rows["force_seen"], dtype=np.float64))
    figure = Figure(figsize=SIZE, layout="constrained")
    upper, lower = figure.subplots(2, 1, sharex=True)
    status = MET if performance.met else NOT_MET
    where = f", {prepared.words}" if prepared.words else ""
    figure.suptitle(
        f"{performance.scenario.title}{where}\n{status}; ends: {state_text(take)}",
        fontsize=10,
        color=INK,
        wrap=True,
    )
    if take.touched:
        _force(upper, trace)
    else:
        _way(upper, trace)
    _current(lower, trace)
    lower.set_xlabel(f"time{' from the contact' if take.touched else ''} [s]", color=INK, fontsize=9)
    for axes in (upper, lower):
        _plain(axes)
    return figure


def _plain(axes: Axes) -> None:
    axes.tick_params(colors=INK, labelsize=8)
    axes.grid(visible=True, color=FAINT, linewidth=0.6)
    axes.set_axisbelow(True)
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)
    axes.legend(fontsize=7, frameon=False, loc="lower right", bbox_to_anchor=(1.0, 1.0), ncols=4)


def _shown(trace: _Trace) -> tuple[float, float]:
    """The part of the run that is shown: round the contact, or all of it."""
    end = float(trace.time[-1])
    if not trace.take.touched:
        return 0.0, end
    pressed = trace.time[trace.force > REST_FORCE]
    brief = not len(pressed) or float(pressed[-1]) < BRIEF
    return max(float(trace.time[0]), -BEFORE), min(end, AFTER_BRIEF if brief else AFTER)


def _force(axes: Axes, trace: _Trace) -> None:
    """Force as the instrument shows it, with the limits of the force test."""
    force = trace.force
    first, last = _shown(trace)
    axes.plot(trace.time, force, color=DEEP, linewidth=1.4, label="force, as the instrument shows it")
    axes.plot([0.0], [0.0], "o", markerfacecolor="white", markeredgecolor=DEEP, label="contact")
    at = int(np.argmax(force))
    axes.plot([trace.time[at]], [force[at]], "o", color=DEEP, label=f"peak, {force[at]:.0f} N")
    limit = _limit(trace.take)
    if math.isfinite(limit):
        axes.axhline(limit, color=MIDDLE, linestyle="--", linewidth=1.1)
        _note(axes, last, limit, f"peak at most {limit:.0f} N")
    axes.axhline(LASTING_FORCE, color=PALE, linestyle="--", linewidth=1.1)
    _note(axes, last, LASTING_FORCE, f"above {LASTING_FORCE:.0f} N for at most {LASTING_TIME:g} s")
    if last > REST_TIME:
        axes.plot([REST_TIME, last], [REST_FORCE, REST_FORCE], color=MIDDLE, linewidth=2.2)
        _note(axes, last, REST_FORCE, f"at most {REST_FORCE:.0f} N after {REST_TIME:g} s")
    axes.set_xlim(first, last)
    axes.set_ylim(0.0, ROOM * max(float(force.max()), LASTING_FORCE, limit if math.isfinite(limit) else 0.0))
    axes.set_ylabel("force [N]", color=INK, fontsize=9)


def _note(axes: Axes, time: float, value: float, text: str) -> None:
    axes.annotate(
        text,
        (time, value),
        xytext=(-3, 3),
        textcoords="offset points",
        fontsize=7,
        color=INK,
        ha="right",
        va="bottom",
        bbox={"facecolor": "white", "edgecolor": "none", "pad": 0.8, "alpha": 0.85},
    )


def _limit(take: Take) -> float:
    """The limit of the peak; infinite where none was declared."""
    limits = [
        reading.bound.limit for reading in take.judgement.readings if reading.bound.quantity is Quantity.PEAK
    ]
    return min(limits, default=math.inf)


def _way(axes: Axes, trace: _Trace) -> None:
    """Where the leaf is, and where the controller believes it to be."""
    full = float(trace.take.prepared.door["full"])
    place = 100.0 * np.asarray(trace.rows["q"], dtype=np.float64) / full
    believed = 100.0 * np.asarray(trace.rows["place_share"], dtype=np.float64)
    axes.plot(trace.time, place, color=DEEP, linewidth=1.4, label="leaf, of its travel")
    axes.plot(
        trace.time,
        np.where(believed < 0.0, np.nan, believed),
        color=PALE,
        linewidth=1.4,
        linestyle="--",
        label="drive, as the controller believes",
    )
    axes.plot([FIRST], [place[0]], "o", markerfacecolor="white", markeredgecolor=DEEP)
    axes.plot([trace.time[-1]], [place[-1]], "o", color=DEEP, clip_on=False)
    axes.set_xlim(*_shown(trace))
    axes.set_ylim(-5.0, 108.0)
    axes.set_yticks(range(0, 101, 25))
    axes.set_ylabel("way from shut [%]", color=INK, fontsize=9)


def _current(axes: Axes, trace: _Trace) -> None:
    """The current as it is read and filtered, with what means an obstacle."""
    rows, settings = trace.rows, trace.take.prepared.settings
    first, last = _shown(trace)
    seen = (trace.time >= first) & (trace.time <= last)
    read = np.abs(np.asarray(rows["reading_mA"], dtype=np.float64)) / 1000.0
    filtered = np.asarray(rows["filtered_mA"], dtype=np.float64) / 1000.0
    residual = np.asarray(rows["residual_mA"], dtype=np.float64) / 1000.0
    axes.plot(trace.time, read, color=PALE, linewidth=0.7, label="current, as it is read")
    axes.plot(trace.time, filtered, color=DEEP, linewidth=1.2, label="filtered")
    axes.plot(
        trace.time, residual, color=MIDDLE, linewidth=1.0, linestyle=":", label="beyond what is expected"
    )
    trips = sorted({float(settings[way]["trip_mA"]) / 1000.0 for way in ("opening", "closing")})
    for trip in trips:
        axes.axhline(trip, color=MIDDLE, linestyle="--", linewidth=1.1)
        _note(axes, last, trip, f"means an obstacle: {shown(trip, units.CURRENT)}")
    result = trace.take.result
    decided = float(result["trip_time"]) - float(result["contact_time"])
    if result["trip_time"] >= 0.0 and first <= decided <= last:
        value = float(np.interp(decided, trace.time, filtered))
        axes.plot([decided], [value], "s", color=DEEP, markersize=5, label="the controller decides")
    top = max(float(filtered[seen].max()) if seen.any() else 0.0, *trips)
    axes.set_ylim(min(0.0, float(residual[seen].min()) if seen.any() else 0.0), 1.2 * top)
    axes.set_ylabel("motor current [A]", color=INK, fontsize=9)
