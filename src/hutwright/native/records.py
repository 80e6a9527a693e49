"""The C structures as numpy records, with the very layout that the compiler gave them."""

from __future__ import annotations

from collections.abc import Collection
from typing import Any, TypeAlias

import numpy as np

from hutwright.native._door import ffi, lib

# A record or an array of records of one of the types below; which one, the names say.
Record: TypeAlias = Any

_PLAIN = {
    "int8_t": "i1", "uint8_t": "u1", "int16_t": "i2", "uint16_t": "u2", "int32_t": "i4", "uint32_t": "u4",
    "int64_t": "i8", "uint64_t": "u8", "float": "f4", "double": "f8",
}  # fmt: skip


def _dtype(ctype: Any) -> Any:
    """What numpy calls a type of C."""
    if ctype.kind == "array":
        return (_dtype(ctype.item), (ctype.length,))
    if ctype.kind == "struct":
        names, fields = zip(*ctype.fields, strict=True)
        return np.dtype(
            {
                "names": list(names),
                "formats": [_dtype(field.type) for field in fields],
                "offsets": [field.offset for field in fields],
                "itemsize": ffi.sizeof(ctype),
            }
        )
    return np.dtype(_PLAIN[ctype.cname])


def _of(name: str) -> np.dtype[np.void]:
    made: np.dtype[np.void] = _dtype(ffi.typeof(name))
    return made


DOOR = _of("sim_door")
SCENARIO = _of("sim_scenario")
EVENT = _of("sim_event")
RESULT = _of("sim_result")
ROW = _of("sim_row")
SETTINGS = _of("door_settings")
DETECTOR = _of("door_detector")
INPUTS = _of("door_inputs")
OUTPUTS = _of("door_outputs")
STATE = _of("door_state")
DETECT_STATE = _of("door_detect_state")
DECIDE_STATE = _of("door_decide_state")
SEEN = _of("door_seen")

PLACES: int = lib.SIM_PLACES
MOST_EVENTS: int = lib.SIM_EVENTS
BINS: int = lib.DOOR_BINS
START_BINS: int = lib.DOOR_START_BINS
COUNTERS: int = lib.DOOR_COUNTERS
SETTINGS_VERSION: int = lib.DOOR_SETTINGS_VERSION
PLACE_OPEN: int = lib.DOOR_PLACE_OPEN
NO_PLACE: int = lib.DOOR_NO_PLACE

# Share of q / full at which the load tables are read: evenly spaced in its root.
SHARES = np.linspace(0.0, 1.0, PLACES) ** 2
SHARES.setflags(write=False)


def blank(dtype: np.dtype[np.void]) -> Record:
    """One record of that type with every field at zero, to be filled in."""
    return np.zeros((), dtype)


def checked(records: Record, dtype: np.dtype[np.void], what: str) -> np.ndarray[Any, np.dtype[np.void]]:
    """The records as a plain row of them, in one piece.

    Raises
    ------
    TypeError
        They are of another type.
    """
    array = np.asarray(records)
    if array.dtype != dtype:
        raise TypeError(f"{what}: wanted records of {dtype.itemsize} bytes as hutwright.native.records "
                        f"lays them out; got {array.dtype!r}")  # fmt: skip
    return np.ascontiguousarray(array.reshape(-1))


def has_profile(settings: Record) -> bool:
    """Whether settings hold a profile that was learnt.

    Parameters
    ----------
    settings : record of SETTINGS
        The settings.
    """
    return any(settings[way]["profile_mA"].any() for way in ("opening", "closing"))


def otherwise(one: Record, other: Record, *, but: Collection[str] = ()) -> tuple[str, ...]:
    """Names of the fields that two records of the same type hold otherwise, in the type's order.

    Parameters
    ----------
    one : record
        A record.
    other : record
        What it is compared with.
    but : collection of str
        Fields that are not compared.
    """
    names = [name for name in one.dtype.names if name not in but]
    return tuple(name for name in names if one[name].tobytes() != other[name].tobytes())
