"""What every board does, run on the host: the line, the store, the display, the present sensor."""

from __future__ import annotations

import random
import subprocess

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.native import records
from hutwright.native.board_plan import SLOT_BYTES, crc, line_in, store_image
from hutwright.native.engine import refusal, sealed
from hutwright.native.words import Eye, Mode, Refusal
from tests.native.boards.hosted import PLAN, STRICT, Hosted, library
from tests.native.doors import hinged, settings_for

TAKEN, BROKEN, STALE, STRANGE, UNGREETED, MOVING, BUSY, NOT_GOOD = range(8)


@pytest.fixture
def board(require_tool):
    return Hosted(require_tool("cc"))


@pytest.fixture
def greeted(board):
    board.run(300)
    assert board.answer("hello") == TAKEN
    return board


def parsed(line: str) -> dict[str, int]:
    """The numbers of a line, its checksum proved."""
    text, given_crc = line.rsplit("*", 1)
    assert crc(text.encode()) == int(given_crc, 16)
    return {key: int(value) for key, value in (each.split("=") for each in text.split(" ")[1:])}


# ---- the line ----------------------------------------------------------------------------------------


def test_every_line_that_it_says_carries_its_checksum(greeted):
    lines = greeted.say("open") + greeted.say("count")
    greeted.host.said_number = 0
    greeted.run(300)
    lines += greeted.said()
    assert {line[0] for line in lines} >= {"A", "C", "T"}
    for line in lines:
        parsed(line)


def test_before_a_hello_nothing_but_stop_is_taken(board):
    assert board.answer("open") == UNGREETED
    assert board.answer("stop") == TAKEN
    assert board.answer("hello") == TAKEN
    assert board.answer("open") == TAKEN


def test_a_word_said_twice_or_late_is_refused(greeted):
    assert greeted.answer("open", sequence=500) == TAKEN
    assert greeted.answer("close", sequence=500) == STALE
    assert greeted.answer("close", sequence=499) == STALE
    assert greeted.answer("alive", sequence=(500 + 32767) % 65536) == TAKEN
    assert greeted.answer("alive", sequence=(500 + 32767 + 32768) % 65536) == STALE
    assert greeted.answer("stop", sequence=3) == TAKEN


@pytest.mark.parametrize(
    "text",
    [
        b"open 7\n",
        b"open 7*0000\n",
        b"*\n",
        b"x" * 200 + b"\n",
        line_in("open", 7).replace(b"7", b"8", 1),
        line_in("open", 7).lower(),
        bytes(range(128, 250)) + b"\n",
    ],
)
def test_a_line_with_a_wrong_checksum_does_nothing(greeted, text):
    answers = [parsed(line) for line in greeted.send(text) if line[0] == "A"]
    assert [each["r"] for each in answers] == [BROKEN]
    assert greeted.lib.board_out.mode == Mode.STOPPED


@pytest.mark.parametrize(
    "text",
    [
        "open",
        "open ",
        "open x",
        "opens 5",
        "OPEN 5",
        "open 5 5",
        " open 5",
        "set 5 0",
        "set 5 0 0",
        "set 5 0 0G",
        "tell 5",
        "tell 5 ",
        "tell 5 x",
        "tell 5 0 0",
        "tell 5 5 00",
    ],
)
def test_a_whole_line_that_means_nothing_is_called_strange(greeted, text):
    line = text.encode() + f"*{crc(text.encode()):04X}\n".encode()
    assert [parsed(each)["r"] for each in greeted.send(line) if each[0] == "A"] == [STRANGE]
    assert greeted.lib.board_out.mode == Mode.STOPPED


@given(st.binary(max_size=120).filter(lambda each: b"*" not in each))
def test_noise_on_the_line_moves_nothing(require_tool, noise):
    board = Hosted(require_tool("cc"))
    board.say("hello")
    board.send(noise + b"\n")
    assert board.lib.board_out.enable == 0
    assert board.answer("alive", sequence=9) == TAKEN


def test_a_stop_between_two_ticks_is_not_overheard(greeted):
    greeted.say("open")
    greeted.run(200)
    assert greeted.lib.board_out.enable == 1
    greeted.send(line_in("stop", 50) + line_in("open", 51))
    assert greeted.lib.board_out.enable == 0


def test_telemetry_comes_fifty_times_a_second_in_a_move_and_once_at_rest(greeted):
    greeted.host.said_number = 0
    greeted.run(3000)
    assert sum(line[0] == "T" for line in greeted.said()) == 3
    greeted.host.converted = [PLAN.current_zero, 645, 143]
    greeted.say("open")
    greeted.run(100)
    greeted.host.converted = [PLAN.current_zero + 20, 645, 143]  # a motor that runs
    greeted.host.said_number = 0
    greeted.run(1000)
    assert greeted.lib.board_out.mode == Mode.OPENING
    assert sum(line[0] == "T" for line in greeted.said()) >= 50


