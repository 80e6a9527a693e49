"""The current of a motor from the moment it is switched on."""

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from hutwright.laws.motor_start import breakaway_time, peak_start_current, start_current, start_duration
from tests.patience import patience

DOOR = (12.0, 2.0, 2e-3, 1.5, 0.05, 1.0)  # a small door drive: voltage, R, L, R_m, tau_m, running current


@st.composite
def motors(draw):
    """Six quantities of a motor that starts, from overdamped to oscillating."""
    voltage = draw(st.floats(3.0, 30.0))
    resistance = draw(st.floats(0.2, 20.0))
    electrical = draw(st.floats(2e-4, 0.05))
    winding = draw(st.floats(0.1, 1.0)) * resistance
    mechanical = draw(st.floats(2e-3, 1.0))
    running = draw(st.floats(0.0, 0.9)) * voltage / resistance
    return voltage, resistance, electrical * resistance, winding, mechanical, running


# scipy's stubs want more of the right-hand side than a test needs to say.
solve: Any = solve_ivp


def integrated(motor, until):
    """The same start by a general solver of differential equations: times and a dense solution."""
    voltage, resistance, inductance, winding, mechanical, running = motor

    def slope(_, state):
        current, emf = state
        rise = (voltage - resistance * current - emf) / inductance
        return [rise, winding / mechanical * (current - running)]

    def held(_, state):
        return [(voltage - resistance * state[0]) / inductance, 0.0]

    def turns(_, state):
        return state[0] - running

    stops: Any = turns
    stops.terminal = True
    stops.direction = 1.0
    exact: dict[str, Any] = {"method": "LSODA", "rtol": 1e-10, "atol": 1e-12, "dense_output": True}
    if running > 0.0:
        first = solve(held, (0.0, until), [0.0, 0.0], events=stops, **exact)
        begin = float(first.t_events[0][0])
    else:
        first, begin = None, 0.0
    second = solve(slope, (begin, begin + until), [running, 0.0], **exact)
    return begin, first, second


@given(motors())
def test_agrees_with_a_numerical_solution_of_the_equations(motor):
    stall = motor[0] / motor[1]
    until = 5.0 * motor[4] * motor[1] / motor[3] + 10.0 * motor[2] / motor[1]
    begin, first, second = integrated(motor, until)
    assert breakaway_time(motor[0], motor[1], motor[2], motor[5]) == pytest.approx(begin, abs=1e-4 * until)
    after = begin + np.linspace(0.0, until, 200)
    np.testing.assert_allclose(
        start_current(after, *motor),
        second.sol(np.clip(after, begin, second.t[-1]))[0],
        rtol=0.0,
        atol=1e-4 * stall,
    )
    if first is not None:
        before = np.linspace(0.0, begin, 20, endpoint=False)
        np.testing.assert_allclose(
            start_current(before, *motor), first.sol(before)[0], rtol=0.0, atol=1e-4 * stall
        )


@given(motors())
def test_no_moment_exceeds_the_peak_and_one_reaches_it(motor):
    peak = peak_start_current(*motor)
    until = breakaway_time(motor[0], motor[1], motor[2], motor[5]) + 30.0 * max(motor[2] / motor[1], 1e-3)
    currents = start_current(np.linspace(0.0, until, 20_001), *motor)
    stall = motor[0] / motor[1]
    assert np.all(currents <= peak + 1e-9 * stall)
    assert currents.max() >= peak - 1e-3 * stall
    assert peak <= stall * (1.0 + 1e-12)


@given(motors(), st.floats(0.02, 0.9))
def test_after_its_duration_the_current_stays_below_and_just_before_it_does_not(motor, settle):
    duration = start_duration(*motor, settle=settle)
    stall = motor[0] / motor[1]
    level = motor[5] + settle * (stall - motor[5])
    later = duration * np.geomspace(1.0, 20.0, 5000)
    assert np.all(start_current(later, *motor) <= level + 1e-7 * stall)
    assume(peak_start_current(*motor) > level + 1e-6 * stall)
    assert start_current(duration * (1.0 - 1e-5), *motor) >= level - 1e-7 * stall
    assert start_current(duration, *motor) == pytest.approx(level, abs=1e-6 * stall)


def test_without_inductance_it_is_one_exponential_from_the_stall_current():
    voltage, resistance, _, winding, mechanical, running = DOOR
    times = np.linspace(0.0, 0.3, 50)
    lasts = mechanical * resistance / winding
    wanted = running + (voltage / resistance - running) * np.exp(-times / lasts)
    bare = (voltage, resistance, 0.0, winding, mechanical, running)
    np.testing.assert_allclose(start_current(times, *bare), wanted, rtol=1e-12)
    assert peak_start_current(*bare) == voltage / resistance
    assert start_duration(*bare, settle=0.1) == pytest.approx(lasts * math.log(10.0), rel=1e-12)


