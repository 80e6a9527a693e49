"""What a motor bridge takes."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.laws.bridge_drop import (
    drop_line,
    fet_bridge_loss,
    fet_chopping_loss,
    paralleled_drop,
    saturation_drop,
)

SHEET = "data sheet of a dual full-bridge driver, January 2000, table 'Electrical characteristics'"
volts = st.floats(0.5, 4.0)
rises = st.floats(0.0, 3.0)
amperes = st.floats(0.0, 4.0)


@pytest.mark.published(SHEET + ", 2 A, greatest")
def test_at_2_a_the_worst_bridge_takes_the_printed_voltage_and_makes_the_printed_heat():
    drop = saturation_drop(2.0, 3.2, 4.9)
    assert drop == pytest.approx(4.9, rel=1e-12)
    assert 2.0 * drop == pytest.approx(9.8, rel=1e-12)


@pytest.mark.published(SHEET + ", 1 A and 2 A, typical")
def test_goes_through_both_typical_points():
    assert saturation_drop(1.0, 1.35 + 1.2, 2.0 + 1.7) == pytest.approx(2.55, rel=1e-12)
    assert saturation_drop(2.0, 1.35 + 1.2, 2.0 + 1.7) == pytest.approx(3.7, rel=1e-12)


@pytest.mark.practice("two channels of one saturating bridge in parallel halve only the resistive drop")
def test_a_second_channel_halves_the_resistive_part_only():
    offset, resistance = drop_line(2.55, 3.7)
    alone = paralleled_drop(2.0, 1, offset, resistance)
    together = paralleled_drop(2.0, 2, offset, resistance)
    assert alone == pytest.approx(3.7, rel=1e-12)
    assert together - offset == pytest.approx(0.5 * (alone - offset), rel=1e-12)
    assert together > 0.5 * alone


@given(volts, rises, amperes)
def test_the_line_and_the_drop_are_one(at_one, rise, current):
    offset, resistance = drop_line(at_one, at_one + rise)
    assert paralleled_drop(current, 1, offset, resistance) == pytest.approx(
        saturation_drop(current, at_one, at_one + rise), abs=1e-9
    )


@given(volts, rises, amperes, st.integers(1, 4))
def test_another_channel_never_raises_the_drop(at_one, rise, current, channels):
    offset, resistance = drop_line(at_one, at_one + rise)
    fewer = paralleled_drop(current, channels, offset, resistance)
    assert paralleled_drop(current, channels + 1, offset, resistance) <= fewer + 1e-12


@given(amperes, st.floats(0.001, 0.1), st.floats(0.001, 0.1))
def test_mosfet_heat_is_that_of_both_switches_in_series(current, high, low):
    assert fet_bridge_loss(current, high, low) == pytest.approx(
        fet_bridge_loss(current, high, 0.0) + fet_bridge_loss(current, 0.0, low), abs=1e-12
    )


def test_chopping_heats_by_the_triangle_of_each_edge_pair_and_by_the_diode():
    # one edge pair of 200 ns at 12 V, 5 A: 6 uJ; 1 us of diode at 0.8 V: 4 uJ; 20 000 times a second
    assert fet_chopping_loss(12.0, 5.0, 20e3, 200e-9, 1e-6, 0.8) == pytest.approx(20e3 * 10e-6, rel=1e-12)
    assert fet_chopping_loss(12.0, 5.0, 0.0, 200e-9, 1e-6, 0.8) == 0.0
