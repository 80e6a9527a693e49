"""Loss behind a straight edge."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import fresnel

from hutwright.laws.knife_edge import knife_edge_loss_db, knife_edge_measure


@pytest.mark.published("ITU-R P.526-15, 4.1, as in public code: the integral behind the approximation")
def test_the_approximation_keeps_to_the_integral():
    nu = np.linspace(-0.7, 5.0, 60)
    s, c = fresnel(nu)
    exact = -20.0 * np.log10(np.hypot(1.0 - c - s, c - s) / 2.0)
    assert knife_edge_loss_db(nu) == pytest.approx(exact, abs=0.15)


def test_the_values_are_those_of_the_formula_by_hand():
    listed = {0.0: 6.03, 0.5: 10.29, 1.0: 13.93, 2.0: 19.04, 3.0: 22.42, 5.0: 26.81}
    assert knife_edge_loss_db(list(listed)) == pytest.approx(list(listed.values()), abs=0.006)


@pytest.mark.recalled("half the field, a quarter of the power, at the straight line past an edge")
def test_an_edge_at_the_straight_line_takes_half_the_field():
    assert float(knife_edge_loss_db(0.0)) == pytest.approx(20.0 * math.log10(2.0), abs=0.05)


@given(st.floats(-5.0, 10.0), st.floats(0.0, 5.0))
def test_a_higher_edge_costs_no_less(nu, more):
    low, high = knife_edge_loss_db([nu, nu + more])
    assert 0.0 <= low <= high + 1e-12


def test_a_satellite_is_the_limit_of_a_far_end():
    near = knife_edge_measure(0.3, 2.0, 1e9, 0.19)
    assert near == pytest.approx(knife_edge_measure(0.3, 2.0, math.inf, 0.19))
    assert math.isnan(knife_edge_measure(0.3, 0.0, 1.0, 0.19))
    assert np.isnan(knife_edge_loss_db(math.nan))
