"""From clean moves to what the core is set to: profiles, thresholds, trained range."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from hutwright.bench.settings import OFF, sealed
from hutwright.errors import Cancel, ModelError, Progress, RequestError, StoppedError, stopped
from hutwright.evidence.trace import Trace, Way
from hutwright.laws.motor_line import ROOM
from hutwright.native import engine
from hutwright.native.records import Record
from hutwright.native.words import Ends, Refusal, spoken
from hutwright.studies.calibrate_claim import Branch, Threshold, threshold_of
from hutwright.studies.calibrate_heard import Heard, heard
from hutwright.studies.calibrate_profile import (
    Maxima,
    Profile,
    Sums,
    Told,
    maxima_of,
    out_of_fold,
    profile_of,
    sums_of,
    told_by,
)

LEAST_CYCLES = 10  # clean ones to begin with, where the bound is at its widest: a choice of this project [-]
PARTS = 4  # detectors that share the confidence: two ways, two branches
CELSIUS = 273.15  # [K]
AT_ONCE = 40  # moves that are worked on side by side: a choice of this project [-]
NAMES = {Way.OPENING: "opening", Way.CLOSING: "closing"}


@dataclass(frozen=True, slots=True)
class Trained:
    """In what range the moves were recorded.

    Attributes
    ----------
    temperature : tuple or None
        Least and greatest; None where not every move has one. [K, K]
    supply : tuple or None
        Least and greatest at the bridge; None where not every move has one. [V, V]
    cycles : int
        Clean moves, of the way that has fewer.
    """

    temperature: tuple[float, float] | None
    supply: tuple[float, float] | None
    cycles: int


@dataclass(frozen=True, slots=True, eq=False)
class Learnt:
    """What clean moves one way taught.

    Attributes
    ----------
    way : Way
        Which way.
    profile : Profile
        Of all of them.
    moves : tuple of Heard
        The moves.
    thresholds : tuple of Threshold
        Of both branches.
    told : Told
        How the core listens.
    """

    way: Way
    profile: Profile
    moves: tuple[Heard, ...]
    thresholds: tuple[Threshold, ...]
    told: Told

    def threshold(self, branch: Branch) -> Threshold:
        """The threshold of one branch."""
        return next(each for each in self.thresholds if each.branch is branch)


def clean_moves(traces: Sequence[Trace]) -> tuple[tuple[Trace, ...], tuple[str, ...]]:
    """The moves that anything may be learnt from, and a sentence on each that may not.

    Parameters
    ----------
    traces : sequence of Trace
        All that were recorded.
    """
    kept, left, seen = [], [], set()
    for each in traces:
        where = each.source or f"cycle {each.cycle}"
        if each.reached is False:
            left.append(f"{where}: {NAMES[each.way]} of cycle {each.cycle} did not reach its end; left out")
        elif id(each) not in seen:
            seen.add(id(each))
            kept.append(each)
    return tuple(kept), tuple(left)


def trained_range(traces: Sequence[Trace]) -> Trained:
    """In what range moves were recorded.

    Parameters
    ----------
    traces : sequence of Trace
        The clean moves, one or more.
    """
    kelvin = [each.temperature for each in traces if each.temperature is not None]
    volts = [each.supply for each in traces if each.supply is not None]
    numbers = [sum(each.way is way for each in traces) for way in Way]
    return Trained(
        temperature=(min(kelvin), max(kelvin)) if len(kelvin) == len(traces) else None,
        supply=(min(float(each.min()) for each in volts), max(float(each.max()) for each in volts))
        if len(volts) == len(traces)
        else None,
        cycles=min(numbers),
    )


def learn(
    traces: Sequence[Trace],
    settings: Record,
    *,
    progress: Progress | None = None,
    cancel: Cancel | None = None,
) -> tuple[Learnt, ...]:
    """What clean moves teach, way by way.

    Parameters
    ----------
    traces : sequence of Trace
        Clean moves of both ways, ten or more of each.
    settings : Record
        The core's settings so far: filter, waiting, blind time, ends.
    progress : Callable or None
        Is told how many moves of how many are heard.
    cancel : Cancel or None
        Ends it early.

    Returns
    -------
    tuple of Learnt
        Opening and closing.

    Raises
    ------
    RequestError
        Where there are too few moves.
    StoppedError
        Where it was ended early.
    """
    for way in Way:
        number = sum(each.way is way for each in traces)
        if number < LEAST_CYCLES:
            raise RequestError(
                f"traces: read {number} clean moves of {NAMES[way]}; wanted {LEAST_CYCLES} or more"
                " of each way; record more cycles with nothing in the way"
            )
    told = told_by(settings, *_reference(traces, settings))
    moves: list[Heard] = []
    sums: list[Sums] = []
    for first in range(0, len(traces), AT_ONCE):
        if stopped(cancel):
            raise StoppedError("stopped before all moves were looked at; nothing was set")
        part = heard(traces[first : first + AT_ONCE], settings)
        moves.extend(part)
        sums.extend(sums_of(each, told) for each in part)
        if progress is not None:
            progress(len(moves), len(traces))
    judged = judged_rows(settings)
    found = []
    for way in Way:
        chosen = [at for at, each in enumerate(moves) if each.trace.way is way]
        found.append(_learn([moves[at] for at in chosen], [sums[at] for at in chosen], way, told, judged))
    return tuple(found)


def _learn(
    moves: Sequence[Heard],
    sums: Sequence[Sums],
    way: Way,
    told: Told,
    judged: Callable[[Heard], NDArray[np.bool_]],
) -> Learnt:
    maxima = out_of_fold(moves, sums, told, judged)
    return Learnt(
        way=way,
        profile=profile_of(sums, told),
        moves=tuple(moves),
        thresholds=(
            threshold_of(way, Branch.RESIDUAL, maxima.residual, PARTS),
            threshold_of(way, Branch.RISE, maxima.rise, PARTS),
        ),
        told=told,
    )


def _reference(traces: Sequence[Trace], settings: Record) -> tuple[float, float]:
    """Middle temperature and supply of the moves; what the settings hold where nobody recorded them."""
    kelvin = [each.temperature for each in traces if each.temperature is not None]
    volts = [float(np.median(each.supply)) for each in traces if each.supply is not None]
    return (
        float(np.median(kelvin)) if kelvin else ROOM,
        float(np.median(volts)) if volts else float(settings["reference_mV"]) / 1e3,
    )


def judged_rows(settings: Record) -> Callable[[Heard], NDArray[np.bool_]]:
    """Which rows of a move count: not the stall at the end where that is how the end is told.

    Parameters
    ----------
    settings : Record
        The core's settings.
    """
    window = float(settings["end_permille"]) / 1e3 if int(settings["ends"]) == Ends.STALL else -1.0

    def judged(move: Heard) -> NDArray[np.bool_]:
        left = 1.0 - move.place if move.trace.way is Way.OPENING else move.place
        counts: NDArray[np.bool_] = left > window
        return counts

    return judged


def beyond(learnt: Learnt, traces: Sequence[Trace], settings: Record) -> Maxima:
    """How far other moves the same way go beyond the profile, obstructed ones for instance.

    Parameters
    ----------
    learnt : Learnt
        What the clean ones taught.
    traces : sequence of Trace
        The moves, one or more.
    settings : Record
        The core's settings.
    """
    moves = heard(traces, settings)
    return maxima_of(moves, [learnt.profile] * len(moves), learnt.told, judged_rows(settings))


def calibrated(base: Record, learnt: Sequence[Learnt], trained: Trained) -> Record:
    """The core's settings with all that was learnt, sealed and accepted.

    Parameters
    ----------
    base : Record
        The settings that follow from the description.
    learnt : sequence of Learnt
        Of both ways.
    trained : Trained
        In what range.

    Raises
    ------
    ModelError
        Where the core refuses them.
    """
    own = base.copy()
    first = learnt[0].profile
    own["reference_dC"] = round(10.0 * (first.temperature - CELSIUS))
    own["reference_mV"] = round(1e3 * first.supply)
    if trained.temperature is not None:
        own["trained_low_dC"], own["trained_high_dC"] = (
            round(10.0 * (each - CELSIUS)) for each in trained.temperature
        )
    if trained.supply is not None:
        own["trained_low_mV"], own["trained_high_mV"] = (round(1e3 * each) for each in trained.supply)
    for each in learnt:
        put_detector(own, each.way, each.profile, {one.branch: one for one in each.thresholds})
    found = sealed(own)
    refusal = engine.refusal(found)
    if refusal is not Refusal.GOOD:
        raise ModelError(
            "calibration",
            spoken(refusal),
            "settings that the door's core accepts",
            "look at the recorded currents, and record again where they cannot be",
        )
    return found


def put_detector(own: Record, way: Way, profile: Profile, thresholds: dict[Branch, Threshold]) -> None:
    """Write one way's profile and thresholds into settings that are being made.

    Parameters
    ----------
    own : Record
        The settings; not sealed.
    way : Way
        Which way.
    profile : Profile
        Its profile.
    thresholds : dict
        Its thresholds.
    """
    detector = own[NAMES[way]]
    detector["profile_mA"] = np.clip(np.rint(1e3 * profile.bins), 0, 40000)
    detector["start_mA"] = np.clip(np.rint(1e3 * profile.start), 0, 40000)
    detector["per_kelvin_uA"] = round(1e6 * profile.per_kelvin)
    detector["per_volt_mA"] = round(1e3 * profile.per_volt)
    rise = thresholds[Branch.RISE]
    detector["trip_mA"] = round(1e3 * thresholds[Branch.RESIDUAL].value)
    detector["rise_mA"] = round(1e3 * rise.value) if len(rise.maxima) else OFF
