"""One tick of the door's controller as terms, what is assumed before it, and what stays true after it.

Read is `door_tick` with everything that it calls, but for two functions that may answer anything:
`door_detect` (arithmetic; its bounds are proved in `arithmetic.py`) and `door_crc` (whether a checksum is
right is not what is proved). Settings are held to what `door_settings_refusal` itself accepts.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

import z3

from tools.prove.memory import Path
from tools.prove.reader import Reader
from tools.prove.source import Program
from tools.prove.sums import Owed, Sums, Value, truth_of

FREE = ("door_detect", "door_crc")
OBJECTS = {
    "settings": "door_settings", "state": "door_state", "inputs": "door_inputs", "outputs": "door_outputs",
}  # fmt: skip
# Ghosts: what the promises speak of and the controller does not count. Ticks with both sides off.
GHOST_BITS = 32


class Fields:
    """The fields of one object at one moment as integers without bounds on size: 32 bits, sign kept."""

    def __init__(self, values: Mapping[Path, Value], *prefix: Any) -> None:
        """Keep where they are."""
        self._values, self._prefix = values, prefix

    def __getattr__(self, name: str) -> Any:
        """One field, as a bit-vector of 32 bits, or the fields within it."""
        return self[name]

    def __getitem__(self, step: Any) -> Any:
        """One item."""
        path = (*self._prefix, step)
        if path in self._values:
            return wide(self._values[path])
        return Fields(self._values, *path)


def wide(value: Value) -> Any:
    """A value of at most 32 bits with 32."""
    term, more = value.term, 32 - value.kind.bits
    if more == 0:
        return term
    return z3.SignExt(more, term) if value.kind.signed else z3.ZeroExt(more, term)


@dataclass(slots=True, eq=False)
class Tick:
    """One tick.

    Attributes
    ----------
    program : Program
        What was read.
    settings, inputs, seen, out : Fields
        What is set, read by the board, found by detect.c, and put out.
    before, after : Fields
        The decider's state.
    counted_before, counted_after : Fields
        The counters.
    off_before, off_after : z3 term
        Ghost: ticks together with both sides off, before and after this one. [ms]
    accepted : z3 term
        Whether `door_settings_refusal` finds these settings good.
    owed : list of Owed
        What must hold of every step.
    values_before, values_after : dict
        Every plain field by path.
    seen_values : dict
        What detect.c has found, by path.
    """

    program: Program
    settings: Any
    inputs: Any
    seen: Any
    out: Any
    before: Any
    after: Any
    counted_before: Any
    counted_after: Any
    off_before: Any
    off_after: Any
    accepted: Any
    owed: list[Owed]
    values_before: dict[Path, Value]
    values_after: dict[Path, Value]
    seen_values: dict[Path, Value]


def reader_of(program: Program, *, relaxed: bool = False, free: Iterable[str] = FREE) -> Reader:
    """A reader with settings, state, inputs and outputs that are anything at all."""
    reader = Reader(program, Sums(program.int_bits, relaxed=relaxed), free=tuple(free))
    for name, kind in OBJECTS.items():
        reader.take(name, kind)
    return reader


def values_of(reader: Reader) -> dict[Path, Value]:
    """Every plain field at this moment."""
    return {path: value for path, value in reader.state.memory.items() if isinstance(value, Value)}


_ACCEPTED: dict[tuple[int, str], Any] = {}


def accepted_by(program: Program) -> Any:
    """Whether settings are accepted, as a term; the checksum may be right or wrong."""
    key = program.int_bits, program.texts["settings.c"]
    if key not in _ACCEPTED:
        reader = reader_of(program)
        refusal = reader.call("door_settings_refusal", [reader.pointer("settings", const=True)])
        assert isinstance(refusal, Value)
        _ACCEPTED[key] = z3.Not(truth_of(refusal))
    return _ACCEPTED[key]


def arguments(reader: Reader) -> list[Any]:
    """What door_tick() is called with."""
    return [reader.pointer(name, const=name in ("settings", "inputs")) for name in OBJECTS]


def tick_of(program: Program) -> Tick:
    """Read one tick."""
    reader = reader_of(program)
    before = values_of(reader)
    reader.call("door_tick", arguments(reader))
    after = values_of(reader)
    seen = Reader(program, Sums(program.int_bits))
    seen.take("door_detect.seen", "door_seen")
    seen_values = values_of(seen)
    out = Fields(after, "outputs")
    off = z3.BitVec("ghost.off_ms", GHOST_BITS)
    still = z3.And(out.open_permille == 0, out.close_permille == 0)
    return Tick(
        program, Fields(before, "settings"), Fields(before, "inputs"),
        Fields(seen_values, "door_detect.seen"), out, Fields(before, "state", "decide"),
        Fields(after, "state", "decide"), Fields(before, "state", "counters"),
        Fields(after, "state", "counters"), off,
        z3.If(still, z3.If(z3.ULT(off, 100000), off + 1, off), z3.BitVecVal(0, GHOST_BITS)),
        accepted_by(program), reader.sums.owed, before, after, seen_values,
    )  # fmt: skip


@dataclass(slots=True, eq=False)
class Begin:
    """The state that door_begin() leaves, from settings that are anything."""

    settings: Any
    after: Any
    accepted: Any
    bounds: list[Any]
    owed: list[Owed]


def begin_of(program: Program) -> Begin:
    """Read the power-up; quotients are anything within their bounds, which is all that is needed of them."""
    reader = reader_of(program, relaxed=True)
    reader.places.fill(reader.state, "kept", _counters(program), _unknown)
    settings = Fields(values_of(reader), "settings")
    null_or_kept = z3.Bool("kept.given")
    kept = reader.pointer("kept", 0, const=True)
    given = type(kept)(((null_or_kept, ("kept", 0)), (z3.Not(null_or_kept), None)), kept.to, const=True)
    reader.call("door_begin", [reader.pointer("settings", const=True), reader.pointer("state"), given])
    after = Fields(values_of(reader), "state", "decide")
    bounds = [bound for bound in reader.sums.bounds if bound is not True]
    return Begin(settings, after, accepted_by(program), bounds, reader.sums.owed)


def _counters(program: Program) -> Any:
    reader = Reader(program, Sums(program.int_bits))
    reader.take("state", "door_state")
    return reader.places.kind(("state", "counters"))


def _unknown(path: Path, kind: Any) -> Value:
    return Value(kind, kind.low, kind.high, z3.BitVec(".".join(map(str, path)), kind.bits))


# ---- what is true between ticks --------------------------------------------------------------------------


class Names:
    """The enums of door.h: `names.DOOR_OPEN`."""

    def __init__(self, program: Program) -> None:
        """Look them up in it."""
        self._enums = program.enums

    def __getattr__(self, name: str) -> int:
        """The number of one."""
        return self._enums[f"DOOR_{name}"]


def is_one_of(term: Any, *values: int) -> Any:
    """Whether it is one of them."""
    return z3.Or(*(term == value for value in values))


def upto(term: Any, most: Any) -> Any:
    """At most so much; both are wide and not negative."""
    return z3.ULE(term, most)


def invariants(s: Any, d: Any, off: Any, n: Names) -> dict[str, Any]:
    """What holds of settings and the decider's state between ticks.

    Parameters
    ----------
    s, d : Fields
        Settings and state.
    off : z3 term
        Ghost: ticks together with both sides off. [ms]
    n : Names
        The enums.

    Returns
    -------
    dict
        A sentence each, and its term.
    """
    still = d.way == n.STILL
    well = d.refusal == 0
    moving = is_one_of(d.mode, n.OPENING, n.CLOSING, n.REVERSING)
    cap = z3.If(d.way == n.OPENS, s.opening_cap_ms, s.closing_cap_ms)
    return {
        "every word of the state is one that door.h knows": z3.And(
            upto(d.mode, n.LAID_UP), upto(d.way, n.CLOSES), upto(d.last_way, n.CLOSES), upto(d.phase, 4),
            upto(d.button, 2), upto(d.relay, 2), upto(d.sensor, 2), upto(d.link_was_lost, n.LINK_DONE),
            upto(d.anchor, n.ANCHOR_ANEW), upto(d.fault, n.SLIPPED), upto(d.unsure, n.CLOSES),
            upto(d.why, n.WHY_BACKED_OFF), upto(d.enable, 1), upto(d.needs_zero, 1), upto(d.first_move, 1)),
        "a way is taken in a move, and in no other state": still == z3.Not(moving),
        "OPENING opens": z3.Implies(d.mode == n.OPENING, d.way == n.OPENS),
        "CLOSING closes": z3.Implies(d.mode == n.CLOSING, d.way == n.CLOSES),
        "REVERSING opens fully or does one of the three things that close a little": z3.If(
            d.mode == n.REVERSING,
            z3.Or(z3.And(d.phase == 1, d.way == n.OPENS),
                  z3.And(d.way == n.CLOSES, is_one_of(d.phase, 2, 3, 4))),
            d.phase == 0),
        "at rest nothing is driven or counted for a drive": z3.Implies(still, z3.And(
            d.duty_permille == 0, d.run_ms == 0, d.dead_ms == 0, d.wait_ms == 0, d.low_supply_ms == 0,
            d.limit_ms == 0, d.needs_zero == 0)),
        "the dead time left is at most that of the settings": upto(d.dead_ms, s.dead_ms),
        "no drive while dead time is left": z3.Implies(d.dead_ms != 0, d.run_ms == 0),
        "no duty before the drive has come on": z3.Implies(d.run_ms == 0, d.duty_permille == 0),
        "a start that waits for the sensor's zero is not driven": z3.Implies(
            d.needs_zero != 0, d.run_ms == 0),
        "in a move without duty both sides have been off for more than the dead time, less what is left":
            z3.Implies(z3.And(well, z3.Not(still), d.duty_permille == 0), z3.UGT(off + d.dead_ms, s.dead_ms)),
        "a drive has not been on for longer than its cap": z3.Implies(well, upto(d.run_ms, cap)),
        "the duty is at most the normal one": z3.Implies(well, upto(d.duty_permille, s.normal_permille)),
        "the duty rises by no more than from start to normal": z3.Implies(
            well, z3.And(upto(d.ramp_step, 1000), z3.ULT(d.ramp_rest, s.ramp_ms),
                         z3.ULT(d.ramp_sum, s.ramp_ms))),
        "a fault is named in FAULT, and only there": (d.fault != n.WELL) == (d.mode == n.FAULT),
        "with refused settings it has not moved": z3.Implies(
            z3.Not(well), z3.And(still, is_one_of(d.mode, n.STOPPED, n.FAULT), d.enable == 0)),
        "the hold, the second and the slips are counted within their bounds": z3.Implies(well, z3.And(
            upto(d.present_ms, s.present_hold_ms), z3.ULT(d.open_ms, 1000),
            z3.Or(z3.ULT(d.slips, 2), d.mode == n.FAULT),
            upto(d.wait_ms, 5000), upto(d.limit_ms, 100))),
    }  # fmt: skip


def assumed(tick: Tick) -> list[Any]:
    """What is taken as given before a tick: the invariants, and that settings in use are accepted ones."""
    n = Names(tick.program)
    held = invariants(tick.settings, tick.before, tick.off_before, n)
    return [
        *held.values(),
        z3.Implies(tick.before.refusal == 0, tick.accepted),
        upto(tick.off_before, 100000),
    ]
