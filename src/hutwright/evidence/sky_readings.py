"""What the builder saw: satellites counted (`sky.csv`), and starts that came or did not (`incidents.csv`).

In the column `open` stand, parted by `+`, the names of roof openings, `door` and `roof off`. Roof openings
that are not named count as covered like the roof around them. `closed` is the roof without any opening, door
shut; `all`, or an empty cell, is the hut as described, door shut.
"""

from __future__ import annotations

import re
from collections.abc import Collection
from dataclasses import dataclass
from datetime import tzinfo
from pathlib import Path

from hutwright import units
from hutwright.errors import shortened
from hutwright.evidence.moments import moment
from hutwright.evidence.orbits.numbers import Bounds, whole_of
from hutwright.evidence.rows import TRUTHS, Row, complete, rows
from hutwright.evidence.side_file import Findings, read_text

LARGEST_FILE = 2_000_000  # bytes; ours to choose
MOST_OPEN = 16  # names in one cell; ours to choose
MOST_SATELLITES = 99  # heard at once; four systems have some 45 above any horizon; ours to choose
SIGNAL = Bounds(0.0, 65.0, "dB-Hz")  # mean of the satellites counted; ours to choose
SKY_COLUMNS = ("time", "open", "satellites", "signal", "note")
INCIDENT_COLUMNS = ("time", "started", "open", "note")
ALL, CLOSED, DOOR, ROOF_OFF = "all", "closed", "door", "roof off"
_UNIT = re.compile(r"\s*dB-?\s?Hz$", re.IGNORECASE)
_CORRECT = "correct the cell, or leave it empty where it was not read"


@dataclass(frozen=True, slots=True)
class Opened:
    """What was open: names of roof openings, None for all as described; the door; the whole roof off."""

    openings: frozenset[str] | None
    door: bool
    roof_off: bool

    @property
    def words(self) -> str:
        """As the file has it."""
        if self.openings is None:
            names = [ALL]
        else:
            names = sorted(self.openings) or ([] if self.door or self.roof_off else [CLOSED])
        return " + ".join([*names, *([DOOR] if self.door else []), *([ROOF_OFF] if self.roof_off else [])])


AS_DESCRIBED = Opened(None, door=False, roof_off=False)


@dataclass(frozen=True, slots=True)
class SkyReading:
    """One reading: GPS time [s], what was open, satellites counted, mean signal of those [dB-Hz].

    What is None was not written down.
    """

    line: int
    epoch: float | None
    opened: Opened
    satellites: int | None
    signal_db: float | None


@dataclass(frozen=True, slots=True)
class Incident:
    """One start that was wanted: GPS time [s], what was open, and whether the machine started."""

    line: int
    epoch: float
    opened: Opened
    started: bool


def parse_sky(text: str, name: str, zone: tzinfo, openings: Collection[str]) -> tuple[SkyReading, ...]:
    """The readings in a text.

    Parameters
    ----------
    text : str
        The whole file.
    name : str
        What to call it in faults.
    zone : tzinfo
        Time zone of times that name none.
    openings : Collection
        Names of the described openings in the roof.

    Raises
    ------
    EvidenceError
        With every fault found, up to a limit; nothing else is raised.
    """
    findings = Findings(name)
    found: list[SkyReading] = []
    seen: dict[tuple[float, Opened], int] = {}
    for row in rows(text, SKY_COLUMNS, (), findings):
        before = len(findings.faults)
        if not row["satellites"] and not row["signal"]:
            wanted = "satellites, signal or both"
            findings.add(row.line, "", "neither", wanted, "write down what was read, or take the line out")
        epoch = moment(findings, row.line, row["time"], zone) if row["time"] else None
        opened = _opened(findings, row, openings)
        reading = SkyReading(row.line, epoch, opened, _count(findings, row), _signal(findings, row))
        if len(findings.faults) > before:
            continue
        if epoch is not None:
            _again(findings, row.line, (first := seen.setdefault((epoch, opened), row.line)))
            if first != row.line:
                continue
        found.append(reading)
    complete(findings, found, "readings")
    return tuple(found)


