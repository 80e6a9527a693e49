"""Force trials with what a household has: a scale, a block of foam, and the closing edge of the door.

A line of column names, then a row for each trial::

    direction, gap_mm, reading_kg, stiffness_N_mm, thickness_mm, pressed_mm, reversed

`reading_kg` or `reading_N` is the greatest that the scale showed. The block's stiffness is given, or follows
from how far it was pressed at that reading. Whatever is wrong is a sentence.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

from hutwright.errors import shortened
from hutwright.evidence.orbits.numbers import Bounds
from hutwright.evidence.rows import TRUTHS, Row, complete, rows
from hutwright.evidence.side_file import Findings, read_text
from hutwright.evidence.trace import Way
from hutwright.laws.pressed_block import block_stiffness, scale_force

T = TypeVar("T")
COLUMNS = (
    "direction", "gap_mm", "reading_kg", "reading_n", "stiffness_n_mm", "thickness_mm", "pressed_mm",
    "reversed",
)  # fmt: skip
NEEDED = ("direction", "gap_mm", "reversed")
LARGEST_FILE = 1_000_000  # bytes; ours to choose
WAYS = {each.value: each for each in Way}
# What a small door and a household scale can come to; beyond that a cell has slipped. Ours to choose
GAP = Bounds(1.0, 2000.0, "mm")
KILOGRAMS = Bounds(0.0, 150.0, "kg")
NEWTONS = Bounds(0.0, 1500.0, "N")
STIFFNESS = Bounds(0.05, 500.0, "N/mm")
THICKNESS = Bounds(5.0, 1000.0, "mm")
PRESSED = Bounds(0.5, 1000.0, "mm")
HALF = 0.5  # of its thickness, beyond which foam gets stiffer. Standing: practice [-]


@dataclass(frozen=True, slots=True)
class ForceTrial:
    """One trial.

    Attributes
    ----------
    line : int
        Of the file, counted from 1.
    file : str
        Where it stands.
    way : Way
        Which way the leaf moved.
    gap : float
        Before the closing edge when it touched the block. [m]
    force : float
        Greatest that the scale showed. [N]
    stiffness : float
        Of the block. [N/m]
    reversed : bool
        Whether the door reversed.
    too_far : bool
        Whether the block was pressed by more than half, where it gets stiffer.
    """

    line: int
    file: str
    way: Way
    gap: float
    force: float
    stiffness: float
    reversed: bool
    too_far: bool


def parse_force_trials(text: str, name: str) -> tuple[ForceTrial, ...]:
    """The trials in a text.

    Parameters
    ----------
    text : str
        The whole file.
    name : str
        What to call it in faults.

    Raises
    ------
    EvidenceError
        With every fault found, up to a limit; nothing else is raised.
    """
    findings = Findings(name)
    found: list[ForceTrial] = []
    for row in rows(text, COLUMNS, NEEDED, findings):
        trial = _trial(findings, row)
        if trial is not None:
            found.append(trial)
    complete(findings, found, "trials")
    return tuple(found)


def read_force_trials(path: Path) -> tuple[ForceTrial, ...]:
    """The trials in a file.

    Parameters
    ----------
    path : pathlib.Path
        Where it lies.

    Raises
    ------
    EvidenceError
        With every fault found, up to a limit; nothing else is raised.
    """
    return parse_force_trials(read_text(path, path.name, LARGEST_FILE), path.name)


def _trial(findings: Findings, row: Row) -> ForceTrial | None:
    before = len(findings.faults)
    way = _word(findings, row, "direction", WAYS)
    gap = _number(findings, row, "gap_mm", GAP)
    force = _force(findings, row)
    back = _word(findings, row, "reversed", TRUTHS)
    thickness, pressed = (
        _number(findings, row, column, bounds) if row[column] else None
        for column, bounds in (("thickness_mm", THICKNESS), ("pressed_mm", PRESSED))
    )
    if thickness is not None and pressed is not None and not pressed < thickness:
        findings.add(
            row.line, "pressed_mm", f"{pressed:g} mm", f"less than the block's {thickness:g} mm",
            "write how much thinner it was at the greatest reading, not how thick",
        )  # fmt: skip
    stiffness = _stiffness(findings, row, force, pressed)
    if way is None or gap is None or force is None or back is None or stiffness is None:
        return None
    if len(findings.faults) > before:
        return None
    too_far = thickness is not None and pressed is not None and pressed > HALF * thickness
    return ForceTrial(row.line, findings.file, way, 1e-3 * gap, force, stiffness, back, too_far)


def _word(findings: Findings, row: Row, column: str, known: Mapping[str, T]) -> T | None:
    text = row[column].lower()
    if text in known:
        return known[text]
    wanted = " or ".join(("yes", "no") if column == "reversed" else known)
    read = shortened(row[column]) if text else "nothing"
    findings.add(row.line, column, read, wanted, "write what the door did in this trial")
    return None


def _number(findings: Findings, row: Row, column: str, bounds: Bounds) -> float | None:
    text = row[column]
    value = row.number(text)
    if value is not None and bounds.hold(value):
        return value
    read = shortened(text) if text else "nothing"
    findings.add(row.line, column, read, f"a number, {bounds}", "correct the cell, in the unit of its column")
    return None


def _force(findings: Findings, row: Row) -> float | None:
    """The reading as a force [N]."""
    given = [each for each in ("reading_kg", "reading_n") if row[each]]
    if len(given) != 1:
        read = "both readings" if given else "no reading"
        wanted = "reading_kg or reading_N"
        findings.add(row.line, "", read, wanted, "write the greatest that the scale showed, once")
        return None
    if given == ["reading_n"]:
        return _number(findings, row, "reading_n", NEWTONS)
    mass = _number(findings, row, "reading_kg", KILOGRAMS)
    return None if mass is None else scale_force(mass)


def _stiffness(findings: Findings, row: Row, force: float | None, pressed: float | None) -> float | None:
    """Of the block, given or from how far it was pressed [N/m]."""
    if row["stiffness_n_mm"]:
        given = _number(findings, row, "stiffness_n_mm", STIFFNESS)
        return None if given is None else 1e3 * given
    if pressed is None:
        if not row["pressed_mm"]:
            findings.add(
                row.line, "", "no stiffness of the block", "stiffness_N_mm, or pressed_mm",
                "press the block with a known weight and measure how much thinner it gets",
            )  # fmt: skip
        return None
    if force is None:
        return None
    found = 1e-3 * block_stiffness(force, 1e-3 * pressed)
    if STIFFNESS.hold(found):
        return 1e3 * found
    read = f"{force:.3g} N on {pressed:g} mm"
    findings.add(row.line, "pressed_mm", read, f"a block of {STIFFNESS}", "look at the reading and the unit")
    return None
