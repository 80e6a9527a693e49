"""Rows of a recorded trace: text in columns, and what of it was damaged.

Cells are parted by commas, or by semicolons where the line of names has one; then a number may have a decimal
comma. A line that begins with `#` is a remark. The line of names may come again, so that files which were put
behind one another stay readable. Rows are taken in blocks, whole columns at once; only a block with something
odd in it is looked at cell by cell.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np

from hutwright import units
from hutwright.errors import shortened
from hutwright.evidence.side_file import Findings
from hutwright.evidence.trace import Floats

COLUMNS = (
    "cycle",
    "direction",
    "t_s",
    "current_A",
    "supply_V",
    "duty",
    "position_mm",
    "reckoned_mm",
    "temperature_C",
    "limit_open",
    "limit_closed",
    "filtered",
)
NEEDED = ("t_s", "current_A")  # without these there is nothing to learn from
FULL = ("cycle", "direction", "t_s", "current_A")  # in these no cell may be empty
OPENS, CLOSES = 1.0, -1.0  # the column `direction` as numbers
WORDS = {
    "direction": {"opening": OPENS, "open": OPENS, "closing": CLOSES, "close": CLOSES},
    "limit_open": {"0": 0.0, "1": 1.0, "false": 0.0, "true": 1.0, "no": 0.0, "yes": 1.0, "": math.nan},
}
WORDS["limit_closed"] = WORDS["filtered"] = WORDS["limit_open"]
# What a small door can show at all; beyond it a cell is damaged: choices of this project
BOUNDS = {
    "cycle": (0.0, 1e9),
    "t_s": (-1e11, 1e11),
    "current_A": (-200.0, 200.0),
    "supply_V": (0.0, 100.0),
    "duty": (-1.0, 1.0),
    "position_mm": (-1e5, 1e5),
    "reckoned_mm": (-1e5, 1e5),
    "temperature_C": (-60.0, 150.0),
}
BLOCK = 20_000  # rows at once, which bounds the memory: a choice of this project
LONGEST_LINE = 500  # characters: a choice of this project
_FAR = ("_", '"')  # what float() or a table would take though no logger writes it


@dataclass(frozen=True, slots=True)
class Damage:
    """Rows in a row that cannot be read for the same reason.

    Attributes
    ----------
    first : int
        Number of the first line.
    last : int
        Number of the last line.
    read : str
        What stood in the first.
    wanted : str
        What would have been accepted.
    """

    first: int
    last: int
    read: str
    wanted: str


@dataclass(slots=True)
class Table:
    """Columns of a file.

    Attributes
    ----------
    line : ndarray
        Number of the line of each row; shape (n,).
    part : ndarray
        How many lines of names stood above; shape (n,).
    columns : dict
        By name, NaN for an empty cell; shape (n,) each.
    damage : list
        What could not be read.
    """

    line: Floats
    part: Floats
    columns: dict[str, Floats]
    damage: list[Damage] = field(default_factory=list)


@dataclass(slots=True)
class _Block:
    """Lines that wait to be read together."""

    part: int
    numbers: list[int] = field(default_factory=list)
    lines: list[str] = field(default_factory=list)


def read_rows(text: str, findings: Findings) -> Table | None:
    """The columns of a file; what keeps it from being read at all goes to the findings.

    Parameters
    ----------
    text : str
        The whole file.
    findings : Findings
        Where faults are kept.

    Returns
    -------
    Table or None
        None where there is a fault.
    """
    lines = _bare(text)
    first = next(lines, None)
    if first is None:
        findings.add(0, "", "no line of column names", _like(), "record the run again, or name another file")
        return None
    number, heading = first
    parting = ";" if ";" in heading else ","
    names = _names(number, heading, parting, findings)
    if names is None:
        return None
    damage: list[Damage] = []
    blocks = [
        _columns(block, names, parting, damage) for block in _blocks(lines, heading, findings) if block.lines
    ]
    if findings.faults:
        return None
    if not blocks:
        findings.add(number, "", "a line of names and no row", "rows below it", "record the run again")
        return None
    whole = {name: np.concatenate([each[name] for each in blocks]) for name in blocks[0]}
    return Table(whole.pop("line"), whole.pop("part"), whole, damage)


def _bare(text: str) -> Iterator[tuple[int, str]]:
    for number, line in enumerate(text.split("\n"), start=1):
        bare = line.strip()
        if bare and not bare.startswith("#"):
            yield number, bare


def _blocks(lines: Iterator[tuple[int, str]], heading: str, findings: Findings) -> Iterator[_Block]:
    """Rows in blocks; a line of names ends one."""
    block = _Block(part=1)
    for number, line in lines:
        if line == heading:
            yield block
            block = _Block(part=block.part + 1)
        elif line[0].isalpha() and "t_s" in line:
            wanted = "the same line of names as above"
            findings.add(number, "", shortened(line), wanted, "put what follows into a file of its own")
            return
        else:
            block.numbers.append(number)
            block.lines.append(line)
            if len(block.lines) == BLOCK:
                yield block
                block = _Block(part=block.part)
    yield block


def _like() -> str:
    return f"a first line such as '{', '.join(COLUMNS[:5])}'"


def _names(line: int, heading: str, parting: str, findings: Findings) -> list[str] | None:
    """The columns in their order; None where the rows cannot be read by them."""
    names = [cell.strip().strip('"') for cell in heading.split(parting)]
    if not set(names) & set(COLUMNS):
        remedy = "write the line of names first, above the rows"
        findings.add(line, "", f"the line {shortened(heading)}", _like(), remedy)
        return None
    before = len(findings.faults)
    for place, name in enumerate(names):
        if name not in COLUMNS:
            near = units.nearest(name, COLUMNS) if name else None
            remedy = f"did you mean {near}, in that unit?" if near else "rename it or take the column out"
            findings.add(line, "", f"the column {shortened(name)}", f"one of {', '.join(COLUMNS)}", remedy)
        elif name in names[:place]:
            findings.add(line, name, "the column twice", "each column once", "take one of them out")
    for name in NEEDED:
        if name not in names and len(findings.faults) == before:
            findings.add(line, "", f"no column {name}", _like(), f"record {name} too")
    if not {"direction", "position_mm", "limit_open", "limit_closed"} & set(names):
        wanted = "a column direction, or position_mm or a limit by which it can be told"
        findings.add(line, "", "neither", wanted, "add a column direction with opening or closing")
    return names if len(findings.faults) == before else None


def _columns(block: _Block, names: Sequence[str], parting: str, damage: list[Damage]) -> dict[str, Floats]:
    """A block's columns with `line` and `part`; rows that cannot be read are left out and told."""
    try:
        found = _at_once(block.lines, names, parting)
    except (ValueError, KeyError):
        kept, rows = _one_by_one(block, names, parting, damage)
        table = np.array(rows, float).reshape(len(rows), len(names))
        found = {name: table[:, place] for place, name in enumerate(names)}
    else:
        kept = block.numbers
    line = np.array(kept, float)
    return found | {"line": line, "part": np.full(line.shape, float(block.part))}


