"""From a junction to the air."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.laws.bridge_drop import saturation_drop
from hutwright.laws.junction_temperature import allowed_power, heat_sink_resistance, junction_temperature
from hutwright.laws.linear_regulator import regulator_loss

ZERO = 273.15


@pytest.mark.published(
    "data sheet of a dual full-bridge driver, January 2000: 1 A typical, 35 K/W, limit 130 degC"
)
def test_a_bare_bridge_at_1_a_stays_a_degree_below_its_limit():
    power = 1.0 * saturation_drop(1.0, 2.55, 3.7)
    assert power == pytest.approx(2.55, rel=1e-12)
    junction = junction_temperature(ZERO + 40.0, power, 35.0) - ZERO
    assert junction == pytest.approx(129.0, abs=1.0)
    assert junction < 130.0


@pytest.mark.published("data sheet of a three-terminal 1 A positive regulator family: 65 K/W, 125 degC")
def test_a_bare_regulator_at_half_an_ampere_fails_by_far():
    junction = junction_temperature(ZERO + 40.0, regulator_loss(12.0, 5.0, 0.5, 0.0), 65.0) - ZERO
    assert junction == pytest.approx(267.0, abs=1.0)
    assert junction > 125.0


@pytest.mark.published("public electronics forum thread on heat sinks: 50 K/W, 125 degC limit, 40 degC air")
def test_fifty_kelvin_a_watt_allow_the_printed_power():
    assert allowed_power(ZERO + 125.0, ZERO + 40.0, 50.0) == pytest.approx(1.7, rel=1e-9)


@pytest.mark.published("data sheet of a regulator with reset, p. 7; numbers of a public page on heat sinks")
def test_the_sink_for_five_watts_is_the_printed_one():
    sink = heat_sink_resistance(ZERO + 125.0, ZERO + 25.0, 5.0, 5.0, 1.0)
    assert sink == pytest.approx(14.0, rel=1e-9)


@given(st.floats(250.0, 330.0), st.floats(0.1, 50.0), st.floats(0.5, 5.0), st.floats(0.5, 2.5))
def test_the_sink_asked_for_brings_the_junction_to_its_limit(ambient, power, case, sink):
    wanted = heat_sink_resistance(400.0, ambient, power, case, sink)
    assert junction_temperature(ambient, power, case + sink + wanted) == pytest.approx(400.0, rel=1e-9)


@given(st.floats(250.0, 390.0), st.floats(1.0, 100.0))
def test_the_allowed_power_brings_the_junction_to_its_limit(ambient, resistance):
    power = allowed_power(400.0, ambient, resistance)
    assert junction_temperature(ambient, power, resistance) == pytest.approx(400.0, rel=1e-9)


def test_without_heat_any_sink_will_do_and_a_number_is_still_wanted():
    assert heat_sink_resistance(400.0, 300.0, 0.0, 3.0, 1.0) == math.inf
    assert math.isnan(heat_sink_resistance(400.0, 300.0, math.nan, 3.0, 1.0))