def test_a_vanishing_inductance_leads_there_without_a_jump():
    bare = (12.0, 2.0, 0.0, 1.5, 0.05, 1.0)
    little = (12.0, 2.0, 1e-9, 1.5, 0.05, 1.0)
    assert peak_start_current(*little) == pytest.approx(peak_start_current(*bare), rel=1e-5)
    assert start_duration(*little, settle=0.1) == pytest.approx(start_duration(*bare, settle=0.1), rel=1e-5)


def test_passes_smoothly_through_critical_damping():
    # R / 2L = sqrt(R_m / (tau_m L)) at L = R^2 tau_m / (4 R_m)
    voltage, resistance, _, winding, mechanical, running = DOOR
    critical = resistance**2 * mechanical / (4.0 * winding)
    times = np.linspace(0.0, 0.5, 200)
    curves = [
        start_current(times, voltage, resistance, critical * factor, winding, mechanical, running)
        for factor in (1.0 - 1e-9, 1.0, 1.0 + 1e-9)
    ]
    np.testing.assert_allclose(curves[0], curves[1], rtol=1e-7, atol=1e-7)
    np.testing.assert_allclose(curves[2], curves[1], rtol=1e-7, atol=1e-7)


def test_a_mechanism_that_never_gives_way_keeps_the_stall_current_of_a_held_rotor():
    jammed = (12.0, 2.0, 2e-3, 1.5, 0.05, 6.0)
    assert breakaway_time(12.0, 2.0, 2e-3, 6.0) == math.inf
    assert start_duration(*jammed, settle=0.1) == math.inf
    assert peak_start_current(*jammed) == 6.0
    wanted = 6.0 * (1.0 - math.exp(-1.5))
    assert float(start_current(1.5e-3, *jammed)) == pytest.approx(wanted, rel=1e-12)


def test_a_heavy_rotor_reaches_almost_the_stall_current():
    assert peak_start_current(12.0, 2.0, 2e-3, 1.5, 1000.0, 1.0) == pytest.approx(6.0, rel=1e-4)


def test_the_bridges_offset_acts_as_a_lower_voltage():
    voltage, rest = DOOR[0], DOOR[1:]
    assert peak_start_current(voltage, *rest, drop=1.4) == peak_start_current(voltage - 1.4, *rest)
    assert start_duration(voltage, *rest, settle=0.1, drop=1.4) == start_duration(
        voltage - 1.4, *rest, settle=0.1
    )
    assert peak_start_current(1.0, *rest, drop=1.4) == 0.0


def test_nothing_flows_before_it_is_switched_on_and_the_shape_of_the_times_is_kept():
    currents = start_current([[-1.0, 0.0], [0.01, 0.02]], *DOOR)
    assert currents.shape == (2, 2)
    assert np.all(currents[0] == 0.0)
    assert np.all(currents[1] > 0.0)


@pytest.mark.parametrize(
    "motor",
    [
        (math.nan, 2.0, 2e-3, 1.5, 0.05, 1.0),
        (math.inf, 2.0, 2e-3, 1.5, 0.05, 1.0),
        (12.0, 0.0, 2e-3, 1.5, 0.05, 1.0),
        (12.0, 2.0, -1e-3, 1.5, 0.05, 1.0),
        (12.0, 2.0, 2e-3, 2.1, 0.05, 1.0),
        (12.0, 2.0, 2e-3, 1.5, 0.0, 1.0),
        (12.0, 2.0, 2e-3, 1.5, 0.05, -0.1),
        (12.0, 2.0, 2e-3, 1.5, 0.05, math.nan),
    ],
)
def test_says_nothing_outside_its_range(motor):
    assert np.all(np.isnan(start_current([0.0, 0.01], *motor)))
    assert math.isnan(peak_start_current(*motor))
    assert math.isnan(start_duration(*motor, settle=0.1))
    assert math.isnan(start_duration(*DOOR, settle=math.nan))


@pytest.mark.published(
    "Modelica Standard Library, DCPM_Start: 100 V, 0.05 ohm, 100 A at 1425 rpm; 1500 rpm unloaded"
)
def test_the_equations_it_solves_give_the_printed_speed_and_torque():
    emf = 100.0 - 0.05 * 100.0
    constant = emf / (1425.0 * 2.0 * math.pi / 60.0)
    assert 100.0 / constant * 60.0 / (2.0 * math.pi) == pytest.approx(1500.0, rel=1e-9)
    assert constant * 100.0 == pytest.approx(63.66, abs=0.005)
    # the same machine, started: it settles at its load current and to the back-emf of that speed
    inertia, inductance = 0.15, 1.5e-3
    mechanical = inertia * 0.05 / constant**2
    settled = float(start_current(5.0, 100.0, 0.05, inductance, 0.05, mechanical, 100.0))
    assert settled == pytest.approx(100.0, rel=1e-4)


def test_scalars_are_quick_enough_to_ask_thousands_of_times():
    with patience(30):
        for _ in range(1000):
            peak_start_current(*DOOR)
