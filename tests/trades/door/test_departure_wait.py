"""The one number to set, by a race run in the test, and with the number set."""

from __future__ import annotations

import math

import numpy as np
import pytest

from hutwright.checks.verdict import Status
from hutwright.layout.lane import clearance_over_time
from hutwright.plant.conditions import coldest_worst
from hutwright.plant.motion import move
from tests.trades.door.judged import calm, check, checks, field, levers, verdict

KEY = "door.departure_wait"
SET = {"controller.wait": "60 s"}


@pytest.mark.parametrize("described", [calm(SET), field()], ids=["top_hinged", "sliding"])
def test_started_so_late_the_machine_keeps_its_distance_and_no_sooner(described):
    project = described.project
    found = check(described, KEY)
    needed, keeps = found.limit, found.working[0].result.value
    motion = move(project, coldest_worst(project, opening=True), opening=True)
    times = np.linspace(0.0, needed + 8.0, 4000)

    def least(start: float) -> float:
        travel = motion.travel_at(times)
        speed = project.machine.motion.speed
        return float(clearance_over_time(project, times, travel, start=start, speed=speed).min())

    # The table of meetings is read between its lines; they lie within 2 mm of the exact distance.
    assert least(needed) == pytest.approx(keeps, abs=2e-3)
    assert least(needed - 1.0) < keeps - 5e-3


def test_a_wait_that_is_too_short_misses_and_the_number_is_named():
    hasty = calm({"controller.wait": "1 s"})
    assert verdict(hasty, KEY).status is Status.MISSES
    lever = levers(hasty, KEY)["send the machine out no sooner after the door starts to open than"]
    assert lever.needed is not None
    assert lever.needed == pytest.approx(verdict(hasty, KEY).worst.limit, rel=1e-6)
    assert lever.option is not None
    assert lever.option.changes[("controller", "wait")] == f"{math.ceil(lever.needed)} s"


def test_no_wait_is_long_enough_past_a_leaf_that_hangs_in_the_way():
    hanging = verdict(calm({**SET, "door.open_angle": "30 deg"}), KEY)
    assert hanging.status is Status.MISSES
    assert math.isinf(hanging.worst.limit)
    assert "hangs in the machine's way" in hanging.check.working[1].words


def test_no_wait_is_long_enough_for_a_drive_that_stalls():
    heavy = verdict(calm({**SET, "door.leaf.mass": "40 kg"}), KEY)
    assert heavy.status is Status.MISSES
    assert math.isinf(heavy.check.limit)


def test_a_slower_machine_may_start_sooner():
    slow = check(calm({**SET, "machine.motion.speed": "0.1 m/s"}), KEY)
    assert slow.limit < check(calm(SET), KEY).limit


def test_does_not_arise_without_a_machine():
    assert checks(calm({"machine": None, "dock": None, "roof_antenna": None}), KEY) == {}
