"""Moves out of what a board told on its line: telemetry with a checksum in each line, as in `docs/board.md`.

Only what a trace needs is read here; `hutwright.live.lines`, which talks with boards, knows the rest.
"""

from __future__ import annotations

import re
from binascii import crc_hqx
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby

import numpy as np

from hutwright.errors import Fault, shortened
from hutwright.evidence.recorded import Left, Move, Reason
from hutwright.evidence.trace import Way
from hutwright.evidence.trace_moves import refusal
from hutwright.laws.copper import CELSIUS_ZERO

BEGUN = 0xFFFF  # how the checksum begins
ROUND = 65536  # the clock in milliseconds begins again there
PLACE_KNOWN, ENABLED = 0x200, 0x400  # bits of `b`
AT_SHUT, OPENS, AT_OPEN, CLOSES = 0, 1, 2, 3  # states `m`
MOVING = (OPENS, CLOSES)
_LINE = re.compile(r"([ABCRST])((?: [a-z]=-?[0-9]{1,5})+)\*([0-9A-F]{4})")
_FIELD = re.compile(r"([a-z])=(-?[0-9]+)")
_NEEDED = frozenset("tmdiukgb")
LOOKED_AT = 50  # lines from the top by which a file is told: a choice of this project
_WANTED = "a whole line of the board with its checksum"


@dataclass(frozen=True, slots=True)
class _Going:
    """A move that was told of."""

    way: Way
    cycle: int
    lines: list[int]
    rows: list[dict[str, int]]


def is_board_log(text: str) -> bool:
    """Whether a text is what a board told: whether one of its first lines is.

    Parameters
    ----------
    text : str
        The whole file.
    """
    return any(_LINE.fullmatch(line.strip()) for line in text.split("\n", LOOKED_AT)[:LOOKED_AT])


def board_moves(text: str, file: str, left: list[Left]) -> list[Move]:
    """The moves that a board told of; what is left out is told.

    Parameters
    ----------
    text : str
        The whole file.
    file : str
        Name of the file.
    left : list of Left
        Where what is left out is put.
    """
    found = []
    for going, after in _runs(text, file, left):
        move = _move(going, after, file)
        refused = refusal(move)
        if refused is None:
            found.append(move)
        else:
            left.append(refused)
    return found


def _runs(text: str, file: str, left: list[Left]) -> Iterator[tuple[_Going, dict[str, int] | None]]:
    """Each move with the first line at rest after it in which the board no longer is in that move."""
    going: _Going | None = None
    before, cycle = set[Way](), 0
    for way, group in groupby(_told(text, file, left), key=lambda each: _way(each[1])):
        if way is None:
            after = next((fields for _, fields in group if not fields or fields["m"] not in MOVING), None)
            if going is not None and after is not None:
                yield going, after or None
                going = None
            continue
        if going is not None:
            yield going, None
        if way in before or not cycle:
            cycle, before = cycle + 1, set()
        before.add(way)
        told = list(group)
        going = _Going(way, cycle, [number for number, _ in told], [fields for _, fields in told])
    if going is not None:
        yield going, None


def _told(text: str, file: str, left: list[Left]) -> Iterator[tuple[int, dict[str, int]]]:
    """Telemetry by line; empty where the board has begun anew."""
    for number, line in enumerate(text.split("\n"), start=1):
        bare = line.strip()
        if not bare or bare.startswith("#"):
            continue
        found = _LINE.fullmatch(bare)
        broken = found is None or crc_hqx(f"{found[1]}{found[2]}".encode(), BEGUN) != int(found[3], 16)
        if found is not None and not broken:
            fields = {key: int(value) for key, value in _FIELD.findall(found[2])}
            if found[1] == "B":
                yield number, {}
                continue
            if found[1] != "T":
                continue
            if fields.keys() >= _NEEDED:
                yield number, fields
                continue
        fault = Fault(
            file=file, line=number, path="", read=shortened(bare), wanted=_WANTED, remedy="nothing to do"
        )
        left.append(Left(Reason.DAMAGED, 1, move=False, fault=fault))


def _way(fields: dict[str, int]) -> Way | None:
    """Which way the bridge drives; None where it does not."""
    if not fields or not fields["b"] & ENABLED or fields["d"] == 0:
        return None
    return Way.OPENING if fields["d"] > 0 else Way.CLOSING


def _move(going: _Going, after: dict[str, int] | None, file: str) -> Move:
    rows = going.rows
    ticks = np.array([each["t"] for each in rows], float)
    time = 1e-3 * np.concatenate([[0.0], np.cumsum(np.diff(ticks) % ROUND)])
    known = all(each["b"] & PLACE_KNOWN for each in rows)
    return Move(
        file=file,
        first=going.lines[0],
        last=going.lines[-1],
        cycle=going.cycle,
        way=going.way,
        time=time,
        current=1e-3 * np.array([each["i"] for each in rows], float),
        supply=1e-3 * np.array([each["u"] for each in rows], float),
        duty=1e-3 * np.abs(np.array([each["d"] for each in rows], float)),
        position=None,
        reckoned=True,
        share=1e-3 * np.array([each["g"] for each in rows], float) if known else None,
        temperature=float(np.mean([each["k"] for each in rows])) / 10.0 + CELSIUS_ZERO,
        reached=None if after is None else after["m"] == (AT_OPEN if going.way is Way.OPENING else AT_SHUT),
        filtered=True,
    )
