"""From a motor current to counts."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.laws.hall_sensor import converter_counts, current_per_count, hall_output, quantisation_noise


@pytest.mark.published(
    "worked example to the data sheet of a 5 V open-loop Hall current sensor: 5 A type at +2 A"
)
def test_two_amperes_give_the_printed_voltage():
    assert hall_output(2.0, 5.0, 0.185) == pytest.approx(2.87, rel=1e-12)


@pytest.mark.published(
    "data sheet of a 5 V open-loop Hall current sensor, sensitivities, with a 10-bit converter"
)
@pytest.mark.parametrize(("sensitivity", "milliamperes"), [(0.185, 26), (0.100, 49), (0.066, 74)])
def test_a_count_is_worth_the_printed_current(sensitivity, milliamperes):
    assert 1e3 * current_per_count(5.0, 10, sensitivity) == pytest.approx(milliamperes, abs=0.5)


@pytest.mark.published("data sheet of an 8-bit controller family, 10-bit converter at 5 V")
def test_steps_and_their_noise_are_the_printed_ones():
    step = 5.0 / 1024
    assert 1e3 * step == pytest.approx(4.88, abs=0.005)
    assert 1e3 * quantisation_noise(step) == pytest.approx(1.41, abs=0.005)


def test_rounding_a_spread_signal_makes_that_noise():
    rng = np.random.default_rng(7)
    values = rng.uniform(0.0, 100.0, 40_000)
    noise = np.std(values - np.floor(values))
    # n = 40 000; the standard error of a uniform error's deviation is 0.2887 sqrt(0.8 / 4n) = 6.5e-4
    assert noise == pytest.approx(quantisation_noise(1.0), abs=3 * 6.5e-4)


@given(st.floats(-40.0, 40.0), st.floats(4.5, 5.5), st.floats(0.05, 0.2))
def test_zero_and_gain_follow_the_supply_and_the_output_never_leaves_it(current, supply, sensitivity):
    output = hall_output(current, supply, sensitivity)
    assert 0.0 <= output <= supply
    assert output / supply == pytest.approx(hall_output(current, 5.0, sensitivity) / 5.0, abs=1e-12)


@given(st.integers(0, 1023))
def test_the_middle_of_each_step_reads_as_that_step(count):
    assert converter_counts((count + 0.5) * 5.0 / 1024, 5.0) == count


def test_the_converter_stops_at_its_ends_and_refuses_what_is_not_a_number():
    assert converter_counts(-1.0, 5.0) == 0
    assert converter_counts(6.0, 5.0) == 1023
    assert converter_counts(5.0 * (1.0 - 1e-17), 5.0) == 1023
    with pytest.raises(ValueError, match="NaN"):
        converter_counts(math.nan, 5.0)
