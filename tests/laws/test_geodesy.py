"""Places on the Earth and directions in the sky."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.laws.geodesy import EQUATOR_RADIUS, earth_fixed, geodetic, look_angles

LATITUDES = st.floats(-np.pi / 2, np.pi / 2)
LONGITUDES = st.floats(-3.14, 3.14)


@given(LATITUDES, LONGITUDES, st.floats(-10_000.0, 10_000.0))
def test_near_the_ground_a_place_comes_back(latitude, longitude, height):
    found = geodetic(earth_fixed(latitude, longitude, height))
    assert found.latitude == pytest.approx(latitude, abs=1e-9)
    assert found.height == pytest.approx(height, abs=1e-4)
    if abs(latitude) < 1.57:
        assert found.longitude == pytest.approx(longitude, abs=1e-9)


@given(LATITUDES, LONGITUDES, st.floats(0.0, 5e7))
def test_high_up_a_place_comes_back(latitude, longitude, height):
    found = geodetic(earth_fixed(latitude, longitude, height))
    assert found.latitude == pytest.approx(latitude, abs=1e-8)
    assert found.height == pytest.approx(height, abs=1.0)


@given(LATITUDES, LONGITUDES)
def test_the_surface_lies_between_pole_and_equator(latitude, longitude):
    assert 6_356_752.0 <= np.linalg.norm(earth_fixed(latitude, longitude, 0.0)) <= EQUATOR_RADIUS + 1e-6


@given(st.floats(-1.5, 1.5), LONGITUDES, st.floats(0.0, 6.28), st.floats(0.01, 1.5), st.floats(1e3, 4e7))
def test_a_point_set_in_a_direction_is_seen_there(latitude, longitude, azimuth, elevation, distance):
    up = earth_fixed(latitude, longitude, 1.0) - earth_fixed(latitude, longitude, 0.0)
    east = np.array([-np.sin(longitude), np.cos(longitude), 0.0])
    level = np.sin(azimuth) * east + np.cos(azimuth) * np.cross(up, east)
    point = earth_fixed(latitude, longitude, 50.0) + distance * (
        np.cos(elevation) * level + np.sin(elevation) * up
    )
    seen = look_angles(point, latitude, longitude, 50.0)
    assert seen.elevation == pytest.approx(elevation, abs=1e-7)
    assert np.sin(seen.azimuth - azimuth) == pytest.approx(0.0, abs=1e-5)
    assert seen.distance == pytest.approx(distance, rel=1e-6)


@given(st.floats(-1.4, 1.4), st.floats(-1.4, 1.4), LONGITUDES, st.floats(0.01, 1.0))
def test_mirrored_at_the_meridian_only_the_azimuth_turns_over(latitude, other, longitude, off):
    one, two = (
        look_angles(earth_fixed(other, longitude + side * off, 2e7), latitude, longitude, 0.0)
        for side in (1, -1)
    )
    assert one.elevation == pytest.approx(float(two.elevation), abs=1e-9)
    assert np.sin(one.azimuth + two.azimuth) == pytest.approx(0.0, abs=1e-7)


def test_north_east_south_and_west_are_where_they_belong():
    for off, azimuth in (
        ((1e-3, 0.0), 0.0),
        ((0.0, 1e-3), 90.0),
        ((-1e-3, 0.0), 180.0),
        ((0.0, -1e-3), 270.0),
    ):
        seen = look_angles(earth_fixed(0.5 + off[0], 0.2 + off[1], 0.0), 0.5, 0.2, 0.0)
        assert (np.degrees(seen.azimuth) - azimuth + 180.0) % 360.0 - 180.0 == pytest.approx(0.0, abs=0.05)
