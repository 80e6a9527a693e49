"""Clocks of the satellite systems."""

import re
from datetime import UTC, datetime, timedelta
from importlib import resources

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.laws.gnss_time import (
    EPOCH_UNIX,
    LEAP_SECONDS_CHECKED,
    WEEK,
    days_since_epoch,
    gps_from_beidou,
    gps_from_glonass,
    gps_from_utc,
    gps_seconds,
    leap_seconds,
    utc_from_gps,
    whole_week,
)

START = datetime(1980, 1, 6, tzinfo=UTC)
MOMENTS = st.integers(0, 3_500_000_000).map(float)


@given(st.datetimes(datetime(1980, 1, 6), datetime(2099, 12, 31)))
def test_counts_days_as_the_calendar_does(day):
    assert days_since_epoch(day.year, day.month, day.day) == (day.replace(tzinfo=UTC) - START).days


def test_the_start_is_the_unix_time_it_claims():
    assert START.timestamp() == EPOCH_UNIX


@given(MOMENTS)
def test_comes_back_from_utc(count):
    assert utc_from_gps(gps_from_utc(count)) == count


@given(MOMENTS, MOMENTS)
def test_later_stays_later(one, other):
    early, late = sorted((one, other))
    assert gps_from_utc(early) <= gps_from_utc(late)
    assert leap_seconds(early) <= leap_seconds(late)


@pytest.mark.published("IERS Bulletin C 54: UTC - TAI = -37 s from 2017-01-01, hence GPS - UTC = 18 s")
def test_gps_time_is_18_s_ahead_since_2017():
    midnight = float(gps_from_utc(gps_seconds(2017, 1, 1)))
    assert [float(leap_seconds(midnight + part)) for part in (-1.5, 0.0, 1e8)] == [17.0, 18.0, 18.0]


@pytest.mark.published("IERS list of leap seconds, as kept in the public-domain time zone database")
def test_every_leap_second_of_the_published_list_is_there():
    try:
        text = (resources.files("tzdata") / "zoneinfo" / "leapseconds").read_text("utf-8")
    except (ModuleNotFoundError, FileNotFoundError):
        pytest.skip("the time zone database is not installed")
    days = [
        datetime.strptime(f"{year} {month} {day}", "%Y %b %d").replace(tzinfo=UTC) + timedelta(days=1)
        for year, month, day in re.findall(r"^Leap\s+(\d+)\s+(\w+)\s+(\d+)\s", text, re.MULTILINE)
    ]
    since = [(day - START).total_seconds() for day in days if day > START]
    known = [count for count in since if count < float(gps_seconds(*LEAP_SECONDS_CHECKED))]
    assert len(known) == 18
    for number, count in enumerate(known, start=1):
        assert gps_from_utc(count) - count == number
        assert gps_from_utc(count - 1.0) - (count - 1.0) == number - 1


@pytest.mark.published("GPS week and second of a broadcast file of 2021-04-28: week 2155, 334 800 s at 21:00")
def test_a_known_day_falls_in_its_week():
    assert divmod(float(gps_seconds(2021, 4, 28, 21 * 3600.0)), WEEK) == (2155.0, 334_800.0)


@pytest.mark.published("receiver maker's page on week roll-over: 1999-08-22, 2019-04-07, 2038-11-21")
@pytest.mark.parametrize(
    ("day", "weeks"), [((1999, 8, 22), 1024), ((2019, 4, 7), 2048), ((2038, 11, 21), 3072)]
)
def test_weeks_roll_over_on_the_printed_days(day, weeks):
    assert gps_seconds(*day) == weeks * WEEK
    assert whole_week(0, gps_seconds(*day)) == weeks


@given(st.integers(0, 4000), st.integers(-511, 511))
def test_finds_the_whole_week_from_anywhere_within_ten_years(week, off):
    assert whole_week(week % 1024, (week + off) * WEEK) == week or week + off < 0


def test_a_whole_week_stays():
    assert whole_week(2155, 0.0) == 2155


@pytest.mark.recalled("BDS-SIS-ICD 2.1, 3.3: BeiDou time began with 2006-01-01 00:00:00 UTC")
def test_beidou_time_began_with_utc_in_2006():
    start = gps_seconds(2006, 1, 1)
    assert gps_from_beidou(start) == gps_from_utc(start) == start + 14.0


@pytest.mark.recalled("GLONASS ICD 5.1: GLONASS time is UTC plus three hours")
def test_glonass_shows_moscow_time():
    shown = gps_seconds(2021, 4, 28, 3 * 3600.0)
    assert gps_from_glonass(shown) == gps_from_utc(gps_seconds(2021, 4, 28))


def test_works_on_whole_arrays():
    counts = np.linspace(0.0, 1.5e9, 7)
    assert gps_from_utc(counts).shape == (7,)
    np.testing.assert_array_equal(utc_from_gps(gps_from_utc(counts)), counts)
