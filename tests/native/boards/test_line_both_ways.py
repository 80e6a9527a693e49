"""boards/parts/line.c against live/lines.py, which were written apart: each reads what the other writes."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from hutwright.live.lines import (
    Became,
    Command,
    Reply,
    Say,
    command_line,
    opened,
    read_spoken,
    sealed,
    spoken,
)
from hutwright.native.board_plan import line_in
from tests.live.test_lines import TELEMETRY
from tests.native.boards.hosted import library

KEYS = "tmwfDiRuKgpb"  # of telemetry as board.c has them; a capital one is signed
WORDS = ["open", "close", "stop", "clear", "layup", "wake", "hello", "alive", "ring", "count", "set", "keep"]
WORDS += ["tell"]


class Line:
    """The board's end of the line."""

    def __init__(self, compiler: Path) -> None:
        self.ffi, self.lib, _ = library(compiler)
        self.state, self.out = self.ffi.new("line_state *"), self.ffi.new("line_out *")
        self.lib.line_begin(self.state)

    def hear(self, data: bytes) -> list[int]:
        """The answers to the lines in some bytes."""
        answer, found = self.ffi.new("uint8_t *"), []
        for byte in data:
            if self.lib.line_hear(self.state, byte, answer):
                found.append(int(answer[0]))
        return found

    def _piece(self) -> bytes:
        found = bytearray()
        while self.out.at < self.out.length:
            found.append(self.lib.line_next(self.out))
        return bytes(found)

    def say(self, letter: str, numbers: list[tuple[str, int]]) -> bytes:
        """A line of the board; a capital key's number is signed."""
        self.lib.line_start(self.out, letter.encode())
        said = self._piece()
        for key, number in numbers:
            self.lib.line_number(self.out, key.lower().encode(), number % 65536, int(key.isupper()))
            said += self._piece()
        self.lib.line_end(self.out)
        return said + self._piece()


@pytest.fixture
def line(require_tool):
    return Line(require_tool("cc"))


@given(number=st.integers(0, 65535), say=st.sampled_from(Say))
def test_the_board_reads_every_command_that_a_host_writes(require_tool, number, say):
    line = Line(require_tool("cc"))
    line.hear(line_in("hello", number - 1))
    assert line.hear(command_line(Command(number, say))) == [Became.TAKEN]
    assert (WORDS[line.state.word], line.state.said) == (say.value, number)


@given(
    number=st.integers(0, 65535), offset=st.integers(0, 65535), data=st.binary(min_size=1, max_size=20),
    ending=st.sampled_from([b"\n", b"\r\n", b"\n\n"]),
)  # fmt: skip
def test_the_board_reads_pieces_of_settings_and_addresses_as_they_were_written(
    require_tool, number, offset, data, ending
):
    line = Line(require_tool("cc"))
    line.hear(line_in("hello", number))
    piece = line_in("set", number + 1, f"{offset} {data.hex().upper()}").rstrip(b"\n") + ending
    assume(len(piece) <= 64)
    assert line.hear(piece) == [Became.TAKEN]
    assert (WORDS[line.state.word], line.state.said) == ("set", (number + 1) % 65536)
    assert (line.state.offset, line.state.number) == (offset, len(data))
    assert bytes(line.ffi.buffer(getattr(line.state, "in"), len(data))) == data
    assert line.hear(line_in("tell", number + 2, str(offset))) == [Became.TAKEN]
    assert (WORDS[line.state.word], line.state.offset) == ("tell", offset)


@given(said=TELEMETRY)
def test_the_host_reads_the_telemetry_that_a_board_writes(require_tool, said):
    line = Line(require_tool("cc"))
    body = opened(spoken(said)) or b""
    numbers = {key: int(value) for key, value in (each.split("=") for each in body.decode().split(" ")[1:])}
    wire = line.say("T", [(key, numbers[key.lower()]) for key in KEYS])
    found = read_spoken(wire)
    assert found is not None
    # A board does not say what it expects: its current less the residual.
    assert found == read_spoken(sealed(body.replace(b" x=%d" % numbers["x"], b"")))


@given(number=st.integers(0, 65535), became=st.sampled_from(Became))
def test_an_answer_is_the_very_line_that_the_host_would_write(require_tool, number, became):
    line = Line(require_tool("cc"))
    wire = line.say("A", [("n", number), ("r", became)])
    assert wire == spoken(Reply(number, became))


@given(number=st.integers(0, 65535), say=st.sampled_from(Say), data=st.data())
def test_a_command_with_one_byte_changed_is_never_taken(require_tool, number, say, data):
    line = Line(require_tool("cc"))
    line.hear(line_in("hello", number - 1))
    wire = command_line(Command(number, say))
    at = data.draw(st.integers(0, len(wire) - 2))
    other = data.draw(st.integers(0, 255).filter(lambda byte: byte not in (wire[at], ord("\r"))))
    bent = wire[:at] + bytes([other]) + wire[at + 1 :]
    assert Became.TAKEN not in line.hear(bent)


def test_every_word_of_the_board_has_its_number_here(line):
    assert len(WORDS) == line.lib.LINE_WORDS
    for number, word in enumerate(WORDS):
        rest = {"set": "0 00", "tell": "0"}.get(word, "")
        line.hear(line_in("hello", 1))
        assert line.hear(line_in(word, 2, rest)) == [Became.TAKEN]
        assert line.state.word == number
