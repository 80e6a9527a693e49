"""Whether the motor's current can reach the trip."""

from __future__ import annotations

import pytest

from hutwright.checks.verdict import Status
from tests.described import orchard
from tests.trades.guard.judged import BARE, check, checks, levers, sports_field, verdict

KEY = "guard.trip_reached"


def test_agrees_with_a_pencil_at_each_share_of_full_duty():
    shares = {"normal": 1.0, "last": 0.4, "last_over": "100 mm"}
    found = checks(sports_field({**BARE, "controller.speed": shares}).project, KEY)
    resistance = 24.0 * (0.14 - 0.11) / (2.2 * 0.14 - 0.6 * 0.11)
    assert found["normal"].value == pytest.approx(24.0 / resistance)
    assert found["last"].value == pytest.approx(0.4 * 24.0 / resistance)
    assert found["last"].limit == 3.4


def test_a_leaf_without_a_slow_stretch_is_asked_once():
    assert list(checks(sports_field(BARE).project, KEY)) == ["normal"]


def test_the_orchard_s_slow_stretch_is_blind_to_obstacles_and_both_ways_out_are_found():
    assert verdict(orchard(), KEY, "last").status is Status.MISSES
    working = levers(orchard(), KEY, "last")
    assert working["reverse at no more than"].needed is not None
    assert working["run there at no less of full duty than"].needed is not None


def test_a_quicker_stretch_lands_where_the_current_just_reaches_the_trip():
    shares = {"normal": 1.0, "last": 0.3, "last_over": "100 mm"}
    described = sports_field({**BARE, "controller.speed": shares})
    lever = levers(described, KEY, "last")["run there at no less of full duty than"]
    assert lever.needed == pytest.approx(3.4 * check(described.project, KEY, "last").value ** -1 * 0.3)
