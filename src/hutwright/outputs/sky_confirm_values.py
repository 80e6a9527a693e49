"""What the full wave says beside the integral, as plain values for JSON."""

from __future__ import annotations

from typing import Any

from hutwright.outputs.contract import finite
from hutwright.studies.sky_confirm import Both, Confirmation, Reckoning

Plain = dict[str, Any]


def confirmation_values(found: Confirmation) -> Plain:
    """What the full wave says as plain values.

    Parameters
    ----------
    found : Confirmation
        What came of asking it.

    Returns
    -------
    dict
        Texts, finite numbers, truths, None, lists and dicts only.
    """
    return {
        "asked": found.asked,
        "complete": found.complete,
        "left_out": list(found.left_out),
        "other_pattern": found.other_pattern,
        "found": [_both(each) for each in found.found],
    }


def _both(both: Both) -> Plain:
    (fewest, most), (least_ready, most_ready) = both.count, both.ready
    return {
        "windows": both.windows,
        "door": "open" if both.state.is_open else "shut",
        "weather": both.state.season.value,
        "cells": finite(both.side),
        "differ": both.differ,
        "satellites": {"fewest": finite(fewest), "most": finite(most)},
        "ready": {"least": finite(least_ready), "most": finite(most_ready)},
        "full_wave": _reckoning(both.full_wave),
        "integral": _reckoning(both.integral),
        "rms_db": finite(both.rms_db),
        "mean_db": finite(both.mean_db),
    }


def _reckoning(one: Reckoning) -> Plain:
    return {
        "satellites": finite(one.count),
        "fewest": finite(one.fewest),
        "most": finite(one.most),
        "ready": finite(one.ready),
        "ready_least": finite(one.ready_least),
        "ready_most": finite(one.ready_most),
        "accuracy": one.accuracy,
    }
