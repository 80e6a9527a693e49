"""The lines between board and host."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.live.lines import (
    LONGEST,
    Became,
    Begun,
    Bits,
    Command,
    Reply,
    Say,
    Splitter,
    checksum,
    command_line,
    opened,
    read_command,
    read_spoken,
    sealed,
    spoken,
)
from hutwright.native.words import Eye, Fault, Mode, Why
from tests.live.made import report

COMMANDS = st.builds(Command, st.integers(0, 65535), st.sampled_from(Say))


def thousandths(least: int, most: int):
    """Numbers that a line carries exactly."""
    return st.integers(least, most).map(lambda number: number / 1000)


TELEMETRY = st.builds(
    report,
    ms=st.integers(0, 65535),
    mode=st.sampled_from(Mode),
    why=st.sampled_from(Why),
    fault=st.sampled_from(Fault),
    duty=thousandths(-1000, 1000),
    current=thousandths(0, 65535),
    residual=thousandths(-32768, 32767),
    expected=thousandths(0, 65535),
    supply=thousandths(0, 65535),
    temperature=st.integers(-400, 850).map(lambda tenths: tenths / 10),
    place=thousandths(0, 1000),
    present=st.sampled_from(Eye),
    bits=st.integers(0, 65535).map(Bits),
)
SPOKEN = (
    TELEMETRY
    | st.builds(Reply, st.integers(0, 65535), st.sampled_from(Became))
    | st.builds(Begun, st.integers(0, 19))
)


@pytest.mark.recalled("the check value of this CRC-16 over the nine digits, as catalogues of CRCs list it")
def test_the_checksum_of_the_nine_digits_is_the_one_that_is_listed():
    assert checksum(b"123456789") == 0x29B1


@given(st.binary(max_size=40))
def test_the_checksum_is_the_rest_of_a_division_of_polynomials(data):
    begun = 0xFFFF << 8 * len(data)  # what the register begins with, before the first byte
    rest = (int.from_bytes(data, "big") << 16) ^ begun if data else 0xFFFF
    for bit in range(rest.bit_length() - 1, 15, -1):
        if rest >> bit & 1:
            rest ^= 0x11021 << (bit - 16)
    assert checksum(data) == rest


@given(st.binary(max_size=60))
def test_the_checksum_is_the_controllers_own(data):
    from hutwright.native._door import ffi, lib

    assert checksum(data) == lib.door_crc(ffi.from_buffer("uint8_t[]", data), len(data))


@given(COMMANDS)
def test_a_command_reads_back_as_it_was_sent(command):
    line = command_line(command)
    assert read_command(line) == command
    assert line.endswith(b"\n")
    assert line.isascii()


@given(SPOKEN)
def test_what_a_board_says_reads_back_as_it_was_sent(said):
    line = spoken(said)
    assert read_spoken(line) == said
    assert len(line) <= LONGEST


@given(SPOKEN | COMMANDS, st.data())
def test_a_line_with_one_byte_changed_is_never_believed(said, data):
    line = command_line(said) if isinstance(said, Command) else spoken(said)
    at = data.draw(st.integers(0, len(line) - 2))
    other = data.draw(st.integers(0, 255).filter(lambda byte: byte != line[at]))
    bent = line[:at] + bytes([other]) + line[at + 1 :]
    for part in Splitter().feed(bent):
        assert opened(part) is None
        assert read_spoken(part) is None
        assert read_command(part) is None


@given(st.binary(max_size=200))
def test_noise_is_no_report_and_no_command_and_no_failure(noise):
    for line in Splitter().feed(noise + b"\n"):
        assert read_spoken(line) is None
        assert read_command(line) is None


WHOLE = b"T t=1 m=0 w=0 f=0 d=0 i=0 r=0 x=0 u=0 k=0 g=0 p=0 b=0"


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (b"m=0", b"m=8"),
        (b"w=0", b"w=19"),
        (b"f=0", b"f=11"),
        (b"d=0", b"d=1001"),
        (b"i=0", b"i=-1"),
        (b"u=0", b"u=65536"),
        (b"g=0", b"g=1001"),
        (b"p=0", b"p=4"),
        (b" b=0", b""),
        (b"T t", b"T  t"),
        (b"m=0", b"m=x"),
        (b"T t", b"A t"),
        (b"T t", b"Q t"),
    ],
)
def test_a_whole_line_that_says_what_cannot_be_is_refused(old, new):
    assert read_spoken(sealed(WHOLE)) is not None
    bad = WHOLE.replace(old, new, 1)
    assert opened(sealed(bad)) == bad
    assert read_spoken(sealed(bad)) is None


@pytest.mark.parametrize("body", [b"open 65536", b"OPEN 1", b"clear 1", b"open", b"open -1", b"open 1 open"])
def test_a_command_that_a_host_may_not_send_is_none(body):
    assert read_command(sealed(body)) is None


@given(st.lists(SPOKEN, min_size=1, max_size=5), st.data())
def test_lines_come_whole_however_the_port_cuts_them(said, data):
    stream = b"".join(map(spoken, said))
    splitter, lines, at = Splitter(), [], 0
    while at < len(stream):
        step = data.draw(st.integers(1, 60))
        lines += splitter.feed(stream[at : at + step])
        at += step
    assert [read_spoken(line) for line in lines] == said


def test_a_line_without_end_takes_no_room_and_the_next_one_is_heard():
    splitter = Splitter()
    for _ in range(300):
        assert splitter.feed(b"x" * 100) == []
        assert len(splitter._rest) <= LONGEST
    good = spoken(report())
    assert [read_spoken(line) for line in splitter.feed(b"x\n" + good)] == [report()]
