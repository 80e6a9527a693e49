"""A filled-in site sheet: `observation.blank = reading`, all else on it is for people."""

from __future__ import annotations

import re
from pathlib import Path
from typing import NamedTuple

from hutwright.errors import shortened
from hutwright.evidence.side_file import Findings, read_text

LARGEST_FILE = 200_000  # bytes; ours to choose
LONGEST_LINE = 500  # characters; ours to choose
_LINE = re.compile(r"\s*([a-z0-9_]+)\.([a-z0-9_]+)\s*[=:]\s*([^#]*?)\s*(?:#.*)?")
_LIKE = "leaf_scale.lever = 560 mm"


class Filled(NamedTuple):
    """One line that somebody filled in.

    Attributes
    ----------
    line : int
        Its number.
    text : str
        What stands behind the sign.
    """

    line: int
    text: str


def parse_sheet(text: str, name: str) -> dict[str, dict[str, Filled]]:
    """The readings on a sheet.

    Parameters
    ----------
    text : str
        The whole sheet.
    name : str
        What to call it in faults.

    Returns
    -------
    dict
        By observation, then by blank; empty blanks are left out.

    Raises
    ------
    EvidenceError
        With every fault found, up to a limit.
    """
    findings = Findings(name)
    found: dict[str, dict[str, Filled]] = {}
    for number, line in enumerate(text.splitlines(), start=1):
        if "=" not in line:
            continue
        if len(line) > LONGEST_LINE:
            findings.add(number, "", f"{len(line)} characters", f"{LONGEST_LINE} at most", "shorten the line")
            continue
        match = _LINE.fullmatch(line)
        if match is None:
            findings.add(number, "", shortened(line.strip()), f"a line like {_LIKE}", "write it so")
            continue
        observation, blank, reading = match.groups()
        if not reading:
            continue
        known = found.setdefault(observation, {})
        if blank in known:
            where = f"{observation}.{blank}"
            findings.add(
                number, where, "the same blank again", f"one reading (line {known[blank].line} has one)",
                "keep the one that is right",
            )  # fmt: skip
            continue
        known[blank] = Filled(number, reading)
    findings.raise_any()
    return found


def read_sheet(path: Path) -> dict[str, dict[str, Filled]]:
    """The readings on a sheet that lies in a file.

    Parameters
    ----------
    path : pathlib.Path
        The file.

    Raises
    ------
    EvidenceError
        Where it cannot be read, with every fault found.
    """
    return parse_sheet(read_text(path, path.name, LARGEST_FILE), path.name)