def test_a_word_lasts_for_one_tick_only(greeted):
    for byte in line_in("open", 40):
        greeted.host.heard = byte
        greeted.lib.board_idle()
    greeted.lib.board_tick()
    assert (greeted.lib.board_in.word, greeted.lib.board_in.line_alive) == (1, 1)
    greeted.lib.board_tick()
    assert (greeted.lib.board_in.word, greeted.lib.board_in.line_alive) == (0, 0)


# ---- the store ---------------------------------------------------------------------------------------


def stored(board, address):
    """Slot in use, and the bytes that it tells from an address on."""
    lines = [parsed(line) for line in board.say("tell", str(address)) if line[0] == "S"]
    assert [line["o"] for line in lines] == [address]
    return lines[0]["s"], b"".join(lines[0][key].to_bytes(2, "little") for key in "abcdefghij")


def test_the_store_is_told_byte_for_byte_to_its_end(greeted):
    held = bytes(greeted.host.store)
    found = b"".join(stored(greeted, at)[1] for at in range(0, 1000, 20))
    assert found == held[:1000]
    assert stored(greeted, 996) == (0, held[996:1016])
    assert greeted.answer("tell", "997") == STRANGE


def test_what_is_not_written_yet_is_not_told(greeted):
    greeted.host.said_number = 0
    for byte in line_in("set", 50, "0 0102030405") + line_in("tell", 51, str(SLOT_BYTES)):
        greeted.host.heard = byte
        greeted.lib.board_idle()
    greeted.run(5, idles=300)
    told = [parsed(line) for line in greeted.said() if line[0] == "S"]
    assert [(each["a"], each["b"], each["c"]) for each in told] == [(0x0201, 0x0403, 0xFF05)]


def another():
    settings = settings_for(hinged()).copy()
    settings["normal_permille"] = 777
    return sealed(settings)


def send_settings(board, settings, keep=True):
    data = settings.tobytes()
    for at in range(0, len(data), 16):
        assert board.answer("set", f"{at} {data[at : at + 16].hex().upper()}") == TAKEN
        board.run(5)
    return board.answer("keep") if keep else None


def in_force(board):
    return int(board.lib.board_settings.normal_permille)


def test_new_settings_go_to_the_idle_slot_and_are_taken_when_they_are_whole(greeted, compiler):
    before = bytes(greeted.host.store[0:SLOT_BYTES])
    assert send_settings(greeted, another()) == TAKEN
    greeted.run(5)
    assert in_force(greeted) == 777
    assert bytes(greeted.host.store[0:SLOT_BYTES]) == before
    assert in_force(Hosted(compiler, bytes(greeted.host.store))) == 777


@pytest.fixture
def compiler(require_tool):
    return require_tool("cc")


def test_settings_with_a_fault_are_not_kept(greeted):
    broken = bytearray(another().tobytes())
    broken[40] ^= 1
    assert send_settings(greeted, np.frombuffer(bytes(broken), records.SETTINGS)[0]) == NOT_GOOD
    assert in_force(greeted) == 1000


def test_settings_that_the_controller_refuses_are_not_used(greeted):
    refused = settings_for(hinged()).copy()
    refused["dead_ms"] = 1
    assert refusal(sealed(refused)) != Refusal.GOOD
    send_settings(greeted, sealed(refused))
    greeted.run(5)
    assert in_force(greeted) == 1000
    assert greeted.lib.board_state.decide.refusal == Refusal.GOOD


def test_settings_are_refused_while_the_door_moves(greeted):
    greeted.say("open")
    greeted.run(100)
    assert greeted.answer("set", "0 01") == MOVING
    assert greeted.answer("keep") == MOVING
    assert stored(greeted, 0)[1] == bytes(greeted.host.store[0:20])
    assert greeted.host.enable == 1


def test_a_cut_after_any_write_leaves_settings_that_are_whole(greeted, compiler):
    first = bytes(greeted.host.store)
    for left in [*range(0, 290, 7), *range(276, 290)]:
        board = Hosted(compiler, first)
        board.say("hello")
        board.host.writes_left = left
        data = another().tobytes()
        for at in range(0, len(data), 31):
            board.say("set", f"{at} {data[at : at + 16].hex().upper()}")
            board.say(
                "set", f"{at + 16} {data[at + 16 : at + 31].hex().upper()}" if at + 16 < len(data) else "0 01"
            )
        board.say("keep")
        after = Hosted(compiler, bytes(board.host.store))
        after.run(50)
        assert in_force(after) in (1000, 777)
        assert after.lib.board_state.decide.refusal == Refusal.GOOD
        assert after.host.enable == 0


def test_an_empty_store_means_a_fault_that_nothing_clears(require_tool):
    board = Hosted(require_tool("cc"), b"\xff" * 1024)
    board.say("hello")
    board.say("open")
    board.run(50)
    assert (board.lib.board_out.mode, board.host.enable) == (Mode.FAULT, 0)


def test_a_worn_cell_is_counted_and_the_settings_stay(greeted):
    greeted.host.worn = SLOT_BYTES + 100
    send_settings(greeted, another(), keep=False)
    assert greeted.answer("keep") == NOT_GOOD
    assert in_force(greeted) == 1000


