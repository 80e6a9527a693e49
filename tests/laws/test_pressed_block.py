"""A block of foam between an edge and a scale."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.laws.kinetic import FREE_FALL
from hutwright.laws.pressed_block import block_force, block_stiffness, scale_force


@pytest.mark.published(
    "3rd General Conference on Weights and Measures (1901), declaration on weight: 980.665 cm/s2"
)
def test_a_kilogram_weighs_what_the_declaration_says():
    assert FREE_FALL == 9.80665
    assert scale_force(1.0) == 9.80665


@given(st.floats(1.0, 1e5), st.floats(1e-3, 0.5))
def test_a_block_gives_the_force_back_that_its_stiffness_was_found_by(force, pressed):
    assert block_force(block_stiffness(force, pressed), pressed) == pytest.approx(force, rel=1e-12)


@given(st.floats(100.0, 1e5), st.floats(0.0, 0.1), st.floats(1.1, 3.0))
def test_the_force_is_in_proportion_to_the_way(stiffness, pressed, times):
    assert block_force(stiffness, times * pressed) == pytest.approx(times * block_force(stiffness, pressed))


def test_a_block_that_is_not_pressed_presses_nothing():
    assert block_force(1000.0, -0.01) == 0.0


@pytest.mark.parametrize("value", [0.0, -1.0, math.nan, math.inf])
def test_says_nothing_outside_its_range(value):
    assert math.isnan(block_stiffness(value, 0.01))
    assert math.isnan(block_stiffness(10.0, value))
    assert math.isnan(scale_force(-1.0))
    assert value == math.inf or math.isnan(block_force(value, 0.01))
