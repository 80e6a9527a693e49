"""The pictures of a calibration: moves overlaid, profile and band, maxima, trade-off, more cycles.

The drawing library is loaded only when a picture is wanted.
"""

from __future__ import annotations

import io
import math
from typing import TYPE_CHECKING

import numpy as np

from hutwright.evidence.trace import Way
from hutwright.native.records import BINS
from hutwright.outputs.plots import DEEP, DOTS, FAINT, INK, MIDDLE, PALE
from hutwright.studies.calibrate import Calibration
from hutwright.studies.calibrate_claim import Basis, Branch
from hutwright.studies.calibrate_learn import Learnt

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

SIZE = (7.4, 4.6)  # of a picture [in]
MOST_MOVES, MOST_POINTS = 60, 600  # that are drawn: choices of this project
WAYS = {Way.OPENING: "opening", Way.CLOSING: "closing"}
LEAST_SHOWN = 1e-6  # share of cycles at which the axis ends: a choice of this project


def calibration_pictures(found: Calibration) -> dict[str, bytes]:
    """Every picture as a PNG file, by name.

    Parameters
    ----------
    found : Calibration
        What was found.
    """
    figures = {
        "moves.png": draw_moves(found),
        "profile.png": draw_profile(found),
        "maxima.png": draw_maxima(found),
        "tradeoff.png": draw_tradeoff(found),
        "more_cycles.png": draw_more(found),
    }
    return {name: _png(figure) for name, figure in figures.items()}


def _png(figure: Figure) -> bytes:
    raw = io.BytesIO()
    figure.savefig(raw, format="png", dpi=DOTS, metadata={"Software": None})
    return raw.getvalue()


def _figure(rows: int = 1, columns: int = 1) -> tuple[Figure, list[Axes]]:
    from matplotlib.figure import Figure

    figure = Figure(figsize=SIZE, layout="constrained")
    axes = np.atleast_1d(figure.subplots(rows, columns)).ravel().tolist()
    for each in axes:
        each.spines[["top", "right"]].set_visible(False)
        each.tick_params(colors=INK, labelsize=8)
        each.grid(visible=True, color="#e6e6e6", linewidth=0.6)
        each.set_axisbelow(True)
    return figure, axes


def _labelled(axes: Axes, across: str, up: str, title: str = "") -> None:
    axes.set_xlabel(across, fontsize=9, color=INK)
    axes.set_ylabel(up, fontsize=9, color=INK)
    if title:
        axes.set_title(title, fontsize=10, color=INK, loc="left")


