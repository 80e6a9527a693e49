"""Satellites heard inside, on average."""

from __future__ import annotations

import pytest

from hutwright.checks.verdict import Status
from hutwright.plant.sky.readiness import SHUT, heard
from tests.described import orchard
from tests.trades.sky.judged import EASY, KNOWN, STEEL_HUT, check, levers, verdict

NO_OVERHANG = {"hut.roof.overhang": "0 m"}

MEAN = "sky.satellites"


def test_counts_whole_satellites_against_the_start_rule():
    found = check(orchard(KNOWN), MEAN)
    assert found.value == int(found.value)
    assert found.value == pytest.approx(heard(orchard(KNOWN).project, SHUT).counts.mean(), abs=0.5)
    assert found.limit == 10.0


def test_shows_the_least_and_the_most_that_the_method_leaves_open():
    for roof, fewer in ((NO_OVERHANG, 1.0), ({}, 3.0)):
        steps = {step.symbol: step.result.value for step in check(orchard({**KNOWN, **roof}), MEAN).working}
        assert steps["n_least"] == steps["n"] - fewer
        assert steps["n_most"] == steps["n"] + 1.0
    behind_metal = check(orchard({**KNOWN, **STEEL_HUT}), MEAN)
    steps = {step.symbol: step.result.value for step in behind_metal.working}
    assert steps["n_most"] > steps["n"] + 3.0


def test_a_margin_within_the_method_s_accuracy_holds_barely_at_best():
    for roof, fewer in ((NO_OVERHANG, 1), ({}, 3)):
        known = {**KNOWN, **roof}
        wants = int(check(orchard(known), MEAN).value)
        cases = ((2, Status.MISSES), (1, Status.UNDECIDED), (0, Status.BARELY), (-fewer, Status.HOLDS))
        for more, status in cases:
            rule = orchard({**known, "machine.start_rule.satellites": wants + more})
            assert verdict(rule, MEAN).status is status


def test_what_the_method_alone_leaves_open_a_better_method_settles():
    wants = int(check(orchard(KNOWN), MEAN).value)
    found = verdict(orchard({**KNOWN, "machine.start_rule.satellites": wants + 1}), MEAN)
    assert found.method_settles
    assert found.check.doubt is not None
    assert "full-wave" in found.check.doubt.settled_by
    assert not any(each.settles for each in found.influences)


def test_behind_metal_the_method_decides_less():
    wants = int(check(orchard({**KNOWN, **STEEL_HUT}), MEAN).value) + 4
    asked = {**KNOWN, "machine.start_rule.satellites": wants}
    assert verdict(orchard({**asked, **STEEL_HUT}), MEAN).status is Status.UNDECIDED


def test_an_unknown_level_leaves_it_open_and_an_easy_rule_holds():
    assert verdict(orchard(), MEAN).status is Status.UNDECIDED
    assert verdict(orchard({**KNOWN, **EASY}), MEAN).status is Status.HOLDS


def test_a_window_or_a_roof_of_timber_is_tried_and_keeps_its_word():
    found = levers(orchard(), MEAN)
    assert {"more windows in the roof", "timber in place of metal"} <= set(found)
    window = found["more windows in the roof"].option
    assert window is not None
    ((path, made),) = window.changes.items()
    assert path[0] == "openings"
    assert isinstance(made, dict)
    assert made["place"]["face"] == "roof"
