"""Recorded moves of the door: files and folders in, traces out, and a list of what was left out and why.

A file is a table (`docs/traces.md`) or the log of a board's line. What cannot be read at all is refused; what
is damaged, doubled or cut short is left out by a rule that is told, never silently.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from hutwright.errors import Fault, RequestError, system_words
from hutwright.evidence.board_log import board_moves, is_board_log
from hutwright.evidence.recorded import Left, Move, Reason
from hutwright.evidence.side_file import EvidenceError, Findings, read_text
from hutwright.evidence.trace import Floats, Trace, Way
from hutwright.evidence.trace_moves import moves
from hutwright.evidence.trace_rows import COLUMNS, read_rows
from hutwright.laws.copper import CELSIUS_ZERO

LARGEST_FILE = 100_000_000  # bytes; 200 cycles of 10 s at 500 readings a second take 80 MB: ours to choose
MOST_FILES = 2000  # ours to choose
ENDINGS = (".csv", ".txt", ".log")  # that are taken from a folder
# A move that takes less than this share of the middling one of its direction was cut short, where at least so
# many are at hand and none says that it reached its end: choices of this project
CUT_SHORT = 0.6
LEAST_TO_COMPARE = 3


@dataclass(frozen=True, slots=True)
class Recorded:
    """What files hold.

    Attributes
    ----------
    traces : tuple
        The moves, in the order of files and lines.
    left : tuple
        What was left out of them.
    """

    traces: tuple[Trace, ...]
    left: tuple[Left, ...]


def read_traces(paths: Iterable[Path], *, travel: float | None = None, whole: bool = True) -> Recorded:
    """The moves in files and in folders of files.

    Parameters
    ----------
    paths : iterable of pathlib.Path
        Files, and folders whose `.csv`, `.txt` and `.log` files are read in the order of their names.
    travel : float or None
        What a position from shut to open spans; told from the moves themselves where it is not known. [m]
    whole : bool
        Whether moves that were cut short are left out; not where obstructions cut them short.

    Returns
    -------
    Recorded
        With one trace or more.

    Raises
    ------
    EvidenceError
        Where a file cannot be read at all, or none holds a move that can be used.
    RequestError
        Where there is no file, or a folder cannot be listed.
    """
    faults: list[Fault] = []
    found: list[Move] = []
    left: list[Left] = []
    for path, name in _files(paths):
        try:
            found += parse_moves(read_text(path, name, LARGEST_FILE), name, left)
        except EvidenceError as error:
            faults += error.faults
    if faults:
        raise EvidenceError(faults)
    return _together(found, left, travel, whole=whole)


def parse_traces(text: str, name: str, *, travel: float | None = None, whole: bool = True) -> Recorded:
    """The moves in the text of one file; as `read_traces`.

    Parameters
    ----------
    text : str
        The whole file.
    name : str
        What to call it in faults.
    travel : float or None
        What a position from shut to open spans. [m]
    whole : bool
        Whether moves that were cut short are left out.

    Raises
    ------
    EvidenceError
        Where it cannot be read at all, or holds no move that can be used.
    """
    left: list[Left] = []
    return _together(parse_moves(text, name, left), left, travel, whole=whole)


def parse_moves(text: str, name: str, left: list[Left]) -> list[Move]:
    """The moves in the text of one file, before they are seen together.

    Parameters
    ----------
    text : str
        The whole file.
    name : str
        What to call it in faults.
    left : list of Left
        Where what is left out is put.

    Raises
    ------
    EvidenceError
        Where it cannot be read at all.
    """
    if is_board_log(text):
        return board_moves(text, name, left)
    findings = Findings(name)
    table = read_rows(text, findings)
    findings.raise_any()
    return [] if table is None else moves(table, name, left)


def _files(paths: Iterable[Path]) -> list[tuple[Path, str]]:
    """The files with their names in faults."""
    found: list[tuple[Path, str]] = []
    for path in paths:
        if not path.is_dir():
            found.append((path, path.name or str(path)))
            continue
        try:
            inside = sorted(
                each for each in path.iterdir() if each.suffix.lower() in ENDINGS and each.name[:1] != "."
            )
        except OSError as error:
            told = system_words(error)
            raise RequestError(
                f"{path} cannot be listed: the system said {told}; make it readable"
            ) from error
        if not inside:
            wanted = ", ".join(ENDINGS)
            raise RequestError(
                f"{path}: read no file that ends in {wanted}; wanted recorded runs; record some"
            )
        found += [(each, f"{path.name}/{each.name}") for each in inside]
    if not found:
        raise RequestError("read no file; wanted recorded runs; name files or a folder of them")
    if len(found) > MOST_FILES:
        raise RequestError(f"read {len(found)} files; wanted at most {MOST_FILES}; put several into one")
    return found


# --- all moves together --------------------------------------------------------------------------------


def _together(found: list[Move], left: list[Left], travel: float | None, *, whole: bool) -> Recorded:
    found = _once(found, left)
    if whole:
        found = _not_cut_short(found, left)
    if not found:
        raise EvidenceError([each.fault for each in left] or [_nothing()])
    # a reckoned position may count from elsewhere than a measured one
    ends = {kind: _ends([each for each in found if each.reckoned is kind], travel) for kind in (False, True)}
    return Recorded(tuple(each.trace(_place(each, ends[each.reckoned])) for each in found), tuple(left))


def _nothing() -> Fault:
    remedy = "record the door while it moves"
    return Fault(file="the files", line=0, path="", read="no move", wanted="one or more", remedy=remedy)


def _once(found: list[Move], left: list[Left]) -> list[Move]:
    """The moves without those whose every reading was there before, in this file or another."""
    seen: dict[tuple[Way, bytes, bytes], Move] = {}
    kept = []
    for move in found:
        first = seen.setdefault((move.way, move.time.tobytes(), move.current.tobytes()), move)
        if first is move:
            kept.append(move)
            continue
        read = f"the very readings of {first.file} from line {first.first}"
        left.append(move.left(Reason.DUPLICATE, read, "each move once", "take one of them out"))
    return kept


def _not_cut_short(found: list[Move], left: list[Left]) -> list[Move]:
    middling: dict[Way, float] = {}
    durations: dict[Way, list[float]] = defaultdict(list)
    for move in found:
        durations[move.way].append(move.duration)
    for way, mine in durations.items():
        middling[way] = float(np.median(mine)) if len(mine) >= LEAST_TO_COMPARE else 0.0
    kept = []
    for move in found:
        if move.reached is False or (move.reached is None and move.duration < CUT_SHORT * middling[move.way]):
            usual = f"; {middling[move.way]:.1f} s are usual" if middling[move.way] else ""
            read = f"{move.duration:.1f} s, not to its end{usual}"
            remedy = "record it again; where an obstacle stood in its way, give it as such"
            left.append(move.left(Reason.TRUNCATED, read, "a move from end to end", remedy))
        else:
            kept.append(move)
    return kept


def _ends(found: Sequence[Move], travel: float | None) -> tuple[float, float] | None:
    """Position shut and open [m, m]; None where no move has any."""
    if travel is not None:
        return 0.0, travel
    shut, opened = [], []
    for move in found:
        if move.position is not None:
            first, last = float(move.position[0]), float(move.position[-1])
            shut.append(first if move.way is Way.OPENING else last)
            opened.append(last if move.way is Way.OPENING else first)
    if not shut:
        return None
    ends = float(np.median(shut)), float(np.median(opened))
    return ends if ends[0] != ends[1] else None


def _place(move: Move, ends: tuple[float, float] | None) -> Floats | None:
    if move.position is None or ends is None:
        return move.share
    share: Floats = (move.position - ends[0]) / (ends[1] - ends[0])
    return share


# --- out -----------------------------------------------------------------------------------------------


def traces_text(traces: Sequence[Trace], *, travel: float | None = None, remark: str = "") -> str:
    """Traces as a file has them, to be read by `read_traces`.

    Parameters
    ----------
    traces : sequence of Trace
        The moves.
    travel : float or None
        What a place from shut to open spans; without it no place is written. [m]
    remark : str
        What stands above, for people.

    Returns
    -------
    str
        Times to a microsecond, currents and voltages to 0.1 mA and 0.1 mV, duties to 0.0001, positions to
        10 um.
    """
    span = None if travel is None else 1e3 * travel
    held = {
        "supply_V": any(each.supply is not None for each in traces),
        "duty": any(each.duty is not None for each in traces),
        "position_mm": span is not None and any(_placed(each, reckoned=False) for each in traces),
        "reckoned_mm": span is not None and any(_placed(each, reckoned=True) for each in traces),
        "temperature_C": any(each.temperature is not None for each in traces),
        "limit_open": any(each.reached is not None for each in traces),
    }
    held["limit_closed"] = held["limit_open"]
    held["filtered"] = any(each.filtered for each in traces)
    names = [name for name in COLUMNS if held.get(name, True)]
    lines = [f"# {each}" for each in remark.splitlines()]
    lines.append(",".join(names))
    for trace in traces:
        cells = _cells(trace, span)
        lines += map(",".join, zip(*(cells[name] for name in names), strict=True))
    return "\n".join(lines) + "\n"


def _placed(trace: Trace, *, reckoned: bool) -> bool:
    return trace.place is not None and trace.reckoned is reckoned


def _cells(trace: Trace, span: float | None) -> dict[str, list[str]]:
    """Each column's cells."""
    number = len(trace.time)
    empty = [""] * number
    warm = "" if trace.temperature is None else f"{trace.temperature - CELSIUS_ZERO:.2f}"
    arrived = empty if trace.reached is None else ["0"] * (number - 1) + [str(int(trace.reached))]
    place = None if span is None or trace.place is None else span * trace.place
    where = empty if place is None else [f"{each:.2f}" for each in place.tolist()]
    opening = trace.way is Way.OPENING
    return {
        "cycle": [str(trace.cycle)] * number,
        "direction": [trace.way.value] * number,
        "t_s": [f"{each:.6f}" for each in trace.time.tolist()],
        "current_A": [f"{each:.4f}" for each in trace.current.tolist()],
        "supply_V": empty if trace.supply is None else [f"{each:.4f}" for each in trace.supply.tolist()],
        "duty": empty if trace.duty is None else [f"{each:.4f}" for each in trace.duty.tolist()],
        "position_mm": empty if trace.reckoned else where,
        "reckoned_mm": where if trace.reckoned else empty,
        "temperature_C": [warm] * number,
        "limit_open": arrived if opening else empty,
        "limit_closed": empty if opening else arrived,
        "filtered": [str(int(trace.filtered))] * number,
    }
