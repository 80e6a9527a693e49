"""Speed and current against force, in heat and cold."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.laws.motor_line import (
    DriveConstants,
    cold_friction,
    constants_at,
    constants_from_rating,
    constants_from_stall,
    line_current,
    line_running,
    line_speed,
    line_stall_force,
    magnet_factor,
)

ZERO = 273.15
RPM = 2.0 * math.pi / 60.0
LISTING = (12.0, 0.030, 0.8, 0.022, 2.6, 300.0)


@st.composite
def listings(draw):
    """A listing that can be true: voltage, free and rated speed and current, force."""
    voltage = draw(st.floats(6.0, 30.0))
    free = draw(st.floats(0.005, 0.060))
    idle = draw(st.floats(0.0, 1.5))
    rated = idle + draw(st.floats(0.5, 4.0))
    return voltage, free, idle, free * draw(st.floats(0.4, 0.95)), rated, draw(st.floats(50.0, 1500.0))


@pytest.mark.published(
    "Modelica Standard Library, DCPM_Start: 100 V, 0.05 ohm, 100 A at 1425 rpm; 1500 rpm unloaded"
)
def test_the_lines_of_a_motor_end_at_the_printed_speed_and_torque():
    constant = (100.0 - 0.05 * 100.0) / (1425.0 * RPM)
    motor = DriveConstants(0.05, constant, constant, 0.0)
    assert float(line_speed(0.0, 100.0, motor)) / RPM == pytest.approx(1500.0, rel=1e-9)
    torque = motor.force_constant * 100.0
    assert torque == pytest.approx(63.66, abs=0.005)
    assert float(line_current(torque, motor)) == pytest.approx(100.0, rel=1e-9)
    assert float(line_speed(torque, 100.0, motor)) / RPM == pytest.approx(1425.0, rel=1e-9)


@pytest.mark.published("companion code of a textbook on machines, example 4.5: 120 V at 6000 rpm, 2.5 ohm")
def test_a_permanent_magnet_motor_at_half_voltage_turns_as_recomputed():
    constant = 120.0 / (6000.0 * RPM)
    motor = DriveConstants(2.5, constant, constant, 0.0)
    assert float(line_speed(0.5, 60.0, motor)) / RPM == pytest.approx(2672.8, abs=0.05)


@given(listings())
def test_the_lines_pass_through_both_points_of_the_listing(listing):
    voltage, free, idle, slow, rated, force = listing
    drive = constants_from_rating(*listing)
    assert float(line_speed(0.0, voltage, drive)) == pytest.approx(free, rel=1e-9)
    assert float(line_speed(force, voltage, drive)) == pytest.approx(slow, rel=1e-9)
    assert float(line_current(0.0, drive)) == pytest.approx(idle, rel=1e-9)
    assert float(line_current(force, drive)) == pytest.approx(rated, rel=1e-9)


@given(listings())
def test_the_stall_of_one_listing_gives_the_same_drive_back(listing):
    drive = constants_from_rating(*listing)
    stall_force = line_stall_force(listing[0], drive)
    again = constants_from_stall(
        listing[0], listing[1], listing[2], listing[0] / drive.resistance, stall_force
    )
    assert again == pytest.approx(drive, rel=1e-9)


@given(listings(), st.floats(0.3, 1.2), st.floats(0.0, 0.99), st.floats(0.0, 2.0))
def test_electric_power_is_heat_and_work_and_friction(listing, share, load, extra):
    drive = constants_from_rating(*listing)
    voltage = share * listing[0]
    force = load * line_stall_force(voltage, drive, series_resistance=extra)
    speed = float(line_speed(force, voltage, drive, series_resistance=extra))
    current = float(line_current(force, drive))
    heat = (drive.resistance + extra) * current**2
    mechanical = (drive.friction_current * drive.constant + force / drive.efficiency) * speed
    if speed > 0.0:
        assert voltage * current == pytest.approx(heat + mechanical, rel=1e-6)


@given(listings(), st.floats(-1.5, 1.5), st.floats(0.0, 1.2), st.floats(0.0, 2.0), st.floats(0.05, 2.0))
def test_one_force_runs_as_an_array_of_them_does(listing, load, share, extra, better):
    drive = constants_from_rating(*listing)
    drive = drive._replace(force_constant=better * drive.constant)  # also beyond what a drive can be
    force, voltage = load * listing[-1], share * listing[0]
    speed, current = line_running(force, voltage, drive, series_resistance=extra)
    many = np.array([force, -force, 0.0])
    assert current == line_current(many, drive)[0]
    assert speed == line_speed(many, voltage, drive, series_resistance=extra)[0]


def test_stands_still_beyond_its_stall_force():
    drive = constants_from_rating(*LISTING)
    stall = line_stall_force(12.0, drive)
    assert float(line_speed(1.001 * stall, 12.0, drive)) == 0.0
    assert line_stall_force(0.5, drive) == 0.0


@pytest.mark.practice("small 12 V rod drives: stall two to four times rated, screw 20 to 50 % efficient")
def test_a_usual_listing_tells_of_a_usual_drive():
    drive = constants_from_rating(*LISTING)
    assert 2.0 <= line_stall_force(12.0, drive) / 300.0 <= 4.0
    assert 4.0 <= 12.0 / drive.resistance <= 15.0
    assert 0.2 <= drive.efficiency <= 0.5


@pytest.mark.practice("speed times force is roughly constant within a family of drives")
def test_a_slower_gear_pushes_harder_by_as_much():
    quick = constants_from_stall(12.0, 0.030, 0.8, 7.5, 1000.0)
    slow = constants_from_stall(12.0, 0.006, 0.8, 7.5, 5000.0)
    assert slow.constant / quick.constant == pytest.approx(5.0, rel=1e-9)
    assert slow.efficiency == pytest.approx(quick.efficiency, rel=1e-9)


@pytest.mark.practice("100 mm at 30 mm/s take about 3.3 s, a drive five times slower about 17 s")
def test_the_time_for_a_stroke_is_the_usual_one():
    quick = constants_from_stall(12.0, 0.030, 0.8, 7.5, 1000.0)
    slow = constants_from_stall(12.0, 0.006, 0.8, 7.5, 5000.0)
    assert 0.100 / float(line_speed(0.0, 12.0, quick)) == pytest.approx(3.3, abs=0.05)
    assert 0.100 / float(line_speed(0.0, 12.0, slow)) == pytest.approx(17.0, abs=0.5)


@pytest.mark.recalled("copper 0.843 times at -20 degC, stall current 19 % up, ferrite constant 8 % up")
def test_a_cold_motor_draws_more_at_stall_and_pushes_harder_for_each_ampere():
    warm = constants_from_rating(*LISTING)
    cold = constants_at(warm, ZERO - 20.0, 1.0)
    assert warm.resistance / cold.resistance == pytest.approx(1.19, abs=0.005)
    assert cold.constant / warm.constant == pytest.approx(1.08, abs=1e-9)
    assert cold.efficiency == pytest.approx(warm.efficiency, rel=1e-12)


@pytest.mark.practice("friction 1.5 times at 0 degC and 2 to 3 times at -20 degC that of 20 degC")
def test_friction_in_the_cold_is_what_practice_says():
    assert cold_friction(ZERO + 20.0) == (1.0, 1.0, 1.0)
    assert cold_friction(ZERO).usual == pytest.approx(1.5)
    assert cold_friction(ZERO - 20.0) == pytest.approx((2.0, 2.5, 3.0))
    assert cold_friction(ZERO + 60.0) == (1.0, 1.0, 1.0)


@given(st.floats(ZERO - 40.0, ZERO + 40.0), st.floats(0.0, 20.0))
def test_friction_never_falls_as_it_gets_colder(temperature, colder):
    warm, cold = cold_friction(temperature), cold_friction(max(temperature - colder, ZERO - 40.0))
    assert 1.0 <= warm.least <= warm.usual <= warm.greatest
    assert all(one <= other + 1e-12 for one, other in zip(warm, cold, strict=True))


def test_a_helping_load_takes_current_on_a_screw_that_locks_and_gives_some_on_one_that_does_not():
    locks = DriveConstants(1.6, 360.0, 0.4 * 360.0, 0.8)
    runs = DriveConstants(1.6, 360.0, 0.8 * 360.0, 0.8)
    assert float(line_current(-200.0, locks)) > 0.8
    assert float(line_current(-200.0, runs)) < 0.8
    assert float(line_speed(-200.0, 12.0, runs)) > float(line_speed(0.0, 12.0, runs))


def test_many_forces_at_once_keep_their_shape():
    drive = constants_from_rating(*LISTING)
    forces = np.array([[-100.0, 0.0], [100.0, 300.0]])
    speeds = line_speed(forces, 12.0, drive)
    assert speeds.shape == (2, 2)
    assert speeds[1, 1] == pytest.approx(0.022, rel=1e-9)


def test_warmth_weakens_the_magnets():
    assert magnet_factor(ZERO + 20.0) == 1.0
    assert magnet_factor(ZERO + 60.0) == pytest.approx(0.92)


@pytest.mark.parametrize(
    "listing",
    [
        (0.0, 0.03, 0.8, 0.022, 2.6, 300.0),
        (12.0, 0.03, 0.8, 0.03, 2.6, 300.0),
        (12.0, 0.03, 2.6, 0.022, 2.6, 300.0),
        (12.0, 0.03, 0.8, 0.022, 2.6, 0.0),
        (12.0, math.nan, 0.8, 0.022, 2.6, 300.0),
        (math.inf, 0.03, 0.8, 0.022, 2.6, 300.0),
    ],
)
def test_a_listing_that_contradicts_itself_gives_nothing(listing):
    drive = constants_from_rating(*listing)
    assert all(math.isnan(each) for each in drive)
    assert math.isnan(float(line_speed(0.0, 12.0, drive)))


def test_a_stall_below_the_free_current_gives_nothing():
    assert math.isnan(constants_from_stall(12.0, 0.03, 0.8, 0.8, 1000.0).constant)
    assert math.isnan(cold_friction(ZERO - 41.0).usual)
    assert math.isnan(cold_friction(math.nan).usual)
