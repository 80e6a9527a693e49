"""Whether the current sensor still shows the greatest current of the motor."""

from __future__ import annotations

import pytest

from hutwright.checks.verdict import Status
from tests.described import orchard
from tests.judged import check, levers, verdict, verdicts

KEY = "wiring.sensor_range"
# Copper has (234.5 + t) / (234.5 + 20) of its resistance at 20 degC: here at -18 degC.
COLD = (234.5 - 18.0) / (234.5 + 20.0)


def test_reckons_with_the_stall_current_on_the_coldest_day():
    changes = {
        "supplies.battery.voltage": "13 V",
        "supplies.battery.resistance": "0.1 ohm",
        "electronics.bridge.offset": "1 V",
        "electronics.bridge.resistance": "0.2 ohm",
    }
    # 12 V / 7.5 A of winding and 26 ohm/km over 2 x 7.8 m, both in the cold; two channels share 0.2 ohm.
    loop = 0.1 + 0.1 + (1.6 + 0.026 * 2 * 7.8) * COLD
    found = check(orchard(changes), KEY)
    assert found.value == pytest.approx(12.0 / loop, rel=0.01)  # rules for copper differ by 1 % at -18 degC
    assert found.limit == 20.0


def test_the_converter_may_end_before_the_sensor_does():
    found = check(
        orchard(
            {"electronics.board.reference": "3.0 V", "electronics.current_sensor.sensitivity": "100 mV/A"}
        ),
        KEY,
    )
    assert found.limit == pytest.approx((3.0 - 2.5) / 0.1)


def test_a_sensor_of_5_a_is_too_small_for_the_orchard():
    small = orchard({"electronics.current_sensor.kind": "Hall 5 A"})
    assert verdict(small, KEY).status is Status.UNDECIDED
    found = levers(small, KEY)
    option = found["another current sensor"].option
    assert option is not None
    assert "Hall 20 A" in option.words


def test_a_shunt_is_offered_only_where_current_flows_one_way():
    def offered(place: str) -> bool:
        found = check(orchard({"electronics.current_sensor.place": place}), KEY)
        return any(
            "shunt" in option.words for lever in found.levers for option in getattr(lever, "options", ())
        )

    assert offered("supply lead")
    assert not offered("motor lead")


def test_is_not_asked_without_a_bridge():
    assert verdicts(orchard({"electronics.bridge": None}), KEY) == {}
