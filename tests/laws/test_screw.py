"""Power screws against their textbooks and against statics."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.laws.screw import (
    lead_angle,
    locking_friction,
    lowering_torque,
    overhauling_efficiency,
    raising_torque,
    screw_efficiency,
    self_locking,
    torque_of_efficiency,
)

ACME = math.radians(14.5)
INCH_POUND = 0.1129848  # N m
LEADS = st.floats(0.001, 0.010)
DIAMETERS = st.floats(0.006, 0.030)
FRICTIONS = st.floats(0.02, 0.4)
HALVES = st.floats(0.0, 0.3)


@pytest.mark.recalled("textbook of mechanical design, first power-screw example; the arithmetic fits exactly")
def test_a_double_start_square_screw_with_collar_takes_the_textbooks_torques():
    collar = {"collar_friction": 0.08, "collar_diameter": 0.040}
    up = raising_torque(6400.0, 0.008, 0.030, 0.08, **collar)
    thread = raising_torque(6400.0, 0.008, 0.030, 0.08)
    down = lowering_torque(6400.0, 0.008, 0.030, 0.08, **collar)
    assert up == pytest.approx(26.18, rel=1e-3)
    assert thread == pytest.approx(15.94, rel=1e-3)
    assert up - thread == pytest.approx(10.24, rel=1e-3)
    assert down == pytest.approx(9.77, rel=1e-3)
    assert screw_efficiency(0.008, 0.030, 0.08, **collar) == pytest.approx(0.311, rel=2e-3)


@pytest.mark.published("textbook on machine elements, 4th edition, example 17-1: 3.39 deg, 1809 lb in")
def test_an_acme_screw_takes_the_printed_torque():
    assert math.degrees(lead_angle(0.25, 1.3429)) == pytest.approx(3.39, abs=0.005)
    assert raising_torque(12_500.0, 0.25, 1.3429, 0.15, half_angle=ACME) == pytest.approx(1809.0, rel=0.005)


@pytest.mark.recalled("the same example's efficiency and lowering torque, recomputed: 27.5 %, 796 lb in")
def test_an_acme_screw_has_the_recomputed_efficiency_and_lowering_torque():
    assert screw_efficiency(0.25, 1.3429, 0.15, half_angle=ACME) == pytest.approx(0.275, rel=0.005)
    assert lowering_torque(12_500.0, 0.25, 1.3429, 0.15, half_angle=ACME) == pytest.approx(796.0, rel=0.005)


@pytest.mark.published("textbook on statics, open edition, 5.6.1: 2 in, 2 threads an inch, 0.2: 2840 lb in")
def test_a_square_screw_takes_the_printed_moment():
    assert raising_torque(10_000.0, 0.5, 2.0, 0.2) == pytest.approx(2840.0, rel=1e-3)


@pytest.mark.published("public examination problem on a power screw: 20 kN, 10 mm, 70 %: 45.5 N m")
def test_a_screw_of_known_efficiency_takes_the_printed_torque():
    assert torque_of_efficiency(20e3, 0.010, 0.70) == pytest.approx(45.5, rel=1e-3)


@given(LEADS, DIAMETERS, FRICTIONS)
def test_a_square_thread_is_an_inclined_plane(lead, diameter, friction):
    slope, rub = math.atan(lead / (math.pi * diameter)), math.atan(friction)
    assert raising_torque(1.0, lead, diameter, friction) == pytest.approx(
        0.5 * diameter * math.tan(slope + rub), rel=1e-9
    )
    assert lowering_torque(1.0, lead, diameter, friction) == pytest.approx(
        0.5 * diameter * math.tan(rub - slope), rel=1e-9, abs=1e-15
    )


@given(LEADS, DIAMETERS, FRICTIONS, HALVES)
def test_it_holds_by_itself_exactly_where_lowering_takes_torque(lead, diameter, friction, half):
    down = lowering_torque(1.0, lead, diameter, friction, half_angle=half)
    assert self_locking(lead, diameter, friction, half_angle=half) == (down >= 0.0)
    edge = locking_friction(lead, diameter, half_angle=half)
    assert lowering_torque(1.0, lead, diameter, edge, half_angle=half) == pytest.approx(0.0, abs=1e-12)


@pytest.mark.published("textbook on statics, open edition, 5.6: a screw that locks has 50 % at most")
@given(LEADS, DIAMETERS, HALVES, st.floats(1.0, 3.0))
def test_a_screw_that_locks_is_no_better_than_one_half(lead, diameter, half, more):
    friction = more * locking_friction(lead, diameter, half_angle=half)
    assert screw_efficiency(lead, diameter, friction, half_angle=half) <= 0.5


@given(LEADS, DIAMETERS, FRICTIONS, HALVES)
def test_the_efficiency_is_work_out_over_work_in(lead, diameter, friction, half):
    efficiency = screw_efficiency(lead, diameter, friction, half_angle=half)
    torque = raising_torque(800.0, lead, diameter, friction, half_angle=half)
    assert torque_of_efficiency(800.0, lead, efficiency) == pytest.approx(torque, rel=1e-9)


@given(st.floats(0.5, 10.0), st.floats(0.0, 1.0))
def test_the_estimate_for_a_helping_load_is_a_little_low_as_said(lead_deg, share):
    slope = math.radians(lead_deg)
    rub = share * slope
    forwards = math.tan(slope) / math.tan(slope + rub)
    backwards = math.tan(slope - rub) / math.tan(slope)
    low = backwards - overhauling_efficiency(forwards)
    assert -1e-9 <= low < (0.02 if lead_deg <= 5.0 else 0.07)


def test_a_helping_load_gives_nothing_back_at_one_half_and_all_at_one():
    assert overhauling_efficiency(0.5) == 0.0
    assert overhauling_efficiency(1.0) == 1.0
    assert overhauling_efficiency(0.3) < 0.0


def test_units_do_not_matter_as_long_as_they_fit():
    metric = raising_torque(12_500 * 4.4482216, 0.25 * 0.0254, 1.3429 * 0.0254, 0.15, half_angle=ACME)
    inches = raising_torque(12_500.0, 0.25, 1.3429, 0.15, half_angle=ACME)
    assert metric == pytest.approx(inches * INCH_POUND, rel=1e-6)


def test_a_thread_too_steep_for_its_friction_jams():
    assert raising_torque(1.0, 0.1, 0.01, 0.4) == math.inf
    assert screw_efficiency(0.1, 0.01, 0.4) == 0.0


@pytest.mark.parametrize(
    ("lead", "diameter"), [(0.0, 0.01), (0.002, 0.0), (math.nan, 0.01), (0.002, math.inf)]
)
def test_an_impossible_screw_says_nothing(lead, diameter):
    assert math.isnan(raising_torque(1.0, lead, diameter, 0.1))
    assert math.isnan(lowering_torque(1.0, lead, diameter, 0.1))
    assert math.isnan(screw_efficiency(lead, diameter, 0.1))
    assert not self_locking(lead, diameter, 0.9)


@pytest.mark.parametrize("efficiency", [0.0, -0.1, 1.01, math.nan])
def test_an_impossible_efficiency_says_nothing(efficiency):
    assert math.isnan(overhauling_efficiency(efficiency))
