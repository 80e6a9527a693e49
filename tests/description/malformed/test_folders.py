"""Folders and files that hold no description at all, read as the faces read them."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

import pytest

from hutwright.description.folder import load
from hutwright.description.reading import LARGEST_FILE
from hutwright.errors import DescriptionError, HutwrightError, RequestError
from tests.patience import patience

SOON = 400  # readings of the orchard demo: what any description at all may take
NOBODY = 65534  # the user that owns nothing


def holding(raw):
    """A maker of folders whose description holds these bytes."""
    return lambda folder: (folder / "hut.toml").write_bytes(raw)


def missing(folder):
    """Leave the folder empty."""


def folder_in_place(folder):
    (folder / "hut.toml").mkdir()


def pipe(folder):
    os.mkfifo(folder / "hut.toml")


def link_to_itself(folder):
    (folder / "hut.toml").symlink_to(folder / "hut.toml")


def dangling_link(folder):
    (folder / "hut.toml").symlink_to(folder / "gone.toml")


def unknown_variant(folder):
    (folder / "hut.toml").write_text("format = 1\n")
    (folder / "variants").mkdir()
    (folder / "variants" / "longer.toml").write_text('title = "Longer"\n')


DEEP = 5000
FILES = {  # what lies there, the line that is blamed (0: the file as a whole), and what the sentence says
    "an empty file": (holding(b""), 0, ("format: read nothing", "add format = 1")),
    "blanks": (holding(b" \n\t\n"), 0, ("add format = 1",)),
    "no file": (missing, 0, ("no such file", "hutwright start")),
    "a folder in its place": (folder_in_place, 0, ("a folder", "a text file")),
    "a pipe": (pipe, 0, ("pipe", "a plain text file")),
    "a link to itself": (link_to_itself, 0, ("link",)),
    "a link to nothing": (dangling_link, 0, ("no such file",)),
    "a program": (holding(b"\x7fELF\x02\x01\x01\x00\x00\x03"), 0, ("zero byte", "plain text")),
    "a picture": (holding(b"\x89PNG\r\n\x1a\n" + bytes(range(1, 256))), 1, ("byte 0x89", "UTF-8")),
    "text in another code": (holding(b'format = 1\nname = "H\xfctte"\n'), 2, ("byte 0xfc", "UTF-8")),
    "text in 16 bits": (holding('format = 1\nname = "Hütte"\n'.encode("utf-16")), 0, ("UTF-16",)),
    "ten megabytes": (holding(b"# remark\n" * (10 * 2**20 // 9)), 0, ("bytes", str(LARGEST_FILE))),
    "one endless line": (
        holding(b"format = 1\na = [" + b"1," * 100_000 + b"]\n"),
        2,
        ("characters in one line",),
    ),
    "deep lists": (holding(b"format = 1\na = " + b"[\n" * DEEP + b"]\n" * DEEP), 14, ("inside each other",)),
    "lists never closed": (
        holding(b"format = 1\na = " + b"[\n" * DEEP),
        14,
        ("inside each other", "brackets"),
    ),
    "deep braces": (holding(b"format = 1\na = " + b"{ a = [\n" * DEEP), 8, ("inside each other",)),
    "a deep dotted key": (
        holding(b"format = 1\n" + b".".join([b"a"] * 1990) + b" = 1\n"),
        2,
        ("inside each other",),
    ),
    "a deep header": (
        holding(b"format = 1\n[" + b".".join([b"a"] * 1990) + b"]\n"),
        2,
        ("inside each other",),
    ),
    "another format of text": (holding(b"format: 1\nname: hut\n"), 1, ("= in place of :",)),
    "text for people": (holding(b"My hut stands in the orchard.\n"), 1, ("name = value",)),
    "a page of the web": (holding(b"<!DOCTYPE html>\n<html></html>\n"), 1, ("name = ",)),
    "an object": (holding(b'{ "format": 1 }\n'), 1, ("name",)),
    "a control character": (holding(b'format = 1\nname = "a\x07b"\n'), 2, ("invisible", "U+0007")),
}


def refused(folder, variant=None):
    """What is raised for a folder, soon."""
    with patience(SOON), pytest.raises(HutwrightError) as caught:
        load(folder, variant)
    return caught.value


@pytest.mark.parametrize("name", FILES)
def test_what_is_no_description_is_refused_in_a_sentence(tmp_path, name):
    make, line, words = FILES[name]
    make(tmp_path)
    error = refused(tmp_path)
    assert type(error) is DescriptionError
    fault = error.faults[0]
    assert (fault.file, fault.line) == ("hut.toml", line)
    assert all(part.strip() for part in (fault.read, fault.wanted, fault.remedy))
    assert [word for word in words if word not in fault.sentence()] == []
    assert str(error).startswith(f"hut.toml, line {line}:" if line else "hut.toml:")


def test_a_folder_that_is_not_there_is_a_question_asked_wrongly(tmp_path):
    error = refused(tmp_path / "hutt")
    assert type(error) is RequestError
    assert "hutt" in str(error)
    assert "hutwright start" in str(error)


def test_a_file_in_place_of_the_folder_is_a_question_asked_wrongly(tmp_path):
    (tmp_path / "hut.toml").write_text("format = 1\n")
    error = refused(tmp_path / "hut.toml")
    assert type(error) is RequestError
    assert str(tmp_path) in str(error)


def test_an_unknown_variant_is_a_question_asked_wrongly(tmp_path):
    unknown_variant(tmp_path)
    error = refused(tmp_path, "longr")
    assert type(error) is RequestError
    assert 'did you mean "longer"?' in str(error)


def test_a_fault_of_a_variant_names_the_variant_and_its_line(tmp_path):
    unknown_variant(tmp_path)
    (tmp_path / "variants" / "longer.toml").write_text('title = "Longer"\n[site.wind]\nbasic = "24 kg"\n')
    error = refused(tmp_path, "longer")
    assert type(error) is DescriptionError
    assert str(error).startswith("variants/longer.toml, line 3: site.wind.basic: read '24 kg'")


def as_nobody(folder):
    """What a user that owns nothing is told of a folder; the sentence comes through a pipe."""
    ear, mouth = os.pipe()
    child = os.fork()
    if child == 0:  # in the child: no test code may go on here, whatever happens
        status = 1
        try:
            os.close(ear)
            os.setgroups([])
            os.setgid(NOBODY)
            os.setuid(NOBODY)
            try:
                load(folder)
                told = "nothing was refused"
            except DescriptionError as error:
                told = str(error)
            os.write(mouth, told.encode())
            status = 0
        finally:
            os._exit(status)
    os.close(mouth)
    with os.fdopen(ear, "rb") as heard:
        told = heard.read().decode()
    assert os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 0
    return told


def test_a_file_that_another_user_may_not_read_says_who_can_allow_it():
    with tempfile.TemporaryDirectory() as place:  # not below pytest's own folder, which only its owner enters
        folder = Path(place)
        folder.chmod(0o755)
        path = folder / "hut.toml"
        path.write_text("format = 1\n")
        path.chmod(0)
        # For the superuser everything is readable: ask as a user that owns nothing.
        told = as_nobody(folder) if os.geteuid() == 0 else str(refused(folder))
    assert told.startswith("hut.toml: read a file that you are not allowed to read; wanted a readable file;")
    assert "chmod" in told
