"""How long the edge presses with more than 150 N."""

from __future__ import annotations

from math import isnan

import pytest

from hutwright.bench.contact import at_gap, contact_scenarios, contact_settings, contacts
from hutwright.bench.plant import sim_door
from hutwright.checks.verdict import Status
from hutwright.laws.force_trace import time_above
from hutwright.model.paths import replaced
from hutwright.native import engine
from hutwright.plant.conditions import coldest_calm, nominal, warmest_calm
from tests.described import orchard
from tests.layout.doors import plain
from tests.trades.guard.judged import (
    BARE,
    check,
    checks,
    levers,
    pencil,
    pencil_forces,
    sports_field,
    verdict,
)

KEY = "guard.duration"
INSTRUMENT = 500e3  # EN 12453, annex C [N/m]
GAPS = ((0.05, "gap_50"), (0.3, "gap_300"), (0.5, "gap_500"))
DEMOS = [orchard().project, sports_field().project]
ROW = 1e-3  # between two forces of a trace [s]
DIPS = 0.10  # of the time, that dips may take: three periods of a leaf of 6 kg on 500 N/mm, half of each
SLOW = {"normal": 0.35, "last": 0.35, "last_over": "0 mm"}


@pytest.mark.published("EN 12453:2017+A1:2021, annex A: 0.75 s above 150 N")
def test_is_the_time_that_the_trace_of_the_same_contact_has_above_150_newtons():
    project = sports_field(BARE).project  # one temperature, so that there is one weather
    found = check(project, KEY, "gap_300")
    spot = at_gap(project, 0.3, obstacle=INSTRUMENT)
    assert spot is not None
    scenes = contact_scenarios(project, nominal(project), (spot,), followed=True)
    door = sim_door(project, nominal(project), sensed=False)
    rows = engine.run(door, contact_settings(project), scenes).rows
    assert found.limit == 0.75
    whole = time_above(rows["time"], rows["force_seen"], 150.0)
    # that counts through where a bouncing leaf lets the force dip below, here at the touch
    assert (1.0 - DIPS) * whole < found.value <= whole + ROW


def test_is_no_shorter_than_the_edge_takes_to_get_from_150_newtons_to_the_peak():
    found = check(sports_field(BARE).project, KEY, "gap_300")
    results = {step.symbol: step.result.value for step in found.working}
    rate = pencil()["speed"] * pencil_forces(INSTRUMENT)["series"]
    assert found.value > (results["F_peak"] - 150.0) / rate


@pytest.mark.parametrize("project", DEMOS, ids=["orchard", "sports"])
def test_hardly_longer_in_any_other_weather(project):
    for gap, subject in GAPS:
        spot = at_gap(project, gap, obstacle=INSTRUMENT)
        assert spot is not None
        for weather in (nominal, coldest_calm, warmest_calm):
            (met,) = contacts(project, weather(project), (spot,), followed=True)
            assert met.above_150 <= 1.05 * check(project, KEY, subject).value


@pytest.mark.published("EN 12453:2017+A1:2021, annex A: 0.75 s above 150 N")
def test_no_time_at_all_where_the_force_stays_below_150_newtons():
    soft = {"kind": "soft", "stiffness": "1 N/mm", "depth": "400 mm"}
    slow = {"normal": 0.2, "last": 0.2, "last_over": "0 mm"}
    gentle = sports_field({**BARE, "door.edge": soft, "controller.speed": slow})
    found = checks(gentle.project, KEY)["gap_300"]
    assert (found.value, found.limit) == (0.0, 0.75)
    assert verdict(gentle, KEY, "gap_300").status is Status.HOLDS


def test_a_drive_that_never_trips_presses_until_its_run_time_cap():
    found = checks(sports_field({**BARE, "controller.speed": SLOW}).project, KEY)["gap_300"]
    assert found.value == 14.0
    assert "never acts" in found.working[-1].words
    assert verdict(sports_field({**BARE, "controller.speed": SLOW}), KEY, "gap_300").status is Status.MISSES


def test_a_self_locking_screw_is_said_to_keep_its_force_after_that():
    worst = verdict(orchard(), KEY, "gap_50").worst
    assert worst.value == 16.0
    assert "self-locking" in worst.working[-1].words


def test_a_lower_trip_ends_what_never_tripped():
    assert "an earlier trip" in levers(sports_field(), KEY, "gap_50")


def test_what_the_controller_s_code_refuses_leaves_the_time_open():
    found = check(replaced(plain(), {("controller", "detection", "trip"): 50.0}), KEY, "gap_300")
    assert isnan(found.value)
    assert "controller.detection.trip" in found.working[-1].words
