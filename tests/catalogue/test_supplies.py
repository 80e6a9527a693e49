"""Batteries and power supplies by kind."""

import pytest

from hutwright.catalogue.supplies import SUPPLIES
from hutwright.sources import Standing


def test_all_of_it_is_said_to_be_practice():
    assert {kind.source.standing for kind in SUPPLIES.values()} == {Standing.PRACTICE}


@pytest.mark.practice("a lead-acid battery of 24 V is two of 12 V in series")
def test_twenty_four_volts_are_two_times_twelve():
    one, two = SUPPLIES["lead-acid 12 V"], SUPPLIES["lead-acid 24 V"]
    for field in ("voltage", "charging_voltage", "float_voltage", "resistance"):
        for end in ("low", "nominal", "high"):
            single, double = getattr(getattr(one, field), end), getattr(getattr(two, field), end)
            assert double == pytest.approx(2.0 * single)


@pytest.mark.practice("lithium iron phosphate must not be charged below freezing, lead may")
def test_lithium_is_not_charged_in_frost():
    lead = SUPPLIES["lead-acid 12 V"].coldest_charging
    assert SUPPLIES["LiFePO4 12 V"].coldest_charging == 273.15
    assert lead is not None
    assert lead < 273.15


def test_batteries_are_charged_above_their_rest_and_a_mains_supply_not_at_all():
    for name, kind in SUPPLIES.items():
        assert kind.name == name
        assert kind.voltage.low < kind.nominal_voltage <= kind.voltage.high
        assert 0.0 < kind.usable_share.low <= kind.usable_share.high <= 1.0
        if kind.battery:
            assert kind.charging_voltage is not None
            assert kind.float_voltage is not None
            assert kind.charging_voltage.low > kind.voltage.high
            assert kind.charging_voltage.low >= kind.float_voltage.high
            assert kind.self_discharge.low > 0.0
        else:
            assert (kind.charging_voltage, kind.float_voltage, kind.coldest_charging) == (None, None, None)
