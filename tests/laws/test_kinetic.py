"""Energy at the edge and the times that keep it low."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.laws.kinetic import (
    LOW_ENERGY,
    edge_mass,
    kinetic_energy,
    leaf_inertia,
    least_sliding_time,
    least_swing_time,
    reflected_rotor_mass,
)
from tests.published.doors import SLIDING_TIMES

POUND_FORCE_FOOT = 1.3558179


@pytest.mark.published("EN 16005, annex F, table of least times, as two operator manuals reproduce it")
@pytest.mark.parametrize(("distance", "mass", "time"), SLIDING_TIMES)
def test_a_sliding_leaf_takes_exactly_the_printed_time(distance, mass, time):
    assert least_sliding_time(distance, mass) == time


@pytest.mark.published("ANSI/BHMA A156.19-1997, 4.5: 1.25 ft lbf is 1.69 J")
def test_both_standards_mean_the_same_energy():
    assert pytest.approx(1.25 * POUND_FORCE_FOOT, rel=0.005) == LOW_ENERGY


@pytest.mark.recalled(
    "ANSI/BHMA A156.19: t = W sqrt(m) / 2260 in mm and kg; our uniform leaf comes within 1 %"
)
@pytest.mark.parametrize(("width", "mass"), [(0.5, 5.0), (0.9, 40.0), (1.2, 90.0)])
def test_a_swinging_leaf_takes_the_time_of_the_remembered_formula(width, mass):
    time = least_swing_time(math.radians(80.0), leaf_inertia(mass, width))
    assert time == pytest.approx(1000.0 * width * math.sqrt(mass) / 2260.0, rel=0.01)


@given(st.floats(0.05, 3.0), st.floats(1.0, 200.0), st.floats(0.1, 10.0))
def test_at_that_time_the_leaf_has_that_energy_and_rounding_only_slows_it(distance, mass, energy):
    time = least_sliding_time(distance, mass, energy=energy, rounded=False)
    assert kinetic_energy(mass, distance / time) == pytest.approx(energy, rel=1e-9)
    later = least_sliding_time(distance, mass, energy=energy)
    assert time - 1e-9 <= later < time + 0.1
    assert 10.0 * later == pytest.approx(round(10.0 * later), abs=1e-9)


@given(st.floats(0.1, 3.0), st.floats(0.1, 50.0), st.floats(0.2, 1.5))
def test_a_hinged_leafs_energy_is_that_of_its_effective_mass_at_the_edge(angle, inertia, arm):
    rate = angle / least_swing_time(angle, inertia)
    assert kinetic_energy(edge_mass(inertia, arm), rate * arm) == pytest.approx(LOW_ENERGY, rel=1e-9)


@given(st.floats(0.5, 50.0), st.floats(0.2, 1.5), st.floats(-0.1, 0.3))
def test_the_inertia_is_that_of_many_narrow_strips(mass, width, offset):
    count = 400
    arms = [offset + (k + 0.5) * width / count for k in range(count)]
    strips = sum(mass / count * arm * arm for arm in arms)
    assert leaf_inertia(mass, width, offset=offset) == pytest.approx(strips, rel=1e-4, abs=1e-6)


@given(st.floats(0.005, 0.05), st.floats(0.5, 5.0), st.floats(1e-3, 0.1), st.floats(0.002, 0.02))
def test_the_reflected_rotor_keeps_its_energy_whatever_the_gear(time_constant, resistance, per_rad, lead):
    inertia = time_constant * per_rad * per_rad / resistance
    per_metre = 2.0 * math.pi / lead
    mass = reflected_rotor_mass(time_constant, resistance, per_rad * per_metre)
    rotor_rate = 300.0
    assert kinetic_energy(mass, rotor_rate / per_metre) == pytest.approx(
        0.5 * inertia * rotor_rate**2, rel=1e-9
    )


@pytest.mark.practice(
    "rotors of small motors weigh little but turn fast: far heavier than the leaf at the rod"
)
def test_the_rotor_of_a_small_drive_outweighs_its_leaf():
    assert reflected_rotor_mass(0.02, 1.6, 360.0) > 100.0


@pytest.mark.parametrize(("distance", "mass"), [(math.nan, 10.0), (1.0, 0.0), (-1.0, 10.0), (1.0, math.inf)])
def test_says_nothing_of_an_impossible_leaf(distance, mass):
    assert math.isnan(least_sliding_time(distance, mass))
    assert math.isnan(least_swing_time(distance, mass))
    assert math.isnan(least_sliding_time(1.0, 10.0, energy=0.0))
