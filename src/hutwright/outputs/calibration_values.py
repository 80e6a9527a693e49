"""A calibration as plain values for JSON."""

from __future__ import annotations

from typing import Any

from hutwright.outputs.calibration import claim_text, verdict_text
from hutwright.outputs.cautions import STANDING
from hutwright.outputs.contract import FORMAT, finite
from hutwright.studies.calibrate import Calibration, TrainingTime
from hutwright.studies.calibrate_forces import Press
from hutwright.studies.calibrate_learn import Learnt
from hutwright.studies.force_trials import Compared

Plain = dict[str, Any]


def calibration_values(found: Calibration) -> Plain:
    """A calibration as plain values; all in SI.

    Parameters
    ----------
    found : Calibration
        What was found.

    Returns
    -------
    dict
        Texts, finite numbers, truths, None, lists and dicts only.
    """
    trained, claim, checked = found.trained, found.claim, found.verified
    return {
        "format": FORMAT,
        "project": found.described.project.name,
        "variant": found.described.variant or None,
        "refused": found.refused,
        "verdict": verdict_text(found),
        "trained": {
            "cycles": trained.cycles,
            "temperature_K": None if trained.temperature is None else list(trained.temperature),
            "supply_V": None if trained.supply is None else list(trained.supply),
        },
        "claim": {
            "words": claim_text(found),
            "share_of_cycles_at_most": claim.share,
            "share_of_cycles_on_average": claim.expected,
            "confidence": claim.confidence,
            "basis": claim.basis.name.lower(),
            "clean_cycles": claim.cycles,
            "per_season_at_most": claim.per_season,
        },
        "ways": [_way(each) for each in found.learnt],
        "contacts": [_press(each) for each in found.presses],
        "edge": [
            {
                "gap_m": each.gap,
                "N_a_count": finite(each.a_count),
                "N_an_ampere": each.an_ampere,
                "N_at_trip": finite(each.at_trip),
            }
            for each in found.sensed
        ],
        "levers": [
            {
                "words": each.option.words,
                "holds": each.holds,
                "record_anew": each.anew,
                "worst": _press(each.worst),
            }
            for each in found.helped
        ],
        "tradeoff": [
            {"factor": each.factor, "needless_share": each.needless, "peak_N": finite(each.peak)}
            for each in found.tradeoff
        ],
        "more_cycles": [
            {"cycles": each.cycles, "threshold_A": finite(each.threshold), "counted_share": each.counted}
            for each in found.bought
        ],
        "obstructed": None
        if checked is None
        else {
            "runs": checked.runs,
            "told": checked.told,
            "missed_share_at_most": checked.missed_at_most,
            "missed": list(checked.missed),
        },
        "force_trials": {"indication_only": True, "trials": [_trial(each) for each in found.compared]}
        if found.compared
        else None,
        "left_out": list(found.left_out),
        "warnings": list(found.warnings),
        "cautions": list(STANDING),
    }


def training_values(times: tuple[TrainingTime, ...]) -> Plain:
    """How long training takes, as plain values.

    Parameters
    ----------
    times : tuple of TrainingTime
        For some numbers of cycles.
    """
    return {
        "format": FORMAT,
        "duty": times[0].duty,
        "training": [{"cycles": each.cycles, "time_s": each.time} for each in times],
    }


def _way(learnt: Learnt) -> Plain:
    profile = learnt.profile
    return {
        "way": learnt.way.value,
        "moves": len(learnt.moves),
        "profile_A": [float(each) for each in profile.bins],
        "start_A": [float(each) for each in profile.start],
        "A_per_kelvin": profile.per_kelvin,
        "A_per_volt": profile.per_volt,
        "reference_K": profile.temperature,
        "reference_V": profile.supply,
        "thresholds": [
            {
                "branch": each.branch.name.lower(),
                "value_A": each.value,
                "basis": each.basis.name.lower(),
                "law": None if each.law is None else {"place_A": each.law.place, "scale_A": each.law.scale},
                "chance_of_fit": each.chance,
                "maxima_A": [float(one) for one in each.maxima],
            }
            for each in learnt.thresholds
        ],
    }


def _press(each: Press) -> Plain:
    met = each.contact
    return {
        "weather": each.weather,
        "gap_m": each.gap,
        "stiffness_N_m": each.stiffness,
        "touched": met.touched,
        "peak_N": finite(met.peak_seen),
        "limit_N": each.limit,
        "above_150_s": met.above_150,
        "after_5s_N": finite(met.at_5s),
        "decided_after_s": finite(met.trip_time),
        "kept": each.kept,
    }


def _trial(each: Compared) -> Plain:
    trial = each.trial
    return {
        "line": trial.line,
        "way": trial.way.value,
        "gap_m": trial.gap,
        "stiffness_N_m": trial.stiffness,
        "pressed_too_far": trial.too_far,
        "scale_N": trial.force,
        "reversed": trial.reversed,
        "simulated_N": finite(each.predicted),
        "simulated_reverses": each.reverses,
        "ratio": finite(each.ratio),
        "told": each.told.value,
    }
