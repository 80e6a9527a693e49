"""Temperature inside the bridge."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.described import orchard
from tests.judged import check, levers, verdict

KEY = "wiring.bridge_junction"
SURE = {
    "supplies.battery.voltage": "12 V",
    "electronics.warmest": "45 degC",
    "electronics.bridge.quiescent": "20 mA",
    "drive.rating.current": "2 A",
}


@pytest.mark.published(
    "data sheet of a dual full-bridge driver, January 2000: total drop at 2 A typically 3.7 V, 130 degC"
)
def test_a_single_channel_at_two_amperes_loses_its_printed_drop():
    found = check(
        orchard({**SURE, "electronics.bridge.paralleled": 1, "electronics.bridge.cooling": "10 K/W"}), KEY
    )
    heat = 3.7 * 2.0 + 12.0 * 0.020
    assert found.value - 273.15 == pytest.approx(45.0 + 10.0 * heat, rel=1e-9)
    assert found.limit - 273.15 == pytest.approx(130.0, abs=1e-9)


def test_two_channels_stay_cooler_than_one():
    one = check(orchard({**SURE, "electronics.bridge.paralleled": 1}), KEY)
    assert check(orchard(SURE), KEY).value < one.value


def test_a_better_heat_sink_or_another_bridge_mends_it():
    found = levers(orchard(), KEY)
    sink = found["cool the bridge, from junction to air, with no more than"]
    assert sink.needed is not None
    assert sink.needed < 14.0
    assert sink.option is not None
    assert sink.option.changes == {("electronics", "bridge", "cooling"): "7 K/W"}
    assert "another bridge" in found


def test_no_heat_sink_is_offered_that_would_have_to_cool_better_than_the_case_lets_it():
    hot = orchard(
        {"electronics.bridge.paralleled": 1, "electronics.warmest": "75 degC", "drive.rating.current": "4 A"}
    )
    assert not any("cool the bridge" in words for words in levers(hot, KEY))


@given(st.floats(3.5, 35.0), st.floats(1.0, 1.5))
def test_worse_cooling_is_hotter(cooling, factor):
    good, bad = (
        orchard({"electronics.bridge.cooling": f"{each:.6f} K/W"}) for each in (cooling, cooling * factor)
    )
    assert check(bad, KEY).value >= check(good, KEY).value


def test_barely_means_closer_than_a_sinks_own_figure_is_good_for():
    found = check(orchard(SURE), KEY)
    assert found.accuracy == pytest.approx(0.2 * (found.value - 318.15), rel=1e-9)
    assert verdict(orchard(SURE), KEY).check.value == found.value
