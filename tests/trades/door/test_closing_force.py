"""The force that closing takes: the seal on a calm day, by pencil, and a gust that holds the leaf open."""

from __future__ import annotations

from math import hypot

import pytest

from hutwright.checks.verdict import Status
from tests.trades.door.judged import calm, check, levers, verdict
from tests.trades.door.test_opening_force import arm_at, lift_at

KEY = "door.closing_force"


def test_agrees_with_a_pencil_the_seal_is_pressed_at_the_edge():
    radius = hypot(0.57 - 0.01, 0.008)
    wanted = (40.0 * radius + 0.4 - lift_at(0.0)) / arm_at(0.0)
    assert check(calm(), KEY).value == pytest.approx(wanted, rel=1e-4)


def test_a_gust_that_draws_the_leaf_open_is_against_it():
    windy = calm({"site.wind.working": "25 m/s"})
    assert verdict(windy, KEY).status is Status.MISSES
    assert "leave the door as it is in gusts above" in levers(windy, KEY)


def test_a_seal_that_is_too_stiff_misses_and_another_pin_or_drive_serves():
    stiff = calm({"door.seal.force": "150 N"})
    assert verdict(stiff, KEY).status is Status.MISSES
    assert "a stronger, slower drive of the family" in levers(stiff, KEY)
