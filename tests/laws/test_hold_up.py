"""How long a capacitor carries a load."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.laws.hold_up import (
    constant_current_capacitance,
    constant_current_time,
    constant_power_capacitance,
    constant_power_time,
    reservoir_voltage,
    stored_energy_share,
)

PAGE = "public page on hold-up capacitors"
farads = st.floats(1e-6, 1.0)
volts = st.floats(5.1, 50.0)


@pytest.mark.published(PAGE + ": 200 W, 400 to 300 V, 20 ms")
def test_twenty_milliseconds_at_two_hundred_watts_need_the_printed_capacitor():
    assert 1e6 * constant_power_capacitance(20e-3, 400.0, 300.0, 200.0) == pytest.approx(114.0, rel=0.005)


@pytest.mark.published(PAGE + ": share of the stored energy")
@pytest.mark.parametrize(("before", "after", "per_cent"), [(390.0, 300.0, 40.8), (100.0, 90.0, 19.0)])
def test_a_capacitor_gives_the_printed_share_of_its_energy(before, after, per_cent):
    # the page prints one decimal
    assert 100.0 * stored_energy_share(before, after) == pytest.approx(per_cent, abs=0.05)


@given(farads, volts, st.floats(0.1, 100.0))
def test_time_and_capacitance_undo_each_other_at_constant_power(capacitance, before, power):
    time = constant_power_time(capacitance, before, 5.0, power)
    assert constant_power_capacitance(time, before, 5.0, power) == pytest.approx(capacitance, rel=1e-9)
    energy = 0.5 * capacitance * before**2 * stored_energy_share(before, 5.0)
    assert time * power == pytest.approx(energy, rel=1e-9)


@given(farads, volts, st.floats(0.001, 10.0))
def test_time_and_capacitance_undo_each_other_at_constant_current(capacitance, before, load):
    time = constant_current_time(capacitance, before, 5.0, load)
    assert constant_current_capacitance(time, before, 5.0, load) == pytest.approx(capacitance, rel=1e-9)
    assert reservoir_voltage(time, before, load, capacitance) == pytest.approx(5.0, rel=1e-9)


@given(st.floats(0.0, 10.0), st.floats(0.0, 10.0), volts, farads)
def test_a_reservoir_never_rises_nor_falls_below_nothing(time, later, start, capacitance):
    now = reservoir_voltage(time, start, 0.1, capacitance)
    assert 0.0 <= reservoir_voltage(time + later, start, 0.1, capacitance) <= now <= start


def test_no_load_is_carried_for_ever_and_too_low_a_start_for_no_time_at_all():
    assert constant_power_time(1e-3, 12.0, 7.0, 0.0) == math.inf
    assert constant_current_time(1e-3, 12.0, 7.0, 0.0) == math.inf
    assert constant_power_time(1e-3, 6.9, 7.0, 1.0) == 0.0
    assert constant_current_time(1e-3, 6.9, 7.0, 1.0) == 0.0
    assert constant_power_capacitance(0.1, 7.0, 7.0, 1.0) == math.inf
    assert constant_current_capacitance(0.1, 7.0, 7.0, 1.0) == math.inf


def test_what_is_not_a_number_stays_so():
    assert math.isnan(constant_current_time(math.nan, 12.0, 7.0, 0.0))
    assert math.isnan(constant_current_time(1e-3, math.nan, 7.0, 1.0))
    assert math.isnan(reservoir_voltage(math.nan, 12.0, 1.0, 1e-3))
