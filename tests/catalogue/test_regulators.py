"""Voltage regulators by kind."""

import pytest

from hutwright.catalogue.regulators import REGULATORS, RegulatorType
from hutwright.laws.junction_temperature import junction_temperature
from hutwright.laws.linear_regulator import lowest_input, regulator_loss, regulator_output

LINEAR = [kind for kind in REGULATORS.values() if kind.type is RegulatorType.LINEAR]


@pytest.mark.published(
    "data sheets of three-terminal positive regulator families, 1 A and 0.5 A (January 2004)"
)
def test_linear_ones_have_the_printed_thermal_data_and_capacitors():
    one, half = REGULATORS["linear 5 V 1 A"], REGULATORS["linear 5 V 0.5 A"]
    assert (one.junction_case, one.junction_ambient) == (5.0, 65.0)
    assert (half.junction_case, half.junction_ambient) == (3.0, 50.0)
    assert one.junction_limit - 273.15 == pytest.approx(125.0)
    assert half.junction_limit - 273.15 == pytest.approx(150.0)
    for kind in LINEAR:
        assert kind.dropout.nominal == 2.0
        assert kind.highest_input == 35.0
        assert (kind.input_capacitor, kind.output_capacitor) == (0.33e-6, 0.1e-6)


@pytest.mark.published(
    "data sheet of a three-terminal 1 A positive regulator family: 12 V in, 0.5 A, 40 degC air"
)
def test_a_bare_1_a_regulator_fails_at_half_an_ampere():
    kind = REGULATORS["linear 5 V 1 A"]
    power = regulator_loss(12.0, kind.output.nominal, 0.5, 0.0)
    assert junction_temperature(313.15, power, kind.junction_ambient) > kind.junction_limit + 100.0


@pytest.mark.practice("a 9 V linear regulator works from a 13 V battery and drops out near 11 V")
def test_the_nine_volt_regulator_works_from_a_full_battery_and_not_from_a_sagging_one():
    kind = REGULATORS["linear 9 V 1 A"]
    assert regulator_output(13.0, 9.0, kind.dropout.high) == 9.0
    assert lowest_input(9.0, kind.dropout.nominal) == pytest.approx(11.0)
    assert regulator_output(10.5, 9.0, kind.dropout.low) < 9.0


@pytest.mark.practice("a switching regulator makes a fraction of the heat of a linear one from 12 V to 5 V")
def test_a_switching_one_stays_cooler():
    switching = REGULATORS["switching 5 V 3 A"]
    loss = 5.0 * 0.5 * (1.0 / switching.efficiency.low - 1.0)
    assert loss < 0.25 * regulator_loss(12.0, 5.0, 0.5, 0.0)


def test_each_row_knows_its_name_and_can_work_within_its_bounds():
    for name, kind in REGULATORS.items():
        assert kind.name == name
        assert kind.output.high + kind.dropout.high < kind.highest_input
        assert 0.0 < kind.efficiency.low <= kind.efficiency.high <= 1.0
