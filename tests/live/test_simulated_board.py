"""A board behind a pseudo-terminal: whoever opens the line finds one that speaks and obeys."""

from __future__ import annotations

import os
import select
import time
from pathlib import Path

import pytest

from hutwright.live.simulated_board import HostBoard, SimulatedBoard
from hutwright.native.board_plan import crc, line_in
from hutwright.native.words import Mode
from tests.native.doors import hinged, settings_for


def read_until(line: int, wanted, *, within: float = 8.0) -> dict[str, str]:
    """The first whole telemetry line that is as wanted."""
    rest, end = b"", time.monotonic() + within
    while time.monotonic() < end:
        if select.select([line], [], [], 0.1)[0]:
            rest += os.read(line, 4096)
        *whole, rest = rest.split(b"\n")
        for each in whole:
            text, _, given = each.partition(b"*")
            assert crc(text) == int(given, 16)
            fields = dict(pair.split("=") for pair in text.decode().split(" ")[1:])
            if text[:1] == b"T" and wanted(fields):
                return fields
    raise AssertionError("nothing of the kind was said")


@pytest.fixture
def hosted(require_tool, tmp_path):
    return HostBoard(tmp_path, settings_for(hinged()), require_tool("cc"))


def test_the_terminal_speaks_telemetry_and_a_greeted_word_opens_the_door(hosted):
    with SimulatedBoard(hosted, pace=8.0) as board:
        line = os.open(board.path, os.O_RDWR | os.O_NOCTTY)
        try:
            assert int(read_until(line, lambda _: True)["m"]) == Mode.STOPPED
            os.write(line, line_in("open", 1))  # not greeted
            time.sleep(0.2)
            assert hosted.place == 0.0
            os.write(line, line_in("hello", 1) + line_in("open", 2))
            assert read_until(line, lambda each: int(each["m"]) == Mode.OPENING)
            assert read_until(line, lambda each: int(each["m"]) == Mode.OPEN)
            assert hosted.place == 1.0
        finally:
            os.close(line)


@pytest.mark.slow
def test_it_goes_on_where_nobody_reads(hosted):
    with SimulatedBoard(hosted, pace=20.0) as board:
        assert Path(board.path).exists()
        time.sleep(0.5)
    assert hosted.place == 0.0
