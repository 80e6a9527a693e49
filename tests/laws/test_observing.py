"""What a scale, a bucket, a meter and a fist tell."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.laws.kinetic import FREE_FALL
from hutwright.laws.observing import (
    current_at_listing,
    drop_resistance,
    hand_elevation,
    leaf_mass,
    load_and_friction,
    snow_pressure,
    water_weight,
)


@given(st.floats(0.0, 500.0), st.floats(0.0, 100.0))
def test_load_and_friction_come_back_from_what_they_make_a_scale_show(load, friction):
    found = load_and_friction(load + friction, load - friction)
    assert found[0] == pytest.approx(load, abs=1e-9)
    assert found[1] == pytest.approx(friction, abs=1e-9)


@given(st.floats(0.5, 30.0), st.floats(0.2, 1.0), st.floats(0.1, 0.5), st.floats(0.1, 3.0))
def test_a_leaf_on_a_scale_balances_about_its_hinge(mass, lever, reach, angle):
    moment = mass * FREE_FALL * reach * math.sin(angle)
    assert leaf_mass(moment / lever, lever, reach, angle) == pytest.approx(mass, rel=1e-9)


def test_an_upright_leaf_tells_nothing_of_its_mass():
    assert np.isnan(leaf_mass(1.0, 0.5, 0.25, 0.0))


@pytest.mark.published("SI Brochure, 9th edition, table 8: 1 L = 1 dm3; water of 4 degC weighs 1 kg a litre")
def test_a_litre_of_water_weighs_a_kilogram_within_what_warmth_makes_of_it():
    assert water_weight(1e-3) == pytest.approx(FREE_FALL, rel=0.004)
    assert water_weight(0.0, 0.7) == pytest.approx(0.7 * FREE_FALL)


@given(st.floats(0.001, 2.0), st.floats(0.1, 20.0), st.floats(10.0, 30.0))
def test_a_supply_with_a_resistance_shows_it(resistance, current, idle):
    assert drop_resistance(idle, idle - resistance * current, current) == pytest.approx(resistance, abs=1e-9)


def test_without_a_current_nothing_is_known_of_a_supply():
    assert np.isnan(drop_resistance(12.6, 12.6, 0.0))


@pytest.mark.published(
    "IEC 60228:2004, temperature correction factors: copper gains 0.393 % a kelvin at 20 degC"
)
def test_a_warmer_winding_takes_less():
    cold = current_at_listing(5.0, 12.0, 12.0, 293.15)
    warm = current_at_listing(5.0, 12.0, 12.0, 303.15)
    assert cold == pytest.approx(5.0)
    assert warm == pytest.approx(5.0 * 1.0393, rel=1e-4)


@pytest.mark.practice("a fist at arm's length is about 10 degrees, a finger about 2, five fingers a fist")
def test_a_fist_is_ten_degrees():
    assert math.degrees(hand_elevation(1.0)) == pytest.approx(10.0)
    assert hand_elevation(0.0, 5.0) == pytest.approx(hand_elevation(1.0))


@pytest.mark.practice("a fist of 0.1 m at an arm of 0.57 m: a centimetre there is a degree")
def test_a_fist_is_as_wide_as_an_arm_makes_it():
    assert math.atan(0.10 / 0.57) == pytest.approx(hand_elevation(1.0), rel=0.02)


@pytest.mark.published("EN 1991-1-3:2003, annex E: settled snow weighs 2.0 kN/m3")
def test_half_a_metre_of_settled_snow_is_a_kilonewton_a_square_metre():
    assert snow_pressure(0.5, 2000.0) == pytest.approx(1000.0)
