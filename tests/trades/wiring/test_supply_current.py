"""Current asked of a power supply."""

import pytest

from tests.described import orchard
from tests.judged import check, checks, levers, verdict

KEY = "wiring.supply_current"
MAINS = {
    "supplies.battery.kind": "mains power supply",
    "supplies.battery.capacity": None,
    "supplies.battery.rating": "3 A",
}


def test_a_battery_is_not_asked():
    assert checks(orchard(), KEY) == {}


def test_the_start_of_the_motor_counts_with_all_that_runs_beside_it():
    sure = {
        **MAINS,
        "supplies.battery.voltage": "12 V",
        "electronics.bridge.offset": "1 V",
        "electronics.bridge.resistance": "1 ohm",
        "electronics.bridge.quiescent": "20 mA",
        "regulators.bridge_5v.quiescent": "5 mA",
    }
    winding = 12.0 / 7.5 * (234.5 - 18.0) / (234.5 + 20.0)
    cables = 2 * 7.8 * 0.026 * (1.0 - 0.004 * 38.0)
    start = (12.0 - 1.0) / (0.080 + cables + 0.5 + winding)
    found = check(orchard(sure), KEY, "battery")
    assert found.value == pytest.approx(start + 0.020 + 0.075, rel=1e-9)
    assert found.limit == 3.0


def test_the_next_power_supply_on_sale_mends_it():
    found = levers(orchard(MAINS), KEY, "battery")
    larger = found["take a power supply as battery that gives for ever"]
    assert larger.needed == pytest.approx(verdict(orchard(MAINS), KEY, "battery").worst.value, rel=1e-6)
    assert larger.option is not None
    assert larger.option.changes == {("supplies", "battery", "rating"): "8 A"}


def test_a_supply_of_the_logic_alone_is_asked_for_the_logic_alone():
    apart = {
        "supplies.plug.kind": "mains power supply",
        "supplies.plug.rating": "1 A",
        "regulators.bridge_5v.fed_by": "plug",
        "regulators.bridge_5v.quiescent": "5 mA",
    }
    assert check(orchard(apart), KEY, "plug").value == pytest.approx(0.075, rel=1e-9)
