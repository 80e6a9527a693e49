"""One question, judged for tests: its working recomputes and its levers keep their word."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

import pytest

from hutwright import units
from hutwright.assessment import assess, case_of, trades
from hutwright.checks.check import Check, Question, Trade
from hutwright.checks.judging import checks_at, judge, surely
from hutwright.checks.lever import Lever
from hutwright.checks.verdict import Verdict
from hutwright.description.build import build
from hutwright.description.changes import changed
from hutwright.description.described import Described
from hutwright.model.paths import Keys
from hutwright.model.project import Project

ZERO = 1e-6  # of the limit: what users are promised of a number at zero margin


def trade_of(key: str) -> Trade:
    """The trade that asks a question."""
    return trades((key.split(".")[0],))[0]


def asked(key: str) -> Question:
    """The question of that key, as its trade asks it."""
    return next(each for each in trade_of(key).questions if each.key == key)


def checks(described: Described | Project, key: str) -> dict[str, Check]:
    """The answers at nominal values, by subject, the slow way where there is one; recomputed on the way."""
    project = described.project if isinstance(described, Described) else described
    quick = quickly(project, key)
    found = {subject: surely(asked(key), project, subject) for subject in quick}
    answers = {subject: each for subject, each in found.items() if each is not None}
    assert list(answers) == list(quick)  # the two ways answer about the same things
    for each in answers.values():
        recompute(each)
    return answers


def quickly(described: Described | Project, key: str) -> dict[str, Check]:
    """The answers at nominal values, by subject, the quick way; recomputed on the way."""
    project = described.project if isinstance(described, Described) else described
    found = checks_at(asked(key), project)
    for each in found.values():
        recompute(each)
    return found


def check(described: Described | Project, key: str, subject: str = "") -> Check:
    """The answer about one thing at nominal values."""
    return checks(described, key)[subject]


def verdicts(described: Described, key: str) -> dict[str, Verdict]:
    """The verdicts of one question over all ranges, without levers, by subject."""
    found = judge(asked(key), case_of(described).within(trade_of(key).reads))
    for each in found:
        recompute(each.worst)
    return {each.check.subject: each for each in found}


def verdict(described: Described, key: str, subject: str = "") -> Verdict:
    """The verdict of one question about one thing."""
    return verdicts(described, key)[subject]


def recompute(found: Check) -> None:
    """Every printed line of the working gives its result, and the last one the value."""
    for step in found.working:
        assert step.redo() == pytest.approx(step.result.value, rel=1e-12, abs=0.0, nan_ok=True), step.symbol
    if not math.isnan(found.value):
        assert found.working[-1].result.value == found.value


def after(described: Described, changes: Mapping[Keys, object]) -> Described:
    """The description with some values of the file changed."""
    return build(changed(described.merged, changes))


def levers(described: Described, key: str, subject: str = "") -> dict[str, Lever]:
    """The levers that work, by what they say; each has been pulled, and kept its word."""
    found = assess(described, (replace(trade_of(key), questions=(asked(key),)),)).verdicts
    working = [each for one in found if one.check.subject == subject for each in one.levers if each.works]
    for lever in working:
        if lever.needed is not None and lever.dimension is not None:
            set_to = after(described, {lever.path: units.write(lever.needed, lever.dimension)})
            worst = verdict(set_to, key, subject)
            assert abs(worst.margin) <= ZERO * abs(worst.worst.limit), lever.words
        if lever.option is not None:
            bettered = verdicts(after(described, lever.option.changes), key).get(subject)
            assert bettered is None or bettered.margin >= 0.0, lever.option.words
    return {lever.words: lever for lever in working}
