"""A rehearsal as plain values for JSON, as docs/json.md describes them; a test holds the two together."""

from __future__ import annotations

from typing import Any

from hutwright.bench.rehearsal import Performance, Take
from hutwright.bench.scenario import Bound, Quantity, Reading
from hutwright.description.lines import join
from hutwright.native.words import Broken, Fault, spoken
from hutwright.outputs.contract import FORMAT, finite, si_unit, source_values
from hutwright.outputs.rehearsal import cautions_of, claim_of, reasons
from hutwright.studies.rehearse import Finding, Rehearsed, Tried
from hutwright.studies.trials import Share, Spread, Trials

Plain = dict[str, Any]


def rehearsal_values(found: Rehearsed, trials: Trials | None = None) -> Plain:
    """A rehearsal as plain values.

    Parameters
    ----------
    found : Rehearsed
        What came of it.
    trials : Trials or None
        What came of it with the unsure values drawn again and again.

    Returns
    -------
    dict
        Texts, finite numbers, truths, None, lists and dicts only.
    """
    described, played = found.described, found.rehearsal
    return {
        "format": FORMAT,
        "project": described.project.name,
        "variant": described.variant or None,
        "settings_checksum": None if found.flashed is None else int(found.flashed["checksum"]),
        "settings_otherwise": list(found.otherwise),
        "scenarios": [_performance(each) for each in played.performances],
        "not_arising": [each.key for each in played.not_arising],
        "left_out": [each.key for each in played.left_out],
        "findings": [_finding(each) for each in found.findings],
        "trials": None if trials is None else _trials(trials),
        "claim": list(claim_of(found)),
        "cautions": list(cautions_of(described)),
    }


def _performance(performance: Performance) -> Plain:
    scenario, expected = performance.scenario, performance.expected
    return {
        "key": scenario.key,
        "family": scenario.family.value,
        "title": scenario.title,
        "tells": scenario.tells,
        "met": performance.met,
        "expected": {
            "words": expected.words,
            "states": sorted(spoken(mode) for mode in expected.modes),
            "faults": sorted(spoken(fault) for fault in expected.faults if fault is not Fault.WELL),
            "source": source_values(expected.source),
        },
        "runs": [_take(take) for take in performance.takes],
    }


def _take(take: Take) -> Plain:
    judgement, result = take.judgement, take.result
    return {
        "circumstances": take.prepared.words,
        "met": judgement.met,
        "state": spoken(judgement.mode),
        "fault": None if judgement.fault is Fault.WELL else spoken(judgement.fault),
        "why": spoken(judgement.why),
        "broken": [spoken(flag) for flag in Broken if flag in judgement.broken and flag.name],
        "touched": take.touched,
        "peak_force": finite(take.value(Quantity.PEAK)) if take.touched else None,
        "above_150": finite(take.value(Quantity.LASTING)) if take.touched else None,
        "above_25": finite(take.value(Quantity.PRESSING)) if take.touched else None,
        "reversal_time": finite(take.value(Quantity.REVERSAL)),
        "peak_current": finite(float(result["peak_current"])),
        "duration": finite(float(result["end_time"])),
        "bounds": [_reading(reading) for reading in judgement.readings],
    }


def _bound(bound: Bound) -> Plain:
    return {
        "quantity": bound.quantity.value,
        "limit": finite(bound.limit),
        "unit": si_unit(bound.quantity.dimension),
        "sense": bound.sense.value,
        "limit_from": source_values(bound.source),
    }


def _reading(reading: Reading) -> Plain:
    return {
        **_bound(reading.bound),
        "value": finite(reading.value),
        "margin": finite(reading.margin),
        "kept": reading.kept,
    }


def _finding(finding: Finding) -> Plain:
    return {
        "key": finding.performance.scenario.key,
        "reasons": reasons(finding.performance),
        "tried": [_tried(each) for each in finding.tried],
    }


def _tried(tried: Tried) -> Plain:
    return {
        "do": tried.option.words,
        "changes": {join(*path): value for path, value in tried.option.changes.items()},
        "effort": spoken(tried.effort),
        "holds": tried.holds,
        "values": [
            {"quantity": each.bound.quantity.value, "value": finite(each.value)} for each in tried.values
        ],
        "harms": None if tried.harms is None else list(tried.harms),
    }


def _trials(trials: Trials) -> Plain:
    return {
        "runs": trials.runs,
        "wanted": trials.wanted,
        "seed": trials.seed,
        "drawn": [join(*path) for path in trials.drawn],
        "shares": [_share(share) for share in trials.shares],
    }


def _share(share: Share) -> Plain:
    low, high = share.interval
    return {
        "key": share.scenario.key,
        "met": share.met,
        "runs": share.runs,
        "low": low,
        "high": high,
        "spreads": [_spread(spread) for spread in share.spreads],
    }


def _spread(spread: Spread) -> Plain:
    return {**_bound(spread.bound), "median": finite(spread.median), "worst": finite(spread.worst)}
