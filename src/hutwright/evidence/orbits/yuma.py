"""Almanacs in the YUMA form: a heading and thirteen labelled lines for each GPS satellite.

Labels differ from one publisher to the next; they are told by how they begin. The node is its longitude at
the start of the week.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from difflib import get_close_matches
from typing import NamedTuple

from hutwright.errors import shortened
from hutwright.evidence.orbits.gathering import ElementRecord
from hutwright.evidence.orbits.numbers import (
    ANGLE,
    NODE_RATE,
    OF_WEEK,
    ROOT_AXIS,
    SHAPE,
    TILT,
    Bounds,
    bounded,
)
from hutwright.evidence.side_file import Findings
from hutwright.laws.gnss_time import WEEK, whole_week
from hutwright.laws.orbit import OrbitElements, node_longitude
from hutwright.model.orbits import Satellite

MOST_RECORDS = 64  # GPS numbers its satellites 1 to 63; ours to choose
MOST_ROWS = 40  # of one record; ours to choose
HEADING = re.compile(r"\s*\*+\s*week\s+\d+\s+almanac\b.*", re.IGNORECASE)
_REMEDY = "correct the line, or fetch the almanac again"
NUMBERS = Bounds(1, 63)  # of satellites, IS-GPS-200; standing: recalled
_WEEKS = Bounds(0, 9_999)
_HEALTH = Bounds(0, 999)

# How a label begins, in small letters, and what its value can be. Definition of a YUMA almanac on a public
# page of orbital data; standing: read.
LABELS: dict[str, Bounds] = {
    "id": NUMBERS,
    "health": _HEALTH,
    "eccentricity": SHAPE,
    "time of applicability": OF_WEEK,
    "orbital inclination": TILT,
    "rate of right ascen": NODE_RATE,
    "sqrt(a)": ROOT_AXIS,
    "right ascen": ANGLE,
    "argument of perigee": ANGLE,
    "mean anom": ANGLE,
    "af0": Bounds(-1.0, 1.0, "s"),
    "af1": Bounds(-1e-6, 1e-6, "s/s"),
    "week": _WEEKS,
}
_NOT_NEEDED = ("af0", "af1")  # the clock: its number is looked at, but an almanac without it still serves


class _Block(NamedTuple):
    """The lines of one satellite: the number of its heading, then number and text of each."""

    line: int
    rows: list[tuple[int, str]]


def read_yuma(text: str, findings: Findings, near: float) -> list[ElementRecord]:
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
    records: list[ElementRecord] = []
    seen: dict[str, int] = {}
    for count, block in enumerate(_blocks(text, findings)):
        if findings.full:
            break
        if count >= MOST_RECORDS:
            findings.add(block.line, "", f"record {count + 1}", f"at most {MOST_RECORDS}", "split the file")
            break
        record = _record(block, findings, near)
        if record is None:
            continue
        name = record.satellite.name
        if name in seen:
            wanted = "each satellite once"
            findings.add(block.line, "ID", name, wanted, f"it stands in line {seen[name]} too: delete one")
        seen.setdefault(name, block.line)
        records.append(record)
    return records


def _blocks(text: str, findings: Findings) -> Iterator[_Block]:
    """Each heading with the lines behind it."""
    block: _Block | None = None
    for number, row in enumerate(text.split("\n"), start=1):
        if HEADING.fullmatch(row[:200]):
            if block is not None:
                yield block
            block = _Block(number, [])
        elif row.strip() and block is None:
            wanted = "a heading such as ******** Week 755 almanac for PRN-01 ********"
            findings.add(number, "", shortened(row.strip()), wanted, "add the heading, or delete the line")
            return
        elif row.strip() and block is not None:
            if len(block.rows) >= MOST_ROWS:
                read, remedy = f"more than {MOST_ROWS} lines", "look for a heading that is missing"
                findings.add(block.line, "", read, f"a record of {len(LABELS)} lines", remedy)
                return
            block.rows.append((number, row))
    if block is not None:
        yield block


def _record(block: _Block, findings: Findings, near: float) -> ElementRecord | None:
    """One satellite, or None where a line of it is at fault."""
    values: dict[str, float] = {}
    lines: dict[str, int] = {}
    sound = True
    for number, row in block.rows:
        written, colon, value = row.partition(":")
        label = _label(written)
        if not colon or label is None:
            sound = False
            findings.add(number, "", shortened(row.strip()), *_advice(written, colon))
        elif label in lines:
            sound = False
            read, remedy = f"{written.strip()} again", f"it stands in line {lines[label]} too: delete one"
            findings.add(number, written.strip(), read, "each label once in a record", remedy)
        else:
            lines[label] = number
            found = bounded(findings, number, written.strip(), value, LABELS[label], _REMEDY)
            sound = sound and found is not None
            values[label] = found if found is not None else 0.0
        if findings.full:
            return None
    missing = [label for label in LABELS if label not in lines and label not in _NOT_NEEDED]
    if missing:
        read = f"a record of {len(block.rows)} lines"
        findings.add(block.line, "", read, f"a line that begins {missing[0]!r}", "fetch the almanac again")
    for label in ("id", "week", "health"):
        if label in lines and sound and not values[label].is_integer():
            findings.add(lines[label], label, f"{values[label]:g}", "a whole number", _REMEDY)
            sound = False
    return _satellite(values, near) if sound and not missing else None


def _label(written: str) -> str | None:
    """Which label a text begins with."""
    bare = " ".join(written.lower().split())
    return next((label for label in LABELS if bare.startswith(label)), None)


def _advice(written: str, colon: str) -> tuple[str, str]:
    """What was wanted where a label is not known, and what to do."""
    if not colon:
        return "a label, a colon and a number", "write the colon, or delete the line"
    near = get_close_matches(" ".join(written.lower().split())[:60], LABELS, n=1, cutoff=0.5)
    wanted = f"one of: {', '.join(LABELS)}"
    return wanted, f"write {near[0]!r}?" if near else "delete the line"


def _satellite(values: dict[str, float], near: float) -> ElementRecord:
    """The record of sound values."""
    second = values["time of applicability"]
    week = float(whole_week(values["week"], near))
    elements = OrbitElements(
        semi_major_axis=values["sqrt(a)"] ** 2,
        eccentricity=values["eccentricity"],
        inclination=values["orbital inclination"],
        node=float(node_longitude(values["right ascen"], second)),
        node_rate=values["rate of right ascen"],
        perigee=values["argument of perigee"],
        mean_anomaly=values["mean anom"],
    )
    return ElementRecord(
        satellite=Satellite("GPS", f"G{int(values['id']):02d}"),
        epoch=week * WEEK + second,
        elements=elements,
        healthy=values["health"] == 0.0,
        geostationary=False,
    )


def is_yuma(text: str) -> bool:
    """Whether a text looks like such an almanac."""
    start = text[:4_000]
    return any(HEADING.fullmatch(row[:200]) for row in start.split("\n")) or bool(
        re.search(r"(?im)^\s*(id|eccentricity|sqrt\(a\)[^:\n]{0,20}):", start)
    )
