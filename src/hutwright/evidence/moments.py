"""Dates and times as a builder writes them, in the clock time of the site, as moments of GPS time."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta, timezone, tzinfo
from zoneinfo import ZoneInfo

from hutwright.errors import RequestError, shortened
from hutwright.evidence.side_file import Findings
from hutwright.laws.gnss_time import EPOCH_UNIX, gps_from_utc

FIRST_YEAR, LAST_YEAR = 2000, 2099  # of a reading: nobody measured before, ours to choose
LIKE = "a date and time such as 2025-11-03 07:30"
_MOMENT = re.compile(
    r"(\d{4})-(\d{1,2})-(\d{1,2})[ T](\d{1,2}):(\d{2})(?::(\d{2}))? ?(Z|UTC|[+-]\d{2}:\d{2})?", re.ASCII
)


def zone_named(name: str | None) -> tzinfo:
    """The time zone of a site; UTC where it names none.

    Parameters
    ----------
    name : str or None
        Its name, such as "Europe/Berlin".

    Raises
    ------
    RequestError
        Where this computer knows no such zone.
    """
    if name is None:
        return UTC
    try:
        return ZoneInfo(name)
    except (KeyError, ValueError, OSError):
        raise RequestError(
            f"this computer knows no time zone {shortened(name)}; correct site.time_zone, or write times "
            "with their distance to UTC, such as 2025-11-03 07:30+01:00, and leave the zone out"
        ) from None


def moment(findings: Findings, line: int, text: str, zone: tzinfo) -> float | None:
    """GPS time since 1980-01-06 of a date and time; a fault is kept and None comes back where it is none [s].

    Parameters
    ----------
    findings : Findings
        Where faults are kept.
    line : int
        Line that it stands in. [-]
    text : str
        What stands there; a distance to UTC at its end goes before the zone.
    zone : tzinfo
        The site's time zone.
    """
    read = shortened(text) if text else "nothing"
    found = _MOMENT.fullmatch(text)
    if found is None:
        findings.add(line, "time", read, LIKE, "year first, then month and day, hours from 0 to 23")
        return None
    *numbers, offset = found.groups()
    year, month, day, hour, minute, second = (int(each or 0) for each in numbers)
    if not FIRST_YEAR <= year <= LAST_YEAR:
        findings.add(line, "time", read, f"a year from {FIRST_YEAR} to {LAST_YEAR}", "correct the year")
        return None
    try:
        told = datetime(year, month, day, hour, minute, second, tzinfo=_offset(offset) or zone)
    except ValueError:
        findings.add(line, "time", read, "a day of the calendar and a time of day", "correct the line")
        return None
    if offset is None and not _once(told):
        wanted = "a time that the clocks showed once that day"
        findings.add(line, "time", read, wanted, "the clocks were changed: write it with +01:00 or the like")
        return None
    count = (told - datetime(1970, 1, 1, tzinfo=UTC)) / timedelta(seconds=1) - EPOCH_UNIX
    return float(gps_from_utc(count))


def _offset(text: str | None) -> tzinfo | None:
    """The zone of a distance to UTC.

    Raises
    ------
    ValueError
        For a distance of a day or more.
    """
    if text is None:
        return None
    if text in ("Z", "UTC"):
        return UTC
    hours, minutes = int(text[1:3]), int(text[4:6])
    if minutes > 59:
        raise ValueError("minutes beyond the hour")
    return timezone(timedelta(hours=hours, minutes=minutes) * (-1 if text[0] == "-" else 1))


def _once(told: datetime) -> bool:
    """Whether the clocks showed this time just once: not at a change to or from summer time."""
    return told.replace(fold=0).utcoffset() == told.replace(fold=1).utcoffset()
