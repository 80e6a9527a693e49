"""Settings over the serial line, to the real firmware on the host's board layer behind a pseudo-terminal."""

from __future__ import annotations

import os
import select
import threading
import tty

import pytest

from hutwright.errors import RequestError
from hutwright.live import settings_line
from hutwright.live.settings_line import send_settings
from hutwright.native.board_plan import STORE_BYTES, store_image
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

    def __init__(self, board: Hosted, *, deaf: bool = False, drops: int = 0) -> None:
        self.board, self.deaf, self.drops = board, deaf, drops
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
            said = "".join(f"{line}\n" for line in self.board.said())
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


def test_an_empty_board_takes_them_and_begins_with_them(require_tool, quick):
    board, told = Hosted(require_tool("cc"), BLANK), []
    assert refusal_of(board) != 0
    with Far(board) as far:
        send_settings(far.port, lines_of(settings_for(hinged())), lambda done, of: told.append((done, of)))
    assert refusal_of(board) == 0
    held = bytes(board.ffi.buffer(board.ffi.addressof(board.lib.board_settings)))
    assert held == settings_for(hinged()).tobytes()
    assert told[-1] == (len(told), len(told) + 1)


def test_a_line_that_was_torn_on_its_way_is_said_again(require_tool, quick):
    board = Hosted(require_tool("cc"), BLANK)
    with Far(board, drops=2) as far:
        send_settings(far.port, lines_of(settings_for(hinged())))
    assert refusal_of(board) == 0


def test_a_board_that_had_others_changes_to_the_new_ones(require_tool, quick):
    board = Hosted(require_tool("cc"))
    other = settings_for(hinged()).copy()
    other["opening_cap_ms"] = 4321
    with Far(board) as far:
        send_settings(far.port, lines_of(sealed(other)))
    assert board.lib.board_settings.opening_cap_ms == 4321


def test_a_port_that_nobody_answers_at_is_said_so(require_tool, quick):
    with (
        Far(Hosted(require_tool("cc"), BLANK), deaf=True) as far,
        pytest.raises(RequestError, match="no board answered"),
    ):
        send_settings(far.port, lines_of(settings_for(hinged())))


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
