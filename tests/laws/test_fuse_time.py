"""When a fuse opens."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from hutwright.laws.fuse_time import (
    Gate,
    decaying_pulse,
    opening_time,
    pulse_share,
    ramp_pulse,
    rectangle_pulse,
)
from tests.published.fuses import PULSES

GLASS = (
    Gate(1.5, 3600.0, math.inf),
    Gate(2.1, 0.0, 120.0),
    Gate(2.75, 0.6, 10.0),
    Gate(4.0, 0.15, 3.0),
    Gate(10.0, 0.02, 0.3),
)
multiples = st.floats(0.5, 40.0)


@pytest.mark.published("IEC 60127-2, sheet 3, T 2 A glass: 2.1 times within 2 min, 4 times in 0.15 to 3 s")
def test_a_glass_time_lag_fuse_opens_within_its_printed_times():
    assert opening_time(GLASS, 2.1)[1] == 120.0
    assert opening_time(GLASS, 4.0) == (0.15, 3.0)


def test_gives_back_every_printed_bound_at_its_gate():
    for gate in GLASS:
        shortest, longest = opening_time(GLASS, gate.multiple)
        assert longest == gate.longest
        if gate.shortest:
            assert shortest == pytest.approx(gate.shortest, rel=1e-12)


@given(multiples, st.floats(1.0, 3.0))
def test_neither_bound_rises_with_the_current(multiple, factor):
    shortest, longest = opening_time(GLASS, multiple)
    sooner, latest = opening_time(GLASS, multiple * factor)
    assert sooner <= shortest * (1.0 + 1e-12)
    assert latest <= longest
    assert shortest <= longest


@given(multiples, st.floats(1.4, 1.6), st.floats(15.0, 30.0))
def test_a_fuse_with_heat_loss_that_meets_the_gates_lies_between_the_bounds(multiple, never, heat):
    # One thermal mass with loss: t = -tau ln(1 - (never/m)^2), the curve of a plain wire fuse.
    def opens(at):
        return math.inf if at <= never else -heat * math.log1p(-((never / at) ** 2))

    meets = all(gate.shortest <= opens(gate.multiple) <= gate.longest for gate in GLASS)
    if meets:
        shortest, longest = opening_time(GLASS, multiple)
        assert opens(multiple) >= shortest * (1.0 - 1e-9)
        assert opens(multiple) <= longest * (1.0 + 1e-9) or multiple > GLASS[-1].multiple


def test_such_a_fuse_exists():
    # the property above would hold of nothing otherwise
    heat, never = 2.0, 1.5
    times = [math.inf if m <= never else -heat * math.log1p(-((never / m) ** 2)) for m, _, _ in GLASS]
    assert all(gate.shortest <= time <= gate.longest for gate, time in zip(GLASS, times, strict=True))


@given(st.floats(0.05, 1.0), st.floats(1.4, 2.0), st.floats(1.0, 20.0))
def test_bounds_made_from_a_real_curve_never_cut_into_it(spread, never, heat):
    def opens(at):
        return -heat * math.log1p(-((never / at) ** 2))

    gates = [
        Gate(m, opens(m) * (1.0 - 0.5 * spread), opens(m) * (1.0 + spread)) for m in (2.1, 2.75, 4.0, 10.0)
    ]
    for multiple in (2.2, 2.5, 3.0, 3.5, 5.0, 7.0, 9.5):
        shortest, longest = opening_time(gates, multiple)
        assert shortest <= opens(multiple) <= longest


def test_nothing_promises_that_it_opens_below_the_first_gate_with_a_longest_time():
    assert opening_time(GLASS, 1.0)[1] == math.inf
    assert opening_time(GLASS, 2.09)[1] == math.inf
    assert opening_time(GLASS, 1.0)[0] >= 3600.0
    assert opening_time(GLASS, 0.0) == (math.inf, math.inf)


def test_a_gate_without_a_shortest_time_takes_the_next_ones_integral():
    assert opening_time(GLASS, 2.1)[0] == pytest.approx(0.6 * (2.75 / 2.1) ** 2, rel=1e-12)
    assert opening_time([Gate(1.35, 0.0, 3600.0), Gate(2.0, 0.0, 120.0)], 1.5)[0] == 0.0


def test_above_the_last_gate_the_longest_time_stays_and_the_shortest_falls_with_the_square():
    assert opening_time(GLASS, 20.0) == pytest.approx((0.02 / 4.0, 0.3))


def test_an_unknown_current_opens_at_an_unknown_time():
    assert all(math.isnan(time) for time in opening_time(GLASS, math.nan))


@pytest.mark.parametrize(
    "gates", [(), (Gate(2.0, 0.0, 1.0), Gate(1.5, 0.0, 2.0)), (Gate(math.nan, 0.0, 1.0),)]
)
def test_refuses_gates_from_which_nothing_can_be_told(gates):
    with pytest.raises(ValueError, match="gate"):
        opening_time(gates, 2.0)


@given(st.floats(0.1, 50.0), st.floats(0.01, 5.0))
def test_pulses_have_the_integral_of_their_shape(peak, time):
    assert rectangle_pulse(peak, time) == pytest.approx(peak**2 * time, rel=1e-12)
    ramp = quad(lambda t: (peak * t / time) ** 2, 0.0, time)[0]
    assert ramp_pulse(peak, time) == pytest.approx(ramp, rel=1e-9)
    decay = quad(lambda t: (peak * math.exp(-t / time)) ** 2, 0.0, 30.0 * time)[0]
    assert decaying_pulse(peak, time) == pytest.approx(decay, rel=1e-6)


@pytest.mark.published("fuse maker's selection guide, pulse endurance")
@pytest.mark.parametrize(("pulses", "per_cent"), PULSES)
def test_endurance_is_the_printed_share(pulses, per_cent):
    assert 100.0 * pulse_share(pulses) == pytest.approx(per_cent, rel=1e-12)


@given(st.floats(1.0, 1e5), st.floats(1.0, 10.0))
def test_more_pulses_never_allow_stronger_ones(pulses, factor):
    more = pulse_share(pulses * factor)
    assert math.isnan(more) == (pulses * factor > 1e5)
    assert math.isnan(more) or more <= pulse_share(pulses) + 1e-12
