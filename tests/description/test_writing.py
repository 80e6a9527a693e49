from __future__ import annotations

import json
import os
import stat
import threading
import tomllib
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from hutwright.description.lines import join, split, walk
from hutwright.description.writing import WIDEST_LIST, edit, write_atomic
from hutwright.errors import DescriptionError, RequestError

HUT = """\
# An orchard hut
format = 1

[door]  # the leaf
leaf = { width = "0.74 m", height = "0.56 m" }   # outside
open_angle = "82 deg"                            # measured

# what feeds it
[cables]
feed = { from = "battery", length = "6 m" }
motor = { from = "bridge", to = "drive" }  # short

[limits]
"door.opening_time" = "16 s"

[supplies.battery]
kind = "lead-acid"
ladder = [
  "1 m",  # lowest
  "2 m",
]

[[nodes]]
up = "2 m"
[[nodes]]
up = "3 m"
"""


def rows_changed(old, new):
    """The lines that are in one text only."""
    before, after = old.split("\n"), new.split("\n")
    return [row for row in before if row not in after], [row for row in after if row not in before]


def names_in(folder):
    """The names of the files in a folder."""
    return sorted(path.name for path in folder.iterdir())


# ---- writing ----------------------------------------------------------------------------------------


def test_writes_exactly_the_text_and_leaves_nothing_beside_it(tmp_path):
    path = tmp_path / "hut.toml"
    write_atomic(path, "a = 1\r\nname = 'Hütte'\n")
    assert path.read_bytes() == "a = 1\r\nname = 'Hütte'\n".encode()
    assert names_in(tmp_path) == ["hut.toml"]


def test_keeps_the_mode_of_the_file(tmp_path):
    path = tmp_path / "hut.toml"
    path.write_text("a = 1\n")
    path.chmod(0o640)
    write_atomic(path, "a = 2\n")
    assert stat.S_IMODE(path.stat().st_mode) == 0o640


def test_a_new_file_gets_the_mode_that_any_new_file_gets(tmp_path):
    (tmp_path / "plain").touch()
    write_atomic(tmp_path / "hut.toml", "a = 1\n")
    assert (tmp_path / "hut.toml").stat().st_mode == (tmp_path / "plain").stat().st_mode


def test_follows_a_link_and_leaves_it_a_link(tmp_path):
    (tmp_path / "real").mkdir()
    (tmp_path / "real" / "hut.toml").write_text("a = 1\n")
    (tmp_path / "hut.toml").symlink_to("real/hut.toml")
    write_atomic(tmp_path / "hut.toml", "a = 2\n")
    assert (tmp_path / "hut.toml").is_symlink()
    assert (tmp_path / "real" / "hut.toml").read_text() == "a = 2\n"


@pytest.mark.parametrize("broken", ["replace", "fsync"])
def test_a_crash_leaves_the_old_file_whole_and_nothing_beside_it(tmp_path, monkeypatch, broken):
    path = tmp_path / "hut.toml"
    path.write_text("a = 1\n")

    def crash(*_):
        raise OSError(28, "no space left on the disk")

    monkeypatch.setattr(os, broken, crash)
    with pytest.raises(RequestError, match=r"is as it was before.*no space left"):
        write_atomic(path, "a = 2\n")
    assert path.read_text() == "a = 1\n"
    assert names_in(tmp_path) == ["hut.toml"]


def test_an_interruption_leaves_the_old_file_whole_and_nothing_beside_it(tmp_path, monkeypatch):
    path = tmp_path / "hut.toml"
    path.write_text("a = 1\n")

    def interrupt(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "replace", interrupt)
    with pytest.raises(KeyboardInterrupt):
        write_atomic(path, "a = 2\n")
    assert path.read_text() == "a = 1\n"
    assert names_in(tmp_path) == ["hut.toml"]


def test_whoever_reads_meanwhile_sees_one_text_or_the_other(tmp_path):
    path = tmp_path / "hut.toml"
    texts = ("a" * 50_000, "b" * 70_000)
    write_atomic(path, texts[0])
    seen, done = set(), threading.Event()

    def look():
        while True:  # once more after the last writing, so that something is seen on any machine
            last = done.is_set()
            seen.add(path.read_text())
            if last:
                break

    reader = threading.Thread(target=look)
    reader.start()
    for count in range(40):
        write_atomic(path, texts[count % 2])
    done.set()
    reader.join()
    assert texts[1] in seen <= set(texts)


def test_refuses_what_is_no_plain_file(tmp_path):
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "loop").symlink_to("loop")
    for path in (
        tmp_path,
        tmp_path / "pipe",
        tmp_path / "none" / "hut.toml",
        tmp_path / "a\0b",
        tmp_path / "loop",
    ):
        with pytest.raises(RequestError, match="was not written"):
            write_atomic(path, "a = 1\n")
    assert names_in(tmp_path) == ["loop", "pipe"]


