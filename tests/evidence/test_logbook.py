"""The log book: what is in it stays in it, whatever happens to the program."""

from __future__ import annotations

import random
import signal
import sqlite3
import subprocess
import sys
import time
from dataclasses import replace

import pytest

from hutwright.errors import RequestError
from hutwright.evidence.logbook import Logbook, Move, RingRecord
from hutwright.evidence.trace import Way

A_MOVE = Move(
    at=1.9e9, cycle=1, way=Way.OPENING, duration=8.25, mean_current=1.5, peak_residual=0.25, peak_place=0.75,
    rest_supply=12.5, least_supply=11.75, temperature=281.25, reached=True, whole=True, why=15, settings=4711,
    file="traces/watched-000001-opening.csv",
)  # fmt: skip
A_RECORD = RingRecord(
    serial=5, move=77, duration=8.0, peak_residual=0.5, least_supply=11.5, temperature=270.0, way=Way.CLOSING,
    why=15,
)  # fmt: skip
# What writes until it is killed: it says the number of a move only once the book has taken it.
WRITER = """
import sys
from dataclasses import replace
from pathlib import Path
from hutwright.evidence.logbook import Logbook
from tests.evidence.test_logbook import A_MOVE
with Logbook(Path(sys.argv[1])) as book:
    cycle = book.last_cycle()
    while True:
        cycle += 1
        book.record(replace(A_MOVE, cycle=cycle))
        print(cycle, flush=True)
"""


def killed_after(book, seconds: float) -> int:
    """The last move that a writer said it had kept before it was killed."""
    writer = subprocess.Popen([sys.executable, "-c", WRITER, str(book)], stdout=subprocess.PIPE, text=True)
    assert writer.stdout is not None
    last = int(writer.stdout.readline())  # it is at work from here on
    time.sleep(seconds)
    writer.send_signal(signal.SIGKILL)
    rest, _ = writer.communicate()
    whole = rest.splitlines() if rest.endswith("\n") else rest.splitlines()[:-1]
    assert writer.returncode == -signal.SIGKILL
    return int(whole[-1]) if whole else last


def killed_so_often(folder, times: int) -> None:
    """Kill writers of one book, and look after each that nothing is lost or half there."""
    book, draw = folder / "watch.sqlite", random.Random(3)
    for _ in range(times):
        said = killed_after(book, draw.uniform(0.0, 0.08))
        with Logbook(book) as opened:
            cycles = [move.cycle for move in opened.moves()]
        assert cycles == list(range(1, len(cycles) + 1))
        assert len(cycles) - said in (0, 1)  # kept, and killed before it could say so
        with sqlite3.connect(book) as base:
            assert base.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        base.close()


def test_a_book_that_is_killed_twice_loses_no_completed_cycle(tmp_path):
    killed_so_often(tmp_path, 2)


@pytest.mark.slow
def test_a_book_that_is_killed_at_a_hundred_random_moments_loses_no_completed_cycle(tmp_path):
    killed_so_often(tmp_path, 100)


def test_what_is_kept_is_read_back_as_it_was(tmp_path):
    bare = replace(A_MOVE, cycle=2, way=Way.CLOSING, peak_place=None, rest_supply=None, reached=False)
    with Logbook(tmp_path / "book") as book:
        for move in (A_MOVE, bare):
            book.record(move)
        book.record_fault(1.9e9, 7, "current without duty")
    with Logbook(tmp_path / "book") as book:
        assert book.moves() == [A_MOVE, bare]
        assert book.faults() == [(1.9e9, 7, "current without duty")]
        assert book.last_cycle() == 2


def test_a_record_of_the_ring_that_is_fetched_again_is_kept_once(tmp_path):
    with Logbook(tmp_path / "book") as book:
        assert book.record_ring(1.0, A_RECORD)
        assert not book.record_ring(2.0, A_RECORD)
        assert book.record_ring(2.0, replace(A_RECORD, serial=6))
        assert book.ring() == [A_RECORD, replace(A_RECORD, serial=6)]


def test_settings_are_kept_when_they_change_and_only_then(tmp_path):
    with Logbook(tmp_path / "book") as book:
        changed = [
            book.record_settings(float(at), at, raw) for at, raw in enumerate((b"a", b"a", b"b", b"a"))
        ]
        assert changed == [True, False, True, True]
        assert [raw for _, _, raw in book.settings()] == [b"a", b"b", b"a"]


def test_an_empty_book_has_no_last_cycle(tmp_path):
    with Logbook(tmp_path / "book") as book:
        assert (book.last_cycle(), book.moves(), book.ring()) == (0, [], [])


def test_a_file_that_is_no_log_book_is_refused_and_left_as_it_is(tmp_path):
    text, other = tmp_path / "text", tmp_path / "other"
    text.write_text("this is no data base, and long enough to be seen as none\n" * 4)
    base = sqlite3.connect(other)
    base.execute("CREATE TABLE birds (name TEXT)")
    base.close()
    for path, before in [(each, each.read_bytes()) for each in (text, other)]:
        with pytest.raises(RequestError, match=r"log book .*; wanted a log book"):
            Logbook(path)
        assert path.read_bytes() == before


def test_a_book_of_a_newer_program_is_refused(tmp_path):
    Logbook(tmp_path / "book").__exit__(None, None, None)
    base = sqlite3.connect(tmp_path / "book")
    base.execute("PRAGMA user_version = 99")
    base.close()
    with pytest.raises(RequestError, match="read version 99; wanted a log book of version 1"):
        Logbook(tmp_path / "book")


def test_a_folder_that_is_not_there_is_a_sentence(tmp_path):
    with pytest.raises(RequestError, match="move it aside"):
        Logbook(tmp_path / "nowhere" / "book")
