"""Body parts that a gap of the door can catch."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from hutwright.layout.leaf import full_travel, hinge_side_gap
from hutwright.model.door import DoorKind
from hutwright.model.paths import replaced
from tests.described import orchard
from tests.layout.doors import plain, with_kind
from tests.trades.guard.judged import check, checks, levers, sports_field

KEY = "guard.crush_gap"


def test_a_closing_gap_wider_than_a_body_catches_all_that_the_standard_names():
    found = check(plain(), KEY, "closing")
    assert found.value == 8.0
    assert {name for step in found.working[1:2] for name in step.numbers} >= {
        "finger",
        "hand",
        "head",
        "body",
    }


def test_a_beam_or_a_pressure_edge_watches_the_closing_gap_and_a_present_sensor_does_not():
    assert check(orchard({"controller.layers": ["beam"]}).project, KEY, "closing").value == 0.0
    assert check(orchard({"controller.layers": ["pressure edge"]}).project, KEY, "closing").value == 0.0
    assert check(orchard({"controller.layers": ["present sensor"]}).project, KEY, "closing").value == 8.0
    assert "one more layer of protection" in levers(orchard(), KEY, "closing")


@pytest.mark.published("ISO 13854:2017, least gaps: finger 25, toes 50, hand 100 mm")
def test_parts_at_the_hinge_side_are_those_that_get_in_and_are_not_safe_at_its_narrowest():
    found = check(plain(), KEY, "hinge_side")
    gap = hinge_side_gap(plain(), np.linspace(0.0, full_travel(plain()), 181))
    assert gap.min() == pytest.approx(0.003)
    assert 0.015 < gap.max() < 0.030  # lets a finger, toes and a small hand in, no foot or arm
    assert found.value == 3.0


@pytest.mark.parametrize("kind", list(DoorKind))
def test_every_kind_of_door_is_answered(kind):
    found = checks(replace(with_kind(kind), drive=plain().drive), KEY)
    assert list(found) == ["closing", "hinge_side"]


@pytest.mark.parametrize(("gap", "count"), [("3 mm", 0.0), ("6 mm", 1.0), ("26 mm", 0.0)])
def test_a_finger_fits_beside_a_sliding_leaf_between_4_and_25_millimetres(gap, count):
    assert check(sports_field({"door.gaps.hinge_side": gap}).project, KEY, "hinge_side").value == count


def test_a_strip_closes_the_gap_of_a_sliding_leaf():
    lever = levers(sports_field(), KEY, "hinge_side")["another gap there"]
    assert lever.option is not None
    assert lever.option.changes == {("door", "gaps", "hinge_side"): "3 mm"}


def test_says_so_where_nobody_comes_near():
    alone = replaced(plain(), {("site", "reach"): ()})
    assert "Nobody" in check(alone, KEY, "closing").meaning
    assert "Nobody" not in check(plain(), KEY, "closing").meaning
