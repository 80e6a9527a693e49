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

DEMOS = Path(__file__).parents[1] / "demos"
ORCHARD = DEMOS / "orchard" / "hut.toml"
SPORTS_FIELD = DEMOS / "sports_field" / "hut.toml"


def described(text: str) -> Described:
    """The description that a text stands for."""
    return build(whole(parse_sheet(text, "hut.toml")))


@cache
def _demo(path: Path) -> Merged:
    return whole(read_sheet(path, "hut.toml"))


def _changed(path: Path, changes: Mapping[str, object] | None) -> Described:
    spelled: dict[Keys, object] = {tuple(place.split(".")): value for place, value in (changes or {}).items()}
    return build(changed(_demo(path), spelled))


def orchard(changes: Mapping[str, object] | None = None) -> Described:
    """The orchard demo; changes go by dotted address, as the file spells them, None takes a value out."""
    return _changed(ORCHARD, changes)


def sports_field(changes: Mapping[str, object] | None = None) -> Described:
    """The sports-field demo; changes as of `orchard`."""
    return _changed(SPORTS_FIELD, changes)
