"""Settings over the serial line, to the real firmware on the host's board layer behind a pseudo-terminal."""

from __future__ import annotations

import os
import select
import threading
import tty
from collections.abc import Callable

import pytest

from hutwright.errors import RequestError
from hutwright.live import settings_line
from hutwright.live.lines import opened
from hutwright.live.lines import sealed as line_of
from hutwright.live.settings_line import read_settings, send_settings
from hutwright.native.board_plan import SLOT_BYTES, STORE_BYTES, store_image
from hutwright.native.engine import sealed
from hutwright.native.records import SETTINGS
from hutwright.outputs.firmware import settings_lines
from tests.native.boards.hosted import Hosted
from tests.native.doors import hinged, settings_for

BLANK = b"\xff" * STORE_BYTES


def lines_of(settings) -> bytes:
    """The lines for those settings."""
    return settings_lines(store_image(settings)[: SETTINGS.itemsize])


class Far:
    """A board at the far end of a pseudo-terminal, run for as long as the block lasts."""

    def __init__(
        self,
        board: Hosted,
        *,
        deaf: bool = False,
        drops: int = 0,
        bends: Callable[[str], str] = lambda line: line,
    ) -> None:
        self.board, self.deaf, self.drops, self.bends = board, deaf, drops, bends
        self.master, self.slave = os.openpty()
        tty.setraw(self.slave)
        self.port = os.ttyname(self.slave)
        self.over = threading.Event()
        self.thread = threading.Thread(target=self._run)

    def __enter__(self) -> Far:
        self.thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        self.over.set()
        self.thread.join()
        os.close(self.master)
        os.close(self.slave)

    def _run(self) -> None:
        while not self.over.is_set():
            if select.select([self.master], [], [], 0.005)[0]:
                heard = os.read(self.master, 4096)
                if self.deaf:
                    continue
                if self.drops and b"set" in heard:
                    self.drops -= 1
                    heard = heard[:3] + heard[4:]
                for byte in heard:
                    self.board.host.heard = byte
                    self.board.run(1)
            self.board.run(20)
            said = "".join(f"{self.bends(line)}\n" for line in self.board.said())
            self.board.host.said_number = 0
            os.write(self.master, said.encode("ascii"))


@pytest.fixture
def quick(monkeypatch):
    """Shorter waits than at a real board."""
    monkeypatch.setattr(settings_line, "BOOT", 0.6)
    monkeypatch.setattr(settings_line, "ANSWER", 0.3)
    monkeypatch.setattr(settings_line, "PAUSE", 0.02)


def refusal_of(board: Hosted) -> int:
    return int(board.lib.board_state.decide.refusal)


def held(board: Hosted) -> bytes:
    """The settings in force."""
    return bytes(board.ffi.buffer(board.ffi.addressof(board.lib.board_settings)))


def other_settings():
    other = settings_for(hinged()).copy()
    other["opening_cap_ms"] = 4321
    return sealed(other)


def test_an_empty_board_takes_them_and_begins_with_them(require_tool, quick):
    board, told = Hosted(require_tool("cc"), BLANK), []
    assert refusal_of(board) != 0
    wanted = settings_for(hinged())
    with Far(board) as far:
        back = send_settings(far.port, lines_of(wanted), lambda done, of: told.append((done, of)))
    assert refusal_of(board) == 0
    assert held(board) == wanted.tobytes()
    assert (back.slot, back.raw) == (0, wanted.tobytes())
    assert told == [(number, len(told)) for number in range(1, len(told) + 1)]


def test_a_line_that_was_torn_on_its_way_is_said_again(require_tool, quick):
    board = Hosted(require_tool("cc"), BLANK)
    with Far(board, drops=2) as far:
        send_settings(far.port, lines_of(settings_for(hinged())))
    assert refusal_of(board) == 0


def test_a_board_that_had_others_changes_to_the_new_ones(require_tool, quick):
    board = Hosted(require_tool("cc"))
    with Far(board) as far:
        back = send_settings(far.port, lines_of(other_settings()))
        assert back.slot == 1
        assert board.lib.board_settings.opening_cap_ms == 4321
        again = send_settings(far.port, lines_of(settings_for(hinged())))
        assert again.slot == 0
        assert read_settings(far.port) == again
    assert board.lib.board_settings.opening_cap_ms == settings_for(hinged())["opening_cap_ms"]


