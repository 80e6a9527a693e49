from __future__ import annotations

import copy
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.description.overlay import Merged, Spot, overlay, whole
from hutwright.description.reading import parse_sheet
from hutwright.errors import DescriptionError
from tests.patience import patience

BASE = """\
format = 1
name = "Orchard hut"

[cables]
feed = { from = "battery", length = "6 m", colours = ["red", "black"] }
motor = { from = "bridge", length = "1.8 m" }

[drive]
stall = { current = "7.5 A" }

[limits]
"door.opening_time" = "16 s"
"""


def base():
    return parse_sheet(BASE, "hut.toml")


def over(text):
    """The variant of that text over the base."""
    return overlay(base(), parse_sheet(text, "variants/v.toml"))


def faults_of(text):
    with pytest.raises(DescriptionError) as caught:
        over(text)
    return caught.value.faults


def test_a_file_on_its_own_keeps_its_values_and_places():
    sheet = base()
    alone = whole(sheet)
    assert alone.data == sheet.data
    assert alone.data is not sheet.data
    assert alone.title == ""
    assert alone.place("cables.feed.length") == Spot("hut.toml", 5)
    assert alone.place("cables.feed.core") == Spot("hut.toml", 5)
    assert alone.place("machine.body") == Spot("hut.toml", 0)
    assert alone.place("") == Spot("hut.toml", 0)


def test_a_value_replaces_and_its_neighbours_stay():
    merged = over('title = "Longer feed"\n[cables.feed]\nlength = "9 m"\n')
    assert merged.title == "Longer feed"
    assert merged.data["cables"]["feed"] == {"from": "battery", "length": "9 m", "colours": ["red", "black"]}
    assert merged.data["cables"]["motor"] == {"from": "bridge", "length": "1.8 m"}
    assert "title" not in merged.data
    assert merged.place("cables.feed.length") == Spot("variants/v.toml", 3)
    assert merged.place("cables.feed.from") == Spot("hut.toml", 5)
    assert merged.place("cables.feed.core") == Spot("hut.toml", 5)


def test_a_list_replaces_the_whole_list_and_its_places():
    merged = over('cables.feed.colours = [\n  "blue",\n]\n')
    assert merged.data["cables"]["feed"]["colours"] == ["blue"]
    assert merged.place("cables.feed.colours.0") == Spot("variants/v.toml", 2)
    assert "cables.feed.colours.1" not in merged.places


def test_something_new_stands_in_the_variant():
    merged = over('[openings.vent]\nsize = { width = "0.15 m" }\n[limits]\n"guard.peak_force" = "100 N"\n')
    assert merged.data["openings"] == {"vent": {"size": {"width": "0.15 m"}}}
    assert merged.place("openings.vent.size.width") == Spot("variants/v.toml", 2)
    assert merged.place('limits."guard.peak_force"') == Spot("variants/v.toml", 4)
    assert merged.place('limits."door.opening_time"') == Spot("hut.toml", 12)


def test_what_the_variant_removes_is_gone_and_its_place_is_where_that_is_said():
    merged = over('remove = [\n  "cables.feed",\n  \'limits."door.opening_time"\',\n]\n')
    assert merged.data["cables"] == {"motor": {"from": "bridge", "length": "1.8 m"}}
    assert merged.data["limits"] == {}
    assert "remove" not in merged.data
    assert merged.place("cables.feed.length") == Spot("variants/v.toml", 2)
    assert merged.place("cables.feed.colours.0") == Spot("variants/v.toml", 2)


def test_what_is_removed_can_be_written_anew():
    merged = over('remove = ["drive"]\n[drive]\nrating = "12 V"\n')
    assert merged.data["drive"] == {"rating": "12 V"}
    assert merged.place("drive.rating") == Spot("variants/v.toml", 3)
    assert merged.place("drive") == Spot("variants/v.toml", 2)


def test_a_table_can_become_a_value_where_it_is_removed_first():
    assert over('remove = ["drive.stall"]\ndrive.stall = "7 A"\n').data["drive"] == {"stall": "7 A"}


def test_a_removal_inside_another_removal_is_no_mistake():
    assert "cables" not in over('remove = ["cables", "cables.feed", "cables"]\n').data


def test_an_empty_variant_is_the_base():
    assert over("").data == base().data


def test_the_same_format_and_another_name_are_allowed():
    assert over('format = 1\nname = "Other"\n').data["name"] == "Other"


