"""The root finder agrees with a library's and never leaves its bracket."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from hutwright.laws.crossing import crossing

FUNCTIONS = {
    "cubic": lambda x: x**3 - 2.0 * x - 5.0,
    "exponential": lambda x: math.exp(x / 10.0) - 2.0,
    "flat": lambda x: (x - 3.0) ** 9,
    "steep": lambda x: math.tanh(1e3 * (x - 1.0)),
    "kinked": lambda x: min(x - 2.0, 0.1 * (x - 2.0)),
}


@pytest.mark.parametrize("name", sorted(FUNCTIONS))
@given(low=st.floats(-9.0, 0.9), high=st.floats(7.0, 40.0))
def test_finds_what_a_librarys_root_finder_finds(name, low, high):
    function = FUNCTIONS[name]
    if function(low) * function(high) >= 0.0:
        assert math.isnan(crossing(function, low, high))
        return
    expected = brentq(function, low, high, xtol=1e-13, maxiter=1000)
    slack = 1e-2 if name == "flat" else 1e-9  # (x - 3)^9 vanishes in rounding a hundredth off
    assert crossing(function, low, high) == pytest.approx(expected, abs=slack)
    assert crossing(function, high, low) == pytest.approx(expected, abs=slack)


@given(st.floats(-1e6, 1e6), st.floats(1e-3, 1e6), st.floats(0.01, 0.99))
def test_a_jump_is_found_within_the_bracket(low, width, share):
    edge = low + share * width
    found = crossing(lambda x: -1.0 if x < edge else 1.0, low, low + width)
    assert low <= found <= low + width
    assert found == pytest.approx(edge, rel=1e-12, abs=1e-9)


def test_a_zero_at_an_end_is_that_end():
    assert crossing(lambda x: x, 0.0, 1.0) == 0.0
    assert crossing(lambda x: x - 1.0, 0.0, 1.0) == 1.0


def test_equal_signs_and_values_that_are_no_numbers_give_none():
    assert math.isnan(crossing(lambda x: 1.0 + x * x, -1.0, 2.0))
    assert math.isnan(crossing(lambda x: math.nan if 0.4 < x < 0.6 else x - 0.55, 0.0, 1.0))


def test_needs_few_evaluations_where_the_function_is_smooth():
    calls = []

    def watched(x):
        calls.append(x)
        return math.exp(x) - 2.0

    crossing(watched, 0.0, 5.0)
    assert len(calls) <= 14
