"""The closed form of a contact against a simulation of two bodies written here."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.laws.contact_force import (
    GREATEST_OF_CLOSED_FORM,
    IMPACT_SHARE,
    LEAST_OF_CLOSED_FORM,
    QUICK_FACTOR,
    contact_peak_force,
    contact_peak_range,
    current_per_force,
    detection_delay,
    driven_force,
    impact_force,
    series_stiffness,
    trip_force,
)

VOLTAGE = 12.0
SAMPLE = 1e-3
STEP = 2e-5
UNTIL = 0.3
FORCES = st.floats(0.0, 2000.0)


def contacts(count, seed):
    """Invented drives and obstacles, as arrays: slow and quick, soft and hard, light and heavy."""
    chance = np.random.default_rng(seed)

    def spread(low, high):
        return np.exp(chance.uniform(math.log(low), math.log(high), count))

    case = {
        "speed": spread(0.008, 0.060),
        "leverage": spread(1.0, 5.0),
        "obstacle": spread(5e3, 5e5),
        "threshold": spread(0.2, 1.0),
        "mass": spread(1.0, 15.0),
        "mount": spread(100e3, 500e3),
        "efficiency": chance.uniform(0.3, 0.6, count),
        "filter": spread(0.005, 0.030),
        "debounce": chance.integers(3, 30, count),
        "damping": chance.uniform(0.01, 0.2, count),
        "resistance": spread(1.0, 3.0),
        "free_current": chance.uniform(0.4, 1.0, count),
    }
    case["constant"] = (VOLTAGE - case["resistance"] * case["free_current"]) / case["speed"]
    case["rotor"] = chance.uniform(0.01, 0.04, count) * case["constant"] ** 2 / case["resistance"]
    return case


def simulated(case):
    """Peak force of each contact, and whether its controller reversed: rotor and leaf joined by the mount."""
    count = case["speed"].size
    constant, leverage, mass, rotor = (case[key] for key in ("constant", "leverage", "mass", "rotor"))
    coulomb = case["free_current"] * constant
    with_load = 1.0 / case["efficiency"] - 1.0
    damping = 2.0 * case["damping"] * np.sqrt(case["mount"] * mass) * leverage
    speed, edge = case["speed"].copy(), case["speed"] * leverage
    rod, leaf, peak = np.zeros(count), np.zeros(count), np.zeros(count)
    filtered, voltage = case["free_current"].copy(), np.full(count, VOLTAGE)
    above, reversed_ = np.zeros(count, dtype=int), np.zeros(count, dtype=bool)
    each = round(SAMPLE / STEP)
    for step in range(round(UNTIL / STEP)):
        current = (voltage - constant * speed) / case["resistance"]
        pull = case["mount"] * (rod - leaf / leverage) + damping * (speed - edge / leverage)
        left = constant * current - pull - coulomb - with_load * np.abs(pull)
        speed = np.where(speed > 0.0, np.maximum(speed + left / rotor * STEP, 0.0), 0.0)
        rod += speed * STEP
        pressed = case["obstacle"] * np.maximum(leaf, 0.0)
        edge += (pull / leverage - pressed) / mass * STEP
        leaf += edge * STEP
        np.maximum(peak, pressed, out=peak)
        filtered += (current - filtered) * (STEP / case["filter"])
        if step % each == each - 1:
            above = np.where(filtered > case["free_current"] + case["threshold"], above + 1, 0)
            reversed_ |= above >= case["debounce"]
            voltage = np.where(reversed_, -VOLTAGE, VOLTAGE)
    return peak, reversed_


def closed(case, number):
    """Impact and driven force of one contact by the laws."""
    one = {key: float(values[number]) for key, values in case.items()}
    rise = current_per_force(one["leverage"], one["efficiency"], one["constant"])
    stiffness = series_stiffness(one["obstacle"], one["mount"], one["leverage"])
    edge = one["speed"] * one["leverage"]
    stall = one["efficiency"] * (
        one["constant"] * VOLTAGE / one["resistance"] - one["free_current"] * one["constant"]
    )
    delay = detection_delay(one["filter"], one["debounce"], SAMPLE)
    trip = trip_force(0.0, one["threshold"], rise, edge, stiffness, delay, stall / one["leverage"])
    rotor_energy = 0.5 * one["rotor"] * one["speed"] ** 2
    driven = driven_force(trip, stiffness, one["efficiency"], rotor_energy)
    return impact_force(edge, one["obstacle"], one["mass"]), driven


@pytest.fixture(scope="module")
def compared():
    """Impact, driven and simulated force of every contact whose controller reversed in time."""
    case = contacts(120, seed=20)
    peak, reversed_ = simulated(case)
    found = [(*closed(case, number), float(peak[number])) for number in np.flatnonzero(reversed_)]
    assert len(found) > 50
    return found


def test_the_force_of_every_simulated_contact_lies_within_the_range(compared):
    for impact, driven, peak in compared:
        bounds = contact_peak_range(impact, driven)
        assert bounds.least <= peak <= bounds.greatest


def test_the_closed_form_is_no_more_than_its_stated_share_too_low_where_the_drive_prevails(compared):
    prevails = [each for each in compared if each[0] < IMPACT_SHARE * each[1]]
    assert len(prevails) > 10
    for impact, driven, peak in prevails:
        assert peak <= GREATEST_OF_CLOSED_FORM * contact_peak_force(impact, driven)


def test_the_greater_of_impact_and_drive_alone_is_too_low_for_some_quick_leaf(compared):
    # why the range exists: where both are alike they add up
    low = [contact_peak_force(impact, driven) / peak for impact, driven, peak in compared]
    assert min(low) < 0.92


def test_the_studys_spread_and_its_quick_factor_agree():
    assert pytest.approx(0.526, abs=0.001) == LEAST_OF_CLOSED_FORM
    assert GREATEST_OF_CLOSED_FORM < QUICK_FACTOR


def test_a_spring_meeting_a_mass_gives_the_impact_force():
    # one mass on one spring, integrated: v sqrt(k m), whatever the drive does later
    mass, spring, speed, place, peak = 3.0, 20e3, 0.1, 0.0, 0.0
    for _ in range(20_000):
        speed -= spring * place / mass * 2e-6
        place += speed * 2e-6
        peak = max(peak, spring * place)
    assert peak == pytest.approx(impact_force(0.1, spring, mass), rel=1e-3)


@given(st.floats(1e3, 1e6), st.floats(1e4, 1e6), st.floats(0.5, 5.0))
def test_springs_in_series_give_as_much_as_both_together(obstacle, mount, leverage):
    stiffness = series_stiffness(obstacle, mount, leverage)
    # one newton at the edge is n newtons in the rod, and the rod's give moves the edge n times as far
    give = 1.0 / obstacle + leverage * (leverage / mount)
    assert 1.0 / stiffness == pytest.approx(give, rel=1e-12)
    assert stiffness < obstacle
    assert series_stiffness(obstacle, math.inf, leverage) == pytest.approx(obstacle, rel=1e-12)


@given(st.floats(0.05, 2.0), st.floats(0.0, 0.2), st.floats(1e3, 5e5), st.floats(0.0, 0.3))
def test_a_higher_threshold_a_quicker_leaf_and_a_longer_delay_never_lower_the_trip(
    more, speed, stiffness, delay
):
    trip = trip_force(5.0, 0.5, 0.02, speed, stiffness, delay, 400.0)
    assert 30.0 - 1e-9 <= trip <= 400.0
    assert trip_force(5.0, 0.5 + more, 0.02, speed, stiffness, delay, 400.0) >= trip
    assert trip_force(5.0, 0.5, 0.02, speed + more, stiffness, delay, 400.0) >= trip
    assert trip_force(5.0, 0.5, 0.02, speed, stiffness, delay + more, 400.0) >= trip


def test_a_threshold_beyond_the_stall_means_the_stall_force():
    assert trip_force(5.0, 50.0, 0.02, 0.01, 50e3, 0.05, 400.0) == 400.0


@given(FORCES, FORCES)
def test_the_range_is_in_order_and_holds_the_closed_form(impact, driven):
    bounds = contact_peak_range(impact, driven)
    assert bounds.least <= bounds.usual <= bounds.greatest * (1.0 + 1e-12)
    assert bounds.least <= contact_peak_force(impact, driven) <= bounds.greatest


def test_a_drive_without_a_rotor_stops_at_its_trip():
    assert driven_force(120.0, 50e3, 0.4, 0.0) == pytest.approx(120.0)


@pytest.mark.parametrize(("impact", "driven"), [(math.nan, 100.0), (100.0, math.nan)])
def test_what_is_not_known_is_never_left_out(impact, driven):
    assert math.isnan(contact_peak_force(impact, driven))
    assert all(math.isnan(each) for each in contact_peak_range(impact, driven))
    assert math.isnan(trip_force(impact, 0.5, 0.02, 0.01, 50e3, 0.05, driven))