def parse_incidents(text: str, name: str, zone: tzinfo, openings: Collection[str]) -> tuple[Incident, ...]:
    """The incidents in a text.

    Parameters
    ----------
    text : str
        The whole file.
    name : str
        What to call it in faults.
    zone : tzinfo
        Time zone of times that name none.
    openings : Collection
        Names of the described openings in the roof.

    Raises
    ------
    EvidenceError
        With every fault found, up to a limit; nothing else is raised.
    """
    findings = Findings(name)
    found: list[Incident] = []
    seen: dict[float, int] = {}
    for row in rows(text, INCIDENT_COLUMNS, ("time", "started"), findings):
        before = len(findings.faults)
        epoch = moment(findings, row.line, row["time"], zone)
        opened = _opened(findings, row, openings)
        started = _truth(findings, row)
        if epoch is None or started is None or len(findings.faults) > before:
            continue
        _again(findings, row.line, seen.setdefault(epoch, row.line))
        found.append(Incident(row.line, epoch, opened, started))
    complete(findings, found, "incidents")
    return tuple(found)


def read_sky(path: Path, name: str, zone: tzinfo, openings: Collection[str]) -> tuple[SkyReading, ...]:
    """The readings in a file.

    Parameters
    ----------
    path : pathlib.Path
        Where it lies.
    name : str
        What to call it in faults.
    zone : tzinfo
        Time zone of times that name none.
    openings : Collection
        Names of the described openings in the roof.

    Raises
    ------
    EvidenceError
        With every fault found, up to a limit; nothing else is raised.
    """
    return parse_sky(read_text(path, name, LARGEST_FILE), name, zone, openings)


def read_incidents(path: Path, name: str, zone: tzinfo, openings: Collection[str]) -> tuple[Incident, ...]:
    """The incidents in a file.

    Parameters
    ----------
    path : pathlib.Path
        Where it lies.
    name : str
        What to call it in faults.
    zone : tzinfo
        Time zone of times that name none.
    openings : Collection
        Names of the described openings in the roof.

    Raises
    ------
    EvidenceError
        With every fault found, up to a limit; nothing else is raised.
    """
    return parse_incidents(read_text(path, name, LARGEST_FILE), name, zone, openings)


# ---- cells ------------------------------------------------------------------------------------------------


def _opened(findings: Findings, row: Row, openings: Collection[str]) -> Opened:
    text = row["open"].lower()
    if not text:
        return AS_DESCRIBED
    words = [" ".join(each.split()) for each in text.split("+")]
    if len(words) > MOST_OPEN:
        findings.add(row.line, "open", f"{len(words)} names", f"at most {MOST_OPEN}", "name each once")
        return AS_DESCRIBED
    known = [*openings, ALL, CLOSED, DOOR, ROOF_OFF]
    for word in words:
        if word not in known:
            near = units.nearest(word, known) if word else None
            remedy = f"did you mean '{near}'?" if near else "name openings as hut.toml does, parted by +"
            findings.add(row.line, "open", shortened(word), f"one of: {', '.join(known)}", remedy)
            return AS_DESCRIBED
    twice = len(set(words)) < len(words)
    against = CLOSED in words and len(words) > 1
    if twice or against or (ALL in words and any(word in openings for word in words)):
        wanted = "names that do not contradict each other"
        findings.add(row.line, "open", shortened(text), wanted, f"'{CLOSED}' stands alone; name each once")
        return AS_DESCRIBED
    named = None if ALL in words else frozenset(word for word in words if word in openings)
    return Opened(named, door=DOOR in words, roof_off=ROOF_OFF in words)


def _count(findings: Findings, row: Row) -> int | None:
    text = row["satellites"]
    if not text:
        return None
    count = whole_of(text)
    if count is None or count > MOST_SATELLITES:
        wanted = f"a whole number, 0 to {MOST_SATELLITES}"
        findings.add(row.line, "satellites", shortened(text), wanted, _CORRECT)
        return None
    return count


def _signal(findings: Findings, row: Row) -> float | None:
    text = row["signal"]
    if not text:
        return None
    value = row.number(_UNIT.sub("", text))
    if value is None or not SIGNAL.hold(value):
        findings.add(row.line, "signal", shortened(text), f"a number, {SIGNAL}", _CORRECT)
        return None
    return value


def _truth(findings: Findings, row: Row) -> bool | None:
    text = row["started"].lower()
    if text in TRUTHS:
        return TRUTHS[text]
    read = shortened(row["started"]) if text else "nothing"
    findings.add(row.line, "started", read, "yes or no", "write whether the machine started")
    return None


def _again(findings: Findings, line: int, first: int) -> None:
    if first != line:
        wanted = "each moment once"
        remedy = "take one out, or add the seconds: what stands twice would count twice"
        findings.add(line, "time", f"the moment of line {first} again", wanted, remedy)
