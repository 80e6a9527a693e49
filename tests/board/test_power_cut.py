"""The power is cut at any moment, also in the middle of a write: the board comes back with whole settings."""

from __future__ import annotations

import random

import numpy as np
import pytest

from hutwright.native import records
from hutwright.native.engine import refusal, sealed
from hutwright.native.words import Mode, Refusal
from tests.board.machine import MS, Machine
from tests.native.doors import hinged, settings_for

OCR1A, OCR1B = 0x88, 0x8A


def changed():
    made = settings_for(hinged()).copy()
    made["normal_permille"] = 777
    return sealed(made)


def busy(board, chance: random.Random) -> None:
    """What a board may be at: moving, keeping a summary, taking new settings."""
    what = chance.choice(("move", "summary", "settings", "settings"))
    if what in ("move", "summary"):
        board.say("open")
        board.run(110)
        board.analogue(1.0)
        board.run(chance.randrange(20, 150))
        if what == "summary":
            board.say("stop")
            board.run(30)
    else:
        data = changed().tobytes()
        upto = chance.choice((chance.randrange(16, len(data)), len(data), len(data)))
        for at in range(0, upto, 16):
            board.say("set", f"{at} {data[at : at + 16].hex().upper()}")
            board.run(130 if at + 16 < upto else chance.randrange(60, 130))
        if upto == len(data):
            board.run(70)
            board.say("keep")
            board.run(chance.randrange(15, 45))


def cut_at(binary, tools, seed: int) -> tuple[int, int]:
    """One cut; the duty in force afterwards, and whether a write was torn."""
    chance = random.Random(seed)
    with Machine(binary, settings_for(hinged()), tools) as board:
        board.lib.machine_echo(board.at, 400, 9000)
        board.run(30)
        board.say("hello")
        board.run(25)
        busy(board, chance)
        board.lib.machine_cycles(board.at, chance.randrange(1, 200 * MS // 10))
        for _ in range(200):  # half of the cuts wait for a write, if there is one soon
            if seed % 2 or board.lib.machine_storing(board.at) >= 0:
                break
            board.lib.machine_cycles(board.at, 200)
        torn = board.lib.machine_storing(board.at)
        store = bytearray(board.store())
    if torn >= 0:
        store[torn] = chance.randrange(256)  # neither the old byte nor the new one
    with Machine(binary, None, tools, store=bytes(store)) as board:
        board.analogue(0.0)
        for _ in range(15):
            board.run(10)
            assert board.level("ENABLE_A") == 0
            assert board.bytes_at(OCR1A, 4) == bytes(4)
        assert board.outputs["mode"] == Mode.STOPPED
        assert refusal(np.asarray(board.settings)) == Refusal.GOOD
        return int(board.settings["normal_permille"]), int(torn >= 0)


def test_two_cuts_leave_whole_settings_and_a_door_that_stands(binary, tools):
    for seed in (4, 7):
        assert cut_at(binary, tools, seed)[0] in (1000, 777)


@pytest.mark.slow
def test_two_hundred_cuts_leave_whole_settings_and_a_door_that_stands(binary, tools):
    found = [cut_at(binary, tools, 1000 + seed) for seed in range(200)]
    assert {duty for duty, _ in found} == {1000, 777}  # some before, some after the new settings were taken
    assert sum(torn for _, torn in found) >= 30


def test_a_board_with_a_blank_store_is_in_fault_and_stands(binary, tools):
    with Machine(binary, None, tools, store=b"\xff" * 1024) as board:
        board.run(20)
        board.say("hello")
        board.run(20)
        board.say("open")
        board.run(200)
        assert board.outputs["mode"] == Mode.FAULT
        assert board.level("ENABLE_A") == 0
        assert board.settings.dtype == records.SETTINGS
