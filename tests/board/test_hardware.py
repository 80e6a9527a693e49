"""Two faults that a trial's closed loop found in its own hardware layer, and what else is the board's own."""

from __future__ import annotations

import pytest

from hutwright.native.board_plan import CONTACTS
from hutwright.native.words import Eye, Mode, Why
from tests.native.boards.test_hosted import parsed

OCR1A, OCR1B, ICR1 = 0x88, 0x8A, 0x86
TOP = 400


def word(board, address: int) -> int:
    return int.from_bytes(board.bytes_at(address, 2), "little")


def opened(board) -> None:
    """Open at full duty, and to the end."""
    board.analogue(0.0)
    board.say("open")
    board.run(120)
    board.analogue(1.0)
    board.run(600)
    board.contact("LIMIT_OPEN", 1)
    board.analogue(0.0)
    board.run(120)
    assert board.outputs["mode"] == Mode.OPEN


def closing(board) -> None:
    opened(board)
    board.say("close")
    board.run(110)
    board.contact("LIMIT_OPEN", 0)
    board.analogue(1.0)
    board.run(800)
    assert board.outputs["mode"] == Mode.CLOSING


def test_a_close_that_was_obeyed_at_full_duty_does_not_close_again_after_the_reversal(board):
    closing(board)
    assert (board.outputs["close_permille"], word(board, OCR1B)) == (1000, TOP)
    board.analogue(8.0)
    board.run(40)
    assert (board.outputs["mode"], board.outputs["why"]) == (Mode.REVERSING, Why.BACKSTOP)
    board.analogue(1.0)
    board.run(400)
    board.contact("LIMIT_OPEN", 1)
    board.analogue(0.0)
    closes = 0
    for _ in range(60):
        board.run(10)
        closes += word(board, OCR1B)
    assert closes == 0
    assert board.outputs["mode"] == Mode.OPEN


@pytest.mark.slow
def test_full_duty_is_the_full_count(board):
    closing(board)
    assert board.outputs["close_permille"] == 1000
    assert (word(board, OCR1A), word(board, OCR1B), word(board, ICR1)) == (0, TOP, TOP)


@pytest.mark.slow
def test_a_stop_takes_both_ways_off_together(board):
    closing(board)
    board.say("stop")
    board.run(60)
    assert (word(board, OCR1A), word(board, OCR1B)) == (0, 0)
    assert board.level("ENABLE_A") == 0


def test_nothing_is_driven_before_anybody_asks(board):
    for _ in range(20):
        board.run(10)
        assert board.level("ENABLE_A") == 0
        assert (word(board, OCR1A), word(board, OCR1B)) == (0, 0)


def test_the_echo_is_timed_without_the_timer_of_the_bridge(board):
    assert board.inputs["present"] == Eye.CLEAR
    board.lib.machine_echo(board.at, 400, 3000)  # 0.5 m
    board.run(60)
    assert board.inputs["present"] == Eye.SEES
    board.lib.machine_echo(board.at, 400, 0)
    board.run(400)
    assert board.inputs["present"] == Eye.FAILED


def test_what_the_converter_shows_is_read_within_one_count(board):
    for amperes, volts, celsius in ((3.3, 11.1, -18.0), (-2.0, 13.7, 35.0)):
        board.analogue(amperes, volts, celsius)
        board.run(3)
        seen = board.inputs
        assert abs(seen["current_mA"] - 1000 * amperes) <= 50
        assert abs(seen["supply_mV"] - 1000 * volts) <= 20
        assert abs(seen["temperature_dC"] - 10 * celsius) <= 5


@pytest.mark.slow
def test_it_speaks_fifty_times_a_second_in_a_move_and_shows_its_state(board):
    board.lines()
    closing(board)
    board.lines()
    board.run(1000)
    lines = [line for line in board.lines()[1:-1] if line[0] == "T"]
    assert len(lines) >= 48  # a line that is cut off at either end is not counted
    assert all(parsed(line)["m"] == Mode.CLOSING for line in lines)
    to = board.ffi.new("uint8_t[65536]")
    assert board.lib.machine_wired(board.at, to, 65536) > 100


@pytest.mark.slow
def test_a_program_that_hangs_is_reset_and_the_door_stands(board):
    closing(board)
    board.lib.machine_jam(board.at)
    for _ in range(300):
        assert board.lib.machine_cycles(board.at, 16_000) == 0
        for name in CONTACTS:  # the simulated pins forget their levels in a reset, and hear of changes only
            board.contact(name, 1)
            board.contact(name, 0)
    assert board.level("ENABLE_A") == 0
    assert (word(board, OCR1A), word(board, OCR1B)) == (0, 0)
    assert board.outputs["mode"] == Mode.STOPPED
