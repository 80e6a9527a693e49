"""Stall current against the bridge's peak."""

import pytest

from tests.described import orchard
from tests.judged import check, levers, verdict

KEY = "wiring.bridge_stall"


@pytest.mark.published(
    "data sheet of a dual full-bridge driver, January 2000: repeated peak 3.5 A in two channels"
)
def test_the_stall_current_is_what_all_resistances_on_the_coldest_day_let_flow():
    sure = {
        "supplies.battery.voltage": "13 V",
        "electronics.bridge.offset": "1 V",
        "electronics.bridge.resistance": "1 ohm",
    }
    winding = 12.0 / 7.5 * (234.5 - 18.0) / (234.5 + 20.0)
    cables = 2 * 7.8 * 0.026 * (1.0 - 0.004 * 38.0)
    found = check(orchard(sure), KEY)
    assert found.value == pytest.approx((13.0 - 1.0) / (0.080 + cables + 0.5 + winding), rel=1e-9)
    assert found.limit == 3.5


def test_a_full_battery_and_a_cold_winding_are_the_worst():
    found = verdict(orchard(), KEY)
    voltage = next(each for each in found.influences if each.path == ("supplies", "battery", "voltage"))
    assert voltage.high < voltage.low
    summer = check(orchard({"site.air.coldest": "20 degC"}), KEY)
    assert found.check.value > summer.value


def test_another_bridge_mends_it():
    assert "another bridge" in levers(orchard(), KEY)


def test_a_second_channel_mends_a_small_drive():
    small = {
        "electronics.bridge.paralleled": 1,
        "electronics.bridge.resistance": "1.15 ohm",
        "drive.rating.current": "1.2 A",
        "drive.stall.current": "3.6 A",
    }
    assert "both channels for one motor" in levers(orchard(small), KEY)
