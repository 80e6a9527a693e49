"""Opening by hand without power: by pencil, without a release, and with every lever pulled."""

from __future__ import annotations

import math
from math import hypot

import pytest

from hutwright.checks.verdict import Status
from tests.trades.door.judged import calm, check, checks, levers, verdict
from tests.trades.door.test_opening_force import lift_at

KEY = "door.release_force"
PIN = {"door.release": {"kind": "pull pin", "force": "40 N"}}
RADIUS = hypot(0.57 - 0.01, 0.008)


def test_agrees_with_a_pencil():
    """Freed, the frozen 4 kg leaf takes ice and hinge at shut, and its weight and hinge at open."""
    found = check(calm(PIN), KEY, "by_hand")
    shut = (50.0 * RADIUS + 0.4 + lift_at(0.0)) / RADIUS
    opened = (lift_at(82.0) + 0.4) / RADIUS
    assert found.value == pytest.approx(max(shut, opened), rel=1e-4)
    assert check(calm(PIN), KEY, "free").value == 40.0


@pytest.mark.published("EN 16005, annex F, loss of power, as a public page reports it")
def test_is_held_to_the_forces_of_the_standard():
    assert check(calm(PIN), KEY, "free").limit == 67.0
    assert check(calm(PIN), KEY, "by_hand").limit == 90.0


def test_a_locking_drive_without_release_lets_nobody_out_and_a_release_is_named():
    found = verdict(calm(), KEY, "by_hand")
    assert found.status is Status.MISSES
    assert math.isinf(found.check.value)
    assert set(checks(calm(), KEY)) == {"by_hand"}
    assert "a manual release" in levers(calm(), KEY, "by_hand")


def test_a_stiff_release_misses_and_the_pull_is_named():
    stiff = calm({"door.release": {"kind": "clutch", "force": "90 N"}})
    assert verdict(stiff, KEY, "free").status is Status.MISSES
    lever = levers(stiff, KEY, "free")["let the release come free with no more than"]
    assert lever.needed == pytest.approx(67.0)


def test_a_leaf_too_heavy_for_a_hand_names_a_counterweight():
    heavy = calm({**PIN, "door.leaf.mass": "20 kg"})
    assert verdict(heavy, KEY, "by_hand").status is Status.MISSES
    assert "hang a counterweight on the leaf's edge of" in levers(heavy, KEY, "by_hand")
