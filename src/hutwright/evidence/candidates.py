"""Listings and parts at hand, a row each: `candidates.csv`, with the few numbers that a shop gives."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from hutwright import units
from hutwright.errors import QuantityError, shortened
from hutwright.evidence.rows import TRUTHS, Row, rows
from hutwright.evidence.side_file import Findings, read_text, refusal
from hutwright.model.paths import Keys
from hutwright.units import Dimension

LARGEST_FILE = 200_000  # bytes; ours to choose
MOST = 30  # candidates; ours to choose
LONGEST_NAME = 40  # characters; ours to choose
NAME, PRICE, NOTE, BRIDGE, LOCKING = "name", "price", "note", "bridge", "self_locking"
QUANTITIES: Mapping[str, tuple[Keys, Dimension]] = {
    "voltage": (("drive", "rating", "voltage"), units.VOLTAGE),
    "force": (("drive", "rating", "force"), units.FORCE),
    "speed": (("drive", "rating", "speed"), units.SPEED),
    "current": (("drive", "rating", "current"), units.CURRENT),
    "duty": (("drive", "rating", "duty"), units.RATIO),
    "free_speed": (("drive", "no_load", "speed"), units.SPEED),
    "free_current": (("drive", "no_load", "current"), units.CURRENT),
    "stall_current": (("drive", "stall", "current"), units.CURRENT),
    "stroke": (("drive", "length", "stroke"), units.LENGTH),
    "shortest": (("drive", "length", "shortest"), units.LENGTH),
    "lead": (("drive", "screw", "lead"), units.LENGTH),
}
WORDS: Mapping[str, Keys] = {
    BRIDGE: ("electronics", "bridge", "kind"),
    LOCKING: ("drive", "screw", "self_locking"),
}
COLUMNS = (NAME, PRICE, *QUANTITIES, *WORDS, NOTE)
_COMMA = re.compile(r"(?<=[0-9]),(?=[0-9])")
_NUMBER = re.compile(r"[0-9]+(?:\.[0-9]+)?(?:\.\.[0-9]+(?:\.[0-9]+)?)?")
_PRICE = re.compile(r"[^0-9]*([0-9]+(?:\.[0-9]+)?)[^0-9]*")


@dataclass(frozen=True, kw_only=True, slots=True)
class Candidate:
    """One listing, or one part at hand.

    Attributes
    ----------
    line : int
        Its line in the file.
    name : str
        What it is called.
    price : float or None
        What it costs, in whatever money the file has; None where the file does not say. [-]
    price_text : str
        As the file has it.
    changes : Mapping
        What it says, by address in the description, as a description spells it.
    note : str
        A remark.
    """

    line: int
    name: str
    price: float | None
    price_text: str
    changes: Mapping[Keys, object]
    note: str


def parse_candidates(text: str, name: str) -> tuple[Candidate, ...]:
    """The candidates in a text.

    Parameters
    ----------
    text : str
        The whole file.
    name : str
        What to call it in faults.

    Raises
    ------
    EvidenceError
        With every fault found, up to a limit.
    """
    findings = Findings(name)
    found: list[Candidate] = []
    for row in rows(text, COLUMNS, (NAME,), findings):
        before = len(findings.faults)
        candidate = _candidate(row, findings)
        if candidate.name in [each.name for each in found]:
            findings.add(row.line, NAME, shortened(candidate.name), "each name once", "name it otherwise")
        if len(findings.faults) == before:
            found.append(candidate)
    findings.raise_any()
    if not found:
        raise refusal(name, "no candidate", "a row for each, with a name and a number", "write one down")
    if len(found) > MOST:
        raise refusal(name, f"{len(found)} candidates", f"at most {MOST}", "leave the hopeless ones out")
    return tuple(found)


def read_candidates(path: Path) -> tuple[Candidate, ...]:
    """The candidates in a file.

    Parameters
    ----------
    path : pathlib.Path
        The file.

    Raises
    ------
    EvidenceError
        Where it cannot be read, with every fault found.
    """
    return parse_candidates(read_text(path, path.name, LARGEST_FILE), path.name)


def _candidate(row: Row, findings: Findings) -> Candidate:
    name = row[NAME]
    if not name or len(name) > LONGEST_NAME or not name.isprintable():
        findings.add(row.line, NAME, shortened(name), f"a name of 1 to {LONGEST_NAME} characters", "name it")
    changes: dict[Keys, object] = {}
    for column, (path, dimension) in QUANTITIES.items():
        if row[column]:
            changes[path] = _quantity(row, column, dimension, findings)
    if row[BRIDGE]:
        changes[WORDS[BRIDGE]] = row[BRIDGE]
    if row[LOCKING]:
        changes[WORDS[LOCKING]] = TRUTHS.get(row[LOCKING].casefold())
        if changes[WORDS[LOCKING]] is None:
            findings.add(row.line, LOCKING, shortened(row[LOCKING]), "yes or no", "write one of them")
    if not changes:
        findings.add(
            row.line, "", "nothing but a name", "one number of it at least", "write down what is known"
        )
    price = _price(row, findings)
    return Candidate(
        line=row.line,
        name=name,
        price=price,
        price_text=row[PRICE],
        changes=changes,
        note=row[NOTE],
    )


def _quantity(row: Row, column: str, dimension: Dimension, findings: Findings) -> str:
    plain = _COMMA.sub(".", row[column])
    if _NUMBER.fullmatch(plain):
        plain = f"{plain} {dimension.usual}"
    try:
        units.read(plain, dimension)
    except QuantityError as error:
        findings.add(row.line, column, shortened(row[column]), dimension.wanted, str(error))
    return plain


def _price(row: Row, findings: Findings) -> float | None:
    if not row[PRICE]:
        return None
    found = _PRICE.fullmatch(_COMMA.sub(".", row[PRICE]))
    if found is None:
        findings.add(row.line, PRICE, shortened(row[PRICE]), "one number such as 34.90", "write it so")
        return None
    return float(found[1])
