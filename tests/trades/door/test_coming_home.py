"""A machine before the shut door: by pencil where it waits, and into the leaf where it does not."""

from __future__ import annotations

from math import hypot

import pytest

from hutwright.checks.verdict import Status
from tests.trades.door.judged import calm, check, checks, field, levers, verdict

KEY = "door.coming_home"
WAITS = {"dock.comes_home": {"waits_for_door": True, "stops_at": "0.30 m"}}


def test_agrees_with_a_pencil_beside_a_side_hinged_leaf():
    """A right-hinged leaf swings out by its own width and its corner passes before the machine."""
    swung = {
        "door.kind": "right_hinged",
        "door.hinge": {"x": "0.84 m", "y": "-8 mm", "friction": "0.4 N m"},
        "door.open_angle": "90 deg",
        "linkage.foot": {"x": "0.60 m", "y": "0.30 m", "z": "0.40 m"},
        "linkage.head": {"x": "0.60 m", "y": "0.03 m", "z": "0.40 m"},
        "dock.comes_home": {"waits_for_door": True, "stops_at": "1.0 m"},
    }
    found = check(calm(swung), KEY, "waiting")
    # The leaf's corner lies 740 mm out on its way past the machine's near corner at x = 745 mm.
    assert 1.0 - 0.008 - hypot(0.74, 0.008) <= found.value <= 1.0 - 0.74 + 0.02


def test_a_machine_that_stops_in_the_way_of_the_leaf_misses_and_the_place_is_named():
    close = calm({"dock.comes_home": {"waits_for_door": True, "stops_at": "0.02 m"}})
    assert verdict(close, KEY, "waiting").status is Status.MISSES
    assert "let the machine coming home stop before the door by" in levers(close, KEY, "waiting")


def test_a_machine_that_does_not_wait_drives_into_the_opening_leaf():
    hasty = calm({"dock.comes_home": {"waits_for_door": False, "stops_at": "1.0 m"}})
    found = verdict(hasty, KEY, "driving_on")
    assert found.status is Status.MISSES
    assert found.check.value < 0.0
    assert "a machine that waits" in levers(hasty, KEY, "driving_on")


def test_a_machine_that_waits_is_asked_of_only_where_it_stands():
    assert set(checks(calm(WAITS), KEY)) == {"waiting"}
    assert check(field(), KEY, "waiting").value == pytest.approx(1.5 - 0.012, abs=1e-9)
