"""Speed lost before the drive."""

import pytest

from hutwright.trades.drive import voltage_loss
from tests.described import orchard
from tests.trades.drive.judged import check, levers, pencil

KEY = "drive.voltage_loss"
SURE = {
    "supplies.battery.voltage": "12 V",
    "supplies.battery.resistance": "0.1 ohm",
    "electronics.bridge": {"kind": "single MOSFET 30 A class", "offset": "0 V", "resistance": "0.05 ohm"},
}


def test_agrees_with_a_pencil():
    # full load draws 2.6 A; the winding has 12 V * 8 mm/s / (30 * 2.6 - 22 * 0.8) mA m/s = 1.589 ohm
    winding = 12.0 * 8.0 / (30.0 * 2.6 - 22.0 * 0.8)
    copper = 2 * 7.8 * 0.026  # 0.75 mm2 class 5: 26.0 ohm/km at 20 degC, there and back
    left = 12.0 - 2.6 * (winding + 0.1 + 0.05 + copper)
    expected = 1.0 - left / (12.0 - 2.6 * winding)
    assert check(orchard(SURE), KEY).value == pytest.approx(expected, rel=1e-9)


def test_a_second_channel_halves_only_the_part_that_grows_with_current():
    steps = [
        {each.symbol: each.result.value for each in check(found, KEY).working}
        for found in (orchard({"electronics.bridge.paralleled": 1}), orchard())
    ]
    offset, resistance = 1.4, 1.15
    assert steps[0]["U_bridge"] == pytest.approx(offset + resistance * 2.6, rel=1e-9)
    assert steps[1]["U_bridge"] == pytest.approx(offset + resistance * 2.6 / 2, rel=1e-9)


def test_a_bridge_that_loses_less_mends_it():
    assert "another bridge" in levers(orchard(), KEY)


def test_so_does_a_thicker_cable_where_the_cable_is_the_trouble():
    long = {**SURE, "cables.feed.length": "15 m", "allow": None}
    found = levers(orchard(long), KEY)
    assert found["lower the resistance of the feed cable's conductors to"].needed is not None


def test_is_not_asked_where_nothing_is_known_before_the_drive():
    assert voltage_loss.ask(pencil().project) == ()
