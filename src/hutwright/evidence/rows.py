"""Small tables that a builder keeps by hand: a line of column names, then rows of cells.

Cells are parted by commas, or by semicolons where the line of names has one; then a number may have a decimal
comma. What follows a `#` at the start of a line is a remark.
"""

from __future__ import annotations

import csv
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass

from hutwright import units
from hutwright.errors import shortened
from hutwright.evidence.orbits.numbers import number_of
from hutwright.evidence.side_file import Findings, refusal

LONGEST_LINE = 500  # characters; ours to choose
MOST_ROWS = 20_000  # a reading every quarter of an hour for half a year; ours to choose
# What a cell may say for yes and for no, in small letters
TRUTHS: Mapping[str, bool] = dict.fromkeys(("yes", "y", "true", "1"), True) | dict.fromkeys(
    ("no", "n", "false", "0"), False
)


@dataclass(frozen=True, slots=True)
class Row:
    """One row: the number of its line, and its cells by column, blanks at their ends taken off."""

    line: int
    cells: Mapping[str, str]
    decimal_comma: bool

    def __getitem__(self, column: str) -> str:
        """The cell of a column; "" where the table has no such column."""
        return self.cells.get(column, "")

    def number(self, text: str) -> float | None:
        """The number that a text is, as this table writes numbers; None where it is none."""
        return number_of(text.replace(",", ".") if self.decimal_comma else text)


def rows(text: str, columns: Sequence[str], needed: Sequence[str], findings: Findings) -> Iterator[Row]:
    """The rows of a table; its faults go to the findings.

    Parameters
    ----------
    text : str
        The whole file.
    columns : Sequence
        Names of the columns that there may be.
    needed : Sequence
        Names of those that there must be.
    findings : Findings
        Where faults are kept.
    """
    lines = _lines(text, findings)
    first = next(lines, None)
    if first is None:
        if not findings.faults:
            findings.add(0, "", "no line of column names", _like(columns), "write that line first")
        return
    number, bare = first
    parting = ";" if ";" in bare else ","
    names = _names(number, bare, parting, columns, needed, findings)
    if names is None:
        return
    for count, (number, bare) in enumerate(lines, start=1):
        if count > MOST_ROWS:
            findings.add(number, "", f"row {count}", f"at most {MOST_ROWS} rows", "split the file")
            return
        cells = _cells(number, bare, parting, findings)
        if cells is not None and len(cells) != len(names):
            read, wanted = f"{len(cells)} cells", f"{len(names)}, as the line of names has"
            remedy = "leave a cell empty where nothing is known, and quote one that holds the parting sign"
            findings.add(number, "", read, wanted, remedy)
        elif cells is not None:
            yield Row(number, dict(zip(names, cells, strict=True)), parting == ";")


def appended(text: str, more: Sequence[Mapping[str, str]], columns: Sequence[str], findings: Findings) -> str:
    """The text of a table with more rows at its end, each cell under its column; faults go to the findings.

    Parameters
    ----------
    text : str
        The whole file, which stays as it is; where it has no line of names yet, it gets one.
    more : Sequence
        Rows, each with a cell for the same columns; none holds a parting sign.
    columns : Sequence
        Names of the columns that there may be.
    findings : Findings
        Where faults are kept.
    """
    end = "\r\n" if "\r\n" in text else "\n"
    wanted = list(more[0])
    first = next(_lines(text.removeprefix("\ufeff").replace("\r\n", "\n"), findings), None)
    whole = text if not text or text.endswith("\n") else f"{text}{end}"
    if first is None:
        names: list[str] | None = wanted
        parting = ","
        whole += f"{parting.join(wanted)}{end}"
    else:
        parting = ";" if ";" in first[1] else ","
        names = _names(*first, parting, columns, wanted, findings)
    if names is None:
        return text
    return whole + "".join(f"{parting.join(row.get(name, '') for name in names)}{end}" for row in more)


def complete(findings: Findings, found: Collection[object], what: str) -> None:
    """Refuse a table that has faults, or no row at all.

    Parameters
    ----------
    findings : Findings
        Its faults.
    found : Collection
        What its rows told.
    what : str
        What they are called, in the plural.

    Raises
    ------
    EvidenceError
        With every fault found, up to a limit; a table without any row is one too.
    """
    findings.raise_any()
    if not found:
        raise refusal(findings.file, f"no {what}", "one row or more", "add rows below the line of names")


def _lines(text: str, findings: Findings) -> Iterator[tuple[int, str]]:
    """The lines that hold something, with their numbers."""
    for number, line in enumerate(text.split("\n"), start=1):
        bare = line.strip()
        if findings.full:
            return
        if len(line) > LONGEST_LINE and bare:
            read = f"a line of {len(line)} characters"
            findings.add(number, "", read, f"at most {LONGEST_LINE}", "break it up, or take the line out")
        elif bare and not bare.startswith("#"):
            yield number, bare


def _like(columns: Sequence[str]) -> str:
    return f"a first line such as '{', '.join(columns)}'"


def _names(
    line: int, text: str, parting: str, columns: Sequence[str], needed: Sequence[str], findings: Findings
) -> list[str] | None:
    """The columns in their order; None where the rows cannot be read by them."""
    cells = _cells(line, text, parting, findings)
    if cells is None:
        return None
    names = [cell.partition("[")[0].strip().lower() for cell in cells]
    if not set(names) & set(columns):
        remedy = "write the line of names first, above the rows"
        findings.add(line, "", f"the line {shortened(text)}", _like(columns), remedy)
        return None
    sound = True
    for place, name in enumerate(names):
        if name not in columns:
            near = units.nearest(name, list(columns)) if name else None
            remedy = f"did you mean {near}?" if near else "rename it or take the column out"
            findings.add(line, "", f"the column {shortened(name)}", _like(columns), remedy)
            sound = False
        elif name in names[:place]:
            findings.add(line, name, "the column twice", "each column once", "take one of them out")
            sound = False
    if sound:
        for name in needed:
            if name not in names:
                read = f"no column {name}"
                findings.add(line, "", read, _like(columns), f"add the column {name}")
                sound = False
    return names if sound else None


def _cells(line: int, text: str, parting: str, findings: Findings) -> list[str] | None:
    try:
        (cells,) = csv.reader([text], delimiter=parting, strict=True, skipinitialspace=True)
    except (csv.Error, ValueError):
        findings.add(
            line, "", shortened(text), "cells with their quotes closed", "close or take out the quotes"
        )
        return None
    return [cell.strip() for cell in cells]
