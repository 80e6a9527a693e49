"""One record of a RINEX navigation file: the columns it stands in and what they mean."""

from __future__ import annotations

from calendar import monthrange
from dataclasses import dataclass
from typing import NamedTuple

from hutwright.errors import shortened
from hutwright.evidence.orbits.gathering import ElementRecord, Record, StateRecord
from hutwright.evidence.orbits.numbers import (
    ANGLE,
    NODE_RATE,
    OF_WEEK,
    ROOT_AXIS,
    SHAPE,
    TILT,
    Bounds,
    bounded,
    number_of,
    whole_of,
)
from hutwright.evidence.side_file import Findings
from hutwright.laws.gnss_time import WEEK, gps_from_beidou, gps_from_utc, gps_seconds
from hutwright.laws.orbit import (
    BEIDOU_EARTH_TURNING,
    BEIDOU_GRAVITY,
    EARTH_TURNING,
    GALILEO_GRAVITY,
    GPS_GRAVITY,
    OrbitElements,
    node_longitude,
)
from hutwright.model.orbits import Satellite

_WIDTH = 19  # characters of a number; RINEX 2.11 and 3.04, formats; recalled, and seen in files
_REMEDY = "correct the number, delete the whole record, or fetch the file again"
_OUT_OF_PLACE = "the line is shifted or cut off: fetch the file again"
_WAVE = Bounds(-1e-3, 1e-3, "rad")
_LENGTH_WAVE = Bounds(-5e3, 5e3, "m")

# Line (from 0) and column (from 0) of each field that is needed. RINEX 2.11 table A4 and 3.04 tables A5, A8,
# A14: the same places for GPS, Galileo and BeiDou; standing: recalled, and seen in files of all three.
_ELEMENTS: dict[str, tuple[int, int, Bounds]] = {
    "Crs": (1, 1, _LENGTH_WAVE),
    "Delta n": (1, 2, Bounds(-1e-7, 1e-7, "rad/s")),
    "M0": (1, 3, ANGLE),
    "Cuc": (2, 0, _WAVE),
    "e": (2, 1, SHAPE),
    "Cus": (2, 2, _WAVE),
    "sqrt(A)": (2, 3, ROOT_AXIS),
    "Toe": (3, 0, OF_WEEK),
    "Cic": (3, 1, _WAVE),
    "OMEGA0": (3, 2, ANGLE),
    "Cis": (3, 3, _WAVE),
    "i0": (4, 0, TILT),
    "Crc": (4, 1, _LENGTH_WAVE),
    "omega": (4, 2, ANGLE),
    "OMEGA DOT": (4, 3, NODE_RATE),
    "IDOT": (5, 0, Bounds(-1e-7, 1e-7, "rad/s")),
}
_HEALTH = (6, 1)
# The same for GLONASS, km and seconds. RINEX 2.11 table A10 and 3.04 table A10; standing: as above.
_PLACE, _SPEED = Bounds(-30_000.0, 30_000.0, "km"), Bounds(-10.0, 10.0, "km/s")
_PULL = Bounds(-1e-6, 1e-6, "km/s2")
_STATES: dict[str, tuple[int, int, Bounds]] = {
    f"{axis}{part}": (line, column, bounds)
    for line, axis in enumerate("XYZ", start=1)
    for column, (part, bounds) in enumerate(((" position", _PLACE), (" velocity", _SPEED), (" pull", _PULL)))
}
_STATE_HEALTH = (1, 3)
_GLONASS_RADIUS = Bounds(24_000.0, 27_000.0, "km")  # they fly at 25 500; ours to choose
_LINES = {
    "G": (8,),
    "E": (8,),
    "C": (8,),
    "R": (4, 5),
}  # GLONASS has a fifth line from edition 3.05 on; recalled
_NAMES = {"G": "GPS", "E": "Galileo", "C": "BeiDou", "R": "GLONASS"}
_LEFT_OUT = "JIS"  # Japanese, Indian and geostationary helpers: known, and not used here
_NUMBERS = Bounds(1, 99)
# Bits of Galileo's health that speak of the first frequency: its validity and its state. RINEX 3.04 table A8;
# standing: recalled.
_GALILEO_E1_BITS = 0b111
# A BeiDou satellite in a geostationary orbit by its elements: high, and with the 5 deg of its own frame.
_GEOSTATIONARY_ROOT_AXIS = 6_300.0  # m^1/2, 39 700 km; inclined ones reach it too
_GEOSTATIONARY_TILT = 0.35  # rad; inclined ones have 0.9; ours to choose


