"""A description with some values changed, in memory: what a lever or an editor would write."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from hutwright.description import wanted
from hutwright.description.lines import join
from hutwright.description.overlay import Merged
from hutwright.description.shape import layer_parts
from hutwright.errors import RequestError
from hutwright.model.hut import Layer
from hutwright.model.paths import Keys


def changed(merged: Merged, changes: Mapping[Keys, object]) -> Merged:
    """A copy of merged tables with the values at some addresses set; None takes a value out.

    Parameters
    ----------
    merged : Merged
        The tables.
    changes : Mapping
        Address to value, as the file spells it. An address may lead into a list, down to the thickness of
        a layer.

    Returns
    -------
    Merged
        The copy; tables and lists that nothing changes are shared with the original.

    Raises
    ------
    RequestError
        Where an address is empty, or leads through something that is no table and no list long enough.
    """
    data = dict(merged.data)
    for path, value in changes.items():
        if not path:
            raise RequestError("an empty address names nothing that could be changed; name one value")
        _set(data, path, value, path)
    return replace(merged, data=data)


def _set(table: dict[str, object], path: Keys, value: object, whole: Keys) -> None:
    key = path[0]
    if len(path) > 1:
        table[key] = _inside(table.get(key, {}), path[1:], value, whole)
    elif value is None:
        table.pop(key, None)
    else:
        table[key] = value


def _inside(old: object, path: Keys, value: object, whole: Keys) -> object:
    """A copy of a table, list or layer with something inside it set."""
    if isinstance(old, dict):
        copy = dict(old)
        _set(copy, path, value, whole)
        return copy
    if isinstance(old, list) and path[0].isdecimal() and int(path[0]) < len(old):
        items = list(old)
        number = int(path[0])
        if len(path) > 1:
            items[number] = _inside(items[number], path[1:], value, whole)
        elif value is None:
            del items[number]
        else:
            items[number] = value
        return items
    if isinstance(old, str) and path == ("thickness",) and wanted.hint_at(whole[:-1]) is Layer:
        return f"{value} {layer_parts(old)[1]}"
    at = join(*whole[: len(whole) - len(path)])
    raise RequestError(
        f"{join(*whole)} leads through {at}, which has no such thing inside; change {at} as a whole"
    )
