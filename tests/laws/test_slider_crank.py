"""Crank, rod and slide."""

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from hutwright.laws.slider_crank import slider_crank

ANGLES = st.floats(-math.pi, math.pi)


@pytest.mark.published(
    "public worksheet on a slider-crank: 45 deg, 1 rad/s: 9.744 in/s, 0.378 rad/s, 159.295 deg"
)
def test_a_crank_of_ten_inches_moves_as_printed():
    motion = slider_crank(10.0, 20.0, math.radians(45.0), 1.0)
    assert abs(motion.speed) == pytest.approx(9.744, abs=0.0015)
    assert abs(motion.rod_rate) == pytest.approx(0.378, abs=0.0005)
    assert 180.0 - math.degrees(abs(motion.rod_angle)) == pytest.approx(159.295, abs=0.001)


@pytest.mark.recalled(
    "data of a textbook on planar mechanisms, example 5.1; results recomputed independently"
)
def test_a_textbook_mechanism_stands_and_moves_as_recomputed():
    motion = slider_crank(0.12, 0.26, math.radians(65.0), 1.6)
    assert motion.rod_angle == pytest.approx(-0.43157, abs=1e-5)
    assert motion.position == pytest.approx(0.28688, abs=1e-5)
    assert motion.rod_rate == pytest.approx(-0.34359, abs=1e-5)
    assert motion.speed == pytest.approx(-0.21138, abs=1e-5)


@given(st.floats(0.05, 0.5), st.floats(0.1, 1.5), ANGLES, st.floats(-0.2, 0.2))
def test_the_rod_keeps_its_length_and_the_slide_its_way(crank, rod, angle, offset):
    motion = slider_crank(crank, rod, angle, 1.0, offset=offset)
    assume(not math.isnan(motion.position))
    end = (crank * math.cos(angle), crank * math.sin(angle))
    assert math.hypot(motion.position - end[0], offset - end[1]) == pytest.approx(rod, rel=1e-9)


@given(st.floats(0.05, 0.5), st.floats(1.2, 4.0), ANGLES, st.floats(0.1, 3.0))
def test_the_speeds_are_the_slopes_of_the_places(crank, ratio, angle, rate):
    step = 1e-5
    rod = crank * ratio
    before = slider_crank(crank, rod, angle - step, rate)
    after = slider_crank(crank, rod, angle + step, rate)
    motion = slider_crank(crank, rod, angle, rate)
    slope = rate / (2.0 * step)
    assert motion.speed == pytest.approx((after.position - before.position) * slope, abs=1e-6)
    assert motion.rod_rate == pytest.approx((after.rod_angle - before.rod_angle) * slope, abs=1e-6)


@given(st.floats(0.05, 0.5), st.floats(1.2, 4.0), ANGLES)
def test_mirror_images_agree(crank, ratio, angle):
    one = slider_crank(crank, crank * ratio, angle, 1.0, offset=0.01)
    other = slider_crank(crank, crank * ratio, -angle, -1.0, offset=-0.01)
    assert other.position == pytest.approx(one.position, rel=1e-12)
    assert other.speed == pytest.approx(one.speed, rel=1e-9, abs=1e-12)
    assert other.rod_angle == pytest.approx(-one.rod_angle, rel=1e-12)


@pytest.mark.parametrize(
    ("crank", "rod", "angle"),
    [
        (0.3, 0.2, math.pi / 2.0),
        (0.2, 0.2, math.pi / 2.0),
        (0.0, 0.2, 0.0),
        (0.2, 0.0, 0.0),
        (0.2, 0.3, math.nan),
    ],
)
def test_says_nothing_where_the_rod_does_not_reach(crank, rod, angle):
    assert all(math.isnan(each) for each in slider_crank(crank, rod, angle, 1.0))
