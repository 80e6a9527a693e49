"""The wind on a leaf, shut and open."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.laws.leaf_wind import (
    ZONE_A,
    ZONE_B,
    ZONE_C,
    ZONE_D,
    ZONE_E,
    dominant_internal,
    edge_zone,
    leaf_pressure,
    lee_coefficient,
    open_leaf_arm,
    open_leaf_pressure,
    shut_leaf_pressure,
    side_coefficient,
)


@pytest.mark.published("EN 1991-1-4:2005, table 7.1, c_pe,1, as transcribed in public code")
def test_the_coefficients_of_walls_are_the_printed_ones():
    assert (ZONE_A, ZONE_B, ZONE_C, ZONE_D) == (-1.4, -1.1, -0.5, 1.0)
    assert [lee_coefficient(slenderness) for slenderness, _ in ZONE_E] == [-0.3, -0.5, -0.7]
    assert edge_zone(5.0, 8.0) == 5.0
    assert edge_zone(72.0, 8.0) == 16.0


@pytest.mark.published("public worked example of a signboard, EN 1991-1-4 7.4.3: 101.43 kN at 1.25 m")
def test_an_open_leaf_is_pushed_like_the_printed_signboard():
    assert open_leaf_pressure(1610.0) * 35.0 == pytest.approx(101.43e3, rel=1e-4)
    assert open_leaf_arm(5.0) - 2.5 == pytest.approx(1.25, rel=1e-12)


@pytest.mark.recalled("EN 1991-1-4, 7.2.9: 0.75 at twice, 0.90 at three times; several memories agree")
def test_most_openings_on_one_face_bring_its_pressure_inside():
    assert dominant_internal(-1.0, 2.0) == -0.75
    assert dominant_internal(-1.0, 3.0) == -0.90
    assert dominant_internal(1.0, 1000.0) == 0.90
    assert math.isnan(dominant_internal(1.0, 1.9))
    assert math.isnan(dominant_internal(1.0, math.nan))


@given(st.floats(0.0, 3.0), st.floats(0.01, 3.0), st.floats(0.2, 4.0))
def test_the_mean_along_a_wall_is_that_of_many_narrow_strips(near, breadth, zone):
    count = 200
    step = breadth / count
    middles = [near + (k + 0.5) * step for k in range(count)]
    strips = [ZONE_A if x < zone / 5.0 else ZONE_B if x < zone else ZONE_C for x in middles]
    mean = side_coefficient(near, near + breadth, zone)
    assert mean == pytest.approx(sum(strips) / count, abs=2.0 * (ZONE_C - ZONE_A) / count)


@given(st.floats(10.0, 2000.0), st.floats(0.0, 1.0), st.floats(0.1, 1.0), st.floats(0.5, 3.0))
def test_a_shut_leaf_is_pushed_in_and_drawn_out_and_more_so_near_the_edge(pressure, near, breadth, zone):
    worst = shut_leaf_pressure(pressure, near, near + breadth, zone)
    assert worst.inward == pytest.approx(1.3 * pressure, rel=1e-12)
    assert -1.6 * pressure * (1.0 + 1e-12) <= worst.outward <= -0.7 * pressure * (1.0 - 1e-12)
    moved = shut_leaf_pressure(pressure, near + 0.1, near + breadth + 0.1, zone)
    assert moved.outward >= worst.outward - 1e-9 * pressure


def test_what_is_inside_is_taken_off_what_is_outside():
    assert leaf_pressure(500.0, -1.4, 0.2) == pytest.approx(-800.0)
    assert leaf_pressure(500.0, 0.7, 0.7) == 0.0


def test_the_lee_side_is_straight_between_the_points_and_level_before_them():
    assert lee_coefficient(0.1) == -0.3
    assert lee_coefficient(0.625) == pytest.approx(-0.4)
    assert lee_coefficient(3.0) == pytest.approx(-0.6)


@pytest.mark.parametrize("value", [0.0, -1.0, 5.1, math.nan])
def test_the_lee_side_says_nothing_outside_its_range(value):
    assert math.isnan(lee_coefficient(value))


@pytest.mark.parametrize(
    "strip", [(-0.1, 0.5, 1.0), (0.5, 0.5, 1.0), (0.0, 0.5, 0.0), (math.nan, 0.5, 1.0), (0.0, math.nan, 1.0)]
)
def test_an_impossible_strip_has_no_coefficient(strip):
    assert math.isnan(side_coefficient(*strip))
    assert math.isnan(edge_zone(0.0, 1.0))
    assert math.isnan(edge_zone(1.0, math.nan))
