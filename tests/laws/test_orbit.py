"""Places by orbital elements."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.laws.geodesy import geodetic, look_angles
from hutwright.laws.orbit import (
    EARTH_TURNING,
    GPS_GRAVITY,
    OrbitElements,
    eccentric_anomaly,
    geostationary_position,
    node_longitude,
    orbit_position,
)
from tests.published.orbits import GPS_FITTED, GPS_SEEN

ANGLES = st.floats(-np.pi, np.pi)
SHAPES = st.floats(0.0, 0.5)


@given(st.floats(-20.0, 20.0), SHAPES)
def test_solves_keplers_equation(mean, shape):
    found = eccentric_anomaly(mean, shape)
    assert found - shape * np.sin(found) == pytest.approx(mean, abs=1e-11)


@pytest.mark.parametrize("shape", [-0.1, 0.6, np.nan])
def test_says_nothing_of_orbits_that_are_none(shape):
    assert np.isnan(eccentric_anomaly(1.0, shape))
    assert np.isnan(orbit_position(OrbitElements(26e6, shape, 1.0, 0.0, 0.0, 0.0, 0.0), 0.0)).all()


@given(SHAPES, st.floats(0.0, np.pi), ANGLES, ANGLES, ANGLES, st.floats(-1e6, 1e6))
def test_stays_between_perigee_and_apogee_and_below_its_tilt(shape, tilt, node, perigee, mean, elapsed):
    place = orbit_position(OrbitElements(26_560e3, shape, tilt, node, -8e-9, perigee, mean), elapsed)
    radius = np.linalg.norm(place)
    assert 26_560e3 * (1 - shape) - 1.0 <= radius <= 26_560e3 * (1 + shape) + 1.0
    assert abs(place[2]) <= radius * np.sin(tilt) + 1.0


@given(ANGLES, ANGLES, st.floats(0.1, 1.5))
def test_comes_back_after_one_turn_but_for_the_turning_of_the_earth(node, mean, tilt):
    elements = OrbitElements(26_560e3, 0.01, tilt, node, 0.0, 0.3, mean)
    period = 2 * np.pi * np.sqrt(26_560e3**3 / GPS_GRAVITY)
    start, end = orbit_position(elements, np.array([0.0, period]))
    turned = EARTH_TURNING * period
    back = np.array(
        [
            end[0] * np.cos(turned) - end[1] * np.sin(turned),
            end[0] * np.sin(turned) + end[1] * np.cos(turned),
            end[2],
        ]
    )
    assert np.linalg.norm(back - start) < 0.1


@given(ANGLES, ANGLES)
def test_the_mirror_image_of_an_orbit_gives_the_mirror_image_of_the_place(node, mean):
    south = orbit_position(OrbitElements(26_560e3, 0.01, 0.9, node, 0.0, 0.3, mean), 0.0)
    north = orbit_position(OrbitElements(26_560e3, 0.01, -0.9, node, 0.0, 0.3, mean), 0.0)
    np.testing.assert_allclose(north, south * [1.0, 1.0, -1.0], atol=1e-6)


def test_corrections_change_the_place_by_about_their_own_size():
    plain = OrbitElements(26_560e3, 0.01, 0.9, 0.5, -8e-9, 0.3, 0.7)
    where = orbit_position(plain, 1_800.0)
    for change, size in (
        ({"radius_cosine": 200.0}, 200.0),
        ({"radius_sine": 200.0}, 200.0),
        ({"latitude_cosine": 1e-5}, 266.0),
        ({"latitude_sine": 1e-5}, 266.0),
        ({"inclination_cosine": 1e-5}, 266.0),
        ({"inclination_sine": 1e-5}, 266.0),
        ({"inclination_rate": 1e-8}, 26_560e3 * 1.8e-5),
        ({"motion_added": 1e-8}, 26_560e3 * 1.8e-5 * 1.02),
    ):
        off = np.linalg.norm(orbit_position(plain._replace(**change), 1_800.0) - where)
        assert 0.0 < off <= size * 1.02


def test_the_node_drifts_west_with_the_turning_earth():
    assert node_longitude(1.0, 3_600.0) == pytest.approx(1.0 - EARTH_TURNING * 3_600.0, abs=1e-12)


@given(st.floats(-np.pi, np.pi), st.floats(-86_400.0, 86_400.0))
def test_a_point_that_stands_still_over_the_equator_stands_still(longitude, elapsed):
    # Its elements in the tilted frame, worked out from where the point is in that frame at the epoch.
    axis = (GPS_GRAVITY / EARTH_TURNING**2) ** (1 / 3)
    tilt = np.radians(5.0)
    still = np.array([np.cos(longitude), np.sin(longitude), 0.0])
    tilted = np.array([still[0], still[1] * np.cos(tilt), -still[1] * np.sin(tilt)])
    node = np.pi  # the tilted equator goes up through -x
    latitude = np.arctan2(tilted[2] / np.sin(tilt), -tilted[0])
    elements = OrbitElements(axis, 0.0, tilt, node, 0.0, 0.0, latitude)
    place = geostationary_position(elements, elapsed)
    np.testing.assert_allclose(place, axis * still, atol=0.5)


@pytest.mark.published(
    "precise orbits of 2021-04-28 21:00 (CODE, IGS MGEX): GPS seen from 48 N, 11 E (derived)"
)
def test_gps_stands_where_precise_orbits_have_it():
    rows = np.array(list(GPS_FITTED.values()))
    axis = rows[:, 0] * 1e3
    tilt, node, latitude = (np.radians(rows[:, column]) for column in (1, 2, 3))
    places = orbit_position(OrbitElements(axis, 0.0, tilt, node, 0.0, 0.0, latitude), 0.0)
    seen = look_angles(places, np.radians(48.0), np.radians(11.0), 0.0)
    up = np.degrees(seen.elevation) >= 10.0
    assert {name for name, there in zip(GPS_FITTED, up, strict=True) if there} == set(GPS_SEEN)
    for name, around, above in zip(GPS_FITTED, seen.azimuth, seen.elevation, strict=True):
        if name in GPS_SEEN:
            # Printed to 0.1 deg from orbits printed to 0.01 deg and taken as circles of radius a.
            assert np.degrees(above) == pytest.approx(GPS_SEEN[name][1], abs=0.5)
            off = (np.degrees(around) - GPS_SEEN[name][0]) * np.cos(above)
            assert off == pytest.approx(0.0, abs=0.5)


def test_a_day_of_satellites_is_one_call():
    elements = OrbitElements(26_560e3, 0.01, 0.9, np.linspace(0.0, 6.0, 5), 0.0, 0.3, 0.7)
    places = orbit_position(elements, np.arange(0.0, 900.0, 300.0)[:, None])
    assert places.shape == (3, 5, 3)
    alone = orbit_position(elements._replace(node=6.0), 600.0)
    np.testing.assert_allclose(places[2, 4], alone, atol=1e-6)
    assert np.all(np.abs(geodetic(places).latitude) <= 0.91)
