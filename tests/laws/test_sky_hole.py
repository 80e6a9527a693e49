"""The part of the sky in which no satellite ever stands."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.laws.geodesy import earth_fixed, geodetic
from hutwright.laws.sky_hole import latitude_above

AXIS = 26_560e3


@given(st.floats(-1.4, 1.4), st.floats(0.0, 6.28), st.floats(0.0, 1.57))
def test_agrees_with_a_point_set_out_along_the_ray(latitude, azimuth, elevation):
    up = earth_fixed(latitude, 0.0, 1.0) - earth_fixed(latitude, 0.0, 0.0)
    east = np.array([0.0, 1.0, 0.0])
    level = np.sin(azimuth) * east + np.cos(azimuth) * np.cross(up, east)
    ray = np.cos(elevation) * level + np.sin(elevation) * up
    start = earth_fixed(latitude, 0.0, 0.0)
    along = -start @ ray + np.sqrt((start @ ray) ** 2 - start @ start + AXIS**2)
    wanted = geodetic(start + along * ray).latitude
    found = latitude_above(latitude, azimuth, elevation, AXIS)
    assert np.degrees(found) == pytest.approx(
        np.degrees(wanted), abs=0.21
    )  # the law's 0.2, and the ellipsoid


@given(st.floats(-1.5, 1.5))
def test_overhead_stands_what_is_over_the_place_itself(latitude):
    assert latitude_above(latitude, 1.0, np.pi / 2, AXIS) == pytest.approx(latitude, abs=1e-9)


@given(st.floats(-1.5, 1.5), st.floats(0.0, 3.14), st.floats(0.0, 1.5))
def test_east_and_west_are_alike(latitude, azimuth, elevation):
    one, other = (latitude_above(latitude, side * azimuth, elevation, AXIS) for side in (1, -1))
    assert one == pytest.approx(float(other), abs=1e-12)


@pytest.mark.parametrize(("elevation", "axis"), [(-0.1, AXIS), (1.6, AXIS), (0.5, 6e6), (0.5, np.nan)])
def test_says_nothing_below_the_horizon_or_inside_the_earth(elevation, axis):
    assert np.isnan(latitude_above(0.9, 0.0, elevation, axis))
