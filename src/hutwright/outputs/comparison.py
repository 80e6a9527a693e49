"""Variants side by side, as text and as plain values for JSON."""

from __future__ import annotations

from typing import Any

from hutwright.checks.shown import shown
from hutwright.checks.verdict import Status, Verdict
from hutwright.outputs.cautions import STANDING
from hutwright.outputs.contract import FORMAT, finite, si_unit
from hutwright.outputs.phrasing import (
    columns,
    heading,
    limit_text,
    margin_text,
    plain_text,
    range_text,
    several,
    spread_of,
    value_text,
    width_within,
    wrapped,
)
from hutwright.outputs.report import counted
from hutwright.studies.compare import Column, Comparison, Row
from hutwright.studies.drives import DriveTable, Entry, drives_side_by_side

NOT_ASKED = "not asked"
WIDEST_NAME = 24
DRIVE_TITLE, DRIVE_CELL = 24, 22  # columns of the screen, of the table of drives


def comparison_text(comparison: Comparison, *, width: int = 100) -> str:
    """A comparison as text.

    Parameters
    ----------
    comparison : Comparison
        The variants side by side.
    width : int
        Columns of the screen; at most 100 are used. [-]

    Returns
    -------
    str
        The text, with a line end behind its last line.
    """
    width = width_within(width)
    lines = wrapped(
        f"{comparison.project}: {several(len(comparison.columns) - 1, 'variant', 'variants')}", width
    )
    for column in comparison.columns:
        lines += _column(column, width)
    lines += drive_lines(comparison, width)
    if comparison.rows:
        lines += heading("Checks that differ, worst first")
        for row in comparison.rows:
            lines += _row(row, comparison, width)
    same = several(len(comparison.same), "check comes", "checks come")
    lines += ["", *wrapped(f"{same} out the same everywhere.", width), "", *wrapped(STANDING[0], width)]
    return "\n".join(lines) + "\n"


def _column(column: Column, width: int) -> list[str]:
    lines = wrapped(f"{_name(column)}: {counted(column.assessment.verdicts)}", width, "  ", "    ")
    for change in column.changes:
        after, before = plain_text(change.after), plain_text(change.before)
        if change.before is None:
            told = f"new: {after}"
        else:
            told = "left out" if change.after is None else f"{after} in place of {before}"
        lines += wrapped(f"{change.path}: {told}", width, "      ", "        ")
    return lines


def drive_lines(comparison: Comparison, width: int) -> list[str]:
    """The drives side by side; nothing where no variant has another drive.

    Parameters
    ----------
    comparison : Comparison
        The variants side by side.
    width : int
        Columns of the screen. [-]
    """
    drives = drives_side_by_side(comparison)
    return [] if drives is None else _drives(drives, width)


def _drives(table: DriveTable, width: int) -> list[str]:
    """The drives side by side; as many as fit, and the others below with the same titles."""
    lines = heading("Drives side by side")
    title = min(DRIVE_TITLE, (width - 4) // 2)
    fit = max(1, (width - 2 - title) // (DRIVE_CELL + 2))
    cell = min(DRIVE_CELL, width - 4 - title)
    for first in range(0, len(table.columns), fit):
        shown_here = range(first, min(first + fit, len(table.columns)))
        names = ["", *(table.columns[number].name or table.columns[number].title for number in shown_here)]
        rows = [
            names,
            *([each.title, *(_cell(each, number) for number in shown_here)] for each in table.entries),
        ]
        lines += [""] * (first > 0) + columns(rows, (title, *(cell for _ in shown_here)), "  ")
    return lines


def _cell(entry: Entry, number: int) -> str:
    """What one verdict says in the table of drives."""
    verdict = entry.answers[number]
    if verdict is None:
        return NOT_ASKED
    if entry.by_limit:
        return shown(verdict.check.limit, verdict.check.dimension)
    if entry.by_status:
        calm = verdict.status in (Status.HOLDS, Status.BARELY)
        return verdict.status.value if calm else f"{verdict.status.value}: {verdict.question.title.lower()}"
    return f"{value_text(verdict)}, {verdict.status.value}"


def _name(column: Column) -> str:
    named = column.name and column.title != column.name
    return f'{column.name} "{column.title}"' if named else column.title


def _row(row: Row, comparison: Comparison, width: int) -> list[str]:
    """One check: the columns that say the same stand together, those that are not asked last."""
    lines = ["", *wrapped(f"{row.question.title} [{row.key}]", width)]
    groups: dict[str, list[str]] = {}
    for column, verdict in zip(comparison.columns, row.answers, strict=True):
        groups.setdefault(NOT_ASKED if verdict is None else answer_text(verdict), []).append(
            column.name or column.title
        )
    left = width - 2 - WIDEST_NAME - 2
    for told in sorted(groups, key=lambda each: each == NOT_ASKED):
        lines += columns([(", ".join(groups[told]), told)], (WIDEST_NAME, left), "  ")
    return lines


def answer_text(verdict: Verdict) -> str:
    """A verdict in a line: status, value with its range, limit and margin."""
    extent = range_text(verdict)
    value = f"{value_text(verdict)}{f' ({extent})' if extent else ''}"
    return (
        f"{verdict.status.value}: {value}, {limit_text(verdict.worst)}, "
        f"margin {margin_text(verdict.worst, spread_of(verdict))}"
    )


def comparison_values(comparison: Comparison) -> dict[str, Any]:
    """A comparison as plain values, described in docs/json.md."""
    return {
        "format": FORMAT,
        "project": comparison.project,
        "columns": [_column_values(column) for column in comparison.columns],
        "rows": [_row_values(row) for row in comparison.rows],
        "same": list(comparison.same),
    }


def _column_values(column: Column) -> dict[str, Any]:
    found = [verdict.status.value for verdict in column.assessment.verdicts]
    return {
        "variant": column.name or None,
        "title": column.title,
        "changes": [
            {"path": each.path, "before": each.before, "after": each.after} for each in column.changes
        ],
        "counts": {status: found.count(status) for status in ("holds", "barely", "undecided", "misses")},
    }


def _row_values(row: Row) -> dict[str, Any]:
    some = next(verdict for verdict in row.answers if verdict is not None)
    return {
        "key": row.key,
        "title": row.question.title,
        "trade": row.question.trade,
        "concern": row.question.concern.word,
        "unit": si_unit(some.check.dimension),
        "answers": [None if verdict is None else answer_values(verdict) for verdict in row.answers],
    }


def answer_values(verdict: Verdict) -> dict[str, Any]:
    """A verdict's status and numbers as plain values, in the check's unit."""
    return {
        "status": verdict.status.value,
        "value": finite(verdict.check.value),
        "low": finite(verdict.low),
        "high": finite(verdict.high),
        "limit": finite(verdict.worst.limit),
        "sense": verdict.check.sense.value,
        "margin": finite(verdict.margin),
    }
