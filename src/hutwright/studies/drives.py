"""Listings of drives side by side: what the verdicts of several trades say of each, in one table."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from hutwright.checks.verdict import Verdict
from hutwright.studies.compare import Column, Comparison

DRIVE = "drive"


@dataclass(frozen=True, kw_only=True, slots=True)
class Entry:
    """One line of the table, over all its columns.

    Attributes
    ----------
    title : str
        What it is about.
    answers : tuple
        The verdict that answers it in each column, the worst where there are several; None where none does.
    by_limit : bool
        Whether the answer is what the value was held against, rather than the value.
    by_status : bool
        Whether only the status counts, because the verdicts are about different quantities.
    """

    title: str
    answers: tuple[Verdict | None, ...]
    by_limit: bool = False
    by_status: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class DriveTable:
    """Drives side by side.

    Attributes
    ----------
    columns : tuple
        The description, and the variants that have another drive.
    entries : tuple
        The lines.
    """

    columns: tuple[Column, ...]
    entries: tuple[Entry, ...]


@dataclass(frozen=True, slots=True)
class _Line:
    """A line of the table, and the questions that answer it."""

    title: str
    keys: tuple[str, ...]
    by_limit: bool = False
    by_status: bool = False


_LINES = (
    _Line("opening time, coldest day", ("door.opening_time",)),
    _Line("closing time, coldest day", ("door.closing_time",)),
    _Line("force wanted to open, iced", ("door.opening_force",)),
    _Line("force wanted to close", ("door.closing_force",)),
    _Line("rated force", ("door.opening_force",), by_limit=True),
    _Line("force held fast, through the circuit", ("drive.stall_force",)),
    _Line("speed left under load", ("drive.loaded_speed",)),
    _Line("running current", ("drive.current",)),
    _Line("stall current", ("wiring.bridge_stall",)),
    _Line(
        "fuses",
        ("wiring.fuse_cable", "wiring.fuse_energy", "wiring.fuse_stall", "wiring.fuse_inrush"),
        by_status=True,
    ),
    _Line(
        "bridge",
        ("wiring.bridge_current", "wiring.bridge_stall", "wiring.bridge_junction", "wiring.bridge_supply"),
        by_status=True,
    ),
    _Line("edge speed", ("door.edge_speed", "guard.closing_speed")),
    _Line("energy at the edge", ("guard.kinetic_energy",)),
    _Line("peak force at the edge", ("guard.peak_force",)),
)


def drives_side_by_side(comparison: Comparison) -> DriveTable | None:
    """The table of drives; None where no variant has another drive.

    Parameters
    ----------
    comparison : Comparison
        The variants side by side.

    Returns
    -------
    DriveTable or None
        The description first, then the variants that change something below ``drive``; the lines that any
        verdict answers. No number in it is worked out here.
    """
    base, *variants = comparison.columns
    columns = (base, *(each for each in variants if _other_drive(each)))
    if len(columns) == 1:
        return None
    entries = (_entry(line, columns) for line in _LINES)
    return DriveTable(
        columns=columns, entries=tuple(each for each in entries if any(v is not None for v in each.answers))
    )


def _other_drive(column: Column) -> bool:
    return any(change.path.split(".")[0] == DRIVE for change in column.changes)


def _entry(line: _Line, columns: Sequence[Column]) -> Entry:
    answers = tuple(_worst(line, column) for column in columns)
    return Entry(title=line.title, answers=answers, by_limit=line.by_limit, by_status=line.by_status)


def _worst(line: _Line, column: Column) -> Verdict | None:
    """The worst verdict of the line's questions; of the first of them that is answered where they differ."""
    found = [each for each in column.assessment.verdicts if each.question.key in line.keys]
    if not line.by_status:
        first = next((key for key in line.keys if any(each.question.key == key for each in found)), None)
        found = [each for each in found if each.question.key == first]
    return max(found, key=lambda each: (each.status.rank, -each.margin), default=None)
