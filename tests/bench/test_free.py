"""Free moves under the controller."""

from __future__ import annotations

from dataclasses import replace
from math import isnan

import pytest

from hutwright.bench.free import free_move
from hutwright.native.words import Fault, Mode, Why
from hutwright.plant.conditions import coldest_calm, nominal, warmest_calm
from hutwright.plant.motion import move
from hutwright.plant.travel import travel
from tests.bench.doors import full_speed, lift
from tests.layout.doors import plain
from tests.plant.doors import CALM, demo, sliding

# What a move under the controller takes longer than the plant says: dead time and zeroing, the soft start,
# and with switches inside the drive the time without current by which they are told. [s]
MORE = 1.0
SOUND = [
    ("orchard", None),
    ("orchard", "second_draft"),
    ("orchard", "own_feed"),
    ("sports_field", None),
    ("sports_field", "thick_cable"),
]


@pytest.mark.parametrize(("name", "variant"), SOUND)
@pytest.mark.parametrize("opening", [True, False])
@pytest.mark.parametrize("weather", [nominal, warmest_calm])
def test_a_free_leaf_arrives_without_a_needless_reversal(name, variant, opening, weather):
    project = demo(name, variant)
    found = free_move(project, weather(project), opening=opening)
    assert found.arrived, found
    assert found.mode is (Mode.OPEN if opening else Mode.SHUT)
    assert (found.why, found.fault, found.trips) == (Why.LIMIT, Fault.WELL, 0)
    full = travel(project).full
    assert found.place == pytest.approx(full if opening else 0.0, abs=0.02 * full)


@pytest.mark.parametrize("project", [plain, sliding], ids=["hinged", "sliding"])
@pytest.mark.parametrize("opening", [True, False])
def test_a_move_takes_as_long_as_the_plant_says_and_what_the_controller_adds(project, opening):
    project = full_speed(project())
    found = free_move(project, CALM, opening=opening, sensed=False)
    steady = move(project, CALM, opening=opening).total
    assert 0.97 * steady < found.time < 1.03 * steady + MORE


def test_noise_changes_a_move_by_milliseconds_only():
    times = [free_move(plain(), CALM, opening=True, seed=seed).time for seed in (1, 2, 3)]
    clean = free_move(plain(), CALM, opening=True, sensed=False).time
    assert max(abs(time - clean) for time in times) < 0.05


def test_the_peak_is_more_than_the_running_current_and_less_than_the_stall():
    found = free_move(plain(), CALM, opening=True)
    running = move(plain(), CALM, opening=True).current.max()
    assert running < found.peak_current < 4.3
    assert 11.0 < found.least_voltage < 12.7


def test_a_drive_that_is_too_slow_for_its_cap_is_ended_by_it():
    found = free_move(demo("orchard", "strong_drive"), CALM, opening=True)
    assert isnan(found.time)
    assert not found.arrived
    assert (found.mode, found.fault) == (Mode.FAULT, Fault.RUN_TOO_LONG)


def test_a_trip_below_the_running_current_reverses_for_nothing():
    project = plain()
    assert project.controller is not None
    detection = replace(project.controller.detection, trip=1.0)
    hasty = replace(project, controller=replace(project.controller, detection=detection))
    found = free_move(hasty, CALM, opening=False)
    assert found.trips > 0
    assert not found.arrived


def test_the_cold_takes_longer():
    project = demo("sports_field")
    warm, cold = (free_move(project, each(project), opening=True) for each in (nominal, coldest_calm))
    assert cold.time > warm.time


def test_a_lift_door_goes_up_and_down():
    project = lift()
    assert project.controller is not None
    caps = replace(project.controller.longest_run, opening=40.0, closing=40.0)
    patient = replace(project, controller=replace(project.controller, longest_run=caps))
    for opening in (True, False):
        assert free_move(patient, CALM, opening=opening).arrived
