"""Room round the drive's body, by pencil, through the wall and through the machine."""

from __future__ import annotations

import math
from math import hypot

import pytest

from hutwright.checks.verdict import Status
from tests.trades.door.judged import calm, check, checks, field, levers, verdict

KEY = "door.body_clearance"
HIGH = {"linkage.foot.z": "0.40 m"}


def test_agrees_with_a_pencil_over_the_parked_machine():
    """The rod falls from 400 mm to 350 mm at the leaf; the machine's nose, 290 mm high, may be at 220 mm."""
    found = check(calm({**HIGH, "door.open_angle": "0.01 deg"}), KEY, "machine")
    slope = (0.40 - 0.35) / (0.46 - 0.03)
    over_nose = 0.35 + slope * (0.62 - 0.36 - 0.04 - 0.03) - 0.29
    assert found.value == pytest.approx(over_nose / hypot(1.0, slope) - 0.02, abs=1e-5)


def test_a_drive_through_the_machine_misses_and_a_higher_pin_serves():
    through = verdict(calm({"linkage.foot.z": "0.20 m"}), KEY, "machine")
    assert through.status is Status.MISSES
    assert through.check.value < 0.0
    pulled = levers(calm({"linkage.foot.z": "0.20 m"}), KEY, "machine")
    assert "move the rod's pin on the hut to z =" in pulled


def test_a_drive_across_the_way_out_misses():
    across = calm({"linkage.foot.z": "0.30 m"})
    assert verdict(across, KEY, "passage").status is Status.MISSES
    assert levers(across, KEY, "passage")


def test_a_drive_inside_the_wall_misses_and_a_pin_off_the_wall_serves():
    inside = calm({"linkage.foot.x": "0.03 m", "linkage.head.x": "0.15 m"})
    found = verdict(inside, KEY, "hut")
    assert found.status is Status.MISSES
    assert "wall" in found.check.working[0].words
    assert "move the rod's pin on the hut to x =" in levers(inside, KEY, "hut")


def test_a_thick_body_misses_and_the_thickness_that_serves_is_named():
    thick = calm({**HIGH, "drive.body": "160 mm"})
    assert verdict(thick, KEY, "machine").status is Status.MISSES
    lever = levers(thick, KEY, "machine")["take a drive whose body is no thicker than"]
    assert lever.needed == pytest.approx(0.160 - 2 * (0.005 - check(thick, KEY, "machine").value), abs=1e-9)


def test_the_way_out_is_unknown_where_the_drive_fits_nowhere():
    found = verdict(calm({"drive.length": {"shortest": "0.05 m", "stroke": "100 mm"}}), KEY, "passage")
    assert found.status is Status.UNDECIDED
    assert math.isnan(found.check.value)


def test_does_not_arise_for_a_direct_pull():
    assert checks(field(), KEY) == {}