def _at_once(lines: Sequence[str], names: Sequence[str], parting: str) -> dict[str, Floats]:
    """A block's columns, where every cell of it is in order.

    Raises
    ------
    ValueError, KeyError
        Where one is not.
    """
    width = len(names)
    text = parting.join(lines)
    if not text.isascii() or any(far in text for far in _FAR):
        raise ValueError
    if any(line.count(parting) != width - 1 for line in lines) or max(map(len, lines)) > LONGEST_LINE:
        raise ValueError
    if parting == ";":
        text = text.replace(",", ".")
    cells = text.split(parting)
    found = {}
    for place, name in enumerate(names):
        mine = cells[place::width]
        words = WORDS.get(name)
        if words is not None:
            found[name] = np.array([words[each.strip().lower()] for each in mine], float)
            if name in FULL and np.isnan(found[name]).any():
                raise ValueError
            continue
        if name not in FULL and not all(mine):
            values = np.array([float(each) if each.strip() else math.nan for each in mine], float)
            given = values[[bool(each.strip()) for each in mine]]
        else:
            values = given = np.array(list(map(float, mine)), float)
        low, high = BOUNDS[name]
        if not ((given >= low) & (given <= high)).all():
            raise ValueError
        found[name] = values
    if "cycle" in found and (found["cycle"] % 1.0 != 0.0).any():
        raise ValueError
    return found


def _one_by_one(
    block: _Block, names: Sequence[str], parting: str, damage: list[Damage]
) -> tuple[list[int], list[list[float]]]:
    """The rows of a block that can be read, and their lines."""
    kept, rows = [], []
    for number, line in zip(block.numbers, block.lines, strict=True):
        row = _row(line, names, parting)
        if isinstance(row, list):
            kept.append(number)
            rows.append(row)
            continue
        read, wanted = row
        last = damage[-1] if damage else None
        if last is not None and last.last == number - 1 and last.wanted == wanted:
            damage[-1] = Damage(last.first, number, last.read, wanted)
        else:
            damage.append(Damage(number, number, read, wanted))
    return kept, rows


def _row(line: str, names: Sequence[str], parting: str) -> list[float] | tuple[str, str]:
    """The cells of a row; else what was read and what is wanted."""
    if len(line) > LONGEST_LINE:
        return f"a line of {len(line)} characters", f"at most {LONGEST_LINE}"
    cells = [cell.strip() for cell in line.split(parting)]
    if len(cells) != len(names):
        return f"{len(cells)} cells", f"{len(names)}, as the line of names has"
    row = []
    for name, cell in zip(names, cells, strict=True):
        value = _cell(name, cell, decimal_comma=parting == ";")
        if value is None:
            return f"{name} {shortened(cell)}", _wanted(name)
        row.append(value)
    return row


def _cell(name: str, cell: str, *, decimal_comma: bool) -> float | None:
    """A cell's number, NaN where it is empty and may be; None where it cannot be read."""
    words = WORDS.get(name)
    if words is not None:
        return words.get(cell.lower())
    if not cell:
        return None if name in FULL else math.nan
    if not cell.isascii() or any(far in cell for far in _FAR):
        return None
    try:
        value = float(cell.replace(",", ".") if decimal_comma else cell)
    except ValueError:
        return None
    low, high = BOUNDS[name]
    if not low <= value <= high or (name == "cycle" and value % 1.0 != 0.0):
        return None
    return value


def _wanted(name: str) -> str:
    if name in WORDS:
        return " or ".join(("opening", "closing") if name == "direction" else ("0", "1"))
    low, high = BOUNDS[name]
    kind = "a whole number" if name == "cycle" else "a number"
    return f"{kind} from {low:g} to {high:g}"
