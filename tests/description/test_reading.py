from __future__ import annotations

import os
import sys
import tempfile
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.description.lines import LONGEST_KEY, MOST_VALUES
from hutwright.description.reading import (
    DEEPEST,
    LARGEST_FILE,
    LONGEST_LINE,
    MOST_LINES,
    MOST_MISTAKES,
    parse_sheet,
    read_sheet,
)
from hutwright.errors import DescriptionError
from tests.patience import patience

SOON = 400  # readings of the orchard demo: what any description at all may take
NOBODY = 65534  # the user that owns nothing


def faults_of(text):
    """The faults of a text that must be refused."""
    with pytest.raises(DescriptionError) as caught:
        parse_sheet(text, "hut.toml")
    return caught.value.faults


def faults_of_file(path, name="hut.toml"):
    """The faults of a file that must be refused, soon."""
    with patience(SOON), pytest.raises(DescriptionError) as caught:
        read_sheet(path, name)
    return caught.value.faults


def refused_as(path, name="hut.toml"):
    """The one fault of a file as a whole, as a sentence."""
    (fault,) = faults_of_file(path, name)
    assert (fault.file, fault.line, fault.path) == (name, 0, "")
    return fault.sentence()


# ---- what is read ------------------------------------------------------------------------------------


def test_reads_values_and_the_line_of_each(tmp_path):
    path = tmp_path / "hut.toml"
    path.write_bytes(b'# a hut\n[hut]\nwall = ["22 mm boards"]\nshare = 0.5\n')
    sheet = read_sheet(path, "hut.toml")
    assert sheet.file == "hut.toml"
    assert sheet.data == {"hut": {"wall": ["22 mm boards"], "share": 0.5}}
    assert sheet.lines == {"hut": 2, "hut.wall": 3, "hut.wall.0": 3, "hut.share": 4}
    assert sheet.text == path.read_text()


def test_an_empty_file_is_an_empty_description(tmp_path):
    path = tmp_path / "hut.toml"
    path.touch()
    assert read_sheet(path, "hut.toml").data == {}


def test_a_byte_order_mark_and_the_line_ends_of_another_system_are_no_mistake(tmp_path):
    path = tmp_path / "hut.toml"
    path.write_bytes(b"\xef\xbb\xbfa = 1\r\nb = 2\r\n")
    sheet = read_sheet(path, "hut.toml")
    assert (sheet.data, sheet.lines) == ({"a": 1, "b": 2}, {"a": 1, "b": 2})
    assert sheet.text == "a = 1\r\nb = 2\r\n"


def test_letters_of_every_language_may_stand_in_a_text():
    assert parse_sheet('name = "Hütte Ω 小屋"\n', "hut.toml").data == {"name": "Hütte Ω 小屋"}


# ---- what the disk holds ------------------------------------------------------------------------------


def test_a_missing_file_says_how_to_begin(tmp_path):
    assert f"hutwright start {tmp_path}" in refused_as(tmp_path / "hut.toml")
    assert f"hutwright start {tmp_path / 'none'}" in refused_as(tmp_path / "none" / "hut.toml")


def test_a_missing_variant_says_where_it_should_be(tmp_path):
    path = tmp_path / "variants" / "long.toml"
    assert f"write the file {path}" in refused_as(path, "variants/long.toml")


def test_a_folder_names_the_file_that_should_be_named(tmp_path):
    assert str(tmp_path / "hut.toml") in refused_as(tmp_path)


def test_a_name_with_a_zero_character_is_refused(tmp_path):
    assert "correct the name" in refused_as(tmp_path / "hut\0.toml")


def test_a_name_that_no_disk_can_hold_is_refused(tmp_path):
    assert "the system said" in refused_as(tmp_path / ("a" * 5000))


def test_a_pipe_is_refused_without_waiting_for_a_writer(tmp_path):
    os.mkfifo(tmp_path / "hut.toml")
    assert "a device, pipe or socket" in refused_as(tmp_path / "hut.toml")


def test_a_pipe_that_takes_the_files_place_at_the_last_moment_does_not_make_us_wait(tmp_path, monkeypatch):
    plain, pipe = tmp_path / "plain", tmp_path / "pipe"
    plain.touch()
    os.mkfifo(pipe)
    stat = plain.stat()
    monkeypatch.setattr(type(pipe), "stat", lambda self, **_: stat)
    assert "a device, pipe or socket" in refused_as(pipe)


@pytest.mark.skipif(not Path("/dev/zero").exists(), reason="no endless device here")
def test_an_endless_device_is_refused():
    assert "a device, pipe or socket" in refused_as(Path("/dev/zero"))


