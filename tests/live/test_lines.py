"""The lines between board and host."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.live.lines import (
    LONGEST,
    Command,
    Flags,
    Say,
    Splitter,
    checksum,
    command_line,
    opened,
    read_command,
    read_telemetry,
    sealed,
    telemetry_line,
)
from hutwright.native.words import Fault, Mode
from tests.live.made import report

COMMANDS = st.builds(Command, st.integers(0, 255), st.sampled_from(Say))
REPORTS = st.builds(
    report,
    ms=st.integers(0, 2**32 - 1),
    mode=st.sampled_from(Mode),
    place=st.none() | st.integers(0, 1000).map(lambda permille: permille / 1000),
    current=st.integers(-32768, 32767).map(lambda ma: ma / 1000),
    supply=st.integers(0, 65535).map(lambda mv: mv / 1000),
    temperature=st.integers(-400, 850).map(lambda tenths: tenths / 10),
    duty=st.integers(-1000, 1000).map(lambda permille: permille / 1000),
    flags=st.integers(0, 255).map(Flags),
    fault=st.sampled_from(Fault),
    answered=st.integers(0, 255),
)


@pytest.mark.recalled(
    "the check value of CRC-8 with polynomial 07 over the nine digits, as catalogues of CRCs list it"
)
def test_the_checksum_of_the_nine_digits_is_the_one_that_is_listed():
    assert checksum(b"123456789") == 0xF4


@given(st.binary(max_size=40))
def test_the_checksum_is_the_rest_of_a_division_of_polynomials(data):
    rest = int.from_bytes(data, "big") << 8
    for bit in range(rest.bit_length() - 1, 7, -1):
        if rest >> bit & 1:
            rest ^= 0x107 << (bit - 8)
    assert checksum(data) == rest


@given(COMMANDS)
def test_a_command_reads_back_as_it_was_sent(command):
    line = command_line(command)
    assert read_command(line) == command
    assert line.endswith(b"\n")
    assert line.isascii()


@given(REPORTS)
def test_a_report_reads_back_as_it_was_sent(said):
    line = telemetry_line(said)
    assert read_telemetry(line) == said
    assert len(line) <= LONGEST


@given(REPORTS | COMMANDS, st.data())
def test_a_line_with_one_byte_changed_is_never_believed(said, data):
    line = telemetry_line(said) if not isinstance(said, Command) else command_line(said)
    at = data.draw(st.integers(0, len(line) - 2))
    other = data.draw(st.integers(0, 255).filter(lambda byte: byte != line[at]))
    bent = line[:at] + bytes([other]) + line[at + 1 :]
    if bent.lower() != line.lower():  # a hexadecimal digit may be written small
        assert read_telemetry(bent) is None or bent[:-1].rpartition(b"*")[0] == line[:-1].rpartition(b"*")[0]
        assert read_command(bent) is None or isinstance(said, Command)
        if at < line.rindex(b"*"):
            assert opened(bent) is None


@given(st.binary(max_size=200))
def test_noise_is_no_report_and_no_command_and_no_failure(noise):
    for line in Splitter().feed(noise + b"\n"):
        assert read_telemetry(line) is None
        assert read_command(line) is None


@pytest.mark.parametrize(
    "body",
    [
        b"T 1 9 0 0 0 0 0 0 0 0",
        b"T 1 0 1001 0 0 0 0 0 0 0",
        b"T 1 0 0 0 0 0 1001 0 0 0",
        b"T 1 0 0 0 0 0 0 0 11 0",
        b"T 1 0 0 0 0 0 0 0 0 256",
        b"T 1 0 0 0 0 0 0 0 0",
        b"T 1 0 0 0 0 0 0 0 0 0 0",
        b"T  1 0 0 0 0 0 0 0 0 0",
    ],
)
def test_a_whole_line_that_says_what_cannot_be_is_refused(body):
    assert opened(sealed(body)) == body
    assert read_telemetry(sealed(body)) is None


@pytest.mark.parametrize(
    "body", [b"C 256 OPEN", b"C 1 open", b"C 1 CLEAR", b"C 1", b"C -1 OPEN", b"C 1 OPEN OPEN"]
)
def test_a_command_that_a_host_may_not_send_is_none(body):
    assert read_command(sealed(body)) is None


@given(st.lists(REPORTS, min_size=1, max_size=5), st.data())
def test_lines_come_whole_however_the_port_cuts_them(said, data):
    stream = b"".join(map(telemetry_line, said))
    splitter, lines, at = Splitter(), [], 0
    while at < len(stream):
        step = data.draw(st.integers(1, 60))
        lines += splitter.feed(stream[at : at + step])
        at += step
    assert [read_telemetry(line) for line in lines] == said


def test_a_line_without_end_takes_no_room_and_the_next_one_is_heard():
    splitter = Splitter()
    for _ in range(1000):
        assert splitter.feed(b"x" * 100) == []
        assert len(splitter._rest) <= LONGEST
    good = telemetry_line(report())
    assert [read_telemetry(line) for line in splitter.feed(b"x\n" + good)] == [report()]


def test_the_place_that_the_board_does_not_know_is_no_number():
    said = replace(report(), place=None)
    assert b" 65535 " in telemetry_line(said)
    assert read_telemetry(telemetry_line(said)) == said
