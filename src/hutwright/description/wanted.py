"""What may stand where in the file: keys, meaning and an example of each, read off the records."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from enum import Enum
from functools import cache
from typing import Annotated, Any, get_args, get_origin

from hutwright.catalogue import tables
from hutwright.description.shape import bare, example_of_share, hints_of
from hutwright.model.hut import Layer
from hutwright.model.paths import Keys, field_name, key_name
from hutwright.model.project import Project
from hutwright.model.quantities import Count, OneOf, Share, Text
from hutwright.units import Dimension

_ENTRY = re.compile(r"^    (\w+) : .*\n((?:        .*\n?)+)", re.MULTILINE)


def keys_of(record: type) -> list[str]:
    """The keys of the table that describes a record."""
    return [key_name(field.name) for field in fields(record)]


@cache
def meanings(record: type) -> Mapping[str, str]:
    """What each field of a record is, out of its own docstring."""
    return {name: " ".join(text.split()) for name, text in _ENTRY.findall(record.__doc__ or "")}


def meaning(record: type, name: str) -> str:
    """What a field is, as the middle of a sentence."""
    text = re.sub(r"\s*\[[^]]*\]\s*$", "", meanings(record).get(name, name)).rstrip(".")
    return text[:1].lower() + text[1:]


def hint_at(path: Keys) -> Any:
    """The type of the value at an address, without its None; None where nothing can stand there."""
    hint: Any = Project
    for key in path:
        if is_dataclass(hint) and isinstance(hint, type):
            hint = hints_of(hint).get(field_name(key)) if not key.endswith("_") else None
            if hint is None:
                return None
            hint = bare(hint)
        elif _is_mapping(hint):
            hint = bare(get_args(hint)[1])
        elif get_origin(hint) is tuple and key.isdecimal():
            hint = bare(get_args(hint)[0])
        else:
            return None
    return hint


def length_at(path: Keys) -> int | None:
    """How many entries the list at an address must have; None where any number will do."""
    parts = get_args(hint) if get_origin(hint := hint_at(path)) is tuple else ()
    return len(parts) if parts and parts[-1] is not Ellipsis else None


def keys_at(path: Keys) -> list[str]:
    """The keys that the table at an address may hold; empty where they are the builder's own names."""
    hint = hint_at(path)
    return keys_of(hint) if is_dataclass(hint) and isinstance(hint, type) and hint is not Layer else []


def example(hint: Any) -> str:
    """A value as the file would spell it."""
    hint = bare(hint)
    if get_origin(hint) is Annotated:
        return _example_of_mark(get_args(hint)[1])
    if isinstance(hint, type) and issubclass(hint, Enum):
        return f'"{next(iter(hint)).value}"'
    if hint is bool:
        return "true"
    if hint is Layer:
        return '"22 mm softwood boards"'
    if get_origin(hint) is tuple:
        return f"[{', '.join(example(part) for part in get_args(hint) if part is not Ellipsis)}]"
    if _is_mapping(hint):
        return f"{{ name = {example(get_args(hint)[1])} }}"
    if is_dataclass(hint) and isinstance(hint, type):
        inner = hints_of(hint)
        return (
            "{ "
            + ", ".join(f"{key_name(name)} = {example(each)}" for name, each in list(inner.items())[:3])
            + " }"
        )
    return "3.0"


def _example_of_mark(mark: object) -> str:
    if isinstance(mark, Dimension):
        return f'"{mark.example}"'
    if isinstance(mark, Share):
        return f"{example_of_share(mark)}"
    if isinstance(mark, Count):
        return str(mark.lowest)
    if isinstance(mark, OneOf):
        return f'"{tables.names(mark.table)[0]}"'
    return '"…"' if isinstance(mark, Text) else "…"


def _is_mapping(hint: Any) -> bool:
    origin = get_origin(hint)
    return isinstance(origin, type) and issubclass(origin, Mapping)
