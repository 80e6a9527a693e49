"""Columns of a recording cut into moves, and the rules by which a move is left out."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from hutwright.errors import Fault
from hutwright.evidence.recorded import Left, Move, Reason
from hutwright.evidence.trace import LEAST_ROWS, Floats, Way
from hutwright.evidence.trace_rows import CLOSES, OPENS, Table
from hutwright.laws.copper import CELSIUS_ZERO

# A step of the clock so many times the usual one, and no shorter than that, is a gap. Where 50 readings come
# a second a lost one is bridged and five are not. Choices of this project
GAP_STEPS = 5.0
LEAST_GAP = 0.05  # s
MOST_DAMAGED = 0.05  # share of a move's rows; beyond it the move is left out: a choice of this project
_AGAIN = "record that move again; the others are used"


@dataclass(frozen=True, slots=True)
class _Cut:
    """Rows of a table that belong to one move."""

    rows: slice
    cycle: int
    way: Way | None


def moves(table: Table, file: str, left: list[Left]) -> list[Move]:
    """The moves in a table; what is left out is told.

    Parameters
    ----------
    table : Table
        What was read.
    file : str
        Name of the file.
    left : list of Left
        Where what is left out is put.
    """
    for each in table.damage:
        fault = Fault(
            file=file, line=each.first, path="", read=each.read, wanted=each.wanted, remedy="correct the row"
        )
        left.append(Left(Reason.DAMAGED, each.last - each.first + 1, move=False, fault=fault))
    found, seen = [], dict[tuple[float, int, Way], Move]()
    for cut in _cuts(table):
        move = _move(table, cut, file, left)
        if move is None:
            continue
        key = (float(table.part[cut.rows.start]), move.cycle, move.way)
        first = seen.setdefault(key, move)
        if first is not move:
            read, wanted = f"the same move as from line {first.first}", "each move of a cycle once"
            left.append(move.left(Reason.DUPLICATE, read, wanted, "give it a cycle number of its own"))
            continue
        found.append(move)
    return found


# --- cutting -------------------------------------------------------------------------------------------


def _cuts(table: Table) -> Iterator[_Cut]:
    columns = table.columns
    cycle, way = columns.get("cycle"), columns.get("direction")
    new = np.diff(table.part) != 0.0
    for column in (cycle, way):
        if column is not None:
            new |= np.diff(column) != 0.0
    if cycle is None:  # then a clock that begins anew is a new move
        new |= np.diff(columns["t_s"]) < 0.0
    bounds = [0, *(np.flatnonzero(new) + 1).tolist(), len(table.line)]
    number, before = 0, set[Way | None]()
    for start, stop in pairwise(bounds):
        if start == stop:
            continue
        rows = slice(start, stop)
        mine = _told(columns, rows) if way is None else _way(float(way[start]))
        if cycle is not None:
            number = int(cycle[start])
        elif mine in before or number == 0:
            number, before = number + 1, {mine}
        else:
            before.add(mine)
        yield _Cut(rows, number, mine)


def _way(number: float) -> Way | None:
    return {OPENS: Way.OPENING, CLOSES: Way.CLOSING}.get(number)


def _told(columns: dict[str, Floats], rows: slice) -> Way | None:
    """The direction where no column has it: by where the leaf came from and got to."""
    position = columns.get(_position(columns, rows))
    if position is not None:
        mine = position[rows]
        mine = mine[np.isfinite(mine)]
        if len(mine) > 1:
            went, spread = float(mine[-1] - mine[0]), float(np.ptp(mine))
            if spread > 0.0 and abs(went) > 0.5 * spread:
                return Way.OPENING if went > 0.0 else Way.CLOSING
    for name, arrived, left in (
        ("limit_open", Way.OPENING, Way.CLOSING),
        ("limit_closed", Way.CLOSING, Way.OPENING),
    ):
        limit = columns.get(name)
        if limit is not None and limit[rows][0] != limit[rows][-1]:
            if limit[rows][-1] == 1.0:
                return arrived
            if limit[rows][0] == 1.0:
                return left
    return None


def _position(columns: dict[str, Floats], rows: slice) -> str:
    """Name of the column that says where the leaf was: the measured one, where it says anything."""
    measured = columns.get("position_mm")
    return "position_mm" if measured is not None and np.isfinite(measured[rows]).any() else "reckoned_mm"


# --- one move ------------------------------------------------------------------------------------------


def _move(table: Table, cut: _Cut, file: str, left: list[Left]) -> Move | None:
    """The move in some rows; None where it is left out, which is told."""
    columns, rows = table.columns, cut.rows
    line, time = table.line[rows], columns["t_s"][rows]
    keep = _kept(table, rows, file, left)
    temperature = columns.get("temperature_C")
    way, position = cut.way or Way.OPENING, _position(columns, rows)
    move = Move(
        file=file,
        first=int(line[0]),
        last=int(line[-1]),
        cycle=cut.cycle,
        way=way,
        time=time[keep] - time[0],
        current=columns["current_A"][rows][keep],
        supply=_column(columns.get("supply_V"), rows, keep),
        duty=_size(_column(columns.get("duty"), rows, keep)),
        position=_metres(_column(columns.get(position), rows, keep)),
        reckoned=position == "reckoned_mm",
        share=None,
        temperature=None if temperature is None else _mean(temperature[rows]),
        reached=_reached(columns, rows, way),
        filtered="filtered" in columns and bool((columns["filtered"][rows] == 1.0).all()),
    )
    if cut.way is None:
        wanted = "a move that ends elsewhere than it begins, or a column direction"
        left.append(move.left(Reason.UNTOLD, "a direction that cannot be told", wanted, _AGAIN))
        return None
    refused = _damaged(table, move) or refusal(move)
    if refused is not None:
        left.append(refused)
        return None
    return without_holes(driving(move), left)


def _kept(table: Table, rows: slice, file: str, left: list[Left]) -> Floats:
    """Which rows of a move stay: all but those that say the very same as the one before."""
    same = np.ones(rows.stop - rows.start - 1, bool)
    for values in table.columns.values():
        mine = values[rows]
        same &= (mine[1:] == mine[:-1]) | (np.isnan(mine[1:]) & np.isnan(mine[:-1]))
    if same.any():
        first = int(table.line[rows][1:][same][0])
        number = int(same.sum())
        read = f"{number} row{'s' if number > 1 else ''} of the very same cells as the one above"
        fault = Fault(
            file=file, line=first, path="", read=read, wanted="each row once", remedy="take them out"
        )
        left.append(Left(Reason.REPEATED, number, move=False, fault=fault))
    return np.concatenate([[True], ~same])


def _column(values: Floats | None, rows: slice, keep: Floats) -> Floats | None:
    """A column's rows; None where it has no number at all."""
    if values is None or np.isnan(values[rows]).all():
        return None
    mine: Floats = values[rows][keep]
    return mine


