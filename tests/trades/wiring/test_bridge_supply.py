"""Voltage left at the bridge while the drive runs."""

import pytest

from tests.described import orchard
from tests.judged import check, levers, verdict

KEY = "wiring.bridge_supply"
FAR = {"cables.feed.length": "75 m"}


def test_what_is_left_is_what_the_way_does_not_take():
    sure = {
        "supplies.battery.voltage": "12 V",
        "electronics.bridge.quiescent": "20 mA",
        "regulators.bridge_5v.quiescent": "5 mA",
    }
    way = 0.080 + 2 * 6.0 * 0.026 * (1.0 + 0.004 * 16.0)
    found = check(orchard(sure), KEY)
    assert found.value == pytest.approx(12.0 - way * (2.6 + 0.020 + 0.075), rel=1e-9)
    assert found.limit == 4.8


def test_an_empty_battery_is_the_worst():
    assert verdict(orchard(), KEY).worst.value < check(orchard(), KEY).value - 0.85


def test_a_shorter_or_thicker_feed_mends_it():
    found = levers(orchard(FAR), KEY)
    assert {"shorten the feed cable to", "lower the resistance of the feed cable's conductors to"} <= set(
        found
    )


def test_a_bridge_that_switches_at_less_mends_it():
    fet = {"electronics.bridge.kind": "single MOSFET 30 A class", "electronics.bridge.paralleled": 1}
    found = levers(orchard({**fet, "cables.feed.length": "40 m"}), KEY)
    assert "another bridge" in found


@pytest.mark.published(
    "data sheet of a dual full-bridge driver, January 2000: motor supply 2.5 V above the logic's 2.3 V"
)
def test_the_bridges_own_least_supply_is_the_limit():
    assert check(orchard(), KEY).limit == pytest.approx(2.3 + 2.5)
