"""Ways to set a reversal, each as settings of the same core.

The fixed threshold and the position envelope are common practice of the trade, with its usual margin of a
fifth; they know neither temperature nor supply. Standing: practice.
"""

from __future__ import annotations

from collections.abc import Sequence
from enum import Enum

import numpy as np

from hutwright.bench.settings import OFF, sealed
from hutwright.native.records import BINS, Record
from hutwright.studies.calibrate import Calibration
from hutwright.studies.calibrate_heard import Floats, Heard
from hutwright.studies.calibrate_learn import NAMES, judged_rows

MARGIN = 0.2  # of the greatest training current. Standing: practice [-]
NEVER_TRIPS = 40000  # the greatest that the core takes, far above every stall here [mA]
LEAST = 20  # the least that it takes [mA]


class Method(Enum):
    """One way to set the reversal."""

    FIXED = "fixed threshold"
    ENVELOPE = "position envelope"
    OURS = "calibrated"
    NO_RISE = "calibrated, rise off"
    NO_RESIDUAL = "calibrated, residual off"


BRANCH_OFF = (Method.NO_RISE, Method.NO_RESIDUAL)


def settings_of(method: Method, found: Calibration, base: Record) -> Record:
    """The core's settings by a method.

    Parameters
    ----------
    method : Method
        Which.
    found : Calibration
        Of the same training moves.
    base : Record
        The settings that follow from the description.
    """
    if method is Method.OURS:
        return found.settings
    if method in BRANCH_OFF:
        own = found.settings.copy()
        for name in NAMES.values():
            if method is Method.NO_RISE:
                own[name]["rise_mA"] = OFF
            else:
                own[name]["trip_mA"] = NEVER_TRIPS
        return sealed(own)
    own = base.copy()
    for learnt in found.learnt:
        most = envelope(learnt.moves, base)
        detector = own[NAMES[learnt.way]]
        detector["start_mA"], detector["per_kelvin_uA"], detector["per_volt_mA"] = 0, 0, 0
        detector["rise_mA"] = OFF
        greatest = float(most.max())
        if method is Method.ENVELOPE:
            detector["profile_mA"] = np.ceil(1e3 * most)
            detector["trip_mA"] = max(round(1e3 * MARGIN * greatest), LEAST)
        else:
            detector["profile_mA"] = 0
            detector["trip_mA"] = max(round(1e3 * (1.0 + MARGIN) * greatest), LEAST)
    return sealed(own)


def envelope(moves: Sequence[Heard], base: Record) -> Floats:
    """The greatest filtered current of moves one way round each bin's middle; shape (BINS,) [A].

    A bin looks as far as the middles of its neighbours, so that the straight lines that the core draws
    between the middles never lie below what was seen. Where no move was listened to, the nearest bin counts.
    """
    judged, blind = judged_rows(base), 1e-3 * float(base["blind_ms"])
    most = np.full(BINS, -np.inf)
    for move in moves:
        counts = judged(move) & (move.time >= blind)
        current, place = move.filtered[counts], move.place[counts] * BINS - 0.5
        for at in (np.floor(place), np.ceil(place)):
            np.maximum.at(most, np.clip(at, 0, BINS - 1).astype(np.int64), current)
    known = np.flatnonzero(np.isfinite(most))
    return np.asarray(most[known[np.argmin(np.abs(np.arange(BINS)[:, None] - known), axis=1)]])
