"""The start of the described motor, and what a node of its feed and a reservoir make of it."""

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from hutwright.plant.circuit import MotorLoop, motor_loop
from hutwright.plant.start import MotorStart, fall, fall_behind_reservoir, motor_start
from tests.described import orchard

SHARED, LOAD = 0.4, 0.1


@st.composite
def starts(draw):
    """Starts from well to badly damped, that run up."""
    loop = MotorLoop(
        voltage=draw(st.floats(10.0, 28.0)),
        source=draw(st.floats(0.01, 0.2)),
        feed=SHARED,
        bridge=draw(st.floats(0.0, 1.2)),
        offset=draw(st.floats(0.0, 1.5)),
        lead=draw(st.floats(0.0, 0.3)),
        winding=draw(st.floats(0.5, 6.0)),
    )
    running = draw(st.floats(0.05, 0.9)) * loop.stall_current
    return MotorStart(loop, draw(st.floats(1e-4, 1e-2)), draw(st.floats(0.01, 0.2)), running)


def test_takes_the_drive_as_described_with_a_winding_as_cold_as_the_day():
    project = orchard().project
    assert project.drive is not None
    cold = motor_start(project, 253.15)
    assert cold is not None
    assert cold.loop == motor_loop(project, 253.15)
    assert cold.inductance == project.drive.motor.inductance
    assert cold.running == project.drive.rating.current == pytest.approx(2.6)
    # Copper at -20 degC has (234.5 - 20) / 254.5 of its resistance at 20 degC; the constant grows along.
    assert cold.time_constant == pytest.approx(project.drive.motor.time_constant * 214.5 / 254.5, rel=0.005)


def test_has_no_start_without_a_bridge():
    assert motor_start(orchard({"electronics.bridge": None}).project, 293.15) is None


@given(starts())
def test_the_peak_lies_between_running_and_stall_current(start):
    assert start.running <= start.peak * (1 + 1e-12)
    assert start.peak <= start.loop.stall_current * (1 + 1e-12)
    assert start.running + start.share * start.way == pytest.approx(start.peak, rel=1e-9)


@given(starts(), st.floats(0.0, 1.2))
def test_after_the_time_above_a_value_the_current_stays_below_it(start, share):
    value = start.running + share * start.way
    lasts = start.above(value)
    if math.isinf(lasts):
        assert value <= start.running
        return
    later = start.current(lasts + np.linspace(0.0, 20 * start.time_constant + lasts, 2000))
    assert np.all(later <= value + 1e-6 * start.loop.stall_current)


def test_a_rotor_that_cannot_start_stays_above_its_stall_current_for_ever():
    stuck = MotorStart(MotorLoop(12.0, 0.1, 2.0, 0.5, 1.4, 0.1, 2.0), 1e-3, 0.05, 4.0)
    assert stuck.peak == pytest.approx((12.0 - 1.4) / 4.7)
    assert math.isinf(stuck.duration)
    assert math.isinf(stuck.above(1.0))
    assert fall_behind_reservoir(stuck, SHARED, LOAD, 1e-3)[0] == pytest.approx(fall(stuck, SHARED))


@given(starts(), st.floats(1e-4, 1e-1))
def test_the_reservoir_never_falls_below_its_bound(start, capacitance):
    """Stepped through in time: the diode lifts the reservoir whenever the node stands above it."""
    assume(start.running > 0.05)
    bound, time, _ = fall_behind_reservoir(start, SHARED, LOAD, capacitance)
    until = min(2.0 * time, 10.0) + start.duration
    times = np.linspace(0.0, until, 4000)
    node = SHARED * start.current(times)
    fallen, deepest, step = 0.0, 0.0, times[1]
    for below in node:
        fallen = min(fallen + LOAD * step / capacitance, below)
        deepest = max(deepest, fallen)
    assert deepest <= bound + LOAD * step / capacitance + 1e-9
    assert bound <= fall(start, SHARED) * (1 + 1e-12)


@given(starts(), st.floats(1e-4, 1e-2))
def test_a_larger_reservoir_never_falls_further_unless_the_current_swings(start, capacitance):
    # Where it swings, what is given is a bound at the swing's next return, which may come a swing later.
    loop = start.loop
    run_up = start.time_constant * loop.total / loop.winding
    assume(4.0 * start.inductance / loop.total <= run_up)
    small = fall_behind_reservoir(start, SHARED, LOAD, capacitance)[0]
    large = fall_behind_reservoir(start, SHARED, LOAD, 2.0 * capacitance)[0]
    assert large <= small * (1 + 1e-6)


FORCE, VOLTAGE, EFFICIENCY = 300.0, 12.0, 0.25


def listing(speed):
    """A drive of one family, geared for a speed: at the same force, power and current grow with it."""
    rated = FORCE * speed / (EFFICIENCY * VOLTAGE)
    return {
        "drive.rating.speed": f"{1e3 * speed:g} mm/s",
        "drive.rating.current": f"{rated:g} A",
        "drive.no_load.speed": f"{1.3e3 * speed:g} mm/s",
        "drive.no_load.current": f"{0.3 * rated:g} A",
        "drive.stall.current": f"{2.9 * rated:g} A",
    }


@pytest.mark.practice("of one family of rod drives, the quicker one draws more current at the same force")
def test_a_quicker_drive_of_the_same_family_draws_more_and_pulls_the_feed_down_further():
    slow, quick = (motor_start(orchard(listing(speed)).project, 293.15) for speed in (0.015, 0.030))
    assert slow is not None
    assert quick is not None
    assert quick.running > slow.running
    assert quick.loop.stall_current > slow.loop.stall_current
    assert quick.peak > slow.peak
    assert fall(quick, SHARED) > fall(slow, SHARED)
    # Twice as quick, but not twice the current: cables and bridge stand in the way of both.
    assert quick.loop.stall_current < 2.0 * slow.loop.stall_current
