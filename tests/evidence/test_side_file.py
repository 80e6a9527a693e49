"""Text of a file beside the description."""

import gzip
import os

import pytest

from hutwright.evidence.side_file import EvidenceError, read_text


def refused(path, largest=1_000):
    """The fault of a file."""
    with pytest.raises(EvidenceError) as caught:
        read_text(path, "readings/x.txt", largest)
    (fault,) = caught.value.faults
    assert fault.file == "readings/x.txt"
    return fault


def test_reads_text_with_any_line_ends_and_a_mark_in_front(tmp_path):
    file = tmp_path / "x.txt"
    file.write_bytes(b"\xef\xbb\xbfone\r\ntwo\rthree\n")
    assert read_text(file, "x.txt", 100) == "one\ntwo\nthree\n"


def test_reads_names_with_accents_in_an_old_coding(tmp_path):
    file = tmp_path / "x.txt"
    file.write_bytes("Zürich\n".encode("latin-1"))
    assert read_text(file, "x.txt", 100) == "Zürich\n"


@pytest.mark.parametrize(
    ("content", "told"),
    [
        (gzip.compress(b"G07", mtime=0), "packed by gzip"),
        (b"\x1f\x9d\x90", "packed by compress"),
        (b"PK\x03\x04", "packed by zip"),
        (b"one\ntwo\0\n", "a NUL byte"),
        (b"x" * 1_001, "more than that"),
    ],
)
def test_refuses_what_is_packed_no_text_or_too_large(tmp_path, content, told):
    file = tmp_path / "x.txt"
    file.write_bytes(content)
    assert told in refused(file).read


def test_names_the_line_of_a_stray_byte(tmp_path):
    file = tmp_path / "x.txt"
    file.write_bytes(b"one\ntwo\0\n")
    assert refused(file).line == 2


def test_refuses_a_file_that_is_not_there_or_is_a_folder(tmp_path):
    assert refused(tmp_path / "none").read == "no such file"
    assert "folder" in refused(tmp_path).read
    assert refused(tmp_path / "a\0b").wanted == "the name of a file"


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no named pipes")
def test_does_not_wait_at_a_pipe(tmp_path):
    os.mkfifo(tmp_path / "pipe")
    assert "pipe" in refused(tmp_path / "pipe").read
