"""A counterexample in words: what differs from a plain moment, and what the controller does then."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import z3

from tools.prove.door import Tick
from tools.prove.memory import Path
from tools.prove.source import Program
from tools.prove.sums import Value

# Which enum a field speaks, by its name.
SPEAKS = {
    "mode": "door_mode", "way": "door_way", "last_way": "door_way", "unsure": "door_way", "why": "door_why",
    "fault": "door_fault", "present": "door_eye", "beam": "door_eye", "edge": "door_eye",
    "word": "door_word", "ends": "door_ends", "sense": "door_sense", "link_lost": "door_link_lost",
    "link_was_lost": "door_link", "anchor": "door_anchor", "refusal": "door_refusal",
}  # fmt: skip
# What a plain moment looks like; every other field is 0.
PLAIN: dict[str, dict[str, int]] = {
    "settings": {
        "version": 1, "commands": 15, "eyes": 7, "most_reversals": 3, "normal_permille": 900,
        "last_permille": 400, "start_permille": 200, "ramp_ms": 100, "dead_ms": 20, "opening_cap_ms": 8000,
        "closing_cap_ms": 8000, "backstop_mA": 12000, "backstop_ms": 20, "filter_q16": 13107,
        "slow_q16": 655, "after_ms": 10, "blind_ms": 200, "start_step_ms": 25, "reference_dC": 200,
        "reference_mV": 12000, "trained_high_dC": 350, "trained_low_mV": 11000, "trained_high_mV": 13000,
        "start_above_mV": 10500, "stop_below_mV": 9500, "stop_below_ms": 50, "place_gain_q8": 40000,
        "resistance_mohm": 500, "drop_mV": 1000, "end_permille": 50, "slip_permille": 150, "zero_ms": 50,
        "zero_most_mA": 500, "range_mA": 25000, "none_mA": 200, "none_ms": 60, "relax_permille": 50,
        "back_permille": 200, "present_hold_ms": 300, "debounce_ms": 20, "clear_ms": 1000,
    },
    "inputs": {
        "present": 1, "beam": 1, "edge": 1, "supply_mV": 12000, "temperature_dC": 200,
        "place_permille": 65535,
    },
    "state": {"mode": 5, "ramp_step": 7},
}  # fmt: skip
PLAIN_OFF_MS = 1000


def spoken(program: Program, name: str, number: int) -> str:
    """A field's number as door.h says it, else the number.

    Parameters
    ----------
    program : Program
        Whose enums they are.
    name : str
        The field.
    number : int
        What is in it. [-]
    """
    word = program.words.get(SPEAKS.get(name, ""), {}).get(number)
    return word.removeprefix("DOOR_") if word else str(number)


def _fields(tick: Tick) -> Iterator[tuple[str, Path, Value]]:
    for path, value in tick.values_before.items():
        if path[0] == "settings" and path[1] not in ("opening", "closing", "checksum"):
            yield "the settings say", path, value
    for path, value in tick.values_before.items():
        if path[:2] == ("state", "decide"):
            yield "before the tick", path, value
    for path, value in tick.values_before.items():
        if path[0] == "inputs":
            yield "the board reads", path, value
    for path, value in tick.seen_values.items():
        yield "the detector says", path, value


def _plain(path: Path) -> int:
    return PLAIN.get(path[0], {}).get(path[-1], 0)


def smallest(tick: Tick, given: Sequence[Any], broken: Any) -> Any:
    """A model that breaks the claim and is as plain as can be, field after field."""
    solver = z3.SolverFor("QF_BV")
    solver.add(*given, broken)
    solver.check()
    model = solver.model()
    fields = list(_fields(tick))
    kept: list[Any] = []
    _wish(solver, [tick.off_before == PLAIN_OFF_MS], kept)
    _wish(solver, [value.term == _plain(path) for _, path, value in fields], kept)
    _wish(solver, [z3.ULE(value.term, 2) for _, path, value in fields if value.kind.bits == 8], kept)
    if solver.check(*kept) == z3.sat:
        model = solver.model()
    return model


def _wish(solver: Any, wishes: list[Any], kept: list[Any]) -> None:
    """Keep what can be had together; whole groups first, then their halves."""
    if not wishes or solver.check(*kept, *wishes) == z3.sat:
        kept += wishes
    elif len(wishes) > 1:
        middle = len(wishes) // 2
        _wish(solver, wishes[:middle], kept)
        _wish(solver, wishes[middle:], kept)


def told(tick: Tick, model: Any) -> str:
    """The counterexample: what is not plain, and what comes out."""
    groups: dict[str, list[str]] = {}
    for where, path, value in _fields(tick):
        number = _number(model, value)
        name = str(path[-1])
        if number != _plain(path) or name in ("mode", "way"):
            groups.setdefault(where, []).append(f"{name} {spoken(tick.program, name, number)}")
    outputs: Mapping[Path, Value] = {path: v for path, v in tick.values_after.items() if path[0] == "outputs"}
    off = model.eval(tick.off_before, model_completion=True).as_long()
    lines = [f"{where}: {', '.join(said)}" for where, said in groups.items()]
    lines.append(f"both sides have been off for {off} ms")
    came = (
        f"{path[-1]} {spoken(tick.program, str(path[-1]), _number(model, v))}" for path, v in outputs.items()
    )
    lines.append(f"then it gives: {', '.join(came)}")
    return "\n".join(lines)


def _number(model: Any, value: Value) -> int:
    answer = model.eval(value.term, model_completion=True)
    return int(answer.as_signed_long() if value.kind.signed else answer.as_long())
