"""Speed of the closing edge, by pencil, at its end, and with every lever pulled."""

from __future__ import annotations

import math

import pytest

from hutwright.checks.verdict import Status
from tests.trades.door.judged import calm, check, field, levers, verdict
from tests.trades.door.test_closing_time import FREE

KEY = "door.edge_speed"


def test_agrees_with_a_pencil_on_a_level_track():
    """Free run at 24 V, 2 ohm and 0.6 A is 140 mm/s; at 0.9 and 0.35 of full duty."""
    constant = (24.0 - 2.0 * 0.6) / 0.140
    quick, slow = ((24.0 * duty - 2.0 * 0.6) / constant for duty in (0.9, 0.35))
    assert check(field(FREE), KEY, "whole").value == pytest.approx(quick, rel=2e-3)
    assert check(field(FREE), KEY, "last").value == pytest.approx(slow, rel=2e-3)


def test_a_quick_leaf_misses_and_the_duty_that_serves_is_named():
    quick = field({"drive.rating.speed": "350 mm/s", "drive.no_load.speed": "400 mm/s"})
    assert verdict(quick, KEY, "whole").status is Status.MISSES
    assert "let the door run at a duty of" in levers(quick, KEY, "whole")


def test_a_quick_end_misses_and_a_slow_last_stretch_serves():
    quick = field({"controller.speed": {"normal": 1.0}})
    assert verdict(quick, KEY, "last").status is Status.MISSES
    assert "a slow last stretch" in levers(quick, KEY, "last")


def test_a_last_stretch_that_is_not_slow_enough_names_its_duty():
    quick = field({"controller.speed": {"normal": 1.0, "last": 0.9, "last_over": "120 mm"}})
    assert "let the last stretch run at a duty of" in levers(quick, KEY, "last")


def test_is_unknown_past_a_dead_centre():
    foot = {"x": "0.47 m", "y": "0.25 m", "z": "0.60 m"}
    passing = calm({"linkage.foot": foot, "door.open_angle": "120 deg"})
    assert math.isnan(check(passing, KEY, "whole").value)
