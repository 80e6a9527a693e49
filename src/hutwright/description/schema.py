"""The file's shape as JSON Schema, for editors that complete and check while one types.

It is made from the same records as the shape that `build` checks, so the two cannot drift apart.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from enum import Enum
from typing import Annotated, Any, get_args, get_origin

from hutwright import units
from hutwright.catalogue import tables
from hutwright.checks.roster import ROSTER
from hutwright.description import wanted
from hutwright.description.shape import LONGEST_LIST, NAME, bare, hints_of
from hutwright.model.hut import Layer
from hutwright.model.paths import key_name
from hutwright.model.project import Project
from hutwright.model.quantities import Count, OneOf, Share, Text
from hutwright.units import NUMBER, Dimension

DRAFT = "https://json-schema.org/draft/2020-12/schema"

Schema = dict[str, Any]


def schema_of_description() -> Schema:
    """The shape of hut.toml.

    Returns
    -------
    dict
        A JSON Schema of draft 2020-12. Every key may be absent; a key that is not listed is a fault.
    """
    whole = _record(Project)
    whole["properties"] |= {"limits": _limits(), "allow": _allow(), "measured": _measured()}
    return {
        "$schema": DRAFT,
        "title": "hut.toml",
        "description": "A small powered shelter for an outdoor machine. Quantities are texts with a unit.",
        **whole,
    }


def _record(record: type) -> Schema:
    hints = hints_of(record)
    properties: Schema = {}
    for each in fields(record):
        told = wanted.meanings(record).get(each.name, "")
        properties[key_name(each.name)] = {
            **({"description": told} if told else {}),
            **_value(hints[each.name]),
        }
    return {"type": "object", "properties": properties, "additionalProperties": False}


def _value(hint: Any) -> Schema:
    hint = bare(hint)
    if get_origin(hint) is Annotated:
        return {**_marked(get_args(hint)[1]), **_examples(hint)}
    if get_origin(hint) is tuple:
        return _list(get_args(hint))
    if isinstance(get_origin(hint), type) and issubclass(get_origin(hint), Mapping):
        return {
            "type": "object",
            "propertyNames": {"pattern": NAME},
            "additionalProperties": _value(get_args(hint)[1]),
            "maxProperties": LONGEST_LIST,
        }
    if hint is Layer:
        return {**_text_of_layer(), **_examples(hint)}
    if is_dataclass(hint) and isinstance(hint, type):
        return _record(hint)
    if isinstance(hint, type) and issubclass(hint, Enum):
        return {"enum": [str(member.value) for member in hint]}
    return {"type": "boolean"} if hint is bool else {"type": "number"}


def _list(parts: tuple[Any, ...]) -> Schema:
    if len(parts) == 2 and parts[1] is Ellipsis:
        return {"type": "array", "items": _value(parts[0]), "maxItems": LONGEST_LIST}
    return {"type": "array", "items": _value(parts[0]), "minItems": len(parts), "maxItems": len(parts)}


def _marked(mark: object) -> Schema:
    if isinstance(mark, Dimension):
        return _quantity(mark)
    if isinstance(mark, Share):
        return {
            "anyOf": [
                {"type": "number", "minimum": mark.lowest, "maximum": mark.highest},
                _quantity(units.RATIO),
            ]
        }
    if isinstance(mark, Count):
        return {"type": "integer", "minimum": mark.lowest, "maximum": mark.highest}
    if isinstance(mark, OneOf):
        return {"enum": list(tables.names(mark.table))}
    if isinstance(mark, Text):
        return {"type": "string", "minLength": 1, "maxLength": mark.longest}
    raise TypeError(f"no schema for a value marked {mark}")


def _quantity(dimension: Dimension) -> Schema:
    """A quantity as text; what stands in it exactly is for the reader of units to say."""
    return {"type": "string", "title": dimension.name, "minLength": 1, "maxLength": units.LONGEST_TEXT}


def _text_of_layer() -> Schema:
    known = ", ".join(tables.names("materials"))
    return {"type": "string", "title": f"thickness and material; known materials: {known}", "minLength": 1}


def _examples(hint: Any) -> Schema:
    """An example as the file spells it, read back into a plain value."""
    value = tomllib.loads(f"value = {wanted.example(hint)}")["value"]
    mark = get_args(hint)[1] if get_origin(hint) is Annotated else None
    if isinstance(mark, Share) and not mark.lowest <= value <= mark.highest:
        value = mark.lowest
    return {} if value == "…" else {"examples": [value]}


def _limits() -> Schema:
    """Keys of checks; one that asks about several things may have the name of one of them behind it."""
    exact = {key: _limit(dimension) for key, dimension in ROSTER.items()}
    named = {rf"^{key.replace('.', '[.]')}[.].+$": _limit(dimension) for key, dimension in ROSTER.items()}
    return {
        "description": "The builder's own limits, by key of the check; the stricter of both limits holds.",
        "type": "object",
        "properties": exact,
        "patternProperties": named,
        "additionalProperties": False,
    }


def _limit(dimension: Dimension) -> Schema:
    if dimension == NUMBER:
        return {"type": "number"}
    return {**_quantity(dimension), "examples": [dimension.example]}


def _allow() -> Schema:
    choices = {"type": "array", "items": {"type": ["string", "number"]}, "minItems": 1}
    return {
        "description": "What may be changed, by address: a range of a quantity, or a list of values.",
        "type": "object",
        "additionalProperties": {"anyOf": [{"type": "string"}, choices]},
        "examples": [{"cables.feed.length": "2..6 m"}],
    }


def _measured() -> Schema:
    return {
        "description": "Values that were measured, by address, each with a note on how and when.",
        "type": "object",
        "additionalProperties": {"type": "string"},
        "examples": [{"cables.feed.length": "tape, 3 May"}],
    }
