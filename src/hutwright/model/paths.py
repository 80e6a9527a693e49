"""Addresses of values inside a project: reading one, and a copy with some replaced.

A path is a tuple of keys as the file spells them. A key that is a word of the language, such as ``from``,
is a field with an underscore behind it.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from keyword import iskeyword
from typing import Any, TypeVar

from hutwright.errors import ModelError, RequestError

T = TypeVar("T")
Keys = tuple[str, ...]
_NUMBER = re.compile(r"0|[1-9][0-9]{0,8}")  # of a list's element


def field_name(key: str) -> str:
    """The field that a key of the file stands for."""
    return f"{key}_" if iskeyword(key) else key


def key_name(field: str) -> str:
    """The key of the file that stands for a field."""
    return field.rstrip("_")


def value_at(record: object, keys: Keys) -> Any:
    """The value at an address; None where a part on the way is absent.

    Raises
    ------
    RequestError
        Where a record has no such field.
    """
    for number, key in enumerate(keys):
        if record is None:
            return None
        record = _step(record, key, keys[: number + 1])
    return record


def present(record: object, keys: Keys) -> bool:
    """Whether something other than None, an empty table or an empty list stands at an address."""
    try:
        value = value_at(record, keys)
    except RequestError:
        return False
    return value is not None and not (isinstance(value, Mapping | tuple) and not value)


def replaced(record: T, changes: Mapping[Keys, object]) -> T:
    """A copy of a record with the values at some addresses replaced.

    Where both a whole part and something below it are given, the part is replaced first.

    Raises
    ------
    RequestError
        Where an address leads nowhere.
    ModelError
        Where a record refuses the new value; its field is the address from here.
    """
    return _replaced(record, changes, ())


def _replaced(record: T, changes: Mapping[Keys, object], above: Keys) -> T:
    if not changes:
        return record
    below: dict[str, dict[Keys, object]] = {}
    here: dict[str, object] = {}
    for keys, value in changes.items():
        if not keys:
            raise RequestError("an empty address names nothing that could be changed; name one value")
        if len(keys) == 1:
            _step(record, keys[0], (*above, keys[0]))
            here[keys[0]] = value
        else:
            below.setdefault(keys[0], {})[keys[1:]] = value
    for key, inner in below.items():
        so_far = (*above, key)
        child = here[key] if key in here else _step(record, key, so_far)
        if child is None:
            raise RequestError(
                f"{'.'.join(so_far)} is not described, so nothing below it can be changed; describe it first"
            )
        try:
            here[key] = _replaced(child, inner, so_far)
        except ModelError as error:
            field = f"{key}.{error.field}" if error.field else key
            raise ModelError(field, error.read, error.wanted, error.remedy) from None
    return _with(record, here)


def _copy(record: T, values: Mapping[str, object]) -> T:
    """What `dataclasses.replace` gives, in half the time: ranges copy records by the ten thousand."""
    kind = type(record)
    copy: T = object.__new__(kind)
    for name in kind.__dataclass_fields__:  # type: ignore[attr-defined]
        object.__setattr__(copy, name, values[name] if name in values else getattr(record, name))
    checked = getattr(copy, "__post_init__", None)
    if checked is not None:
        checked()
    return copy


def _with(record: T, values: Mapping[str, object]) -> T:
    """A copy of a record, table or list; every key is known to be there."""
    if hasattr(type(record), "__dataclass_fields__"):
        return _copy(record, {field_name(key): value for key, value in values.items()})
    if isinstance(record, Mapping):
        return {**record, **values}  # type: ignore[return-value]
    assert isinstance(record, tuple)
    items = list(record)
    for key, value in values.items():
        items[int(key)] = value
    return tuple(items)  # type: ignore[return-value]


def _step(record: object, key: str, so_far: Keys) -> Any:
    """What stands under one key; a list's elements are numbered from 0."""
    known = getattr(type(record), "__dataclass_fields__", None)
    if known is not None:
        name = field_name(key)
        if name in known and not key.endswith("_"):
            return getattr(record, name)
    elif isinstance(record, Mapping):
        if key in record:
            return record[key]
    elif isinstance(record, tuple) and _NUMBER.fullmatch(key) and int(key) < len(record):
        return record[int(key)]
    raise RequestError(
        f"nothing is called {'.'.join(so_far)} in this description; see `hutwright schema` for the names"
    )
