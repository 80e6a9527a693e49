"""Clocks of the satellite systems: one count of seconds for all, and how each system's own time meets it.

Inside this project time is one float: seconds of GPS time since 1980-01-06 00:00:00. A *UTC count* runs from
the same midnight but leaves leap seconds out, as the usual computer clocks do.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

DAY = 86_400.0  # s; definition
WEEK = 604_800.0  # s; definition
SIDEREAL_DAY = 86_164.0905  # s, one turn of the Earth against the stars; textbook; standing: recalled
EPOCH_UNIX = 315_964_800.0  # s, 1980-01-06 00:00:00 UTC as a Unix time; 3657 days; standing: derived here
BEIDOU_BEHIND = 14.0  # s that BeiDou time runs behind GPS time; BDS-SIS-ICD 2.1, 3.3; standing: recalled
GLONASS_AHEAD = 10_800.0  # s that GLONASS time runs ahead of UTC; GLONASS ICD 5.1, 3.3.3; standing: recalled
ROLLOVER_WEEKS = 1024  # IS-GPS-200, 10-bit week number; standing: read (roll-over dates of a reference page)

# Day from which GPS time runs ahead of UTC by one second more, the first by 1 s, the last by 18 s.
# IERS list of leap seconds as kept in the public-domain time zone database; standing: read. The last step
# also stands in IERS Bulletin C 54. None is added up to LEAP_SECONDS_CHECKED.
_LEAP_DAYS = (
    (1981, 7, 1),
    (1982, 7, 1),
    (1983, 7, 1),
    (1985, 7, 1),
    (1988, 1, 1),
    (1990, 1, 1),
    (1991, 1, 1),
    (1992, 7, 1),
    (1993, 7, 1),
    (1994, 7, 1),
    (1996, 1, 1),
    (1997, 7, 1),
    (1999, 1, 1),
    (2006, 1, 1),
    (2009, 1, 1),
    (2012, 7, 1),
    (2015, 7, 1),
    (2017, 1, 1),
)
LEAP_SECONDS_CHECKED = (2027, 6, 28)  # day on which the list that was read runs out; standing: read


def days_since_epoch(year: ArrayLike, month: ArrayLike, day: ArrayLike) -> Floats:
    r"""Days from 1980-01-06 to a day of the calendar.

    Parameters
    ----------
    year : array_like, shape (...)
        Year of the Gregorian calendar, four digits. [-]
    month : array_like, shape (...)
        Month, 1 to 12. [-]
    day : array_like, shape (...)
        Day of the month, from 1. [-]

    Returns
    -------
    numpy.ndarray, shape (...)
        Whole days; negative before. [d]

    Notes
    -----
    Valid for the Gregorian calendar; exact. A day beyond the month's end counts on into the next.

    References
    ----------
    .. [1] Rule of the Gregorian calendar: leap years, counted from March on. Standing: derived here.

    Examples
    --------
    >>> float(days_since_epoch(1999, 8, 22)) / 7
    1024.0
    """
    year, month = np.asarray(year, dtype=float), np.asarray(month, dtype=float)
    spring = np.floor((month + 9) % 12)  # months since March
    counted = year - np.floor(spring / 10)
    leaps = np.floor(counted / 4) - np.floor(counted / 100) + np.floor(counted / 400)
    days = 365 * counted + leaps + np.floor((153 * spring + 2) / 5) + np.asarray(day, dtype=float)
    return np.asarray(days - 723_126.0)


def gps_seconds(year: ArrayLike, month: ArrayLike, day: ArrayLike, second_of_day: ArrayLike = 0.0) -> Floats:
    r"""Seconds of GPS time since its start, for a date and time that a GPS clock shows.

    Parameters
    ----------
    year : array_like, shape (...)
        Year, four digits. [-]
    month : array_like, shape (...)
        Month, 1 to 12. [-]
    day : array_like, shape (...)
        Day of the month, from 1. [-]
    second_of_day : array_like, shape (...)
        Seconds since midnight. [s]

    Returns
    -------
    numpy.ndarray, shape (...)
        Seconds since 1980-01-06 00:00:00. [s]

    Notes
    -----
    Valid for dates of a clock that knows no leap seconds; for UTC take the same as a UTC count and convert
    it. Exact.

    References
    ----------
    .. [1] IS-GPS-200, definition of GPS time. Standing: recalled.

    Examples
    --------
    >>> divmod(float(gps_seconds(2021, 4, 28, 75_600.0)), WEEK)
    (2155.0, 334800.0)
    """
    return np.asarray(DAY * days_since_epoch(year, month, day) + np.asarray(second_of_day, dtype=float))


_LEAP_COUNTS = np.array([float(gps_seconds(*day)) for day in _LEAP_DAYS])  # UTC count at each step
_LEAP_GPS = _LEAP_COUNTS + np.arange(1, len(_LEAP_DAYS) + 1)  # GPS time at each step


def leap_seconds(gps_time: ArrayLike) -> Floats:
    r"""How far GPS time runs ahead of UTC at a moment of GPS time.

    Parameters
    ----------
    gps_time : array_like, shape (...)
        GPS time since 1980-01-06. [s]

    Returns
    -------
    numpy.ndarray, shape (...)
        Lead of GPS time, 0 before July 1981. [s]

    Notes
    -----
    Valid for moments from 1980 to ``LEAP_SECONDS_CHECKED``; later the last known value is taken, and a
    second more would move a satellite by 4 km, which no direction shows.

    References
    ----------
    .. [1] IERS list of leap seconds, and IERS Bulletin C 54: 18 s from 2017-01-01 on. Standing: read.

    Examples
    --------
    >>> float(leap_seconds(gps_seconds(2021, 4, 28)))
    18.0
    """
    return np.searchsorted(_LEAP_GPS, np.asarray(gps_time, dtype=float), side="right").astype(float)


def utc_from_gps(gps_time: ArrayLike) -> Floats:
    r"""UTC count of a moment of GPS time.

    Parameters
    ----------
    gps_time : array_like, shape (...)
        GPS time since 1980-01-06. [s]

    Returns
    -------
    numpy.ndarray, shape (...)
        Seconds since 1980-01-06 00:00:00 UTC, leap seconds left out. [s]

    Notes
    -----
    Valid for moments from 1980 on; within a leap second the count stands one second ahead. Exact otherwise.

    References
    ----------
    .. [1] IERS list of leap seconds. Standing: read.

    Examples
    --------
    >>> float(utc_from_gps(18.0 + gps_seconds(2021, 4, 28)) - gps_seconds(2021, 4, 28))
    0.0
    """
    gps_time = np.asarray(gps_time, dtype=float)
    return np.asarray(gps_time - leap_seconds(gps_time))


def gps_from_utc(utc_count: ArrayLike) -> Floats:
    r"""GPS time of a moment of UTC.

    Parameters
    ----------
    utc_count : array_like, shape (...)
        Seconds since 1980-01-06 00:00:00 UTC, leap seconds left out: a Unix time less ``EPOCH_UNIX``. [s]

    Returns
    -------
    numpy.ndarray, shape (...)
        GPS time since 1980-01-06. [s]

    Notes
    -----
    Valid for moments from 1980 on. Exact.

    References
    ----------
    .. [1] IERS list of leap seconds. Standing: read.

    Examples
    --------
    >>> float(gps_from_utc(1_000_000_000.0))  # 2011
    1000000015.0
    """
    utc_count = np.asarray(utc_count, dtype=float)
    return np.asarray(utc_count + np.searchsorted(_LEAP_COUNTS, utc_count, side="right"))


def gps_from_beidou(beidou_time: ArrayLike) -> Floats:
    r"""GPS time of a moment that a BeiDou clock shows as date and time.

    Parameters
    ----------
    beidou_time : array_like, shape (...)
        The shown date and time, counted since 1980-01-06 00:00:00 as `gps_seconds` does. [s]

    Returns
    -------
    numpy.ndarray, shape (...)
        GPS time since 1980-01-06. [s]

    Notes
    -----
    Valid for BeiDou time, which has known no leap second since 2006-01-01 00:00:00 UTC. Within 0.1 us.

    References
    ----------
    .. [1] BDS-SIS-ICD 2.1, 3.3: BeiDou time began with 2006-01-01 00:00:00 UTC. Standing: recalled; the 14 s
       follow from it and the list of leap seconds.

    Examples
    --------
    >>> float(gps_from_beidou(gps_seconds(2006, 1, 1)) - gps_from_utc(gps_seconds(2006, 1, 1)))
    0.0
    """
    return np.asarray(np.asarray(beidou_time, dtype=float) + BEIDOU_BEHIND)


def gps_from_glonass(glonass_time: ArrayLike) -> Floats:
    r"""GPS time of a moment that a GLONASS clock shows as date and time.

    Parameters
    ----------
    glonass_time : array_like, shape (...)
        The shown date and time (three hours ahead of UTC), counted since 1980-01-06 00:00:00. [s]

    Returns
    -------
    numpy.ndarray, shape (...)
        GPS time since 1980-01-06. [s]

    Notes
    -----
    Valid for GLONASS time itself; RINEX files show the same moments in UTC instead. Within 1 us.

    References
    ----------
    .. [1] GLONASS ICD 5.1, 3.3.3, UTC(SU) + 3 h. Standing: recalled.

    Examples
    --------
    >>> float(gps_from_glonass(gps_seconds(2021, 4, 28, 10_800.0)) - gps_seconds(2021, 4, 28))
    18.0
    """
    return gps_from_utc(np.asarray(glonass_time, dtype=float) - GLONASS_AHEAD)


def whole_week(week: ArrayLike, near: ArrayLike) -> Floats:
    r"""The GPS week that a week number of ten bits means, the nearest to a given moment.

    Parameters
    ----------
    week : array_like, shape (...)
        Week number; above 1023 it is whole already and comes back as it is. [-]
    near : array_like, shape (...)
        GPS time that the answer should be near to. [s]

    Returns
    -------
    numpy.ndarray, shape (...)
        Weeks since 1980-01-06. [-]

    Notes
    -----
    Valid for a moment within 9.8 years of the right week.

    References
    ----------
    .. [1] IS-GPS-200, 10-bit week number; roll-overs 1999-08-22, 2019-04-07, 2038-11-21. Standing: read.

    Examples
    --------
    >>> float(whole_week(107, gps_seconds(2021, 4, 28)))
    2155.0
    """
    week = np.asarray(week, dtype=float)
    turns = np.round((np.asarray(near, dtype=float) / WEEK - week) / ROLLOVER_WEEKS)
    return np.where(week < ROLLOVER_WEEKS, week + ROLLOVER_WEEKS * np.maximum(turns, 0.0), week)
