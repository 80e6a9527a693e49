"""How long the edge presses with more than 150 N."""

from __future__ import annotations

import math

import pytest

from hutwright.checks.verdict import Status
from tests.described import orchard
from tests.trades.guard.judged import BARE, checks, sports_field, verdict

KEY = "guard.duration"


def test_is_open_until_the_bench_where_the_force_gets_beyond_150_newtons():
    found = checks(sports_field(BARE).project, KEY)["gap_300"]
    assert math.isnan(found.value)
    assert "bench" in found.working[-1].words
    assert verdict(sports_field(BARE), KEY, "gap_300").status is Status.UNDECIDED


def test_a_self_locking_screw_is_said_to_keep_its_force():
    assert "self-locking" in checks(orchard().project, KEY)["gap_300"].working[-1].words


@pytest.mark.published("EN 12453:2017+A1:2021, annex A: 0.75 s above 150 N")
def test_no_time_at_all_where_the_force_stays_below_150_newtons():
    soft = {"kind": "soft", "stiffness": "1 N/mm", "depth": "400 mm"}
    slow = {"normal": 0.2, "last": 0.2, "last_over": "0 mm"}
    gentle = sports_field({**BARE, "door.edge": soft, "controller.speed": slow})
    found = checks(gentle.project, KEY)["gap_300"]
    assert (found.value, found.limit) == (0.0, 0.75)
    assert verdict(gentle, KEY, "gap_300").status is Status.HOLDS


def test_a_drive_that_never_trips_presses_until_its_run_time_cap():
    slow = {"normal": 0.35, "last": 0.35, "last_over": "0 mm"}
    found = checks(sports_field({**BARE, "controller.speed": slow}).project, KEY)["gap_300"]
    assert found.value == 14.0
    assert verdict(sports_field({**BARE, "controller.speed": slow}), KEY, "gap_300").status is Status.MISSES
