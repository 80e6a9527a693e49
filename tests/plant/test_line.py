"""The described drive behind its real supply: which numbers it is made of, and what cold does to it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.plant.circuit import motor_loop
from hutwright.plant.conditions import Conditions, coldest_calm, nominal, warmest_calm
from hutwright.plant.motor import (
    current_under,
    drive_constants,
    friction_factor,
    line,
    speed_under,
    stall_force,
)
from tests.layout.doors import plain
from tests.plant.doors import CALM, demo, sliding

FAMILY = (None, "quick_drive", "strong_drive")


def bare(project):
    """The drive on its rated voltage, without cables and bridge."""
    return replace(project, electronics=None)


def with_drive(project, **fields):
    return replace(project, drive=replace(project.drive, **fields))


def test_on_its_rated_voltage_the_drive_does_what_its_listing_says():
    project = bare(plain())
    drive = project.drive
    assert drive is not None
    forces = np.array([0.0, drive.rating.force])
    np.testing.assert_allclose(speed_under(project, forces, CALM), [0.030, 0.022], rtol=1e-9)
    np.testing.assert_allclose(current_under(project, forces, CALM), [0.8, 2.6], rtol=1e-9)


def test_a_measured_resistance_counts_more_than_the_listing_s():
    project = plain()
    assert project.drive is not None
    measured = with_drive(project, motor=replace(project.drive.motor, resistance=2.0))
    assert drive_constants(measured).resistance == 2.0
    assert drive_constants(measured).constant == pytest.approx((12.0 - 2.0 * 0.8) / 0.030)
    assert drive_constants(measured).force_constant == drive_constants(project).force_constant


def test_where_the_two_points_make_no_line_the_stall_does():
    project = plain()
    assert project.drive is not None
    level = with_drive(project, no_load=replace(project.drive.no_load, speed=0.022))
    assert drive_constants(level).resistance == pytest.approx(12.0 / 7.5)


def test_what_stands_before_the_drive_comes_from_the_circuit():
    project = plain()
    loop = motor_loop(project, 293.15)
    assert loop is not None
    found = line(project, CALM)
    assert found.series_resistance == pytest.approx(loop.total - loop.winding)
    assert found.voltage == pytest.approx(loop.voltage - loop.offset)
    assert line(bare(project), CALM).voltage == 12.0
    assert line(bare(project), CALM).series_resistance == 0.0
    assert found.free_speed < line(bare(project), CALM).free_speed


@given(st.floats(0.0, 1500.0), st.floats(0.3, 1.0))
def test_the_drive_moves_up_to_its_stall_force_and_not_beyond(force, duty):
    project = plain()
    stall = stall_force(project, CALM, duty=duty)
    speed = float(speed_under(project, force, CALM, duty=duty))
    assert (speed > 0.0) == (force < stall)
    assert (
        float(current_under(project, force, CALM, duty=duty)) <= line(project, CALM, duty=duty).stall_current
    )


def test_held_fast_it_draws_its_stall_current():
    found = line(plain(), CALM)
    assert float(found.current(np.inf)) == found.stall_current
    assert float(found.current(found.stall_force)) == pytest.approx(found.stall_current)


def test_friction_grows_from_20_degrees_down_to_the_coldest_day():
    project = plain()
    assert project.drive is not None
    assert friction_factor(project, 293.15) == friction_factor(project, 310.0) == 1.0
    assert friction_factor(project, project.site.air.coldest) == pytest.approx(project.drive.cold_friction)
    middle = (293.15 + project.site.air.coldest) / 2
    assert friction_factor(project, middle) == pytest.approx((1.0 + project.drive.cold_friction) / 2)


def test_in_the_cold_the_free_drive_is_slower_and_draws_more():
    project = plain()
    cold, mild, warm = (line(project, of(project)) for of in (coldest_calm, nominal, warmest_calm))
    assert cold.free_speed < mild.free_speed
    assert float(cold.current(0.0)) > float(mild.current(0.0))
    assert float(warm.current(0.0)) == pytest.approx(float(mild.current(0.0)), rel=0.05)


@given(st.floats(220.0, 340.0))
def test_no_temperature_makes_a_drive_of_negative_force(kelvin):
    assert stall_force(plain(), Conditions(kelvin)) >= 0.0


@pytest.mark.practice("speed times force is roughly constant within a family of drives")
def test_the_drives_of_a_family_are_equally_strong_where_they_are_strongest():
    powers = []
    for variant in FAMILY:
        project = demo("orchard", variant)
        forces = np.linspace(0.0, stall_force(project, CALM), 400)
        powers.append(float((forces * speed_under(project, forces, CALM)).max()))
    assert max(powers) / min(powers) < 1.5


@pytest.mark.practice("speed times force is roughly constant within a family of drives")
def test_what_is_geared_for_force_is_slower_in_proportion():
    free = {variant: line(demo("orchard", variant), CALM).free_speed for variant in FAMILY}
    pushed = {variant: stall_force(demo("orchard", variant), CALM) for variant in FAMILY}
    assert free["quick_drive"] > free[None] > free["strong_drive"]
    assert pushed["quick_drive"] < pushed[None] < pushed["strong_drive"]


def test_a_direct_pull_has_the_lines_of_its_listing_too():
    found = line(bare(sliding()), CALM)
    assert found.free_speed == pytest.approx(0.14)
    assert float(found.speed(180.0)) == pytest.approx(0.11)