def _metres(millimetres: Floats | None) -> Floats | None:
    return None if millimetres is None else 1e-3 * millimetres


def _size(duty: Floats | None) -> Floats | None:
    """Without the sign that some loggers give it: the direction is told elsewhere."""
    return None if duty is None else np.abs(duty)


def _mean(celsius: Floats) -> float | None:
    given = celsius[np.isfinite(celsius)]
    return float(given.mean()) + CELSIUS_ZERO if len(given) else None


def _reached(columns: dict[str, Floats], rows: slice, way: Way) -> bool | None:
    limit = columns.get("limit_open" if way is Way.OPENING else "limit_closed")
    if limit is None or np.isnan(limit[rows][-1]):
        return None
    return bool(limit[rows][-1] == 1.0)


# --- rules ---------------------------------------------------------------------------------------------


def _damaged(table: Table, move: Move) -> Left | None:
    lost = sum(
        min(each.last, move.last) - max(each.first, move.first) + 1
        for each in table.damage
        if each.first <= move.last and each.last >= move.first
    )
    if lost <= MOST_DAMAGED * (len(move.time) + lost):
        return None
    wanted = f"at most {100 * MOST_DAMAGED:.0f} % of its rows damaged"
    read = f"{lost} of {len(move.time) + lost} rows damaged"
    return move.left(Reason.DAMAGED, read, wanted, _AGAIN)


def refusal(move: Move) -> Left | None:
    """The move as left out, where its rows, its clock or its current are not those of a move.

    Parameters
    ----------
    move : Move
        The move.
    """
    if len(move.time) < LEAST_ROWS:
        read = f"{len(move.time)} row{'s' if len(move.time) > 1 else ''}"
        return move.left(Reason.SHORT, read, f"{LEAST_ROWS} or more", _AGAIN)
    steps = np.diff(move.time)
    if not (steps > 0.0).all():
        at = int(np.argmin(steps > 0.0))
        read = f"time {move.time[at + 1]:g} s after {move.time[at]:g} s of it"
        return move.left(Reason.BACK, read, "a time that rises from row to row", _AGAIN)
    most = max(GAP_STEPS * float(np.median(steps)), LEAST_GAP)
    if float(steps.max()) > most:
        at = int(np.argmax(steps))
        read = f"no row between {move.time[at]:.3f} s and {move.time[at + 1]:.3f} s of it"
        return move.left(Reason.GAP, read, f"a row at least every {most:.3f} s", _AGAIN)
    if not move.current.any():
        return move.left(Reason.NO_CURRENT, "no current in any row", "the motor's current", "wire the sensor")
    return None


def driving(move: Move) -> Move:
    """The move with its current above zero while it drives, however the sensor counts.

    Parameters
    ----------
    move : Move
        The move.
    """
    return move if float(np.median(move.current)) >= 0.0 else replace(move, current=-move.current)


def without_holes(move: Move, left: list[Left]) -> Move:
    """The move without the columns that have empty cells among its rows, which is told.

    Parameters
    ----------
    move : Move
        The move.
    left : list of Left
        Where what is left out is put.
    """
    emptied: dict[str, None] = {}
    for name, field, values in (
        ("supply_V", "supply", move.supply),
        ("duty", "duty", move.duty),
        ("reckoned_mm" if move.reckoned else "position_mm", "position", move.position),
    ):
        holes = 0 if values is None else int(np.isnan(values).sum())
        if holes:
            read = f"{move.words}: {name} empty in {holes} of {len(move.time)} rows"
            wanted = f"{name} in every row of a move, or in none"
            remedy = "fill them, or empty the column; the move is used without it"
            fault = Fault(file=move.file, line=move.first, path="", read=read, wanted=wanted, remedy=remedy)
            left.append(Left(Reason.PARTLY, holes, move=False, fault=fault))
            emptied[field] = None
    return replace(move, **emptied)  # type: ignore[arg-type]  # fields that may be None
