"""Navigation files in the RINEX form, editions 2 and 3: what the satellites themselves send, by the hour.

GPS, Galileo, BeiDou and GLONASS are read; other satellites are left out. Every field that is needed is looked
at where the standard puts it, in columns of 19 characters. Moments are turned into GPS time: BeiDou's clock
runs 14 s behind, and GLONASS records show UTC.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from hutwright.errors import shortened
from hutwright.evidence.orbits.gathering import Record
from hutwright.evidence.orbits.numbers import number_of
from hutwright.evidence.orbits.rinex_record import Layout, record_of
from hutwright.evidence.side_file import Findings

MOST_HEADER_LINES = 5_000  # merged files list every source in the header; ours to choose
MOST_RECORDS = 60_000  # a day of all systems from all stations has under 20 000; ours to choose
MOST_LINES_OF_RECORD = 10  # the longest has 8; ours to choose
_LABEL_COLUMN = 60  # RINEX 2.11 and 3.04, section 5; standing: recalled, seen in files
_FIRST_LABEL = "RINEX VERSION / TYPE"
_LAST_LABEL = "END OF HEADER"

# Letter of the first line -> the one system of an edition 2 file. RINEX 2.11; recalled, and seen in files
_SYSTEM_OF_TYPE = {"N": "G", "G": "R"}
_OTHER_TYPES = {"O": "observations", "M": "weather readings", "H": "geostationary helpers", "C": "clocks"}


class Raw(NamedTuple):
    """The lines of one record, and the number of the first."""

    line: int
    rows: list[str]


def is_rinex(text: str) -> bool:
    """Whether a text begins as such a file does."""
    return _FIRST_LABEL in text[:400]


def read_rinex(text: str, findings: Findings) -> list[Record]:
    """The records of a navigation file; its faults go to the findings.

    Parameters
    ----------
    text : str
        The whole file.
    findings : Findings
        Where faults are kept.
    """
    rows = text.split("\n")
    layout = _layout(rows[0], findings)
    if layout is None:
        return []
    end = next(
        (number for number, row in enumerate(rows[:MOST_HEADER_LINES]) if _label(row) == _LAST_LABEL), None
    )
    if end is None:
        read = f"no {_LAST_LABEL} in the first {min(len(rows), MOST_HEADER_LINES)} lines"
        findings.add(0, "", read, "a header that ends", "fetch the file again; it is cut off or damaged")
        return []
    records: list[Record] = []
    for count, raw in enumerate(_raw_records(rows, end + 1, layout, findings)):
        if findings.full:
            break
        if count >= MOST_RECORDS:
            remedy = "cut the file down to the days that are needed"
            findings.add(raw.line, "", f"record {count + 1}", f"at most {MOST_RECORDS}", remedy)
            break
        record = record_of(raw.line, raw.rows, layout, findings)
        if record is not None:
            records.append(record)
    return records


def _label(row: str) -> str:
    return row[_LABEL_COLUMN : _LABEL_COLUMN + 20].strip()


def _layout(row: str, findings: Findings) -> Layout | None:
    """How the file's records are laid out, by its first line."""
    version = number_of(row[:9])
    kind = row[20:21].upper()
    if _label(row) != _FIRST_LABEL or version is None:
        wanted = f"a version, a type and {_FIRST_LABEL} from column {_LABEL_COLUMN + 1}"
        findings.add(1, "", shortened(row.strip()), wanted, "fetch the file again")
        return None
    edition = int(version)
    if edition not in (2, 3):
        remedy = "fetch the same day as RINEX 3, which every archive keeps"
        findings.add(1, "version", f"{version:g}", "RINEX 2 or 3", remedy)
        return None
    if kind in _OTHER_TYPES:
        read = f"a file of {_OTHER_TYPES[kind]} ({kind})"
        findings.add(1, "type", read, "a navigation file", "fetch the navigation file of the same day")
        return None
    if edition == 3:
        if kind == "N":
            return Layout(edition=3, system=None, indent=4)
    elif kind in _SYSTEM_OF_TYPE:
        return Layout(edition=2, system=_SYSTEM_OF_TYPE[kind], indent=3)
    findings.add(1, "type", shortened(kind), "N for a navigation file", "fetch the file again")
    return None


def _raw_records(rows: list[str], start: int, layout: Layout, findings: Findings) -> Iterator[Raw]:
    """The lines of each record: one with a satellite in front, and those behind it that begin with blanks."""
    raw: Raw | None = None
    for number in range(start, len(rows)):
        row = rows[number]
        if not row.strip():
            continue
        if len(row) > 200:
            read = f"{len(row)} characters in one line"
            findings.add(number + 1, "", read, "80 at most", "fetch the file again")
            return
        if row[: layout.indent].strip():
            if raw is not None:
                yield raw
            raw = Raw(number + 1, [row])
        elif raw is None:
            wanted = "a record that begins with a satellite"
            findings.add(number + 1, "", shortened(row.strip()), wanted, "fetch the file again")
            return
        elif len(raw.rows) >= MOST_LINES_OF_RECORD:
            read = f"more than {MOST_LINES_OF_RECORD} lines in one record"
            remedy = "look for a satellite that is missing in front, or fetch the file again"
            findings.add(number + 1, "", read, "8 lines or fewer", remedy)
            return
        else:
            raw.rows.append(row)
    if raw is not None:
        yield raw
