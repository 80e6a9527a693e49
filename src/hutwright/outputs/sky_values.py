"""Roof windows that were placed, and what readings and incidents say, as plain values for JSON."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from hutwright.description.lines import join
from hutwright.model.paths import Keys
from hutwright.outputs.contract import FORMAT, finite
from hutwright.studies.incidents import Explanation
from hutwright.studies.placement import Layout, Placement, Readiness
from hutwright.studies.readings import ReadingsFit
from hutwright.studies.readings_likelihood import Fitted
from hutwright.studies.sky_ways import Way
from hutwright.studies.window_places import WindowPlace

Plain = dict[str, Any]


def placement_values(found: Placement, ways: Sequence[Way] = ()) -> Plain:
    """Roof windows and what else was tried as plain values; lengths in metres, shares of a day from 0 to 1.

    Parameters
    ----------
    found : Placement
        What came of the search.
    ways : Sequence
        What else was tried.

    Returns
    -------
    dict
        Texts, finite numbers, truths, None, lists and dicts only.
    """
    enough = found.enough
    return {
        "format": FORMAT,
        "layouts": [_layout(each) for each in found.layouts],
        "kept": list(found.kept),
        "wanted": finite(found.wanted),
        "first_wasted": found.first_wasted,
        "enough": None if enough is None else len(enough.windows),
        "places": found.places,
        "step": finite(found.step),
        "tried": found.tried,
        "complete": found.complete,
        "ways": [_way(each) for each in ways],
    }


def _layout(layout: Layout) -> Plain:
    return {
        "windows": [_window(each) for each in layout.windows],
        "area": finite(layout.area),
        "changes": _changes(layout.changes),
        "rain": readiness_values(layout.wet),
        "dry": readiness_values(layout.dry),
        "thaw": readiness_values(layout.thaw),
        "adds_rain": finite(layout.adds_wet),
        "adds_dry": finite(layout.adds_dry),
        "seen": layout.seen,
    }


def _window(window: WindowPlace) -> Plain:
    return {
        "face": window.face,
        "sheet": window.sheet.name,
        "from_left": round(window.across[0], 3),
        "from_low_edge": round(window.along[0], 3),
        "width": round(window.across[1] - window.across[0], 3),
        "length": round(window.along[1] - window.along[0], 3),
    }


def readiness_values(readiness: Readiness) -> Plain:
    """How ready the machine is in one state, as plain values.

    Parameters
    ----------
    readiness : Readiness
        How ready it is.
    """
    return {
        "ready": finite(readiness.ready),
        "low": finite(readiness.least),
        "high": finite(readiness.most),
        "satellites": finite(readiness.count),
        "accuracy": readiness.accuracy,
    }


def _way(way: Way) -> Plain:
    return {
        "words": way.words,
        "changes": _changes(way.changes),
        "before": readiness_values(way.before),
        "after": None if way.after is None else readiness_values(way.after),
        "why_not": way.why_not or None,
        "helps": way.helps,
    }


def _changes(changes: Mapping[Keys, object]) -> list[Plain]:
    """Changes of the file, in order; a value of None takes it out."""
    return [{"path": join(*path), "value": value} for path, value in changes.items()]


def readings_values(fit: ReadingsFit) -> Plain:
    """What readings say as plain values; densities in dB-Hz.

    Parameters
    ----------
    fit : ReadingsFit
        What they say.

    Returns
    -------
    dict
        Texts, finite numbers, truths, None, lists and dicts only.
    """
    return {
        "format": FORMAT,
        "threshold_db": _fitted(fit.threshold_db),
        "overhead_db": None if fit.overhead_db is None else _fitted(fit.overhead_db),
        "wetness": _fitted(fit.wetness),
        "bias": _fitted(fit.bias),
        "readings": fit.readings,
        "at_moments": fit.at_moments,
        "misfit": finite(fit.misfit),
        "correlations": [
            {"of": list(names), "value": finite(value)} for names, value in fit.correlations.items()
        ],
        "doubts": list(fit.doubts),
        "changes": _changes(fit.changes),
    }


def _fitted(fitted: Fitted) -> Plain:
    return {
        "value": finite(fitted.value),
        "low": finite(fitted.low),
        "high": finite(fitted.high),
        "bounded": fitted.bounded,
    }


def explanation_values(found: Explanation) -> Plain:
    """Whether the sky explains the incidents as plain values.

    Parameters
    ----------
    found : Explanation
        What the incidents say.

    Returns
    -------
    dict
        Texts, finite numbers, truths, None, lists and dicts only.
    """
    return {
        "format": FORMAT,
        "verdict": found.verdict.value,
        "strength": found.strength or None,
        "reasons": list(found.reasons),
        "used": found.used,
        "given": found.given,
        "failures": found.failures,
        "log_ratio": finite(found.log_ratio),
        "balance": finite(found.balance),
        "per_satellite": finite(found.per_satellite),
        "count_started": finite(found.count_started),
        "count_failed": finite(found.count_failed),
    }