@dataclass(frozen=True, kw_only=True, slots=True)
class Layout:
    """How the records of a file are laid out; `system` is the letter of the only one, where there is one."""

    edition: int
    system: str | None
    indent: int


class _Head(NamedTuple):
    """What the first line of a record says."""

    letter: str
    number: int
    moment: float  # as the system's own clock shows it, counted since 1980-01-06. [s]


def record_of(line: int, rows: list[str], layout: Layout, findings: Findings) -> Record | None:
    """One record, or None where it is at fault or of a system that is not used.

    Parameters
    ----------
    line : int
        Number of its first line.
    rows : list of str
        Its lines.
    layout : Layout
        How they are laid out.
    findings : Findings
        Where faults are kept.
    """
    letter = layout.system or rows[0][0]
    if letter in _LEFT_OUT:
        return None
    head = _head(line, rows[0], letter, layout, findings)
    if head is None:
        return None
    if len(rows) not in _LINES[letter]:
        wanted = " or ".join(map(str, _LINES[letter]))
        read = f"a record of {len(rows)} lines"
        findings.add(line, _name(head), read, f"{wanted} lines", "the file is cut off here: fetch it again")
        return None
    fields = _STATES if letter == "R" else _ELEMENTS
    values = _values(line, rows, layout, fields, findings)
    place = _STATE_HEALTH if letter == "R" else _HEALTH
    health = _health(line, rows, layout, place, findings)
    if values is None or health is None:
        return None
    if letter == "R":
        return _state(line, head, values, findings, healthy=health == 0.0)
    return _elements(head, values, health)


def _name(head: _Head) -> str:
    return f"{head.letter}{head.number:02d}"


def _head(line: int, row: str, letter: str, layout: Layout, findings: Findings) -> _Head | None:
    """Satellite and moment of a record."""
    if letter not in _LINES:
        wanted = f"a satellite such as G06: one of {', '.join((*_LINES, *_LEFT_OUT))} and a number"
        findings.add(line, "", shortened(row[:3]), wanted, "fetch the file again")
        return None
    number = whole_of(row[1:3] if layout.edition == 3 else row[:2])
    if number is None or not _NUMBERS.hold(number):
        read = shortened(row[: layout.indent].strip())
        findings.add(line, "", read, f"a satellite's number, {_NUMBERS}", "fetch the file again")
        return None
    moment = _moment(row, layout)
    if moment is None:
        read, wanted = shortened(row[layout.indent - 1 : 23].strip()), "a moment: year month day h min s"
        findings.add(line, f"{letter}{number:02d}", read, wanted, _REMEDY)
        return None
    return _Head(letter, number, moment)


def _moment(row: str, layout: Layout) -> float | None:
    """The moment in the first line, as its clock shows it; None where there is no such moment."""
    if layout.edition == 3:
        cuts = ((4, 8), (8, 11), (11, 14), (14, 17), (17, 20), (20, 23))
    else:
        cuts = ((2, 5), (5, 8), (8, 11), (11, 14), (14, 17), (17, 22))
    *whole, last = (row[start:end] for start, end in cuts)
    numbers = [whole_of(each) for each in whole]
    second = number_of(last)
    if second is None or any(each is None for each in numbers):
        return None
    year, month, day, hour, minute = (each for each in numbers if each is not None)
    if layout.edition == 2 and year < 100:
        year += 1900 if year >= 80 else 2000  # RINEX 2.11: 80 to 99 are of the last century; recalled
    if not (1980 <= year <= 2099 and 1 <= month <= 12 and 1 <= day <= monthrange(year, month)[1]):
        return None
    if not (hour < 24 and minute < 60 and 0.0 <= second <= 60.0):
        return None
    return float(gps_seconds(year, month, day, 3600.0 * hour + 60.0 * minute + second))


def _field(rows: list[str], layout: Layout, place: tuple[int, int]) -> str:
    start = layout.indent + _WIDTH * place[1]
    return rows[place[0]][start : start + _WIDTH]


