"""The board's binary gives the very outputs that the host's controller gives for what the board has read."""

from __future__ import annotations

import random

import numpy as np
import pytest

from tests.board.machine import firmware_of_core, play_vectors
from tools import vectors

WORDS = ("open", "close", "open", "close", "stop", "clear", "layup", "wake", "alive")


def storm(board, ticks: int, seed: int) -> None:
    """Anything at any time, through the board's pins, converter and line."""
    chance, left = random.Random(seed), ticks
    current = 0.0
    while left > 0:
        span = min(left, chance.choice((1, 3, 20, 60, 200, 600)))
        board.lib.loop_ticks(span)
        left -= span
        moving = board.outputs["enable"] != 0
        current = chance.choice((0.6, 0.9, 1.4, 2.0, 7.5)) if moving else chance.choice((0.0, 0.0, 0.05))
        board.analogue(current, chance.choice((12.6, 12.6, 12.3, 8.9, 13.4)), chance.choice((-12.0, 20.0)))
        for name, odds in (("LIMIT_SHUT", 0.1), ("LIMIT_OPEN", 0.1), ("BUTTON", 0.3), ("RELAY", 0.3),
                           ("SENSOR", 0.1)):  # fmt: skip
            board.contact(name, int(chance.random() < odds))
        board.lib.machine_echo(board.at, 400, chance.choice((0, 1500, 9000, 9000, 9000)))
        board.say(chance.choice(WORDS))


def same(board, ticks: int) -> None:
    """So many ticks were compared, and none was different."""
    compared = board.compared()
    assert compared.died == 0
    assert compared.ticks >= ticks
    assert (compared.different, compared.first) == (0, -1)


def test_a_few_thousand_ticks_are_bit_identical(board):
    storm(board, 2500, 1)
    same(board, 2500)


@pytest.mark.slow
def test_a_hundred_thousand_ticks_are_bit_identical_and_go_everywhere(board):
    modes, faults = set(), set()
    for seed in range(200):
        storm(board, 510, 100 + seed)
        modes.add(int(board.outputs["mode"]))
        faults.add(int(board.outputs["fault"]))
        if board.outputs["fault"]:  # a person clears it
            for name in ("LIMIT_SHUT", "LIMIT_OPEN", "RELAY", "SENSOR"):
                board.contact(name, 0)
            board.contact("BUTTON", 1)
            board.analogue()
            board.lib.loop_ticks(2100)
            board.contact("BUTTON", 0)
            board.lib.loop_ticks(60)
    same(board, 100_000)
    assert modes >= {1, 3, 5, 6}
    assert len(faults) >= 3
    assert board.figures().both_sides == 0


@pytest.mark.parametrize(
    "path",
    [
        pytest.param(path, marks=() if path.stem == "obstructed" else pytest.mark.slow, id=path.stem)
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
    board.lib.machine_write(board.at, board.facts.places["board_state"] + 120, spoilt * 8, 8)
    board.lib.loop_ticks(200)
    assert board.compared().different > 0
