"""Voltage lost in the cables while the drive runs."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.described import orchard
from tests.judged import check, levers, verdict, verdicts

KEY = "wiring.voltage_drop"


@pytest.mark.published(
    "IEC 60228:2004, table 3, 0.75 mm2: 26.0 ohm/km at 20 degC, 0.4 % more for each kelvin"
)
def test_the_drop_towards_the_drive_is_that_of_both_conductors_on_the_warmest_day():
    alone = orchard({"electronics.logic": None, "supplies.battery.voltage": "12 V"})
    warm = 1.0 + 0.004 * (36.0 - 20.0)
    drop = 2 * (6.0 + 1.8) * 0.026 * warm * 2.6
    found = check(alone, KEY, "drive")
    assert found.value == pytest.approx(drop / 12.0, rel=1e-9)
    assert found.limit == 0.08


def test_the_logic_on_the_same_feed_sees_the_motor_too():
    given_out = orchard({"supplies.battery.voltage": "12 V", "regulators.bridge_5v.quiescent": "5 mA"})
    feed = 2 * 6.0 * 0.026 * (1.0 + 0.004 * 16.0)
    assert check(given_out, KEY, "bridge_5v").value == pytest.approx(feed * (2.6 + 0.075) / 12.0, rel=1e-9)


def test_a_regulator_straight_on_the_battery_has_no_described_cable():
    assert set(verdicts(orchard({"regulators.bridge_5v.fed_by": "battery"}), KEY)) == {"drive"}


def test_the_lowest_voltage_of_the_battery_is_the_worst():
    found = verdict(orchard(), KEY, "drive")
    assert found.worst.value == pytest.approx(found.check.value * 12.7 / 11.8, rel=1e-2)


def test_a_shorter_or_thicker_cable_brings_it_to_its_limit():
    found = levers(orchard(), KEY, "drive")
    for cable in ("feed", "motor"):
        assert f"shorten the {cable} cable to" in found
        assert f"lower the resistance of the {cable} cable's conductors to" in found


@given(st.floats(0.5, 20.0), st.floats(1.1, 3.0))
def test_a_longer_feed_loses_more(length, factor):
    short, long = (orchard({"cables.feed.length": f"{each:.6f} m"}) for each in (length, length * factor))
    assert check(long, KEY, "drive").value > check(short, KEY, "drive").value
