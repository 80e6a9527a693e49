"""A machine that starts unasked: it touches the shut door, and races the opening one."""

from __future__ import annotations

import math

import numpy as np
import pytest

from hutwright.checks.verdict import Status
from hutwright.layout.lane import closest_approach
from hutwright.plant.conditions import coldest_worst
from hutwright.plant.motion import move
from tests.trades.door.judged import calm, check, checks, field, levers, verdict

KEY = "door.departure"


def test_a_machine_of_its_own_timetable_touches_the_shut_door():
    found = verdict(calm(), KEY, "shut")
    assert found.status is Status.MISSES
    assert found.check.value == 0.0
    assert found.check.working[0].result.value == pytest.approx((0.62 - 0.36) / 0.45)
    assert "a machine that asks first" in levers(calm(), KEY, "shut")


@pytest.mark.parametrize("pace", ["0.45 m/s", "0.05 m/s", "0.02 m/s"])
def test_agrees_with_a_race_run_step_by_step(pace):
    described = calm({"machine.motion.speed": pace})
    project = described.project
    motion = move(project, coldest_worst(project, opening=True), opening=True)
    assert project.machine is not None
    speed = project.machine.motion.speed
    times = np.linspace(0.0, 2.0 / speed, 8000)
    exact = closest_approach(project, times, motion.travel_at(times), start=0.0, speed=speed)
    # The machine's way is followed in 81 stretches of 23 mm; nearer than half of one it cannot tell.
    assert check(described, KEY, "opening").value == pytest.approx(exact.distance, abs=0.012)


def test_a_slow_machine_clears_a_door_that_opens_as_it_starts():
    assert verdict(calm({"machine.motion.speed": "0.01 m/s"}), KEY, "opening").margin > 0.0


def test_the_race_is_unknown_where_there_is_no_whole_move():
    found = verdict(calm({"drive.length.stroke": "200 mm"}), KEY, "opening")
    assert found.status is Status.UNDECIDED
    assert math.isnan(found.check.value)


def test_does_not_arise_for_a_machine_that_is_sent():
    assert checks(field(), KEY) == {}
