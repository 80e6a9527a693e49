"""An almanac or navigation file of any kind that is known, told apart by how it begins."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path

from hutwright.errors import Fault, RequestError, shortened
from hutwright.evidence.orbits.gathering import Record, gathered, merged
from hutwright.evidence.orbits.rinex import is_rinex, read_rinex
from hutwright.evidence.orbits.sem import is_sem, read_sem
from hutwright.evidence.orbits.yuma import is_yuma, read_yuma
from hutwright.evidence.side_file import EvidenceError, Findings, read_text, refusal
from hutwright.model.orbits import Orbits

LARGEST_FILE = 32_000_000  # bytes; a day of all systems from all stations has some 10 000 000; ours to choose
MOST_LINES = 600_000  # such a day has some 150 000; ours to choose
MOST_FILES = 32  # in one folder; ours to choose


def parse_orbits(text: str, name: str, near: float) -> Orbits:
    """The orbits in a text.

    Parameters
    ----------
    text : str
        An almanac (YUMA or SEM) or a navigation file (RINEX 2 or 3).
    name : str
        What to call it in faults: its name relative to the project's folder.
    near : float
        GPS time since 1980-01-06 that the question is about; it tells which turn of an almanac's week number
        is meant. [s]

    Raises
    ------
    EvidenceError
        With every fault found, up to a limit; nothing else is raised.
    """
    if text.count("\n") > MOST_LINES:
        remedy = "cut the file down to the days that are needed"
        raise refusal(name, "more lines than that", f"at most {MOST_LINES} lines", remedy)
    findings = Findings(name)
    records: Sequence[Record]
    if is_rinex(text):
        kind, records = "navigation file", read_rinex(text, findings)
    elif is_yuma(text):
        kind, records = "almanac", read_yuma(text, findings, near)
    elif is_sem(text):
        kind, records = "almanac", read_sem(text, findings, near)
    else:
        start = next((row.strip() for row in text[:4_000].split("\n") if row.strip()), "")
        read = shortened(start) if start else "an empty file"
        wanted = "an almanac (YUMA or SEM) or a navigation file (RINEX 2 or 3)"
        raise refusal(name, read, wanted, "fetch one of these for the days in question")
    findings.raise_any()
    if not records:
        wanted = "records of GPS, Galileo, GLONASS or BeiDou satellites"
        raise refusal(name, "none", wanted, "fetch a file that holds them")
    return gathered(records, f"{kind} {name}")


def read_orbits(path: Path, name: str, near: float) -> Orbits:
    """The orbits in a file.

    Parameters
    ----------
    path : pathlib.Path
        Where it lies.
    name : str
        What to call it in faults.
    near : float
        GPS time since 1980-01-06 that the question is about. [s]

    Raises
    ------
    EvidenceError
        With every fault found, up to a limit; nothing else is raised.
    """
    return parse_orbits(read_text(path, name, LARGEST_FILE), name, near)


def read_all_orbits(files: Iterable[tuple[Path, str]], near: float) -> Orbits:
    """What several files know together; for each satellite and moment the nearest record counts.

    Parameters
    ----------
    files : iterable of tuple
        Where each lies, and what to call it in faults.
    near : float
        GPS time since 1980-01-06 that the question is about. [s]

    Raises
    ------
    EvidenceError
        With the faults of all files.
    RequestError
        Where there is no file, or too many.
    """
    listed = list(files)
    if not 0 < len(listed) <= MOST_FILES:
        raise RequestError(f"{len(listed)} files of orbits were given; wanted are 1 to {MOST_FILES}")
    parts: list[Orbits] = []
    faults: list[Fault] = []
    for path, name in listed:
        try:
            parts.append(read_orbits(path, name, near))
        except EvidenceError as error:
            faults.extend(error.faults)
    if faults:
        raise EvidenceError(faults)
    return merged(parts)