def wrong_at(address: int) -> Callable[[str], str]:
    """One byte of what the store is said to hold is otherwise, in a line whose checksum is right."""

    def bent(line: str) -> str:
        body = opened(line.encode("ascii")) or b""
        if not body.startswith(b"S "):
            return line
        numbers = dict(pair.split(b"=") for pair in body.split(b" ")[1:])
        away = address - int(numbers[b"o"])
        if not 0 <= away < 20:
            return line
        key = b"abcdefghij"[away // 2 : away // 2 + 1]
        word = int(numbers[key]) ^ (0x10 << 8 * (away % 2))
        return line_of(body.replace(b"%b=%b" % (key, numbers[key]), b"%b=%d" % (key, word))).decode().rstrip()

    return bent


@pytest.mark.parametrize("offset", [0, 33, SETTINGS.itemsize - 1])
def test_a_byte_that_reads_back_otherwise_is_named_and_nothing_is_taken(require_tool, quick, offset):
    board = Hosted(require_tool("cc"))
    before = held(board)
    wanted = other_settings().tobytes()[offset]
    told = (
        f"1 of 278 bytes differ, the first at offset {offset}: read {wanted ^ 16:02X}, wanted {wanted:02X};"
    )
    with (
        Far(board, bends=wrong_at(SLOT_BYTES + offset)) as far,
        pytest.raises(RequestError, match=told) as refused,
    ):
        send_settings(far.port, lines_of(other_settings()))
    assert "was not told to take them" in str(refused.value)
    assert held(board) == before
    assert held(Hosted(require_tool("cc"), bytes(board.host.store))) == before


def test_a_cell_that_takes_nothing_is_found_by_reading_back(require_tool, quick):
    board = Hosted(require_tool("cc"))
    board.host.worn = SLOT_BYTES + 100
    before = held(board)
    with Far(board) as far, pytest.raises(RequestError, match="the first at offset 100: read FF"):
        send_settings(far.port, lines_of(other_settings()))
    assert held(board) == before


def test_what_a_board_uses_is_read_and_compared_byte_by_byte(require_tool, quick):
    board = Hosted(require_tool("cc"))
    with Far(board) as far:
        back = read_settings(far.port)
    assert (back.slot, back.differing(settings_for(hinged()).tobytes())) == (0, ())
    wanted = other_settings().tobytes()
    assert back.differing(wanted) == tuple(
        at for at in range(len(wanted)) if wanted[at] != settings_for(hinged()).tobytes()[at]
    )


def test_a_board_without_settings_is_read_as_one(require_tool, quick):
    with Far(Hosted(require_tool("cc"), BLANK)) as far:
        assert read_settings(far.port).slot == 2


def test_a_program_without_the_word_is_told_apart_from_a_broken_line(require_tool, quick):
    def older(line: str) -> str:
        body = opened(line.encode("ascii")) or b""
        if body.startswith(b"S "):
            return ""
        return line if body != b"A n=2 r=0" else line_of(b"A n=2 r=3").decode().rstrip()

    with (
        Far(Hosted(require_tool("cc")), bends=older) as far,
        pytest.raises(RequestError, match="does not know the word"),
    ):
        read_settings(far.port)


def test_a_port_that_nobody_answers_at_is_said_so(require_tool, quick):
    with (
        Far(Hosted(require_tool("cc"), BLANK), deaf=True) as far,
        pytest.raises(RequestError, match="no board answered"),
    ):
        send_settings(far.port, lines_of(settings_for(hinged())))


def test_what_was_to_be_read_is_said_not_to_have_been_read(require_tool, quick):
    with (
        Far(Hosted(require_tool("cc"), BLANK), deaf=True) as far,
        pytest.raises(RequestError, match="settings were not read through"),
    ):
        read_settings(far.port)


def test_a_port_that_is_not_there_is_said_so(quick):
    with pytest.raises(RequestError, match="No such file"):
        send_settings("/dev/no-such-port", lines_of(settings_for(hinged())))


def test_settings_that_the_core_refuses_are_never_sent():
    bad = settings_for(hinged()).copy()
    bad["normal_permille"] = 7
    with pytest.raises(RequestError, match="refuses the settings: duty"):
        send_settings("/dev/no-such-port", settings_lines(sealed(bad).tobytes()))


def test_half_of_the_settings_are_never_sent():
    with pytest.raises(RequestError, match="read settings of 100 bytes"):
        send_settings("/dev/no-such-port", settings_lines(settings_for(hinged()).tobytes()[:100]))
