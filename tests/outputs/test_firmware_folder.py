"""A folder that somebody may have worked in: ours is replaced, theirs is kept and named."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pytest

from hutwright.description.writing import write_atomic_bytes
from hutwright.errors import RequestError
from hutwright.outputs import firmware_folder
from hutwright.outputs.firmware_folder import MANIFEST, changed_in, write_folder

FIRST = {"a.txt": b"one", "sub/b.txt": b"two", "made.bin": b"\x00\x01"}
SECOND = {"a.txt": b"ONE", "sub/c.txt": b"three", "made.bin": b"\x02"}


def content(folder) -> dict[str, bytes]:
    """All that lies in a folder, but the manifest."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file() and path.name != MANIFEST
    }


def test_a_folder_that_is_not_there_is_made_whole(tmp_path):
    written = write_folder(tmp_path / "new" / "out", FIRST)
    assert content(tmp_path / "new" / "out") == FIRST
    assert set(written.files) == set(FIRST)
    assert [each.name for each in (tmp_path / "new").iterdir()] == ["out"]


def test_an_empty_folder_is_filled(tmp_path):
    (tmp_path / "out").mkdir()
    write_folder(tmp_path / "out", FIRST)
    assert content(tmp_path / "out") == FIRST


def test_the_manifest_is_one_that_sha256sum_reads(tmp_path, require_tool):
    write_folder(tmp_path / "out", FIRST)
    told = subprocess.run(
        [str(require_tool("sha256sum")), "-c", MANIFEST], cwd=tmp_path / "out", capture_output=True, text=True
    )
    assert told.returncode == 0
    assert told.stdout.count(": OK") == len(FIRST)


def test_what_is_unchanged_is_replaced_and_what_no_longer_belongs_is_taken_away(tmp_path):
    write_folder(tmp_path, FIRST)
    written = write_folder(tmp_path, SECOND)
    assert content(tmp_path) == SECOND
    assert written.removed == ("sub/b.txt",)
    assert written.kept == ()


def test_what_somebody_changed_is_kept_and_named_now_and_later(tmp_path):
    write_folder(tmp_path, FIRST)
    (tmp_path / "a.txt").write_bytes(b"mine")
    (tmp_path / "sub/b.txt").write_bytes(b"mine too")
    for _ in range(3):
        assert changed_in(tmp_path) == ("a.txt", "sub/b.txt")
        written = write_folder(tmp_path, SECOND)
        assert written.kept == ("a.txt", "sub/b.txt")
        assert content(tmp_path) == SECOND | {"a.txt": b"mine", "sub/b.txt": b"mine too"}


def test_what_is_built_from_the_rest_is_replaced_whoever_built_it(tmp_path):
    write_folder(tmp_path, FIRST, built=("made.bin",))
    (tmp_path / "made.bin").write_bytes(b"built by hand")
    assert write_folder(tmp_path, SECOND, built=("made.bin",)).kept == ()
    assert content(tmp_path) == SECOND


def test_files_of_other_origin_beside_ours_stay(tmp_path):
    write_folder(tmp_path, FIRST)
    (tmp_path / "notes.txt").write_bytes(b"measured today")
    write_folder(tmp_path, SECOND)
    assert content(tmp_path) == SECOND | {"notes.txt": b"measured today"}


def test_a_folder_without_a_manifest_is_somebodys_own(tmp_path):
    (tmp_path / "photo.jpg").write_bytes(b"x")
    with pytest.raises(RequestError, match="name an empty folder"):
        write_folder(tmp_path, FIRST)
    assert content(tmp_path) == {"photo.jpg": b"x"}


def test_a_file_of_other_origin_in_the_way_stops_it_before_anything_is_changed(tmp_path):
    write_folder(tmp_path, FIRST)
    (tmp_path / "sub/c.txt").write_bytes(b"mine")
    with pytest.raises(RequestError, match=r"sub/c\.txt is there and was not written by hutwright"):
        write_folder(tmp_path, SECOND)
    assert content(tmp_path) == FIRST | {"sub/c.txt": b"mine"}


def test_a_file_in_the_place_of_the_folder_is_refused(tmp_path):
    (tmp_path / "out").write_text("x")
    with pytest.raises(RequestError, match="is a file"):
        write_folder(tmp_path / "out", FIRST)


@pytest.mark.parametrize(
    "line", ["rubbish", f"{'0' * 64}  ../../etc/passwd", f"{'0' * 64}  /etc/passwd", f"{'z' * 64}  a.txt"]
)
def test_a_manifest_that_says_anything_else_is_refused(tmp_path, line):
    (tmp_path / MANIFEST).write_text(line + "\n")
    with pytest.raises(RequestError, match="line 1"):
        write_folder(tmp_path, FIRST)


@pytest.mark.parametrize("number", range(5))
def test_a_cut_at_any_file_leaves_a_folder_that_the_next_try_takes_for_its_own(tmp_path, monkeypatch, number):
    write_folder(tmp_path, FIRST)
    done: list[Path] = []

    def cut(path, raw):
        if len(done) == number:
            raise RequestError("the power is out")
        done.append(path)
        write_atomic_bytes(path, raw)

    monkeypatch.setattr(firmware_folder, "write_atomic_bytes", cut)
    with pytest.raises(RequestError, match="power"):
        write_folder(tmp_path, SECOND)
    monkeypatch.undo()
    assert write_folder(tmp_path, SECOND).kept == ()
    assert content(tmp_path) == SECOND


def test_a_cut_while_a_new_folder_is_made_leaves_nothing(tmp_path, monkeypatch):
    def full(path, raw):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(firmware_folder, "write_atomic_bytes", full)
    with pytest.raises(RequestError, match="No space left"):
        write_folder(tmp_path / "out", FIRST)
    assert list(tmp_path.iterdir()) == []


def test_a_folder_moved_elsewhere_is_known_again(tmp_path):
    write_folder(tmp_path / "out", FIRST)
    shutil.move(tmp_path / "out", tmp_path / "there")
    assert changed_in(tmp_path / "there") == ()