def test_refuses_a_broken_character(tmp_path):
    with pytest.raises(RequestError, match="delete the broken character"):
        write_atomic(tmp_path / "hut.toml", "a = '\ud800'")
    assert names_in(tmp_path) == []


def test_a_file_protected_against_writing_stays_as_it_is(tmp_path, monkeypatch):
    path = tmp_path / "hut.toml"
    path.write_text("a = 1\n")
    path.chmod(0o444)
    monkeypatch.setattr(os, "access", lambda *_: False)  # the superuser may write everything
    with pytest.raises(RequestError, match="protected against writing"):
        write_atomic(path, "a = 2\n")
    assert path.read_text() == "a = 1\n"


# ---- editing ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("path", "value", "gone", "come"),
    [
        (
            "door.open_angle",
            "90 deg",
            ['open_angle = "82 deg"                            # measured'],
            ['open_angle = "90 deg"                            # measured'],
        ),
        (
            "cables.feed.length",
            "7 m",
            ['feed = { from = "battery", length = "6 m" }'],
            ['feed = { from = "battery", length = "7 m" }'],
        ),
        (
            "cables.motor.core",
            "1.5 mm2",
            ['motor = { from = "bridge", to = "drive" }  # short'],
            ['motor = { from = "bridge", to = "drive", core = "1.5 mm2" }  # short'],
        ),
        ("supplies.battery.ladder.0", "3 m", ['  "1 m",  # lowest'], ['  "3 m",  # lowest']),
        ("nodes.1.up", 4, ['up = "3 m"'], ["up = 4"]),
        (
            'limits."door.opening_time"',
            "9 s",
            ['"door.opening_time" = "16 s"'],
            ['"door.opening_time" = "9 s"'],
        ),
        ('limits."guard.peak_force"', "100 N", [], ['"guard.peak_force" = "100 N"']),
        ("door.ice", True, [], ["ice = true"]),
        ("name", "Hut", [], ['name = "Hut"']),
        (
            "cables.lamp",
            {"from": "battery", "length": "1 m"},
            [],
            ['lamp = { from = "battery", length = "1 m" }'],
        ),
        ("hut.inside.width", "0.9 m", [], ["[hut]", 'inside = { width = "0.9 m" }']),
        ("supplies.solar", 0.5, [], ["[supplies]", "solar = 0.5"]),
        (
            "supplies.battery",
            {"kind": "LFP"},
            ['kind = "lead-acid"', "ladder = [", '  "1 m",  # lowest', '  "2 m",', "]"],
            ['kind = "LFP"'],
        ),
        ("cables.motor", None, ['motor = { from = "bridge", to = "drive" }  # short'], []),
        (
            "door.leaf.height",
            None,
            ['leaf = { width = "0.74 m", height = "0.56 m" }   # outside'],
            ['leaf = { width = "0.74 m" }   # outside'],
        ),
        ("limits", None, ["[limits]", '"door.opening_time" = "16 s"'], []),
    ],
)
def test_one_change_touches_no_other_line(path, value, gone, come):
    text = edit(HUT, {path: value})
    assert rows_changed(HUT, text) == (gone, come)
    at: Any = tomllib.loads(text)
    for part in split(path)[:-1]:
        at = at[int(part)] if isinstance(at, list) else at[part]
    if value is None:
        assert split(path)[-1] not in at
    else:
        assert (at[int(split(path)[-1])] if isinstance(at, list) else at[split(path)[-1]]) == value


def test_a_new_key_stands_with_its_own_table_and_not_below_the_next_ones_remark():
    text = edit(HUT, {"door.ice": "60 N"})
    assert 'measured\nice = "60 N"\n\n# what feeds it\n[cables]' in text


def test_a_first_key_stands_below_the_opening_remark_and_above_the_tables():
    assert edit("# A hut\n\n[door]\nx = 1\n", {"format": 1}) == "# A hut\n\nformat = 1\n\n[door]\nx = 1\n"


def test_a_table_that_only_the_deleted_one_named_stays_empty():
    text = edit("[openings.vent]\nx = 1\n", {"openings.vent": None})
    assert tomllib.loads(text) == {"openings": {}}
    assert tomllib.loads(edit(text, {"openings.vent.x": 1})) == {"openings": {"vent": {"x": 1}}}


def test_several_changes_are_made_in_order():
    text = edit(
        HUT, {"cables.feed": None, "cables.feed.length": "9 m", "door.open_angle": None, "limits": None}
    )
    data = tomllib.loads(text)
    assert data["cables"] == {"motor": {"from": "bridge", "to": "drive"}, "feed": {"length": "9 m"}}
    assert "open_angle" not in data["door"]
    assert "limits" not in data
    assert "# what feeds it" in text


