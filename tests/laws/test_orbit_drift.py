"""Slow turning of an orbit's plane."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.laws.gnss_time import DAY
from hutwright.laws.orbit import EARTH_TURNING
from hutwright.laws.orbit_drift import node_drift, repeating_latitude_rate

GALILEO_DRIFT = np.radians(-0.02764398) / DAY


@pytest.mark.published("GPS SPS Performance Standard 2001, table A-2-1: -4.4874e-7 deg/s")
def test_the_bulge_turns_the_gps_planes_at_the_printed_rate():
    assert np.degrees(node_drift(26_559.7e3, np.radians(55.0))) == pytest.approx(-4.4874e-7, rel=0.001)


@pytest.mark.published("Galileo reference constellation 24/3/1: -0.02764398 deg a day")
def test_the_bulge_turns_the_galileo_planes_but_for_sun_and_moon():
    drift = np.degrees(node_drift(29_600.318e3, np.radians(56.0))) * DAY
    assert drift == pytest.approx(-0.02764398, abs=0.01)


@pytest.mark.published("Galileo reference constellation 24/3/1: 613.72253566 deg a day, 17 orbits in 10 days")
def test_a_track_that_repeats_gives_the_printed_galileo_rate():
    rate = np.degrees(repeating_latitude_rate(GALILEO_DRIFT, 17, 10)) * DAY
    assert rate == pytest.approx(613.72253566, abs=1e-5)


@given(st.floats(-1e-8, 0.0), st.integers(1, 20), st.integers(1, 10))
def test_the_track_closes_after_its_days(drift, orbits, days):
    length = days * 2 * np.pi / (EARTH_TURNING - drift)
    assert repeating_latitude_rate(drift, orbits, days) * length == pytest.approx(2 * np.pi * orbits)


def test_a_polar_orbit_does_not_turn():
    assert node_drift(26_560e3, np.pi / 2) == pytest.approx(0.0, abs=1e-20)
