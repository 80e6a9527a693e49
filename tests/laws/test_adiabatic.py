"""Short-circuit heating of a conductor."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.laws.adiabatic import adiabatic_area, adiabatic_constant, withstand_integral


@pytest.mark.published("BS 7671 summaries: 3000 A for 0.4 s with k = 115")
def test_three_kiloamperes_need_the_printed_area():
    assert 1e6 * adiabatic_area(3000.0, 0.4, 115e6) == pytest.approx(16.5, abs=0.1)


@pytest.mark.published("IEC 60364-4-43, as in BS 7671 summaries: k = 115 for copper in 70 degC PVC")
def test_constant_of_copper_in_pvc_is_the_printed_one():
    assert adiabatic_constant(343.15, 433.15) / 1e6 == pytest.approx(115.0, abs=0.1)


@pytest.mark.recalled("k = 143 for copper in 90 degC thermosetting insulation, 250 degC at the end")
def test_constant_of_copper_in_thermosetting_insulation_is_that_of_the_tables():
    assert adiabatic_constant(363.15, 523.15) / 1e6 == pytest.approx(143.0, abs=0.5)


@given(st.floats(1.0, 1e4), st.floats(1e-3, 5.0), st.floats(50e6, 200e6))
def test_the_area_asked_for_just_stands_the_integral(current, time, constant):
    area = adiabatic_area(current, time, constant)
    assert withstand_integral(area, constant) == pytest.approx(current**2 * time, rel=1e-9)


@pytest.mark.parametrize("time", [-1e-9, 5.001, math.nan, math.inf])
def test_says_nothing_for_a_fault_too_long_to_keep_its_heat(time):
    assert math.isnan(adiabatic_area(100.0, time))


@pytest.mark.parametrize(
    ("initial", "final"), [(400.0, 300.0), (38.0, 300.0), (math.nan, 400.0), (300.0, math.nan)]
)
def test_says_nothing_for_impossible_temperatures(initial, final):
    assert math.isnan(adiabatic_constant(initial, final))
