"""The trade as a whole: order, cautions, and doors that are bad or impossible."""

from __future__ import annotations

from dataclasses import replace
from math import isnan

import pytest

from hutwright.checks.check import Concern
from hutwright.checks.roster import ROSTER
from hutwright.model.door import DoorKind, Point
from hutwright.model.paths import replaced
from hutwright.trades.guard import TRADE
from tests.layout.doors import plain, with_kind, with_pins
from tests.trades.guard.judged import checks, sports_field

KEYS = [question.key for question in TRADE.questions]
BAD = {
    "pins next to each other": lambda: with_pins(plain(), (0.47, 0.03, 0.35), (0.47, 0.03, 0.351)),
    "foot on the hinge line": lambda: with_pins(plain(), (0.47, -0.008, 0.57), (0.47, 0.03, 0.35)),
    "dead centre in the travel": lambda: with_pins(plain(), (0.47, -0.20, 0.57), (0.47, 0.03, 0.35)),
    "pins in one line with the hinge": lambda: with_pins(plain(), (0.47, 0.182, 0.07), (0.47, 0.03, 0.47)),
    "drive outside the hut": lambda: with_pins(plain(), (0.47, -0.50, 0.10), (0.47, -0.03, 0.35)),
    "a leaf of a hundredweight": lambda: replaced(plain(), {("door", "leaf", "mass"): 100.0}),
    "a leaf that hardly opens": lambda: replaced(plain(), {("door", "open_angle"): 0.02}),
    "a leaf that opens right round": lambda: replaced(plain(), {("door", "open_angle"): 3.1}),
    "a drive that never trips": lambda: replaced(plain(), {("controller", "detection", "trip"): 50.0}),
    "a drive that always trips": lambda: replaced(plain(), {("controller", "detection", "trip"): 0.1}),
    "a seal that stalls it": lambda: replaced(plain(), {("door", "seal", "force"): 5000.0}),
    "a soft mount": lambda: replaced(plain(), {("linkage", "mount_stiffness"): 1.0}),
    "no electronics": lambda: replace(plain(), electronics=None),
    "no hut": lambda: replace(plain(), hut=None),
}


def test_every_key_of_the_trade_stands_in_the_roster_and_concerns_safety():
    assert sorted(KEYS) == sorted(key for key in ROSTER if key.startswith("guard."))
    assert {question.concern for question in TRADE.questions} == {Concern.SAFETY}


@pytest.mark.parametrize("key", KEYS)
@pytest.mark.parametrize("name", BAD)
def test_a_bad_door_is_answered_and_its_working_recomputes(name, key):
    for found in checks(BAD[name](), key).values():
        assert isnan(found.value) or found.value >= 0.0
        assert found.working


@pytest.mark.parametrize("kind", list(DoorKind))
def test_every_kind_of_door_is_answered(kind):
    project = replace(with_kind(kind), drive=plain().drive)
    assert all(checks(project, key) for key in KEYS)


@pytest.mark.parametrize("key", KEYS)
def test_what_is_not_described_is_not_asked(key):
    needs = next(question.needs for question in TRADE.questions if question.key == key)
    assert ("door",) in needs
    assert ("controller",) in needs


def test_a_dead_centre_leaves_the_force_open_and_says_why():
    project = plain()
    assert project.linkage is not None
    hinge = Point(x=0.47, y=-0.008, z=0.57)
    found = checks(replace(project, linkage=replace(project.linkage, foot=hinge)), "guard.peak_force")
    assert found
    for each in found.values():
        assert isnan(each.value)
        assert "dead centre" in each.working[-1].words


def test_warns_that_current_alone_is_one_layer_and_that_the_door_must_be_force_tested():
    said = " ".join(TRADE.cautions(sports_field().project))
    assert "RR1056" in said
    assert "Force-test" in said
    assert "children" in said
    nobody = replaced(sports_field().project, {("site", "reach"): ()})
    assert "children" not in " ".join(TRADE.cautions(nobody))
    assert TRADE.cautions(replace(plain(), door=None, linkage=None)) == ()
