"""Fuses against what their cables carry."""

import math

import pytest

from hutwright.sources import Standing
from tests.described import orchard
from tests.judged import check, levers, verdicts

KEY = "wiring.fuse_cable"
THIN = {"cables.motor.core": "0.5 mm2 class 5"}
POWER_SUPPLY = {"supplies.battery.kind": "mains power supply", "supplies.battery.capacity": None}
GLASS = "glass 5x20 time-lag T, IEC 60127-2 sheet 3"


@pytest.mark.published("DIN VDE 0298-4:2023-06, table 11: 12 A for 0.75 mm2 multicore at 30 degC")
def test_a_cable_carries_less_on_the_warmest_day():
    found = check(orchard(), KEY, "main")
    assert found.limit == pytest.approx(12.0 * math.sqrt((70.0 - 36.0) / (70.0 - 30.0)), rel=1e-9)
    assert found.value == 5.0


@pytest.mark.recalled("every text on wiring rules gives 1.45 as the factor between the two currents")
def test_a_glass_fuse_that_opens_late_asks_for_a_stouter_cable():
    found = check(orchard({"fuses.main.kind": GLASS}), KEY, "main")
    assert found.value == pytest.approx(5.0 * 2.1 / 1.45, rel=1e-9)
    assert found.limit_from.standing is Standing.RECALLED


def test_the_weakest_cable_up_to_the_next_fuse_counts():
    limit = 3.0 * math.sqrt(34.0 / 40.0)
    assert check(orchard(THIN), KEY, "main").limit == pytest.approx(limit, rel=1e-9)
    second = {
        "fuses.lead.kind": "blade, ISO 8820-3 type C",
        "fuses.lead.rating": "2 A",
        "cables.motor.fuse": "lead",
    }
    own = orchard({**THIN, **second})
    assert check(own, KEY, "main").limit == pytest.approx(12.0 * math.sqrt(34.0 / 40.0), rel=1e-9)
    assert check(own, KEY, "lead").limit == pytest.approx(limit, rel=1e-9)


def test_a_smaller_fuse_or_a_stouter_cable_mends_it():
    found = levers(orchard({"fuses.main.rating": "15 A"}), KEY, "main")
    smaller = found["put main in with a rating of"]
    assert smaller.needed == pytest.approx(12.0 * math.sqrt(34.0 / 40.0), rel=1e-6)
    assert smaller.option is not None
    assert smaller.option.changes == {("fuses", "main", "rating"): "10 A"}
    assert "thicker cables" in found


def test_one_stouter_cable_is_enough_where_only_one_is_weak():
    found = levers(orchard(THIN), KEY, "main")
    lay = found["lay a motor cable that carries for ever, at 30 °C,"]
    assert lay.option is not None
    assert lay.option.changes["cables", "motor", "core"] == "0.75 mm2 class 5"


def test_no_fuse_is_offered_that_could_not_carry_the_drive():
    # 2.6 A and the logic through a blade fuse that carries 75 % of its rating for good: above 3.5 A.
    assert "put main in with a rating of" not in levers(orchard(THIN), KEY, "main")


def test_a_cable_without_a_fuse_is_held_against_all_that_the_battery_can_push():
    bare = orchard(
        {
            "cables.feed.fuse": None,
            "supplies.battery.voltage": "13 V",
            "supplies.battery.resistance": "50 mohm",
        }
    )
    found = check(bare, KEY, "feed")
    cold = 2 * 6.0 * 0.026 * (1.0 + 0.004 * (-18.0 - 20.0))
    assert found.value == pytest.approx(13.0 / (0.050 + cold), rel=1e-9)
    assert found.limit == pytest.approx(12.0 * math.sqrt(34.0 / 40.0), rel=1e-9)
    assert "without a fuse" in found.meaning


def test_a_fuse_at_its_start_mends_a_cable_without_one():
    bare = orchard({"cables.feed.fuse": None})
    option = levers(bare, KEY, "feed")["a fuse at its start"].option
    assert option is not None
    assert option.changes["cables", "feed", "fuse"] == "feed_fuse"
    assert option.changes["fuses", "feed_fuse", "rating"] == "4 A"


def test_a_cable_and_a_fuse_of_one_name_are_told_apart():
    same = {
        "cables.main": {"from": "battery", "to": "own", "core": "0.75 mm2 class 5", "length": "1 m"},
        "regulators.own.kind": "linear 5 V 0.5 A",
    }
    assert set(verdicts(orchard(same), KEY)) == {"main", "main_cable"}


@pytest.mark.practice("a power supply gives up to 1.5 times its rating before it limits or shuts down")
def test_a_small_power_supply_needs_no_fuse_before_a_cable_that_carries_all_it_gives():
    small = orchard({**POWER_SUPPLY, "supplies.battery.rating": "5 A", "cables.feed.fuse": None})
    found = check(small, KEY, "feed")
    assert found.value == 7.5
    assert found.margin > 0.0