def test_a_link_to_itself_is_refused_and_a_link_to_a_file_is_followed(tmp_path):
    (tmp_path / "loop").symlink_to("loop")
    assert "delete the link" in refused_as(tmp_path / "loop")
    (tmp_path / "real").write_text("a = 1\n")
    (tmp_path / "link").symlink_to("real")
    assert read_sheet(tmp_path / "link", "hut.toml").data == {"a": 1}


def test_a_file_that_one_may_not_read_says_how_to_allow_it():
    with tempfile.TemporaryDirectory() as folder:
        Path(folder).chmod(0o755)
        path = Path(folder) / "hut.toml"
        path.write_text("a = 1\n")
        path.chmod(0)
        superuser = os.geteuid() == 0  # may read everything, so the file is read as nobody
        if superuser:
            os.seteuid(NOBODY)
        try:
            assert f"chmod u+r {path}" in refused_as(path)
        finally:
            if superuser:
                os.seteuid(0)


def test_a_file_of_ten_megabytes_is_refused_by_its_size_alone(tmp_path):
    path = tmp_path / "hut.toml"
    path.write_bytes(b"a = 1\n" * (10 * 1024 * 1024 // 6))
    assert f"at most {LARGEST_FILE} bytes" in refused_as(path)


def test_a_file_that_grows_while_it_is_read_is_refused(tmp_path, monkeypatch):
    path = tmp_path / "hut.toml"
    path.write_bytes(b"#" * (LARGEST_FILE + 1))
    small = (tmp_path / "small").open("wb")
    with small:
        status = os.fstat(small.fileno())
    monkeypatch.setattr(os, "fstat", lambda _: status)
    monkeypatch.setattr(type(path), "stat", lambda self, **_: status)
    assert f"at most {LARGEST_FILE} bytes" in refused_as(path)


def test_what_is_no_text_is_refused(tmp_path):
    path = tmp_path / "hut.toml"
    path.write_bytes(b"\x7fELF\x00\x01")
    assert "a zero byte at byte 4" in refused_as(path)
    path.write_bytes("a = 1\n".encode("utf-16"))
    assert "choose UTF-8" in refused_as(path)


def test_a_byte_that_is_no_utf_8_is_named_with_its_place_and_line(tmp_path):
    path = tmp_path / "hut.toml"
    path.write_bytes(b'a = 1\nname = "H\xfctte"\n')
    (fault,) = faults_of_file(path)
    assert fault.line == 2
    assert fault.read == "byte 0xfc at byte 15"


def faults_if_any(read, *arguments):
    """What reading finds wrong; nothing but faults may be raised."""
    try:
        read(*arguments)
    except DescriptionError as error:
        return error.faults
    return None


@given(st.binary(max_size=400))
def test_any_bytes_at_all_are_read_or_refused_soon(tmp_path_factory, raw):
    path = tmp_path_factory.getbasetemp() / "any.toml"
    path.write_bytes(raw)
    with patience(SOON):
        faults = faults_if_any(read_sheet, path, "any.toml")
    assert faults is None or faults
    assert all(fault.file == "any.toml" and fault.read and fault.remedy for fault in faults or ())
    assert all(0 <= fault.line <= raw.count(b"\n") + 1 for fault in faults or ())


SCRAPS = st.sampled_from(
    [
        "a",
        "b.c",
        '"',
        "'",
        '"""',
        "'''",
        "=",
        "[",
        "]",
        "{",
        "}",
        ",",
        "\n",
        "\r\n",
        "\r",
        "#",
        " 6 m",
        " 1,5",
        "“",
        " True",
        "\\",
        "\\u",
        "nan",
        "1e999",
        "9" * 30,
        "0x" + "f" * 30,
        "1979-13-01",
        "[a]\n",
        "a = 1\n",
        "\x00",
        "ü",
    ]
)


@given(st.lists(SCRAPS, max_size=40).map("".join))
def test_any_scraps_of_the_language_are_read_or_refused(text):
    faults = faults_if_any(parse_sheet, text, "any.toml")
    assert all(0 <= fault.line <= text.count("\n") + 1 for fault in faults or ())


# ---- limits -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "text",
    [
        "x = " + "[\n" * 5000,
        "x = " + "[\n" * 5000 + "]\n" * 5000,
        "x = " + "[" * 3000,
        "x = " + "{a=" * 1000,
        "x = " + "[\n{a=" * 2500,
        ".".join("a" * 1900) + " = 1",
        "[" + ".".join("a" * 1900) + "]",
        "x = {" + ".".join("a" * 1900) + " = 1}",
        "\n".join("[" + ".".join("a" * depth) + "]" for depth in range(1, 60)),
    ],
)
def test_what_is_dug_too_deep_is_refused_with_its_line_before_it_is_parsed(text):
    (fault,) = faults_of(text)
    assert f"more than {DEEPEST} keys and brackets" in fault.read
    assert fault.line >= 1


@pytest.mark.parametrize(
    "unit", ["[", "{a=", "a.", '"a".', "[[a.", "x=[{a.b=", '"""', "'", "\\", "\r", "[a]\n", "#"]
)
def test_a_file_filled_with_one_thing_is_refused_or_read_soon(tmp_path, unit):
    path = tmp_path / "hut.toml"
    path.write_text((unit * LARGEST_FILE)[:LARGEST_FILE])
    faults_of_file(path)


@pytest.mark.parametrize(
    "row",
    [
        "x{n} = 1.5\n",
        "[a{n}]\n",
        "[[a]]\nb.c.d.e.f.g=1\n",
        "x{n}=['a',{{b=1}}]\n",
        "x{n} = '" + "z" * 3000 + "'\n",
    ],
)
def test_the_largest_files_allowed_are_read_soon(tmp_path, row):
    text = ""
    for n in range(MOST_VALUES // 8):
        more = row.format(n=n)
        if len(text) + len(more) > LARGEST_FILE:
            break
        text += more
    path = tmp_path / "hut.toml"
    path.write_text(text)
    with patience(SOON):
        assert read_sheet(path, "hut.toml").data


def test_a_mistake_at_the_end_of_the_largest_file_is_found_soon(tmp_path):
    path = tmp_path / "hut.toml"
    path.write_text("".join(f"x{n} = 'some text'\n" for n in range(MOST_LINES - 1)) + "length = 6 m\n")
    (fault,) = faults_of_file(path)
    assert fault.line == MOST_LINES
    assert fault.path == "length"


def test_many_mistakes_in_the_largest_file_that_is_read_again_are_found_soon(tmp_path):
    path = tmp_path / "hut.toml"
    path.write_text("".join(f"x{n} = {n} mm\n" for n in range(3800)))
    assert len(faults_of_file(path)) == MOST_MISTAKES


def test_a_line_too_long_is_named():
    (fault,) = faults_of("a = 1\nb = '" + "x" * LONGEST_LINE + "'\n")
    assert fault.line == 2
    assert f"at most {LONGEST_LINE}" in fault.wanted


def test_too_many_lines_are_refused():
    (fault,) = faults_of("\n" * (MOST_LINES + 1))
    assert f"at most {MOST_LINES}" in fault.wanted
    assert parse_sheet("\n" * MOST_LINES, "hut.toml").data == {}


def test_too_many_values_are_refused():
    (fault,) = faults_of("x = [\n" + ("1," * 1900 + "\n") * 12 + "]\n")
    assert f"more than {MOST_VALUES}" in fault.read


def test_a_key_too_long_is_refused_with_its_line():
    (fault,) = faults_of("a = 1\n" + "k" * (LONGEST_KEY + 1) + " = 1\n")
    assert fault.line == 2
    assert f"more than {LONGEST_KEY}" in fault.read


def test_a_text_handed_over_is_limited_like_a_file():
    (fault,) = faults_of("#" * (LARGEST_FILE + 1))
    assert f"at most {LARGEST_FILE} bytes" in fault.wanted
    assert "broken character" in faults_of("a = 1\nb = '\ud800'\n")[0].remedy


def test_an_error_that_nobody_foresaw_is_a_fault_too():
    limit = sys.get_int_max_str_digits()
    sys.set_int_max_str_digits(640)
    try:
        (fault,) = faults_of("x = " + "9" * 700)
    finally:
        sys.set_int_max_str_digits(limit)
    assert "ValueError" in fault.read


# ---- numbers --------------------------------------------------------------------------------------------


@pytest.mark.parametrize("number", ["nan", "inf", "-inf", "+nan", "1e999", "-1e999"])
def test_a_number_that_is_none_or_endless_is_refused_with_its_line(number):
    first, second = faults_of(f"[a]\nx = {number}\n\ny = [1,\n{number}]\n")
    assert (first.line, first.path, second.line, second.path) == (2, "a.x", 5, "a.y.1")
    assert number in first.read
    assert first.wanted == "a finite number"


def test_a_whole_number_beyond_64_bits_is_refused():
    assert parse_sheet(f"x = {2**63 - 1}\ny = -{2**63}", "hut.toml").data == {"x": 2**63 - 1, "y": -(2**63)}
    for number in (str(2**63), str(-(2**63) - 1), "0x" + "f" * 40, "9" * 3000):
        assert "64 bits" in faults_of(f"x = {number}")[0].wanted


# ---- spelling -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("row", "remedy"),
    [
        ("length = 6 m", 'write length = "6 m"'),
        ("length = 6m", 'write length = "6m"'),
        ("force = 40 N +- 10 N", 'write force = "40 N +- 10 N"'),
        ("force = 35..45 N", 'write force = "35..45 N"'),
        ("air = -18 degC  # cold, dry", 'write air = "-18 degC"'),
        ("slope = 2 %", 'write slope = "2 %"'),
        ("leaf = { width = 6 m, height = 1 }", 'write width = "6 m"'),
        ('skyline = ["0 deg", 8 deg]', 'write "8 deg"'),
        ("kind = top_hinged", 'write kind = "top_hinged"'),
        ("length = 6,5", "write 6.5 in place of 6,5"),
        ("length = 6,5 m", 'write "6.5 m" in place of 6,5 m'),
        ("leaf = { width = 6,5 m }", 'write "6.5 m" in place of 6,5 m'),
        ("length = 6 m  # or = 1,5 m", 'write length = "6 m"'),
        ("parts = [1,2] x", "begin a new line"),
        ('length = "6 m', "add the missing quote"),
        ("length = '6 m", "add the missing quote"),
        ('length = 6 m"', "add the missing quote"),
        ("length = “6 m”", 'write " in place of “'),
        ('length = "6 m”', 'write " in place of ”'),
        ("locking = True", "write true"),
        ("locking = FALSE", "write false"),
        ("locking = yes", "write true"),
        ("length =", "write a value behind length ="),
        ("length =   # later", "write a value behind length ="),
        ("length", "write = and a value behind the name"),
        ('length: "6 m"', "write = in place of :"),
        ('= "6 m"', "write the name in front of ="),
        ("// remark", "write # in place of the sign"),
        ('höhe = "6 m"', "put it in double quotes"),
        ('place = "C:\\Users"', "write \\\\ for each backslash"),
        ('place = "\\q"', "write \\\\ for each backslash"),
        ("length\u00a0= 6", "delete the invisible character U+00A0"),
        ('name = "bell\x07"', "delete the invisible character U+0007"),
        ("share = .5", "digits on both sides of the point"),
        ("share = 05", "no zero in front"),
        ("parts = [1 2]", "add the comma"),
        ("parts = [1, 2", "close the [ of this line"),
        ("leaf = {\n  width = 1 }", "keep { ... } on one line"),
        ("[door", "close the header"),
        ("[[door]", "close the header"),
        ("[]", "write the name that is missing"),
        ("a = 1 b = 2", "begin a new line"),
        ('text = """\nmore', "add the missing quote"),
    ],
)
def test_a_common_slip_says_what_to_write_instead(row, remedy):
    faults = faults_of(f"# first\nx = 1\n{row}\n")
    assert faults[0].line == 3
    assert remedy in faults[0].remedy
    assert len(faults) == 1


@pytest.mark.parametrize(
    ("row", "path"),
    [
        ("length = 6 m", "cables.length"),
        ("leaf = { width = 6,5 m }", "cables.leaf.width"),
        ("at = [1, 2 m]", "cables.at.1"),
    ],
)
def test_a_slip_names_the_path_and_the_column(row, path):
    (fault,) = faults_of(f"[cables]\n{row}\n")
    assert fault.path == path
    assert f"(column {len(row) - len(row.lstrip()) + row.rindex('m') + 1})" in fault.read


@pytest.mark.parametrize(
    ("text", "line", "path", "first"),
    [
        ("a = 1\nb = 2\na = 3\n", 3, "a", 1),
        ("[a]\nx = 1\n[b]\n[a]\n", 4, "a", 1),
        ("[a]\nb.c = 1\n[a.b]\n", 3, "a.b", 2),
        ("a = { b = 1, b = 2 }\n", 1, "a.b", 1),
        ("a = 1\n[a.b]\n", 2, "a", 1),
        ("a = [1,\n2]\n[[a]]\n", 3, "a", 1),
        ("[[a]]\n[a]\n", 2, "a", 1),
        ("a.b = 1\na.b.c = 2\n", 2, "a.b", 1),
        ('"a" = [\n1]\na = [\n2]\n', 3, "a", 1),
    ],
)
def test_what_stands_twice_names_the_line_where_it_stood_first(text, line, path, first):
    fault = faults_of(text)[0]
    assert (fault.line, fault.path) == (line, path)
    assert f"already in line {first}:" in fault.remedy


def test_several_slips_come_at_once():
    faults = faults_of("[feed]\nlength = 6 m\ncore = '1'\nfuse = 5 A # x\nlength = '2 m'\nok = True\n")
    assert [(fault.line, fault.path) for fault in faults] == [
        (2, "feed.length"),
        (4, "feed.fuse"),
        (6, "feed.ok"),
    ]


def test_reading_on_does_not_invent_mistakes():
    faults = faults_of("[a]\nx = 1\n[a]\nx = 2\ny = 6 m\n")
    assert [fault.line for fault in faults] == [3]


def test_times_are_left_to_the_shape_to_refuse():
    assert set(parse_sheet("t = 12:30:00\nd = 2024-05-01\n", "hut.toml").data) == {"t", "d"}
