"""Places by a broadcast state."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hutwright.laws.state_orbit import between_states, state_track
from tests.published.orbits import SGP4_PLACES, SGP4_VELOCITY

GRAVITY, RADIUS, OBLATENESS, TURNING = 3.986004418e14, 6_378_136.0, 1.08262575e-3, 7.292115e-5
NO_PULL = np.zeros(3)
AXIS = 25_508e3


def started(node, latitude):
    """Place and velocity, in the turning frame, of a circular orbit."""
    tilt = np.radians(64.8)
    along = np.array([np.cos(latitude), np.sin(latitude) * np.cos(tilt), np.sin(latitude) * np.sin(tilt)])
    ahead = np.array([-np.sin(latitude), np.cos(latitude) * np.cos(tilt), np.cos(latitude) * np.sin(tilt)])
    turn = np.array([[np.cos(node), -np.sin(node), 0.0], [np.sin(node), np.cos(node), 0.0], [0.0, 0.0, 1.0]])
    place = AXIS * turn @ along
    speed = np.sqrt(GRAVITY / AXIS) * turn @ ahead
    return place, speed - np.cross([0.0, 0.0, TURNING], place)


def kept(place, speed):
    """What the motion in the turning frame keeps (Jacobi's integral), m2/s2."""
    radius = np.linalg.norm(place, axis=-1)
    sine = place[..., 2] / radius
    bulge = OBLATENESS * (RADIUS / radius) ** 2 * (1.5 * sine**2 - 0.5)
    spin = 0.5 * TURNING**2 * (place[..., 0] ** 2 + place[..., 1] ** 2)
    return 0.5 * (speed**2).sum(axis=-1) - spin - GRAVITY / radius * (1.0 - bulge)


@pytest.mark.published(
    "SGP4 verification output, satellite 28129 (NAVSTAR 53), 0 and 120 min, of the sgp4 package"
)
def test_two_hours_on_it_meets_the_reference_state_of_another_program():
    place, speed = np.array(SGP4_PLACES[0.0]) * 1e3, np.array(SGP4_VELOCITY) * 1e3
    track = state_track(place, speed - np.cross([0.0, 0.0, TURNING], place), NO_PULL, 60.0, 120)
    angle = TURNING * 7_200.0
    x, y, z = track.position[-1]
    still = np.array([x * np.cos(angle) - y * np.sin(angle), x * np.sin(angle) + y * np.cos(angle), z])
    # Sun and Moon pull by up to 1e-5 m/s2: 260 m in two hours; they are in the other program only.
    assert np.linalg.norm(still - np.array(SGP4_PLACES[120.0]) * 1e3) < 260.0


@settings(max_examples=10)
@given(st.floats(0.0, 6.28), st.floats(0.0, 6.28))
def test_keeps_what_the_motion_keeps(node, latitude):
    place, speed = started(node, latitude)
    track = state_track(place, speed, NO_PULL, 300.0, 144)
    values = kept(track.position, track.velocity)
    # 25 m at the height of the orbit, as the law states
    assert np.ptp(values) < 25.0 * GRAVITY / AXIS**2


@settings(max_examples=10)
@given(st.floats(0.0, 6.28), st.floats(0.0, 6.28))
def test_comes_back_when_time_runs_back(node, latitude):
    place, speed = started(node, latitude)
    there = state_track(place, speed, NO_PULL, 60.0, 60)
    back = state_track(there.position[-1], there.velocity[-1], NO_PULL, -60.0, 60)
    assert np.linalg.norm(back.position[-1] - place) < 0.01


def test_long_steps_stay_within_the_stated_error_over_half_a_day():
    place, speed = started(0.3, 1.1)
    coarse = state_track(place, speed, NO_PULL, 300.0, 144).position[-1]
    fine = state_track(place, speed, NO_PULL, 30.0, 1_440).position[-1]
    assert np.linalg.norm(coarse - fine) < 25.0


def test_the_pull_of_sun_and_moon_is_added():
    place, speed = started(0.3, 1.1)
    pull = np.array([0.0, 0.0, 2e-6])
    off = (
        state_track(place, speed, pull, 60.0, 15).position[-1]
        - state_track(place, speed, NO_PULL, 60.0, 15).position[-1]
    )
    assert off[2] == pytest.approx(0.5 * 2e-6 * 900.0**2, rel=0.01)


def test_many_satellites_go_at_once_and_alike():
    states = [started(node, 1.0) for node in (0.0, 2.0, 4.0)]
    places, speeds = (np.array(each) for each in zip(*states, strict=True))
    together = state_track(places, speeds, np.zeros((3, 3)), 60.0, 5)
    place, speed = states[1]
    alone = state_track(place, speed, NO_PULL, 60.0, 5)
    assert together.position.shape == (6, 3, 3)
    np.testing.assert_allclose(together.position[:, 1], alone.position, rtol=0.0, atol=1e-6)


@given(*(st.floats(-3.0, 3.0) for _ in range(4)), st.floats(0.0, 2.0))
def test_a_cubic_comes_out_exactly_between_two_states(a, b, c, d, time):
    def cubic(t):
        return np.array([a + b * t + c * t**2 + d * t**3])

    def slope(t):
        return np.array([b + 2 * c * t + 3 * d * t**2])

    found = between_states(cubic(0.0), slope(0.0), cubic(2.0), slope(2.0), 2.0, time)
    assert found == pytest.approx(cubic(time), abs=1e-9)


def test_between_two_steps_it_is_within_a_metre():
    place, speed = started(0.3, 1.1)
    coarse = state_track(place, speed, NO_PULL, 300.0, 1)
    middle = between_states(
        coarse.position[0], coarse.velocity[0], coarse.position[1], coarse.velocity[1], 300.0, 150.0
    )
    assert np.linalg.norm(middle - state_track(place, speed, NO_PULL, 30.0, 5).position[-1]) < 1.0
