"""The reading of a whole tick, detect.c and all, beside what the compiled core makes of the same cases."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from hutwright.native import records
from hutwright.native._door import ffi, lib
from tools.prove.door import OBJECTS, arguments, reader_of, values_of
from tools.prove.evaluate import evaluated
from tools.prove.memory import Path
from tools.prove.source import Program
from tools.prove.sums import Value
from tools.prove.words import PLAIN

TYPES = {
    "settings": records.SETTINGS, "state": records.STATE, "inputs": records.INPUTS,
    "outputs": records.OUTPUTS,
}  # fmt: skip
# Fields that speak in few words: mostly drawn from these, else from anything.
FEW = {
    "mode": 8, "way": 3, "last_way": 3, "phase": 5, "button": 3, "relay": 3, "sensor": 3, "link_was_lost": 4,
    "present": 4, "beam": 4, "edge": 4, "word": 7, "ends": 3, "sense": 2, "link_lost": 3, "anchor": 5,
    "unsure": 3, "start_at": 9, "turning": 3, "commands": 16, "eyes": 8, "most_reversals": 9,
}  # fmt: skip
EDGES = np.array([0, 1, 2, 19, 20, 21, 99, 100, 999, 1000, 4999, 5000, 32767, 32768, 65534, 65535])
Cases = dict[str, Any]


def cases(number: int, rng: np.random.Generator) -> Cases:
    """So many moments by chance: settings, state, inputs.

    Parameters
    ----------
    number : int
        How many. [-]
    rng : numpy.random.Generator
        Where chance comes from.

    Returns
    -------
    dict
        Object to records. Whatever would be undefined in C is left out: an index beyond its array, a division
        by nought, a sum beyond 32 bits.
    """
    made = {name: np.zeros(number, kind) for name, kind in TYPES.items()}
    for name in ("settings", "state", "inputs"):
        _fill(made[name], rng)
    settings, state = made["settings"], made["state"]
    settings["zero_ms"] = np.maximum(settings["zero_ms"], 1)
    detect, decide = state["detect"], state["decide"]
    detect["lag_at"] %= records.DETECT_STATE["lagged"].shape[0]
    for greatest in ("greatest_opening", "greatest_closing"):
        detect[greatest] %= settings["opening"]["profile_mA"].shape[1]
    detect["zero_sum_mA"] //= 2
    detect["by_weather_mA"] //= 4
    for share in ("place_q30", "mark_q30", "covered_q30"):
        detect[share] %= records.PLACE_OPEN + 1
    _calm(made, rng)
    decide["refusal"] = np.where(rng.random(number) < 0.95, 0, decide["refusal"])
    # Most cases in a move, as a move is: else chance seldom gets beyond the first line of the precedence.
    sound = rng.random(number) < 0.8
    modes = {0: 0, 1: 1, 2: 0, 3: 2, 4: None, 5: 0, 6: 0, 7: 0}
    for mode, way in modes.items():
        if way is not None:
            decide["way"] = np.where(sound & (decide["mode"] == mode), way, decide["way"])
    return made


def _fill(record: Any, rng: np.random.Generator) -> None:
    for name in record.dtype.names:
        field = record[name]
        if field.dtype.names:
            _fill(field, rng)
            continue
        info, shape = np.iinfo(field.dtype), field.shape
        wild = rng.integers(info.min, info.max, shape, field.dtype, endpoint=True)
        small = rng.integers(0, FEW.get(name, 2 if info.bits == 8 else 2000), shape).astype(field.dtype)
        edge = rng.choice(EDGES, shape).astype(field.dtype)
        which = rng.random(shape)
        record[name] = np.where(which < 0.55, small, np.where(which < 0.8, edge, wild))
        if name in FEW:
            record[name] = np.where(which < 0.95, small, record[name])


def _calm(made: Cases, rng: np.random.Generator) -> None:
    """Most cases are of a door where hardly anything is wrong: else chance seldom gets beyond a fault."""
    calm = rng.random(len(made["state"])) < 0.75
    places = {
        "settings": made["settings"], "inputs": made["inputs"], "decide": made["state"]["decide"],
        "detect": made["state"]["detect"], "opening": made["settings"]["opening"],
        "closing": made["settings"]["closing"],
    }  # fmt: skip
    plain = {"settings": PLAIN["settings"], "inputs": PLAIN["inputs"]}
    detector = {"profile_mA": 2000, "trip_mA": 1500, "rise_mA": 1000}
    plain |= {"opening": detector, "closing": detector}
    for place, record in places.items():
        for name in record.dtype.names:
            field = record[name]
            if field.dtype.names or (name in FEW and place != "inputs"):
                continue
            kept = calm & (rng.random(len(calm)) < (0.8 if place == "decide" else 0.93))
            usual = plain.get(place, {}).get(name, 0)
            record[name] = np.where(kept.reshape(-1, *(1,) * (field.ndim - 1)), usual, field)


def compiled(made: Mapping[str, Any]) -> Cases:
    """What the compiled core makes of the cases: state and outputs after one tick."""
    after = {name: array.copy() for name, array in made.items()}
    pointers = [ffi.cast(f"{kind} *", after[name].ctypes.data) for name, kind in OBJECTS.items()]
    for at in range(len(after["state"])):
        lib.door_tick(*(pointer + at for pointer in pointers))
    return after


class Reading:
    """The tick as terms, nothing left free."""

    def __init__(self, int_bits: int, changed: Mapping[str, str] | None = None) -> None:
        """Read it once."""
        reader = reader_of(Program(int_bits, changed), free=())
        self.before = values_of(reader)
        reader.call("door_tick", arguments(reader))
        self.after = values_of(reader)
        self.bounds = reader.sums.bounds

    def evaluated(self, made: Mapping[str, Any]) -> dict[Path, Any]:
        """What the terms make of the cases: path to numbers, as unsigned ones."""
        number = len(made["state"])
        known = {".".join(map(str, path)): _unsigned(_of(made, path)) for path in self.before}
        wanted = {path: value.term for path, value in self.after.items() if path[0] in ("state", "outputs")}
        found = evaluated(wanted, known)
        return {path: np.broadcast_to(values, (number,)) for path, values in found.items()}

    def differences(self, made: Mapping[str, Any]) -> list[str]:
        """Each field that the compiled core has otherwise in some case."""
        core = compiled(made)
        return [
            f"{'.'.join(map(str, path))}: {int(np.count_nonzero(differs))} of {len(differs)}, "
            f"first in case {int(np.argmax(differs))}"
            for path, values in self.evaluated(made).items()
            if np.any(differs := _cut(_unsigned(_of(core, path)), self.after[path]) != values)
        ]


def _cut(values: Any, value: Value) -> Any:
    return values & np.uint64((1 << value.kind.bits) - 1)


def _unsigned(values: Any) -> Any:
    bits = values.dtype.itemsize * 8
    return values.astype(np.int64).view(np.uint64) & np.uint64((1 << bits) - 1)


def _of(made: Mapping[str, Any], path: Path) -> Any:
    array = made[path[0]]
    for step in path[1:]:
        array = array[step] if isinstance(step, str) else array[:, step]
    return array
