"""Shapes of JSON as a validator has them, and what docs/json.md names."""

from __future__ import annotations

import json
import re

from tests.house.places import TOP

DOCUMENT = (TOP / "docs" / "json.md").read_text("utf-8")


def record(**properties):
    return {
        "type": "object",
        "properties": properties,
        "required": list(properties),
        "additionalProperties": False,
    }


def some(schema):
    return {"type": "array", "items": schema}


def maybe(schema):
    return {"anyOf": [schema, {"type": "null"}]}


TEXT = {"type": "string"}
NAME = {"type": "string", "minLength": 1}
NUMBER_OR_NULL = {"type": ["number", "null"]}
TRUTH = {"type": "boolean"}
NUMBER = {"type": "number"}
COUNT = {"type": "integer", "minimum": 0}
STATUS = {"enum": ["holds", "barely", "undecided", "misses"]}


def strict(values):
    """The values after a journey through strict JSON, in which NaN and infinity have no place."""
    return json.loads(json.dumps(values, allow_nan=False))


def documented(heading: str) -> set[str]:
    """The keys of one table of the document."""
    part = re.search(rf"^## {heading}\n(.*?)(?=^## |\Z)", DOCUMENT, re.MULTILINE | re.DOTALL)
    assert part is not None
    return set(re.findall(r"^\| `([^`]+)` \|", part[1], re.MULTILINE))


def keys_of(schema: dict, path: str = "") -> set[str]:
    """The keys of a shape, spelled as in the document."""
    found: set[str] = set()
    for each in schema.get("anyOf", []):
        found |= keys_of(each, path)
    for name, inner in schema.get("properties", {}).items():
        here = f"{path}.{name}" if path else name
        if inner.get("type") == "array" and ("properties" in inner["items"] or "anyOf" in inner["items"]):
            found |= {f"{here}[]"} | keys_of(inner["items"], f"{here}[]")
        else:
            found |= {here} | keys_of(inner, here)
            if isinstance(inner.get("additionalProperties"), dict):
                found |= keys_of(inner["additionalProperties"], f"{here}.*")
    return found
