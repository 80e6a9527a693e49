"""Heat in a cable until the fuse opens."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.described import orchard
from tests.judged import check, checks, levers, verdict, verdicts

KEY = "wiring.fuse_energy"
GLASS = "glass 5x20 time-lag T, IEC 60127-2 sheet 3"
TYPE_E = "blade, ISO 8820-3 type E"


@pytest.mark.published("ISO 8820-3, type C: at most 5 s at 200 %; BS 7671: k = 115 A s^0.5/mm2")
def test_a_blade_fuse_lets_through_no_more_than_at_its_printed_point():
    found = check(orchard(), KEY, "main")
    assert found.value == pytest.approx(5.0 * (2 * 5.0) ** 2, rel=1e-12)
    assert found.limit == pytest.approx((115.0 * 0.75) ** 2, rel=1e-9)
    assert verdict(orchard(), KEY, "main").margin > 0.0


def test_a_short_circuit_that_may_last_longer_than_five_seconds_is_beyond_the_method():
    # 12 V behind 1 ohm and some cable: less than 200 % of 5 A, and the fuse may take longer than 5 s.
    weak = {"supplies.battery.resistance": "1 ohm", "supplies.battery.voltage": "12 V"}
    assert math.isnan(check(orchard({**weak, "cables.feed.core": "0.5 mm2 class 5"}), KEY, "main").value)


def test_no_question_arises_where_the_cables_carry_all_that_the_supply_gives():
    small = {"supplies.battery.kind": "mains power supply", "supplies.battery.rating": "5 A"}
    assert verdicts(orchard({**small, "supplies.battery.capacity": None}), KEY) == {}


def test_a_fuse_that_cannot_break_the_current_is_never_said_to_hold():
    # 13 V behind 40 mohm: 325 A, and a glass fuse is printed to break 35 A or ten times its rating.
    found = verdict(orchard({"fuses.main.kind": GLASS, "fuses.main.rating": "4 A"}), KEY, "main")
    assert math.isnan(found.check.value)
    assert found.status.value == "undecided"
    option = levers(orchard({"fuses.main.kind": GLASS, "fuses.main.rating": "4 A"}), KEY, "main")[
        "another kind of main"
    ].option
    assert option is not None
    assert option.changes["fuses", "main", "kind"] == "blade, ISO 8820-3 type C"


def test_a_rating_that_is_not_made_is_unknown():
    assert math.isnan(check(orchard({"fuses.main.rating": "45 A"}), KEY, "main").value)


def test_a_thicker_core_or_another_fuse_mends_a_slow_one():
    # Type E of 20 A at 600 %: 1 s of 120 A, 14 400 A2 s, but a short circuit here is 3 times: 7 s and more.
    slow = orchard(
        {"fuses.main.kind": TYPE_E, "fuses.main.rating": "20 A", "supplies.battery.resistance": "20 mohm"}
    )
    found = levers(slow, KEY, "main")
    assert "another kind of main" in found


def test_a_thicker_core_stands_what_a_larger_fuse_lets_through():
    # 25 A type C lets through 5 s of 50 A, 12 500 A2 s; 0.75 mm2 stands 7439, 1 mm2 stands 13 225 A2 s.
    strong = {
        "allow": None,
        "fuses.main.rating": "25 A",
        "supplies.battery.resistance": "20 mohm",
        "cables.feed.length": "2 m",
        "cables.motor.length": "1 m",
    }
    found = verdict(orchard(strong), KEY, "main")
    assert found.check.value == pytest.approx(12_500.0, rel=1e-9)
    option = levers(orchard(strong), KEY, "main")["thicker cables"].option
    assert option is not None
    assert option.changes["cables", "feed", "core"] == "1 mm2 class 5"
    assert "another rating of main" in levers(orchard(strong), KEY, "main")


@given(st.floats(6.0, 30.0))
def test_a_longer_cable_never_lowers_what_may_be_let_through(length):
    least = check(orchard(), KEY, "main").value
    found = checks(orchard({"cables.feed.length": f"{length:.6f} m"}), KEY)
    assert all(math.isnan(each.value) or each.value >= least * (1.0 - 1e-12) for each in found.values())


@pytest.mark.practice("a small fuse takes 0.05 V or more at its rating")
def test_the_resistance_of_the_fuse_itself_counts_where_the_battery_has_hardly_any():
    # 13 V behind 10 mohm is 1300 A, more than a blade fuse breaks; behind its own 10 mohm it is 650 A.
    strong = {"supplies.battery.resistance": "10 mohm", "supplies.battery.voltage": "13 V"}
    assert check(orchard(strong), KEY, "main").margin > 0.0
    assert math.isnan(check(orchard({**strong, "fuses.main.rating": "20 A"}), KEY, "main").value)
