"""Speed at which a part may touch a body."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.catalogue.body_regions import BODY_REGIONS
from hutwright.laws.contact_speed import contact_speed, two_body_mass


@pytest.mark.published(
    "ISO/TS 15066:2016, annex A, formula and table as in a public transcription; 10 kg, hand"
)
def test_a_hand_may_be_met_at_the_speeds_of_the_formula():
    hand = BODY_REGIONS["hand and fingers"]
    assert hand.transient_force is not None
    passing = contact_speed(hand.transient_force, hand.stiffness, hand.mass, 10.0)
    lasting = contact_speed(hand.force, hand.stiffness, hand.mass, 10.0)
    assert passing == pytest.approx(1.36, rel=0.005)
    assert lasting == pytest.approx(0.68, rel=0.005)


@given(st.floats(10.0, 500.0), st.floats(5e3, 2e5), st.floats(0.5, 80.0), st.floats(0.5, 80.0))
def test_all_the_energy_of_the_meeting_goes_into_the_bodys_spring(force, stiffness, body, moving):
    speed = contact_speed(force, stiffness, body, moving)
    meeting = 0.5 * two_body_mass(body, moving) * speed**2
    assert meeting == pytest.approx(0.5 * force**2 / stiffness, rel=1e-9)


@given(st.floats(0.5, 80.0), st.floats(0.5, 80.0))
def test_the_mass_of_the_meeting_is_less_than_either_and_the_same_both_ways(one, other):
    mass = two_body_mass(one, other)
    assert mass < min(one, other)
    assert mass == pytest.approx(two_body_mass(other, one), rel=1e-12)


def test_against_a_wall_of_a_leaf_only_the_body_counts():
    assert two_body_mass(0.6, math.inf) == pytest.approx(0.6)


@pytest.mark.parametrize("value", [0.0, -1.0, math.nan])
def test_says_nothing_of_impossible_bodies(value):
    assert math.isnan(two_body_mass(value, 10.0))
    assert math.isnan(contact_speed(140.0, value, 0.6, 10.0))
    assert math.isnan(contact_speed(140.0, 75e3, 0.6, value))