def test_a_long_list_is_written_over_several_lines():
    value = [[f"{n} deg", "8 deg"] for n in range(400)]
    text = edit(HUT, {"door.skyline": value})
    assert tomllib.loads(text)["door"]["skyline"] == value
    assert max(map(len, text.split("\n"))) <= WIDEST_LIST


def test_the_line_ends_and_the_byte_order_mark_of_the_text_are_kept():
    text = edit(
        "\ufeff" + HUT.replace("\n", "\r\n"), {"door.ice": "60 N", "name": "Hut", "cables.motor": None}
    )
    assert text.startswith("\ufeff# An orchard hut\r\n")
    assert text.count("\n") == text.count("\r\n")


def test_nothing_changed_is_the_same_text():
    assert edit(HUT, {}) == HUT


@pytest.mark.parametrize(
    ("path", "value"),
    [
        ("door.none", None),
        ("", None),
        ("", 1),
        ("door.leaf.width.more", 1),
        ("door.open_angle.more", 1),
        ("nodes.2.up", 1),
        ("nodes.up", 1),
        ("supplies.battery.ladder.7", "1 m"),
        ("a b", 1),
        ("x", float("nan")),
        ("x", float("inf")),
        ("x", object()),
        ("x", [None]),
        ("x", {1: 2}),
        ("x", "\ud800"),
        ("x", 2**63),
        ("x" * 4000, 1),
        (join(*"abcdefghijklmnop"), 1),
        ("x", "y" * 5000),
    ],
)
def test_what_cannot_be_changed_is_refused(path, value):
    with pytest.raises(RequestError):
        edit(HUT, {path: value})


def test_a_value_without_a_bottom_is_refused():
    value: list[object] = []
    value.append(value)
    with pytest.raises(RequestError, match="flatten"):
        edit(HUT, {"x": value})


def test_a_text_that_cannot_be_read_is_not_edited():
    with pytest.raises(DescriptionError):
        edit("length = 6 m\n", {"x": 1})


def test_the_values_handed_over_are_left_alone():
    value = {"a": {"b": 1}}
    edit(HUT, {"x": value, "x.a.c": 2})
    assert value == {"a": {"b": 1}}


KEYS = st.sampled_from(["a", "b", "c", "d.e", "x y", "0"])
NEW = st.recursive(
    st.booleans()
    | st.integers(-9, 9)
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(max_size=6),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(KEYS, inner, max_size=3),
    max_leaves=6,
)
STATEMENTS = """\
# remark
~
~a = 1
~b = { c = 1, a.b = 2 }  # d
~c.a = 1
~c.b = [1, 2,
3] # x
~[a]
~[b.c]
~[[c]]
~[a.b]
~"d.e" = "x"
~0 = '''
[a]
'''
~[c.a]
~  'x y' = []
"""
SOURCES = st.lists(st.sampled_from(STATEMENTS.split("~")), max_size=12).map("".join)


def changed(data, path, value):
    """The plain data with the change made; None where nothing can be changed there."""
    at = data
    for count, part in enumerate(path):
        last = count == len(path) - 1
        if isinstance(at, list):
            key = int(part) if part.isdecimal() else len(at)
            if key >= len(at):
                return None
        elif isinstance(at, dict):
            key = part
            if key not in at and value is None:
                return None
            if key not in at:
                at[key] = {}
        else:
            return None
        if last and value is None:
            del at[key]
        elif last:
            at[key] = value
        else:
            at = at[key]
    return data


def plainly(data):
    """The values down to their types, whatever the order of keys."""
    return json.dumps(data, sort_keys=True)


@given(SOURCES, st.lists(KEYS, min_size=1, max_size=3), st.none() | NEW)
def test_any_change_is_made_exactly_or_refused(text, path, value):
    try:
        wanted = changed(tomllib.loads(text), path, value)
    except tomllib.TOMLDecodeError:
        assume(False)
        raise
    try:
        new = edit(text, {join(*path): value})
    except RequestError:
        assert wanted is None or join(*path) in walk(text).marks  # something new is never refused
        return
    assert plainly(tomllib.loads(new)) == plainly(wanted)


@given(SOURCES, st.lists(KEYS, min_size=1, max_size=3), NEW)
def test_something_new_costs_no_remark_and_no_line(text, path, value):
    try:
        wanted = changed(tomllib.loads(text), path, value)
    except tomllib.TOMLDecodeError:
        assume(False)
        raise
    assume(wanted is not None and join(*path) not in walk(text).marks)
    new = edit(text, {join(*path): value})
    rows = iter(new.split("\n"))
    kept = [row for row in text.rstrip("\n").split("\n") if "{" not in row]
    assert all(row in rows for row in kept)
