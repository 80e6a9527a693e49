"""Almanacs in the SEM form: bare numbers in a fixed order, angles in half turns.

The tilt is given as what it has over 0.30 half turns (54 deg); the node is its longitude at the start of the
week.
"""

from __future__ import annotations

from itertools import islice
from math import pi

from hutwright.errors import shortened
from hutwright.evidence.orbits.gathering import ElementRecord
from hutwright.evidence.orbits.numbers import OF_WEEK, ROOT_AXIS, SHAPE, Bounds, bounded, whole_of
from hutwright.evidence.orbits.yuma import NUMBERS
from hutwright.evidence.side_file import Findings
from hutwright.laws.gnss_time import WEEK, whole_week
from hutwright.laws.orbit import OrbitElements, node_longitude
from hutwright.model.orbits import Satellite

MOST_RECORDS = 64  # GPS numbers its satellites 1 to 63; ours to choose
_REFERENCE_TILT = 0.30  # half turns; GPS SPS Performance Standard 2001, note to table A-2-1; standing: read
_REMEDY = "correct the line, or fetch the almanac again"
_HALF_TURNS = Bounds(-1.1, 1.1, "half turns")

# The lines of a satellite behind its number: names of the values in each, and what they can be. Definition of
# a SEM almanac on a public page of orbital data; standing: read.
_LINES: tuple[tuple[tuple[str, Bounds], ...], ...] = (
    (("satellite vehicle", Bounds(0, 999)),),
    (("average accuracy", Bounds(0, 15)),),
    (
        ("eccentricity", SHAPE),
        ("inclination offset", Bounds(-0.3, 0.7, "half turns")),
        ("rate of right ascension", Bounds(-1e-6, 1e-6, "half turns/s")),
    ),
    (
        ("root of the semi-major axis", ROOT_AXIS),
        ("longitude of the node", _HALF_TURNS),
        ("argument of perigee", _HALF_TURNS),
    ),
    (
        ("mean anomaly", _HALF_TURNS),
        ("clock offset", Bounds(-1.0, 1.0, "s")),
        ("clock drift", Bounds(-1e-6, 1e-6, "s/s")),
    ),
    (("health", Bounds(0, 511)),),
    (("configuration", Bounds(0, 15)),),
)
_LENGTH = len(_LINES) + 1


def is_sem(text: str) -> bool:
    """Whether a text begins as such an almanac does: a count with a title, then two numbers."""
    rows = [row.split() for row in islice((row for row in text[:2_000].split("\n") if row.strip()), 2)]
    return (
        len(rows) == 2
        and whole_of(rows[0][0]) is not None
        and len(rows[1]) == 2
        and whole_of(rows[1][0]) is not None
    )


def read_sem(text: str, findings: Findings, near: float) -> list[ElementRecord]:
    """The records of an almanac; its faults go to the findings.

    Parameters
    ----------
    text : str
        The whole file.
    findings : Findings
        Where faults are kept.
    near : float
        GPS time that tells which turn of the week number is meant. [s]
    """
    rows = [(number, row) for number, row in enumerate(text.split("\n"), start=1) if row.strip()]
    if len(rows) < 2:
        findings.add(0, "", f"{len(rows)} lines", "a count, a week and records", "fetch the almanac again")
        return []
    (count_line, count_row), (week_line, week_row), *rest = rows
    count = whole_of(count_row.split()[0])
    if count is None or not 0 < count <= MOST_RECORDS:
        wanted = f"the number of records, 1 to {MOST_RECORDS}, and a title"
        findings.add(count_line, "", shortened(count_row.strip()), wanted, _REMEDY)
        return []
    epoch = _epoch(week_line, week_row, findings, near)
    if len(rest) != count * _LENGTH:
        read, line = f"{len(rest)} lines behind the week", rest[-1][0] if rest else week_line
        wanted = f"{count * _LENGTH} for {count} records of {_LENGTH}"
        findings.add(
            line, "", read, wanted, "correct the count in the first line, or fetch the almanac again"
        )
        return []
    if epoch is None:
        return []
    return _records(rest, findings, *epoch)


def _epoch(line: int, row: str, findings: Findings, near: float) -> tuple[float, float] | None:
    """Whole week and second of week."""
    parts = row.split()
    if len(parts) != 2 or (week := whole_of(parts[0])) is None or week > 9_999:
        findings.add(line, "week", shortened(row.strip()), "a week and a second of the week", _REMEDY)
        return None
    second = bounded(findings, line, "time of applicability", parts[1], OF_WEEK, _REMEDY)
    return None if second is None else (float(whole_week(week, near)), second)


def _records(
    rows: list[tuple[int, str]], findings: Findings, week: float, second: float
) -> list[ElementRecord]:
    """Every record, the right number of lines being there."""
    records: list[ElementRecord] = []
    seen: dict[int, int] = {}
    for start in range(0, len(rows), _LENGTH):
        if findings.full:
            break
        (line, row), *rest = rows[start : start + _LENGTH]
        prn = whole_of(row)
        if prn is None or not NUMBERS.hold(prn):
            findings.add(line, "PRN", shortened(row.strip()), f"a satellite's number, {NUMBERS}", _REMEDY)
            continue
        if prn in seen:
            remedy = f"it stands in line {seen[prn]} too: delete one"
            findings.add(line, "PRN", f"{prn} again", "each satellite once", remedy)
        seen.setdefault(prn, line)
        values = _values(rest, findings)
        if values is not None:
            records.append(_satellite(prn, values, week, second))
    return records


def _values(rows: list[tuple[int, str]], findings: Findings) -> dict[str, float] | None:
    """The values of one record by name, or None where one is at fault."""
    values: dict[str, float] = {}
    sound = True
    for (line, row), names in zip(rows, _LINES, strict=True):
        parts = row.split()
        if len(parts) != len(names):
            wanted = f"{len(names)}: {', '.join(name for name, _ in names)}"
            findings.add(line, "", f"{len(parts)} values", wanted, _REMEDY)
            return None
        for part, (name, bounds) in zip(parts, names, strict=True):
            found = bounded(findings, line, name, part, bounds, _REMEDY)
            sound = sound and found is not None
            values[name] = found if found is not None else 0.0
    return values if sound else None


def _satellite(prn: int, values: dict[str, float], week: float, second: float) -> ElementRecord:
    """The record of sound values."""
    elements = OrbitElements(
        semi_major_axis=values["root of the semi-major axis"] ** 2,
        eccentricity=values["eccentricity"],
        inclination=(_REFERENCE_TILT + values["inclination offset"]) * pi,
        node=float(node_longitude(values["longitude of the node"] * pi, second)),
        node_rate=values["rate of right ascension"] * pi,
        perigee=values["argument of perigee"] * pi,
        mean_anomaly=values["mean anomaly"] * pi,
    )
    return ElementRecord(
        satellite=Satellite("GPS", f"G{prn:02d}"),
        epoch=week * WEEK + second,
        elements=elements,
        healthy=values["health"] == 0.0,
        geostationary=False,
    )
