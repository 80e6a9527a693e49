"""Snow before the leaf, by pencil and with every lever pulled."""

from __future__ import annotations

import pytest

from hutwright.checks.verdict import Status
from tests.trades.door.judged import calm, check, checks, field, levers, verdict
from tests.trades.door.test_opening_force import arm_at

KEY = "door.drift"


def test_agrees_with_a_pencil():
    """0.30 m of drift less the 25 mm at which the leaf hangs; half of weight times depth squared, thrice."""
    snowed = calm({"site.snow.drift": "0.30 m", "door.ice": "0 N"})
    found = check(snowed, KEY)
    depth = 0.30 - (0.01 + 0.015)
    push = found.working[0].numbers["S"].value
    weight = push / (3.0 * depth**2 / 2 * 0.74)
    assert 1000.0 <= weight <= 3000.0  # settled snow, EN 1991-1-3 annex E gives about 2 kN/m3
    lever = (0.57 - 0.01) - depth / 3
    assert found.working[0].numbers["a"].value == pytest.approx(lever, rel=1e-9)
    assert found.value == pytest.approx(
        (
            push * lever
            + found.working[1].numbers["M_friction"].value
            + found.working[1].numbers["M_gravity"].value
        )
        / arm_at(0.0),
        rel=1e-9,
    )


def test_deep_snow_misses_and_the_depth_to_clear_at_is_named():
    deep = calm({"site.snow.drift": "0.5 m"})
    assert verdict(deep, KEY).status is Status.MISSES
    assert "clear the snow before the door as soon as it is deeper than" in levers(deep, KEY)


def test_does_not_arise_for_a_leaf_along_the_wall():
    assert checks(field(), KEY) == {}
