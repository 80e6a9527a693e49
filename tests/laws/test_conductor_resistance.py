"""Resistance of copper conductors."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.laws.conductor_resistance import (
    conductor_resistance,
    temperature_factor,
    wire_gauge_diameter,
    wire_gauge_resistance_per_length,
)
from tests.published.conductors import OHM_PER_1000_FT, TO_20_DEGC

FOOT = 0.3048


@pytest.mark.published("IEC 60228:2004, table 3, 1.5 mm2")
def test_a_hundred_metres_of_a_flexible_core_have_the_printed_resistance():
    assert conductor_resistance(13.3e-3, 100.0) == pytest.approx(1.33, rel=1e-12)


@pytest.mark.published("IEC 60228:2004, table 2, 2.5 mm2")
def test_a_kilometre_of_a_stranded_core_has_the_printed_resistance():
    assert conductor_resistance(7.41e-3, 1000.0) == pytest.approx(7.41, rel=1e-12)


@pytest.mark.published("IEC 60228:2004, temperature correction factors")
@pytest.mark.parametrize(("degc", "factor"), TO_20_DEGC)
def test_temperature_factor_is_the_reciprocal_of_the_printed_correction(degc, factor):
    assert 1.0 / temperature_factor(degc + 273.15) == pytest.approx(factor, abs=0.001)


@pytest.mark.published("American wire gauge table of a physics course, solid copper, 20 degC")
@pytest.mark.parametrize(("gauge", "ohm"), OHM_PER_1000_FT)
def test_wire_gauges_have_the_printed_resistance(gauge, ohm):
    assert 1000.0 * FOOT * wire_gauge_resistance_per_length(gauge) == pytest.approx(ohm, rel=1e-3)


def test_gauge_numbers_are_anchored_at_a_half_inch_less_forty_and_at_five_mils():
    assert wire_gauge_diameter(36) == pytest.approx(0.005 * 0.0254, rel=1e-12)
    assert wire_gauge_diameter(-3) == pytest.approx(0.46 * 0.0254, rel=1e-12)


@given(st.floats(253.0, 373.0))
def test_temperature_rule_stays_near_the_rule_with_its_own_zero(temperature):
    other = (234.5 + temperature - 273.15) / 254.5
    assert temperature_factor(temperature) == pytest.approx(other, rel=0.01)


@given(st.floats(1e-4, 0.1), st.floats(0.0, 5000.0), st.floats(230.0, 390.0), st.floats(0.0, 50.0))
def test_never_falls_as_the_cable_warms(resistance, length, temperature, rise):
    cool = conductor_resistance(resistance, length, temperature)
    assert conductor_resistance(resistance, length, temperature + rise) >= cool


@given(st.floats(1e-4, 0.1), st.floats(0.0, 5000.0), st.floats(230.0, 390.0))
def test_is_that_of_20_degc_times_the_factor(resistance, length, temperature):
    cold = conductor_resistance(resistance, length)
    warm = conductor_resistance(resistance, length, temperature)
    assert warm == pytest.approx(cold * temperature_factor(temperature), rel=1e-12)
