"""The force at which the leaf is turned back."""

from __future__ import annotations

import pytest

from hutwright import units
from hutwright.checks.lever import Pick
from hutwright.sources import Standing
from tests.layout.doors import plain
from tests.trades.guard.judged import BARE, check, levers, pencil, pencil_forces, quickly, sports_field

KEY = "guard.reversal_force"
# Slow leaf, low trip: the force comes near the limit, where the trip can be turned.
GENTLE = {
    **BARE,
    "controller.speed": {"normal": 0.3, "last": 0.3, "last_over": "0 mm"},
    "controller.detection": {
        "trip": "1.7 A",
        "after": "10 ms",
        "filter": "5 ms",
        "blind_after_start": "0.3 s",
    },
    "drive.rating.current": "1.0 A",
    "drive.rating.force": "45 N",
    "drive.rating.speed": "130 mm/s",
    "linkage.mount_stiffness": "20 N/mm",
}


@pytest.mark.published("49 CFR 571.118, S5: 100 N for obstacles of 4 to 200 mm")
def test_is_held_to_the_rule_for_windows_that_close_by_themselves():
    found = check(plain(), KEY)
    assert found.limit == 100.0
    assert found.limit_from.standing is Standing.READ


def test_the_closed_form_agrees_with_a_pencil():
    found = quickly(sports_field(BARE).project, KEY)[""]
    forces = pencil_forces(75e3)
    results = {step.symbol: step.result.value for step in found.working}
    assert results["F_trip"] == pytest.approx(forces["trip"], rel=1e-9)
    assert found.value == pytest.approx(forces["driven"], rel=1e-9)


def test_lies_between_what_the_current_must_rise_to_and_the_peak():
    """The current gets to the trip only once the edge presses for it; the force after that is the peak."""
    project = sports_field(BARE).project
    found = check(project, KEY).value
    assert pencil_forces(75e3)["above"] < found <= check(project, "guard.peak_force_body").value


def test_a_controller_that_waits_longer_turns_back_at_a_greater_force():
    """By no more than the edge at its full speed adds in that time, and a leaf that bounces on top of it."""

    def force(after: str) -> float:
        seen = {"trip": "1.7 A", "after": after, "filter": "5 ms", "blind_after_start": "0.3 s"}
        return check(sports_field({**BARE, "controller.detection": seen}).project, KEY).value

    forces = pencil_forces(75e3)
    most = pencil()["speed"] * forces["series"] * 0.030 + 2.0 * forces["impact"]
    assert force("10 ms") < force("20 ms") < force("40 ms") < force("10 ms") + most


def test_an_earlier_trip_is_offered_that_holds():
    option = levers(sports_field(GENTLE), KEY)["an earlier trip"].option
    assert option is not None
    assert ("controller", "detection", "trip") in option.changes


def test_no_trip_below_the_full_load_of_the_listing_is_offered():
    lever = next(each for each in check(sports_field(), KEY).levers if each.words == "an earlier trip")
    assert isinstance(lever, Pick)
    trips = [
        units.read(str(option.changes["controller", "detection", "trip"]), units.CURRENT).nominal
        for option in lever.options
    ]
    assert trips == sorted(trips, reverse=True)
    assert all(2.2 <= each < 3.4 for each in trips)


def test_says_where_the_drive_stands_before_its_current_reaches_the_trip():
    slow = {**BARE, "controller.speed": {"normal": 0.2, "last": 0.2, "last_over": "0 mm"}}
    found = check(sports_field(slow).project, KEY)
    assert any("never reaches the trip" in step.words for step in found.working)
    assert "never acts" in found.working[-1].words
