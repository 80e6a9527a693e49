"""The board's binary gives the very outputs that the host's controller gives for what the board has read."""

from __future__ import annotations

import random

import numpy as np
import pytest

from hutwright.native.words import Mode
from tests.board.machine import STATE_BYTES, firmware_of_core, play_vectors
from tools import vectors

WORDS = ("open", "close", "open", "close", "open", "close", "stop", "clear", "layup", "wake", "wake", "alive")


def storm(board, ticks: int, seed: int) -> None:
    """Anything at any time, through the board's pins, converter and line."""
    chance, left = random.Random(seed), ticks
    current = 0.0
    while left > 0:
        span = min(left, chance.choice((1, 3, 20, 60, 200, 600)))
        board.lib.loop_ticks(span)
        left -= span
        moving = board.outputs["open_permille"] + board.outputs["close_permille"] > 0
        current = chance.choice((0.6, 0.9, 1.4, 2.0, 7.5)) if moving else chance.choice((0.0,) * 12 + (0.3,))
        board.analogue(
            current, chance.choice((12.6, 12.6, 12.3, 12.1, 13.4, 8.9)), chance.choice((-12.0, 20.0))
        )
        for name, odds in (("LIMIT_SHUT", 0.05), ("LIMIT_OPEN", 0.05), ("BUTTON", 0.2), ("RELAY", 0.3),
                           ("SENSOR", 0.1)):  # fmt: skip
            board.contact(name, int(chance.random() < odds))
        if chance.random() < 0.03:
            board.contact("LIMIT_SHUT", 1)
            board.contact("LIMIT_OPEN", 1)
        board.lib.machine_echo(board.at, 400, chance.choice((0, 1500, *[9000] * 12)))
        board.say(chance.choice(WORDS))


def same(board, ticks: int) -> None:
    """So many ticks were compared, and none was different."""
    compared = board.compared()
    assert compared.died == 0
    assert compared.ticks >= ticks
    assert (compared.different, compared.first) == (0, -1)


def test_a_few_thousand_ticks_are_bit_identical(board):
    storm(board, 2000, 1)
    same(board, 2000)


def cleared(board) -> None:
    """A person holds the button until the fault is gone."""
    for name in ("LIMIT_SHUT", "LIMIT_OPEN", "RELAY", "SENSOR", "BUTTON"):
        board.contact(name, 0)
    board.analogue()
    board.lib.loop_ticks(50)
    board.contact("BUTTON", 1)
    board.lib.loop_ticks(2100)
    board.contact("BUTTON", 0)
    board.lib.loop_ticks(60)


@pytest.mark.slow
def test_a_hundred_thousand_ticks_are_bit_identical_and_go_everywhere(board):
    seed = 0
    while board.compared().ticks < 100_000:
        storm(board, 400, 100 + seed)
        seed += 1
        if board.outputs["fault"]:
            cleared(board)
    same(board, 100_000)
    compared = board.compared()
    assert compared.ways == 3
    for mode in (Mode.OPENING, Mode.CLOSING, Mode.REVERSING, Mode.STOPPED, Mode.FAULT, Mode.LAID_UP):
        assert compared.modes >> mode & 1, mode
    assert compared.faults.bit_count() >= 4
    assert board.figures().both_sides == 0


@pytest.mark.parametrize(
    "path",
    [
        pytest.param(path, marks=() if path.stem == "there_and_back" else pytest.mark.slow, id=path.stem)
        for path in sorted(vectors.FOLDER.glob("*.csv"))
    ],
)
def test_the_saved_vectors_agree_on_the_board(path, require_tool, tools):
    kept = vectors.read(path.read_text("utf-8"))
    core = firmware_of_core(require_tool("avr-gcc"))
    assert play_vectors(core, tools, kept) == kept.ticks


def test_the_comparison_can_fail(board):
    storm(board, 60, 3)
    spoilt = np.array([1], np.uint8).tobytes()  # another reason in the board's memory than the host's
    board.lib.machine_write(board.at, board.facts.places["board_state"] + STATE_BYTES - 65, spoilt * 8, 8)
    board.lib.loop_ticks(200)
    assert board.compared().different > 0
