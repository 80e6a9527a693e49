"""An assessment as plain values for JSON, as docs/json.md describes them; a test holds the two together."""

from __future__ import annotations

import math
from enum import Enum
from typing import Any

from hutwright import units
from hutwright.assessment import Assessment, Measurement, NotAsked
from hutwright.checks.lever import Lever
from hutwright.checks.priorities import Action
from hutwright.checks.step import Number, Step
from hutwright.checks.verdict import Verdict
from hutwright.description.described import Datum
from hutwright.description.lines import join
from hutwright.model.paths import Keys
from hutwright.native.words import spoken
from hutwright.outputs.cautions import cautions_of
from hutwright.sources import Source
from hutwright.units import NUMBER, Dimension, Scale

FORMAT = 1

Plain = dict[str, Any]


def contract(assessment: Assessment) -> Plain:
    """An assessment as plain values.

    Parameters
    ----------
    assessment : Assessment
        What came out.

    Returns
    -------
    dict
        Texts, finite numbers, truths, None, lists and dicts only.
    """
    described = assessment.described
    return {
        "format": FORMAT,
        "project": described.project.name,
        "variant": described.variant or None,
        "checks": [check_values(verdict) for verdict in assessment.verdicts],
        "actions": [_action(action) for action in assessment.actions],
        "measurement": _measurement(assessment.measurement) if assessment.measurement else None,
        "not_asked": [_not_asked(each) for each in assessment.not_asked],
        "assumed": [_assumed(datum) for datum in assessment.assumed],
        "cautions": list(cautions_of(assessment)),
    }


def check_values(verdict: Verdict) -> Plain:
    """One check as plain values."""
    check, question = verdict.check, verdict.question
    return {
        "key": verdict.key,
        "title": question.title,
        "trade": question.trade,
        "concern": question.concern.word,
        "status": verdict.status.value,
        "value": finite(check.value),
        "low": finite(verdict.low),
        "high": finite(verdict.high),
        "limit": finite(verdict.worst.limit),
        "unit": si_unit(check.dimension),
        "sense": check.sense.value,
        "margin": finite(verdict.margin),
        "doubt": _doubt(verdict),
        "method": source_values(check.method),
        "limit_from": source_values(verdict.worst.limit_from),
        "working": [_step(step) for step in check.working],
        "levers": [lever_values(lever) for lever in verdict.levers],
        "tier": verdict.tier.value,
    }


def _doubt(verdict: Verdict) -> Plain | None:
    doubt = verdict.check.doubt
    if doubt is None:
        return None
    return {
        "low": finite(doubt.low),
        "high": finite(doubt.high),
        "settled_by": doubt.settled_by,
        "settles": verdict.method_settles,
    }


def finite(value: float | None) -> float | None:
    """The number, or None where it is unknown or without end."""
    return value if value is not None and math.isfinite(value) else None


def si_unit(dimension: Dimension) -> str:
    """The SI unit that numbers of a dimension are in; "1" for shares, ratios and counts."""
    if dimension == NUMBER:
        return "1"
    base = dimension.units[dimension.base]
    if base.scale is Scale.DECIBEL:
        return "Hz" if dimension == units.CARRIER_TO_NOISE else "1"
    return dimension.base.replace("%", "1") if "%" in dimension.base else dimension.base


def source_values(source: Source) -> Plain:
    """Where something comes from, as plain values."""
    return {"document": source.document, "place": source.place, "standing": source.standing.value}


def _number(number: Number) -> Plain:
    return {"value": finite(number.value), "unit": si_unit(number.dimension)}


def _step(step: Step) -> Plain:
    return {
        "symbol": step.symbol,
        "formula": step.formula,
        "numbers": {symbol: _number(number) for symbol, number in step.numbers.items()},
        "result": _number(step.result),
        "words": step.words,
    }


def lever_values(lever: Lever) -> Plain:
    """One lever as plain values."""
    option = lever.option
    return {
        "words": lever.words,
        "path": _path(lever.path) if lever.path else None,
        "needed": finite(lever.needed),
        "unit": si_unit(lever.dimension) if lever.dimension is not None else None,
        "changes": {_path(path): value for path, value in option.changes.items()} if option else None,
        "do": option.words if option else None,
        "effort": spoken(lever.effort),
        "works": lever.works,
        "worsens": list(lever.worsens),
    }


def _path(path: Keys) -> str:
    return join(*path)


def _action(action: Action) -> Plain:
    return {**lever_values(action.lever), "keys": list(action.keys), "score": finite(action.score)}


def _measurement(measurement: Measurement) -> Plain:
    datum = measurement.datum
    return {
        **_assumed(datum),
        "origin": datum.origin.value,
        "keys": list(measurement.keys),
        "settles": list(measurement.settles),
        "shrinks": finite(measurement.shrinks),
    }


def _not_asked(each: NotAsked) -> Plain:
    question = each.question
    return {
        "key": question.key,
        "title": question.title,
        "trade": question.trade,
        "concern": question.concern.word,
        "lacking": [_path(path) for path in each.lacking],
    }


def _assumed(datum: Datum) -> Plain:
    return {
        "path": _path(datum.path),
        "value": _spelled(datum.value, datum.dimension),
        "range": [_spelled(datum.low, datum.dimension), _spelled(datum.high, datum.dimension)]
        if datum.unsure
        else None,
        "source": source_values(datum.source) if datum.source is not None else None,
    }


def _spelled(value: object, dimension: Dimension | None) -> object:
    """A value as the file spells it."""
    if dimension is not None and isinstance(value, float):
        return units.write(value, dimension)
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, list | tuple):
        return [_spelled(each, None) for each in value]
    return value
