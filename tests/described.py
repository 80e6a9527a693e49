"""Descriptions for tests: from text, and the orchard demo with some of its values changed."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path

from hutwright.description.build import build
from hutwright.description.changes import changed
from hutwright.description.described import Described
from hutwright.description.overlay import Merged, whole
from hutwright.description.reading import parse_sheet, read_sheet
from hutwright.model.paths import Keys

ORCHARD = Path(__file__).parents[1] / "demos" / "orchard" / "hut.toml"


def described(text: str) -> Described:
    """The description that a text stands for."""
    return build(whole(parse_sheet(text, "hut.toml")))


@cache
def _orchard() -> Merged:
    return whole(read_sheet(ORCHARD, "hut.toml"))


def orchard(changes: Mapping[str, object] | None = None) -> Described:
    """The orchard demo; changes go by dotted address, as the file spells them, None takes a value out."""
    spelled: dict[Keys, object] = {tuple(path.split(".")): value for path, value in (changes or {}).items()}
    return build(changed(_orchard(), spelled))
