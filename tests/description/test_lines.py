from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from typing import Any

import pytest
import tomlkit
from hypothesis import assume, given
from hypothesis import strategies as st

from hutwright.description.lines import (
    DEEPEST,
    LONGEST_KEY,
    MOST_VALUES,
    Excess,
    below,
    join,
    line_of,
    locate,
    split,
    upwards,
    walk,
)
from hutwright.errors import RequestError

HUT = '''\
# a shelter
format = 1

[hut]  # where it stands
wall = ["22 mm boards", "0.6 mm steel"]
text = """
[not.a.header]
not_a_key = 1
"""
inside = { width = "0.90 m", sides = { left = 1 } }  # , more = 2
roof.pitch = "5 deg"
skyline = [
  # azimuth, elevation
  ["0 deg", "8 deg"],
  [
    "90 deg",  # east
    "22 deg",
  ],
]

[limits]
"door.opening_time" = "16 s"

[[nodes]]
up = "2 m"
[nodes.place]
x = 1
[[nodes]]
up = "3 m"
'''


def paths(value: object, path: str = "") -> Iterator[tuple[str, str | None]]:
    """Every path of what the parser returned, with the key that ends it (None for a list's element)."""
    if isinstance(value, dict):
        for key, each in value.items():
            yield below(path, key), key
            yield from paths(each, below(path, key))
    elif isinstance(value, list):
        for index, each in enumerate(value):
            yield f"{path}.{index}", None
            yield from paths(each, f"{path}.{index}")


@pytest.mark.parametrize(
    ("path", "line"),
    [
        ("format", 2),
        ("hut", 4),
        ("hut.wall", 5),
        ("hut.wall.1", 5),
        ("hut.text", 6),
        ("hut.inside", 10),
        ("hut.inside.width", 10),
        ("hut.inside.sides.left", 10),
        ("hut.roof", 11),
        ("hut.roof.pitch", 11),
        ("hut.skyline", 12),
        ("hut.skyline.0", 14),
        ("hut.skyline.0.1", 14),
        ("hut.skyline.1", 15),
        ("hut.skyline.1.0", 16),
        ("hut.skyline.1.1", 17),
        ('limits."door.opening_time"', 22),
        ("nodes", 24),
        ("nodes.0.up", 25),
        ("nodes.0.place.x", 27),
        ("nodes.1", 28),
        ("nodes.1.up", 29),
    ],
)
def test_finds_the_line_of_everything_that_a_description_can_hold(path, line):
    assert locate(HUT)[path] == line


def test_finds_what_the_parser_finds_and_nothing_else():
    assert set(locate(HUT)) == {path for path, _ in paths(tomllib.loads(HUT))}


def test_line_ends_of_another_system_change_nothing():
    assert locate(HUT.replace("\n", "\r\n")) == locate(HUT)


def test_a_table_stands_at_its_own_header_even_behind_the_tables_inside_it():
    assert locate("[a.b]\nx = 1\n[a]\ny = 2\n")["a"] == 3


def test_something_missing_stands_at_the_nearest_thing_above_it():
    lines = locate(HUT)
    assert line_of(lines, "hut.inside.depth") == 10
    assert line_of(lines, "hut.door.leaf.width") == 4
    assert line_of(lines, "hut.wall.7") == 5
    assert line_of(lines, "drive.stall") == 0
    assert line_of(lines, "") == 0


def test_upwards_goes_from_the_path_to_its_first_key():
    assert upwards('limits."a.b".c') == ('limits."a.b".c', 'limits."a.b"', "limits")


@pytest.mark.parametrize(
    ("parts", "path"),
    [
        ((), ""),
        (("cables", "feed", "length"), "cables.feed.length"),
        (("limits", "door.opening_time"), 'limits."door.opening_time"'),
        (("walls", "0"), "walls.0"),
        (("",), '""'),
        (('a"b', "c\\d", "e\nf"), '"a\\"b"."c\\\\d"."e\\u000af"'),
        (("höhe",), '"höhe"'),
    ],
)
def test_a_path_is_written_as_a_file_would_have_it(parts, path):
    assert join(*parts) == path
    assert split(path) == parts


@given(st.lists(st.text(max_size=8), max_size=5))
def test_a_path_splits_into_the_keys_it_was_joined_from(parts):
    assert split(join(*parts)) == tuple(parts)


@given(st.lists(st.text(min_size=1, max_size=8), min_size=1, max_size=3), st.text(max_size=8))
def test_a_path_below_another_is_the_joined_path(parts, last):
    assert below(join(*parts), last) == join(*parts, last)
    assert below("", last) == join(last)
    assert below(join(*parts)) == join(*parts)


def test_keys_in_single_quotes_are_understood_too():
    assert split("limits.'door.opening_time'") == ("limits", "door.opening_time")


@pytest.mark.parametrize("path", ["a..b", ".a", "a.", "a b", 'a."b', "a'b", '"\\q"', '"\\ud800"', 'a"b"'])
def test_what_is_no_path_is_refused_with_an_example(path):
    with pytest.raises(RequestError, match=r"cables\.feed\.length"):
        split(path)


# ---- agreement with the parsers --------------------------------------------------------------------

KEYS = st.one_of(
    st.sampled_from(
        ["feed", "motor", "door.opening_time", "0", "1", "a b", "it's", "höhe", "x-y", "[a]", "#", "="]
    ),
    st.text("abc_-.# =\"'[]{},é", min_size=1, max_size=6),
)
SCALARS = st.one_of(
    st.booleans(),
    st.integers(-(10**6), 10**6),
    st.floats(allow_nan=False, allow_infinity=False),
    st.text("ab \n\t\"'\\#=[]{},.", max_size=12),
)
VALUES = st.recursive(
    SCALARS,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(KEYS, inner, max_size=3),
    max_leaves=8,
)