def _values(
    line: int,
    rows: list[str],
    layout: Layout,
    fields: dict[str, tuple[int, int, Bounds]],
    findings: Findings,
) -> dict[str, float] | None:
    """The needed fields by name, or None where one is at fault."""
    values: dict[str, float] = {}
    for name, (row, column, bounds) in fields.items():
        text = _field(rows, layout, (row, column))
        if text.strip() and (len(text) < _WIDTH or text[-1].isspace()):  # it would lose a digit or its sign
            wanted = f"a number that ends {_WIDTH * (column + 1) + layout.indent} characters into the line"
            findings.add(line + row, name, shortened(text), wanted, _OUT_OF_PLACE)
            return None
        found = bounded(findings, line + row, name, text, bounds, _REMEDY)
        if found is not None:
            values[name] = found
    return values if len(values) == len(fields) else None


def _health(
    line: int, rows: list[str], layout: Layout, place: tuple[int, int], findings: Findings
) -> float | None:
    """What the satellite says of itself; nothing is as good as 0."""
    text = _field(rows, layout, place)
    if not text.strip():
        return 0.0
    return bounded(findings, line + place[0], "health", text, Bounds(0.0, 1e6), _REMEDY)


def _elements(head: _Head, values: dict[str, float], health: float) -> ElementRecord:
    """The record of sound orbital elements."""
    gravity = {"G": GPS_GRAVITY, "E": GALILEO_GRAVITY, "C": BEIDOU_GRAVITY}[head.letter]
    turning = BEIDOU_EARTH_TURNING if head.letter == "C" else EARTH_TURNING
    # The week is that of the record's moment: week numbers in files are counted in several ways.
    moment = head.moment + (values["Toe"] - head.moment + WEEK / 2.0) % WEEK - WEEK / 2.0
    elements = OrbitElements(
        semi_major_axis=values["sqrt(A)"] ** 2,
        eccentricity=values["e"],
        inclination=values["i0"],
        node=float(node_longitude(values["OMEGA0"], values["Toe"], turning)),
        node_rate=values["OMEGA DOT"],
        perigee=values["omega"],
        mean_anomaly=values["M0"],
        gravity=gravity,
        earth_turning=turning,
        motion_added=values["Delta n"],
        inclination_rate=values["IDOT"],
        latitude_cosine=values["Cuc"],
        latitude_sine=values["Cus"],
        radius_cosine=values["Crc"],
        radius_sine=values["Crs"],
        inclination_cosine=values["Cic"],
        inclination_sine=values["Cis"],
    )
    bits = int(health) & _GALILEO_E1_BITS if head.letter == "E" else int(health)
    return ElementRecord(
        satellite=Satellite(_NAMES[head.letter], _name(head)),
        epoch=float(gps_from_beidou(moment)) if head.letter == "C" else moment,
        elements=elements,
        healthy=bits == 0,
        geostationary=head.letter == "C"
        and values["sqrt(A)"] > _GEOSTATIONARY_ROOT_AXIS
        and values["i0"] < _GEOSTATIONARY_TILT,
    )


def _state(
    line: int, head: _Head, values: dict[str, float], findings: Findings, *, healthy: bool
) -> StateRecord | None:
    """The record of a sound place and velocity, from km to m and from UTC to GPS time."""
    parts = {
        part: tuple(1e3 * values[f"{axis} {part}"] for axis in "XYZ")
        for part in ("position", "velocity", "pull")
    }
    radius = sum(each * each for each in parts["position"]) ** 0.5 / 1e3
    if not _GLONASS_RADIUS.hold(radius):
        read = f"a satellite {radius:.0f} km from the Earth's middle"
        findings.add(line, _name(head), read, str(_GLONASS_RADIUS), _REMEDY)
        return None
    x, y, z = parts["position"]
    speed_x, speed_y, speed_z = parts["velocity"]
    pull_x, pull_y, pull_z = parts["pull"]
    return StateRecord(
        satellite=Satellite(_NAMES[head.letter], _name(head)),
        epoch=float(gps_from_utc(head.moment)),
        position=(x, y, z),
        velocity=(speed_x, speed_y, speed_z),
        acceleration=(pull_x, pull_y, pull_z),
        healthy=healthy,
    )
