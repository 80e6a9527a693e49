"""The leverage of the rod, by pencil, at a dead centre, and with every lever pulled."""

from __future__ import annotations

from math import hypot

import pytest

from hutwright.checks.verdict import Status
from tests.trades.door.judged import calm, check, checks, field, levers, verdict

KEY = "door.dead_centre"


def test_agrees_with_a_pencil_at_shut():
    """A leaf that turns 10 deg has its least leverage at one end; by pencil, arm over edge radius at shut."""
    found = check(calm({"door.open_angle": "1 deg"}), KEY)
    spoke, out = (0.03 + 0.008, 0.35 - 0.57), (0.03 - 0.46, 0.35 - 0.27)
    arm = abs(spoke[0] * out[1] - spoke[1] * out[0]) / hypot(*out)
    radius = hypot(0.57 - 0.01, -0.015 + 0.008)  # to the closing edge's outer corner
    wide = hypot(0.57 - 0.01, 0.008)
    assert found.value == pytest.approx(arm / max(radius, wide), rel=0.02)


def test_a_rod_through_the_hinge_line_misses_and_another_pin_or_a_smaller_angle_serves():
    passing = calm(
        {"linkage.foot": {"x": "0.47 m", "y": "0.25 m", "z": "0.60 m"}, "door.open_angle": "120 deg"}
    )
    found = verdict(passing, KEY)
    assert found.status is Status.MISSES
    assert found.check.value < 0.0
    pulled = levers(passing, KEY)
    assert "open the leaf no farther than" in pulled
    assert any(lever.path[:1] == ("linkage",) for lever in pulled.values())


def test_does_not_arise_for_a_direct_pull():
    assert checks(field(), KEY) == {}
