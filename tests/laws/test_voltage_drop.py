"""Voltage drop along a cable."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.laws.conductor_resistance import conductor_resistance
from hutwright.laws.voltage_drop import voltage_drop


@pytest.mark.published("IEC 60364-5-52:2009, annex G, formula with rho1 = 0.0225 ohm mm2/m")
def test_ten_metres_of_thin_cable_take_a_volt_and_a_half():
    assert voltage_drop(5.0, 10.0, 1.5e-6) == pytest.approx(1.50, rel=0.005)


@pytest.mark.published("IEC 60228:2004, table 3: the same cable at 20 degC")
def test_the_table_at_20_degc_gives_less():
    assert 5.0 * conductor_resistance(13.3e-3, 2 * 10.0) == pytest.approx(1.33, rel=0.005)
    assert voltage_drop(5.0, 10.0, 1.5e-6) > 1.33


def test_purely_reactive_load_sees_only_the_reactance():
    drop = voltage_drop(10.0, 100.0, 2.5e-6, power_factor=0.0)
    assert drop == pytest.approx(2.0 * 0.08e-3 * 100.0 * 10.0, rel=1e-12)


def test_power_factor_one_is_the_limit_of_those_below():
    near = voltage_drop(10.0, 100.0, 2.5e-6, power_factor=1.0 - 1e-12)
    assert near == pytest.approx(voltage_drop(10.0, 100.0, 2.5e-6), rel=1e-6)


@given(st.floats(0.0, 100.0), st.floats(0.0, 1000.0), st.floats(0.1e-6, 50e-6))
def test_one_conductor_takes_half_and_a_thicker_one_less(current, length, area):
    both = voltage_drop(current, length, area)
    assert voltage_drop(current, length, area, conductors=1.0) == pytest.approx(0.5 * both, rel=1e-12)
    assert voltage_drop(current, length, 2.0 * area) <= both


def test_what_is_not_a_number_stays_so():
    assert math.isnan(voltage_drop(math.nan, 1.0, 1e-6))
    assert math.isnan(voltage_drop(1.0, math.nan, 1e-6))