def _thin(number: int, most: int) -> slice:
    return slice(None, None, max(1, number // most))


def draw_moves(found: Calibration) -> Figure:
    """Filtered currents of all moves over the place, one over the other, with the profile.

    Parameters
    ----------
    found : Calibration
        What was found.
    """
    figure, axes = _figure(2)
    for each, learnt in zip(axes, found.learnt, strict=True):
        shown = learnt.moves[_thin(len(learnt.moves), MOST_MOVES)]
        for move in shown:
            part = _thin(len(move.time), MOST_POINTS)
            each.plot(100 * move.place[part], move.filtered[part], color=PALE, linewidth=0.5, alpha=0.6)
        middles = 100 * (np.arange(BINS) + 0.5) / BINS
        each.plot(middles, learnt.profile.bins, color=DEEP, linewidth=1.6, label="profile, without the start")
        title = f"{WAYS[learnt.way]}: {len(shown)} of {len(learnt.moves)} moves"
        _labelled(each, "share of the travel, 0 is shut [%]", "current [A]", title)
        each.legend(fontsize=8, frameon=False)
    return figure


def draw_profile(found: Calibration) -> Figure:
    """What goes beyond the expected current over the place, as a band, with the threshold.

    Parameters
    ----------
    found : Calibration
        What was found.
    """
    figure, axes = _figure(2)
    for each, learnt in zip(axes, found.learnt, strict=True):
        _band(each, learnt)
    return figure


def _band(axes: Axes, learnt: Learnt) -> None:
    place, beyond = [], []
    for move in learnt.moves:
        heard = move.time >= learnt.told.blind
        place.append(move.place[heard])
        beyond.append((move.filtered - learnt.profile.expected(move, learnt.told.start_step))[heard])
    where, what = np.concatenate(place), np.concatenate(beyond)
    edges = np.linspace(0.0, 1.0, 2 * BINS + 1)
    at = np.clip(np.digitize(where, edges) - 1, 0, 2 * BINS - 1)
    middles, low, half, high, most = [], [], [], [], []
    for one in range(2 * BINS):
        inside = what[at == one]
        if len(inside):
            middles.append(50 * (edges[one] + edges[one + 1]))
            ends = np.quantile(inside, (0.01, 0.5, 0.99))
            low.append(ends[0])
            half.append(ends[1])
            high.append(ends[2])
            most.append(inside.max())
    axes.fill_between(middles, low, high, color=FAINT, label="98 % of all rows")
    axes.plot(middles, half, color=MIDDLE, linewidth=1.0, label="middle")
    axes.plot(middles, most, color=PALE, linewidth=0.9, label="greatest row")
    trip = learnt.threshold(Branch.RESIDUAL).value
    axes.axhline(trip, color=DEEP, linestyle="--", linewidth=1.3, label=f"threshold {trip:.2f} A")
    _labelled(
        axes, "share of the travel, 0 is shut [%]", "beyond the\nexpected current [A]", WAYS[learnt.way]
    )
    axes.legend(fontsize=7, frameon=False, ncols=4, loc="upper center")
    top = 1.35 * max(trip, max(most))
    axes.set_ylim(max(min(low), -top), top)


def draw_maxima(found: Calibration) -> Figure:
    """Out-of-fold maxima of each detector against the fitted law, on paper on which the law is straight.

    Parameters
    ----------
    found : Calibration
        What was found.
    """
    figure, axes = _figure(2, 2)
    thresholds = [each for one in found.learnt for each in one.thresholds]
    names = {Branch.RESIDUAL: "beyond the expected", Branch.RISE: "beyond its own mean"}
    for each, threshold in zip(axes, thresholds, strict=True):
        ordered = np.sort(threshold.maxima)
        if len(ordered):
            share = (np.arange(1, len(ordered) + 1) - 0.44) / (len(ordered) + 0.12)
            each.plot(-np.log(-np.log(share)), ordered, "o", markersize=3, color=MIDDLE)
        if threshold.law is not None:
            ends = np.array([-2.0, -math.log(-math.log(0.9995))])
            style = "-" if threshold.basis is Basis.LAW else ":"
            each.plot(
                ends, threshold.law.place + threshold.law.scale * ends, style, color=DEEP, linewidth=1.2
            )
        each.axhline(threshold.value, color=DEEP, linestyle="--", linewidth=1.0)
        basis = "law" if threshold.basis is Basis.LAW else "counted"
        title = f"{WAYS[threshold.way]}, {names[threshold.branch]}: {threshold.value:.2f} A, {basis}"
        _labelled(each, "", "greatest of a move [A]", title)
        each.set_title(title, fontsize=8, color=INK, loc="left")
        each.set_xticks([-math.log(-math.log(p)) for p in (0.1, 0.5, 0.9, 0.99, 0.9995)])
        each.set_xticklabels(["10", "50", "90", "99", "99.95"])
    figure.supxlabel("share of moves below [%]", fontsize=9, color=INK)
    return figure


def draw_tradeoff(found: Calibration) -> Figure:
    """Needless reversals against peak force, for other thresholds.

    Parameters
    ----------
    found : Calibration
        What was found.
    """
    figure, (axes,) = _figure()
    known = [each for each in found.tradeoff if not math.isnan(each.peak)]
    needless = [1e3 * max(each.needless, LEAST_SHOWN) for each in known]
    axes.plot([each.peak for each in known], needless, "o-", color=MIDDLE, markersize=4, linewidth=1.2)
    for each, high in zip(known, needless, strict=True):
        axes.annotate(
            f"x {each.factor:g}",
            (each.peak, high),
            xytext=(5, 4),
            textcoords="offset points",
            fontsize=8,
            color=INK,
        )
        if each.factor == 1.0:
            axes.plot([each.peak], [high], "s", color=DEEP, markersize=7, label="as calibrated")
    axes.set_yscale("log")
    _labelled(
        axes,
        "greatest simulated peak force, calm, 20 degC [N]",
        "needless reversals of 1000 cycles, expected",
        "What other thresholds would cost (times those calibrated)",
    )
    if any(each.needless < LEAST_SHOWN for each in known):
        note = f"drawn at {1e3 * LEAST_SHOWN:g} where less"
        axes.text(0.01, 0.02, note, transform=axes.transAxes, fontsize=7, color=INK)
    axes.legend(fontsize=8, frameon=False)
    return figure


def draw_more(found: Calibration) -> Figure:
    """What more clean cycles would buy: a lower threshold by the law, a stronger claim by counting.

    Parameters
    ----------
    found : Calibration
        What was found.
    """
    figure, (left, right) = _figure(1, 2)
    cycles = [each.cycles for each in found.bought]
    lawful = [each for each in found.bought if not math.isnan(each.threshold)]
    if lawful:
        left.plot([e.cycles for e in lawful], [e.threshold for e in lawful], "o-", color=MIDDLE, markersize=4)
    right.plot(cycles, [1e3 * each.counted for each in found.bought], "o-", color=MIDDLE, markersize=4)
    for each in (left, right):
        each.set_xscale("log")
        each.axvline(found.trained.cycles, color=DEEP, linestyle="--", linewidth=1.0, label="recorded")
        each.set_xticks(cycles, labels=[str(number) for number in cycles])
        each.minorticks_off()
        each.legend(fontsize=8, frameon=False)
    right.set_yscale("log")
    right.set_yticks([10, 20, 50, 100, 200, 500], labels=["10", "20", "50", "100", "200", "500"])
    right.minorticks_off()
    _labelled(left, "clean cycles", "closing threshold [A]", "by the law")
    _labelled(right, "clean cycles", "needless reversals of 1000 at most", "by counting")
    return figure
