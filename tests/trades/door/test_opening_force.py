"""The force that opening takes, by pencil, and with every lever pulled."""

from __future__ import annotations

import math
from math import cos, hypot, radians, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.checks.verdict import Status
from tests.trades.door.judged import calm, check, field, levers, verdict

KEY = "door.opening_force"
G = 9.80665


def arm_at(degrees: float) -> float:
    """Arm of the orchard's rod about the hinge at an angle, by pencil."""
    y, z, q = 0.03 + 0.008, 0.35 - 0.57, radians(degrees)
    spoke = (y * cos(q) + z * sin(q), -y * sin(q) + z * cos(q))
    out = (spoke[0] - 0.008 - 0.46, spoke[1] + 0.57 - 0.27)
    return abs(spoke[0] * out[1] - spoke[1] * out[0]) / hypot(*out)


def lift_at(degrees: float) -> float:
    """Moment of the 4 kg leaf's weight about the hinge; its middle is 0.5 mm outside and 280 mm below."""
    y, z, q = -0.0075 + 0.008, 0.29 - 0.57, radians(degrees)
    return 4.0 * G * -(y * cos(q) + z * sin(q))


def test_agrees_with_a_pencil_on_a_calm_dry_day():
    found = check(calm({"door.ice": "0 N"}), KEY)
    at = {q: (lift_at(q) + 0.4) / arm_at(q) for q in (0.0, 41.0, 82.0)}
    assert found.value == pytest.approx(at[82.0], rel=1e-9)
    assert max(at.values()) == at[82.0]


def test_ice_is_broken_at_the_closing_edge():
    found = check(calm({"door.ice": "400 N"}), KEY)
    radius = hypot(0.57 - 0.01, 0.008)
    assert found.value == pytest.approx((lift_at(0.0) + 0.4 + 400.0 * radius) / arm_at(0.0), rel=1e-4)
    assert "shut" in found.working[1].words


def test_a_sliding_leaf_takes_its_friction_and_its_ice():
    plain = {
        "site.wind.working": "0 m/s",
        "site.snow.drift": "0 m",
        "door.leaf.mass": "4 kg",
        "door.leaf.fittings": "2 kg",
        "door.track.friction": "10 %",
        "door.ice": "50 N",
    }
    assert check(field(plain), KEY).value == pytest.approx(0.1 * 6.0 * G + 50.0, rel=1e-12)


def test_a_leaf_that_is_too_heavy_misses_and_every_lever_keeps_its_word():
    heavy = calm({"door.leaf.mass": "14 kg"})
    assert verdict(heavy, KEY).status is Status.MISSES
    pulled = levers(heavy, KEY)
    assert {
        "make the leaf weigh no more than",
        "hang a counterweight on the leaf's edge of",
        "a stronger, slower drive of the family",
    } <= set(pulled)
    assert any(lever.path[:1] == ("linkage",) for lever in pulled.values())


def test_wind_that_is_too_strong_names_the_gust_in_which_the_door_is_left_alone():
    windy = calm({"site.wind.working": "16 m/s"})
    assert verdict(windy, KEY).status is Status.MISSES
    assert "leave the door as it is in gusts above" in levers(windy, KEY)


def test_ice_that_is_too_hard_names_what_the_edge_may_freeze_to():
    iced = calm({"door.ice": "300 N"})
    assert verdict(iced, KEY).status is Status.MISSES
    assert "grease or heat the edge, so that it freezes no faster than" in levers(iced, KEY)


def test_is_unknown_at_a_dead_centre():
    passing = {"linkage.foot": {"x": "0.47 m", "y": "0.25 m", "z": "0.60 m"}, "door.open_angle": "120 deg"}
    found = check(calm(passing), KEY)
    assert math.isnan(found.value)
    assert "dead centre" in found.working[-1].words


@given(st.floats(1.0, 20.0), st.floats(0.1, 10.0))
def test_never_falls_as_a_leaf_that_is_not_frozen_gets_heavier(mass: float, more: float):
    light, heavy = (
        check(calm({"door.ice": "0 N", "door.leaf.mass": f"{each:.9f} kg"}), KEY).value
        for each in (mass, mass + more)
    )
    assert heavy >= light
