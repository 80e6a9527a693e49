"""Room over the machine, by pencil, with the leaf where the stroke leaves it."""

from __future__ import annotations

from math import cos, radians, sin

import pytest

from hutwright.checks.verdict import Status
from tests.trades.door.judged import calm, check, field, levers, verdict

KEY = "door.clear_height"


def test_agrees_with_a_pencil():
    """The leaf's lowest corner at 82 deg hangs from the hinge at 570 mm; the sill is at 30 mm."""
    q = radians(82.0)
    corners = [(y + 0.008, z - 0.57) for y in (-0.015, 0.0) for z in (0.01, 0.57)]
    low = min(0.57 - y * sin(q) + z * cos(q) for y, z in corners)
    found = check(calm(), KEY)
    assert found.value == pytest.approx(low - 0.03, abs=1e-12)
    assert found.limit == pytest.approx(0.29 + 0.02, abs=1e-12)


def test_a_leaf_that_hangs_into_the_way_misses_and_the_angle_is_named():
    hanging = calm({"door.open_angle": "35 deg"})
    assert verdict(hanging, KEY).status is Status.MISSES
    assert "open the leaf as far as" in levers(hanging, KEY)


def test_a_stroke_that_is_too_short_leaves_the_leaf_hanging():
    short = calm({"drive.length.stroke": "100 mm"})
    whole, half = check(calm(), KEY), check(short, KEY)
    assert half.value < whole.value
    assert "from shut" in half.working[0].words
    assert "take a drive with a stroke of" in levers(short, KEY)


def test_a_hole_that_is_too_low_names_a_higher_one():
    low = calm({"machine.body.height": "0.46 m"})
    assert verdict(low, KEY).status is Status.MISSES
    assert "a higher hole" in levers(low, KEY)


def test_a_sliding_leaf_out_of_the_way_leaves_the_whole_hole():
    assert check(field(), KEY).value == pytest.approx(0.60, abs=1e-12)