def moved(board):
    board.say("open")
    board.run(200)
    board.say("stop")
    board.run(200)


def test_every_move_leaves_a_summary_in_the_ring_and_the_counters_survive(greeted, compiler):
    for _ in range(3):
        moved(greeted)
    lines = greeted.say("ring")
    greeted.run(300)
    lines = [parsed(line) for line in greeted.said() if line[0] == "R"]
    assert len(lines) == 24
    assert [each["s"] for each in lines[:3]] == [0, 1, 2]
    assert [each["n"] for each in lines[:3]] == [1, 2, 3]
    again = Hosted(compiler, bytes(greeted.host.store))
    assert again.lib.board_state.counters[1] == 3  # starts
    again.say("hello")
    moved(again)
    again.host.said_number = 0
    again.say("ring")
    again.run(300)
    assert parsed([line for line in again.said() if line[0] == "R"][3])["s"] == 3


# ---- display and present sensor ------------------------------------------------------------------------


def shown(board) -> str:
    """What a display behind an expander makes of the bytes on the bus."""
    wired = bytes(board.host.wired[0 : board.host.wired_whole])
    assert wired[0] == PLAN.display_address << 1
    falls = [
        (high >> 4, high & 1)
        for high, low in zip(wired[1::2], wired[2::2], strict=True)
        if high & 4 and not low & 4
    ]
    nibbles = [(a[0] << 4 | b[0], a[1]) for a, b in zip(falls[::2], falls[1::2], strict=True)]
    return bytes(byte for byte, text in nibbles if text).decode("ascii")


def test_the_display_shows_state_and_reason(greeted):
    assert shown(greeted) == "STOP 01"
    greeted.host.contacts = 3
    greeted.run(50)
    assert shown(greeted) == "FLT  02"


def test_a_stuck_bus_stops_nothing_but_the_display(greeted):
    greeted.host.wire_stuck = 1
    assert greeted.answer("open") == TAKEN
    greeted.run(200)
    assert greeted.host.enable == 1


def test_no_echo_is_a_failure_and_one_near_echo_is_believed(greeted):
    assert greeted.lib.board_in.present == Eye.CLEAR
    greeted.echo = PLAN.near_units - 1
    greeted.run(60)
    assert greeted.lib.board_in.present == Eye.SEES
    greeted.echo = 150
    greeted.run(110)
    assert greeted.lib.board_in.present == Eye.SEES
    greeted.run(150)
    assert greeted.lib.board_in.present == Eye.CLEAR
    greeted.echo = 65535
    greeted.run(400)
    assert greeted.lib.board_in.present == Eye.FAILED


# ---- the bridge --------------------------------------------------------------------------------------


def test_full_duty_is_the_full_count_for_every_timer_and_nothing_is_nothing(require_tool, tmp_path):
    _, _, made = library(require_tool("cc"))
    program = tmp_path / "duty.c"
    program.write_text(
        '#include "duty.h"\n#include <stdio.h>\nint main(void)\n{\n    uint16_t top, share;\n'
        "    for (top = 1; top < 4096; top++) {\n"
        "        if (duty_counts(1000, top) != top || duty_counts(0, top) != 0) return 1;\n"
        "        if (duty_counts(65535, top) != top) return 1;\n"
        "        for (share = 0; share <= 1000; share++) {\n"
        "            double off = duty_counts(share, top) - share * (double)top / 1000.0;\n"
        "            if (off > 0.52 || off < -0.52) return 2;\n        }\n    }\n    return 0;\n}\n"
    )
    subprocess.run(
        [
            str(require_tool("cc")),
            "-O2",
            f"-I{made / 'boards/parts'}",
            str(program),
            "-o",
            str(tmp_path / "duty"),
        ],
        check=True,
    )
    assert subprocess.run([str(tmp_path / "duty")], check=False).returncode == 0


def test_both_sides_are_never_driven(greeted):
    chance = random.Random(4)
    for number in range(60):
        greeted.say(chance.choice(["open", "close", "stop", "open"]), sequence=100 + number)
        greeted.run(chance.choice([20, 70]), idles=2)
        assert not (greeted.host.open_counts and greeted.host.close_counts)
        assert greeted.host.enable or not (greeted.host.open_counts or greeted.host.close_counts)


def test_the_plan_refuses_pins_that_are_taken():
    from hutwright.native.board_plan import PINS, BoardPlan

    with pytest.raises(ValueError, match="BUTTON"):
        BoardPlan(pins=PINS | {"BUTTON": ("B", 1)})
    with pytest.raises(ValueError, match="used twice"):
        BoardPlan(pins=PINS | {"BUTTON": PINS["RELAY"]})


def test_the_store_refuses_settings_that_the_controller_would_refuse():
    refused = settings_for(hinged()).copy()
    refused["dead_ms"] = 1
    with pytest.raises(ValueError, match="DEAD_TIME"):
        store_image(sealed(refused))


def test_it_compiles_strictly(require_tool):
    assert "-Werror" in STRICT
    library(require_tool("cc"))
