"""Room between running and what counts as an obstacle."""

import pytest

from hutwright.checks.verdict import Status
from tests.described import orchard
from tests.trades.drive.judged import check, field, levers, verdicts

KEY = "drive.trip_room"


def test_holds_the_same_current_against_the_trip():
    found = check(orchard(), KEY)
    assert found.value == check(orchard(), "drive.current").value
    assert found.limit == pytest.approx(3.2, rel=1e-12)


def test_a_door_that_turns_back_in_a_cold_gust_is_found_and_the_trip_that_avoids_it():
    found = levers(orchard(), KEY)
    trip = found["set the current that means an obstacle to"]
    assert trip.needed == pytest.approx(verdicts(orchard(), KEY)[""].high, rel=1e-6)


def test_a_trip_well_above_running_holds():
    assert verdicts(field(), KEY)[""].status is Status.HOLDS
