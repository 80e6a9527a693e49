"""Running current against the bridge's."""

import pytest

from tests.described import orchard
from tests.judged import check, levers, verdict

KEY = "wiring.bridge_current"
STRONG = {"drive.rating.current": "3.4 A"}


@pytest.mark.published(
    "data sheet of a dual full-bridge driver, January 2000: 2 A for good in one channel, 3 A in two"
)
def test_two_channels_carry_what_the_data_sheet_says():
    assert check(orchard(), KEY).limit == 3.0
    assert check(orchard({"electronics.bridge.paralleled": 1}), KEY).limit == 2.0
    assert check(orchard(STRONG), KEY).value == 3.4


def test_the_second_channel_or_another_bridge_mends_it():
    one = orchard({"electronics.bridge.paralleled": 1})
    assert verdict(one, KEY).status.value == "misses"
    assert set(levers(one, KEY)) == {"both channels for one motor", "another bridge"}
    assert set(levers(orchard(STRONG), KEY)) == {"another bridge"}


def test_another_bridge_brings_its_own_values():
    option = levers(orchard({**STRONG, "electronics.bridge.current_limit": "1 A"}), KEY)[
        "another bridge"
    ].option
    assert option is not None
    assert option.changes["electronics", "bridge", "kind"] == "single MOSFET 30 A class"
    assert option.changes["electronics", "bridge", "current_limit"] is None
    assert "bridge_5v" in option.words
