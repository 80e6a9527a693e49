"""What stands around, what is left open, and what two antennas share."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.errors import RequestError
from hutwright.laws.gnss_time import gps_seconds
from hutwright.layout.frame import Skyline, TrueAzimuth
from hutwright.model.machine import AntennaPattern, SatelliteSystem
from hutwright.model.site import Place
from hutwright.plant.sky.satellites import moments, planned_orbits, sky_over
from hutwright.plant.sky.skyline import (
    Shell,
    clear_of,
    empty_band,
    in_common,
    never_there,
    open_sky_levels_db,
    shells,
    skyline_elevation,
)

ALL = tuple(SatelliteSystem)


def line(*points) -> Skyline:
    """A skyline of pairs in rad."""
    return tuple((TrueAzimuth(around), up) for around, up in points)


SKYLINE = line((0.2, 0.1), (1.5, 0.4), (3.5, 0.05), (5.2, 0.3))
SKYLINES = st.dictionaries(st.integers(0, 359), st.floats(-10.0, 60.0), max_size=8).map(
    lambda points: line(*((np.radians(around), np.radians(up)) for around, up in points.items()))
)
START = float(gps_seconds(2026, 6, 1))


def day(latitude=51.2, systems=ALL):
    """The planned sky over a day at a latitude in degrees."""
    place = Place(latitude=np.radians(latitude), longitude=0.17, elevation=200.0)
    return sky_over(place, planned_orbits(systems), moments(START))


@given(SKYLINES)
def test_goes_through_every_described_point(skyline):
    for around, up in skyline:
        assert skyline_elevation(skyline, around) == pytest.approx(up, abs=1e-9)


@given(SKYLINES, st.floats(0.0, 6.283))
def test_stays_between_its_points_and_closes_around(skyline, azimuth):
    found = float(skyline_elevation(skyline, azimuth))
    ups = [up for _, up in skyline] or [0.0]
    assert min(ups) - 1e-9 <= found <= max(ups) + 1e-9
    assert float(skyline_elevation(skyline, azimuth + 2 * np.pi)) == pytest.approx(found, abs=1e-9)


def test_runs_straight_from_the_last_point_to_the_first_across_north():
    skyline = line((np.radians(350.0), 0.2), (np.radians(30.0), 0.4))
    assert skyline_elevation(skyline, 0.0) == pytest.approx(0.25)
    assert skyline_elevation(skyline, np.radians(20.0)) == pytest.approx(0.35)


def test_no_skyline_is_the_horizon_and_one_point_stands_all_around():
    assert skyline_elevation((), [0.0, 3.0]).tolist() == [0.0, 0.0]
    assert skyline_elevation(line((1.0, 0.2)), [0.0, 3.0]).tolist() == [0.2, 0.2]
    assert np.isnan(skyline_elevation((), np.nan))


def test_a_satellite_is_clear_above_the_skyline_and_the_least_elevation():
    sky = day()
    clear = clear_of(sky, SKYLINE, least=np.radians(10.0))
    assert np.all(sky.elevation[clear] > np.radians(10.0))
    assert np.all(sky.elevation[clear] > skyline_elevation(SKYLINE, sky.azimuth[clear]))
    assert not np.any(clear & (sky.elevation <= np.radians(10.0)))


@given(st.floats(0.0, 0.6))
def test_a_higher_skyline_never_shows_more(lift):
    sky = SKY
    higher = line(*((around, up + lift) for around, up in SKYLINE))
    assert not np.any(clear_of(sky, higher) & ~clear_of(sky, SKYLINE))


def test_two_antennas_share_what_both_hear():
    one, other = clear_of(SKY, SKYLINE), clear_of(SKY, line((0.0, 0.5), (3.0, 0.0)))
    both = in_common(one, other)
    assert np.array_equal(both, one & other)
    assert np.array_equal(in_common(one), one)
    with pytest.raises(RequestError, match="without an antenna"):
        in_common()


@pytest.mark.parametrize("pattern", AntennaPattern)
def test_an_open_sky_is_heard_best_overhead(pattern):
    levels = open_sky_levels_db(SKY, pattern)
    up = SKY.above(np.radians(5.0))
    assert levels.shape == SKY.elevation.shape
    assert np.all(levels[up] <= 45.0 + 1e-9)
    assert np.all(levels[up] >= 35.0)  # low satellites are heard at 35 to 45 dB-Hz
    higher = open_sky_levels_db(SKY, pattern, zenith_db=48.0)
    np.testing.assert_allclose(higher[up] - levels[up], 3.0)


@pytest.mark.parametrize("latitude", [-51.2, 0.0, 45.0, 51.2, 60.0, 67.0])
@pytest.mark.parametrize("systems", [ALL, (SatelliteSystem.GPS,)], ids=["four systems", "GPS"])
def test_no_satellite_ever_stands_in_the_empty_band_and_some_pass_along_its_edge(latitude, systems):
    sky = day(latitude, systems)
    up = sky.above(0.0)
    around, above = sky.azimuth[up], sky.elevation[up]
    orbits = shells(systems)
    assert not never_there(np.radians(latitude), orbits, around, above).any()
    narrower = tuple(Shell(each.radius, each.tilt - np.radians(1.5)) for each in orbits)
    assert never_there(np.radians(latitude), narrower, around, above).any()


def test_the_empty_band_lies_on_the_side_of_the_pole_and_rises_with_the_latitude():
    orbits = shells(ALL)
    bands = [empty_band(np.radians(latitude), orbits) for latitude in (45.0, 51.2, 60.0)]
    for band in bands:
        assert np.isfinite(band.low[0])
        assert np.isnan(band.low[180])
        assert band.low[0] < band.high[0]
    tops = [band.high[0] for band in bands]
    assert tops == sorted(tops)
    south = empty_band(np.radians(-51.2), orbits)
    assert np.isnan(south.low[0])
    np.testing.assert_allclose(south.low[180], bands[1].low[0])


def test_more_systems_never_leave_more_of_the_sky_empty():
    alone = empty_band(np.radians(51.2), shells([SatelliteSystem.GPS]))
    together = empty_band(np.radians(51.2), shells(ALL))
    assert 0.0 < together.share < alone.share < 0.5


def test_the_band_is_what_its_directions_say():
    orbits = shells(ALL)
    band = empty_band(np.radians(51.2), orbits, count=72)
    for azimuth, low, high in zip(band.azimuth, band.low, band.high, strict=True):
        if np.isfinite(low):
            assert never_there(np.radians(51.2), orbits, azimuth, (low + high) / 2)
            assert not never_there(np.radians(51.2), orbits, azimuth, min(high + 0.01, np.pi / 2))


SKY = day()