def _item(value, draw, *, inside):
    """The value in one of the ways to write it; tables in braces only where a header cannot stand."""
    if isinstance(value, dict):
        in_braces = inside or draw(st.booleans())
        table = tomlkit.inline_table() if in_braces else tomlkit.table()
        for key in sorted(value, key=lambda key: isinstance(value[key], dict | list)):
            table.add(key, _item(value[key], draw, inside=in_braces))
        return table
    if isinstance(value, list):
        if value and not inside and all(isinstance(each, dict) for each in value) and draw(st.booleans()):
            tables = tomlkit.aot()
            for each in value:
                table = tomlkit.table()
                for key in sorted(each, key=lambda key: isinstance(each[key], dict | list)):
                    table.add(key, _item(each[key], draw, inside=True))
                tables.append(table)
            return tables
        array = tomlkit.array()
        for each in value:
            array.append(_item(each, draw, inside=True))
        return array.multiline(draw(st.booleans()))
    if isinstance(value, str) and "'" not in value and draw(st.booleans()):
        return tomlkit.string(value, literal=True, multiline="\n" in value)
    if isinstance(value, str) and "\\" not in value and draw(st.booleans()):
        return tomlkit.string(value, multiline=True)
    return tomlkit.item(value)


@st.composite
def texts(draw):
    """A TOML text in varied dress, and what the parser makes of it."""
    data = draw(st.dictionaries(KEYS, VALUES, max_size=4))
    document = tomlkit.document()
    for key in sorted(data, key=lambda key: isinstance(data[key], dict | list)):
        if draw(st.booleans()):
            document.add(tomlkit.comment('[remark] x = "'))
        document.add(key, _item(data[key], draw, inside=False))
    text = tomlkit.dumps(document)
    try:
        return text, tomllib.loads(text)
    except tomllib.TOMLDecodeError:  # the writer's own slips are not ours to judge
        assume(False)
        raise


@given(texts())
def test_agrees_with_the_parser_on_every_path_however_it_is_written(written):
    text, data = written
    lines = locate(text)
    rows = text.split("\n")
    assert set(lines) == {path for path, _ in paths(data)}
    for path, key in paths(data):
        if key is not None:
            plain = key.replace("\\", "\\\\").replace('"', '\\"')
            assert key in rows[lines[path] - 1] or plain in rows[lines[path] - 1]


SCRAPS = st.sampled_from(
    [
        "a",
        "b",
        '"c.d"',
        "'e'",
        "=",
        " = ",
        ".",
        "[",
        "]",
        "[[",
        "]]",
        "{",
        "}",
        ",",
        "\n",
        "\n",
        "\r\n",
        "# x",
        " ",
        "1",
        "-2.5",
        "true",
        '"s"',
        "'t'",
        '"""',
        "'''",
        '"',
        "'",
        "\\",
        "1979-05-27 07:32:00",
        "[a]\n",
        "a = 1\n",
        "b = [\n1, # c\n2]\n",
        "[[a]]\n",
        "[a.b]\n",
        "a.b = 1\n",
        "c = {a = 1, b.c = [2]}\n",
        "\t",
        "nan",
        "é",
        "\r",
    ]
)


@given(st.lists(SCRAPS, max_size=25).map("".join))
def test_never_stops_before_the_place_where_the_parser_stops(text):
    found = walk(text)
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        line = re.search(r"line (\d+)", str(error))
        if line and found.stop is not None:
            assert found.line_at(found.stop) >= int(line[1]) or found.opened is not None
        if str(error).startswith(("Cannot declare", "Duplicate")):
            assert found.clashes
        return
    assert found.stop is None
    assert set(found.marks) == {path for path, _ in paths(data)}
    assert not found.clashes


@given(st.lists(SCRAPS, max_size=25).map("".join))
def test_the_span_of_a_value_holds_that_value(text):
    found = walk(text)
    try:
        data: Any = tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        return
    for path, mark in found.marks.items():
        at: Any = data
        for part in split(path):
            at = at[int(part)] if isinstance(at, list) else at[part]
        if mark.end > mark.start:
            again = tomllib.loads("x = " + found.text[mark.start : mark.end])["x"]
            assert repr(again) == repr(at)


# ---- limits ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "text",
    [
        "x = " + "[" * 5000,
        "x = " + "{a=" * 5000,
        ".".join("a" * 5000) + " = 1",
        "[" + ".".join("a" * 5000) + "]",
        "x = " + "[{a=" * 2500,
    ],
)
def test_stops_at_the_deepest_path_however_it_is_dug(text):
    found = walk(text)
    assert found.excess is Excess.DEEP
    assert max(len(split(path)) for path in [*found.marks, "a"]) <= DEEPEST


def test_the_deepest_path_allowed_is_still_walked():
    text = ".".join("a" * DEEPEST) + " = 1"
    assert len(locate(text)) == DEEPEST
    assert walk(text).excess is None


def test_stops_at_the_number_of_values_and_at_the_length_of_a_key():
    assert walk("x = [" + "1," * (MOST_VALUES + 1) + "]").excess is Excess.MANY
    assert walk("x" * (LONGEST_KEY + 1) + " = 1").excess is Excess.LONG
    assert walk("x" * LONGEST_KEY + " = 1").excess is None