@pytest.mark.parametrize(
    ("text", "line", "path", "part"),
    [
        ('\ncables = "none"\n', 2, "cables", "wanted a table, as in hut.toml, line 4"),
        ("[cables]\nfeed = [1]\n", 2, "cables.feed", "read a list; wanted a table, as in hut.toml, line 5"),
        ("[name]\nfirst = 'a'\n", 1, "name", "read a table; wanted 'Orchard hut', as in hut.toml, line 2"),
        ("[cables.feed.colours]\na = 1\n", 1, "cables.feed.colours", "wanted a list, as in hut.toml, line 5"),
        ("format = 2\n", 1, "format", "wanted the format of hut.toml, 1"),
        ("title = 1\n", 1, "title", 'write title = "..."'),
        ('remove = "cables"\n', 1, "remove", "wanted a list of paths"),
        ("remove = [1]\n", 1, "remove.0", "wanted a path in quotes"),
        ('remove = ["cables..feed"]\n', 1, "remove.0", "join keys with dots"),
        ('remove = [""]\n', 1, "remove.0", "wanted the path of something in hut.toml"),
        ('remove = [\n"cables.feeed"]\n', 2, "remove.0", "did you mean 'cables.feed'?"),
        (
            'remove = ["limits.door.opening_time"]\n',
            1,
            "remove.0",
            "did you mean 'limits.\"door.opening_time\"'?",
        ),
        ('remove = ["zzz"]\n', 1, "remove.0", "delete it from the list"),
        ('remove = ["name.first"]\n', 1, "remove.0", "wanted the path of something in hut.toml"),
        ('remove = ["cables.feed.colours.0"]\n', 1, "remove.0", "write the whole list anew"),
    ],
)
def test_what_cannot_be_laid_over_names_the_variant_and_its_line(text, line, path, part):
    (fault,) = faults_of(text)
    assert (fault.file, fault.line, fault.path) == ("variants/v.toml", line, path)
    assert part in fault.sentence()


def test_every_fault_of_a_variant_comes_at_once():
    faults = faults_of('remove = ["cables.fed"]\nformat = 3\n[name]\n[cables]\nfeed = 1\n')
    assert [fault.line for fault in faults] == [1, 2, 3, 5]


def test_neither_sheet_is_changed_by_merging():
    first, second = base(), parse_sheet('remove = ["drive"]\ncables.feed = { x = [1] }\n', "v.toml")
    before = copy.deepcopy((first.data, second.data))
    merged = overlay(first, second)
    data: Any = merged.data
    data["cables"]["feed"]["x"].append(2)
    data["limits"].clear()
    assert (first.data, second.data) == before


def test_the_largest_variant_is_laid_over_the_largest_base_soon():
    rows = "".join(f"x{n} = 'a'\n" for n in range(15_000))
    removals = "remove = [\n" + "".join(f"'y{n}',\n" for n in range(4_000)) + "]\n"
    first, second = parse_sheet(rows, "hut.toml"), parse_sheet(removals + rows, "v.toml")
    with patience(400), pytest.raises(DescriptionError):
        overlay(first, second)


KEYS = st.sampled_from(["a", "b", "c.d", "0"])
TABLES = st.recursive(
    st.dictionaries(KEYS, st.integers(0, 9), max_size=3),
    lambda inner: st.dictionaries(
        KEYS, inner | st.integers(0, 9) | st.lists(st.integers(0, 9), max_size=2), max_size=3
    ),
    max_leaves=8,
)


def in_braces(value):
    if isinstance(value, dict):
        return "{" + ", ".join(f'"{key}" = {in_braces(each)}' for key, each in value.items()) + "}"
    return str(value)


def sheet_of(table, name):
    return parse_sheet("".join(f'"{key}" = {in_braces(each)}\n' for key, each in table.items()), name)


def laid(under, upper):
    """The merge by its rule; None where a table meets a value."""
    if not isinstance(under, dict) or not isinstance(upper, dict):
        return None if isinstance(under, dict) or isinstance(upper, dict) else upper
    both = {key: laid(under[key], upper[key]) if key in under else upper[key] for key in upper}
    return None if None in both.values() else {**under, **both}


def stands_at(table, path):
    from hutwright.description.lines import split

    at = table
    for part in split(path):
        at = at[int(part)] if isinstance(at, list) else at[part]
    return at


@given(TABLES, TABLES)
def test_merging_follows_its_rule_and_every_value_knows_its_file(under, upper):
    wanted = laid(under, upper)
    first, second = sheet_of(under, "hut.toml"), sheet_of(upper, "v.toml")
    if wanted is None:
        with pytest.raises(DescriptionError):
            overlay(first, second)
        return
    merged: Merged = overlay(first, second)
    assert merged.data == wanted
    for path, origin in merged.places.items():
        sheet = second if origin.file == "v.toml" else first
        if path:
            assert sheet.lines[path] == origin.line
            value = stands_at(merged.data, path)
            if not isinstance(value, dict):
                assert stands_at(sheet.data, path) == value
    assert {path for path in merged.places if path} >= set(second.lines)
