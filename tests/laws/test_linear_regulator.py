"""Linear and switching regulators."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.laws.linear_regulator import (
    lowest_input,
    regulator_loss,
    regulator_output,
    switching_input_current,
)


@pytest.mark.published("data sheet of a regulator with reset, p. 7, with 12 V, 5 V and 0.5 A")
def test_twelve_to_five_volts_at_half_an_ampere_heats_by_the_printed_power():
    assert regulator_loss(12.0, 5.0, 0.5, 0.0) == pytest.approx(3.5, rel=1e-12)


@pytest.mark.practice("a 9 V linear regulator works from a 13 V battery and drops out near 11 V")
def test_nine_volts_hold_from_thirteen_and_are_lost_below_eleven():
    assert regulator_output(13.0, 9.0, 2.0) == 9.0
    assert lowest_input(9.0, 2.0) == 11.0
    assert regulator_output(11.0, 9.0, 2.0) == 9.0
    assert regulator_output(10.9, 9.0, 2.0) < 9.0


@pytest.mark.published(
    "data sheet of an 8-bit controller family, table 'Brown-out detection', with 2 V dropout"
)
def test_the_worst_controller_resets_below_six_and_a_half_volts_at_the_regulator():
    assert lowest_input(4.5, 2.0) == pytest.approx(6.5, rel=1e-12)


@given(st.floats(0.0, 40.0), st.floats(1.0, 24.0), st.floats(0.0, 3.0), st.floats(0.0, 5.0))
def test_output_never_falls_as_the_input_rises_and_never_leaves_its_bounds(volts, output, dropout, rise):
    before = regulator_output(volts, output, dropout)
    assert 0.0 <= before <= regulator_output(volts + rise, output, dropout) <= output


@given(st.floats(1.0, 24.0), st.floats(0.0, 3.0))
def test_the_lowest_input_just_regulates(output, dropout):
    assert regulator_output(lowest_input(output, dropout), output, dropout) == pytest.approx(
        output, rel=1e-12
    )


@given(st.floats(6.0, 30.0), st.floats(0.0, 1.0), st.floats(0.0, 0.01))
def test_heat_is_what_goes_in_less_what_comes_out(volts, load, quiescent):
    heat = regulator_loss(volts, 5.0, load, quiescent)
    assert heat == pytest.approx(volts * (load + quiescent) - 5.0 * load, abs=1e-9)


@given(st.floats(7.0, 30.0), st.floats(0.01, 3.0), st.floats(0.5, 1.0))
def test_a_switching_one_takes_the_power_that_it_gives_and_its_loss(volts, load, efficiency):
    current = switching_input_current(5.0, load, volts, efficiency)
    assert current * volts * efficiency == pytest.approx(5.0 * load, rel=1e-9)


def test_an_unknown_input_gives_an_unknown_output():
    assert math.isnan(regulator_output(math.nan, 5.0, 2.0))
    assert math.isnan(regulator_output(6.0, 5.0, math.nan))
