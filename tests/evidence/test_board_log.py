"""Moves out of what a board told on its line."""

from __future__ import annotations

from binascii import crc_hqx
from dataclasses import replace

import numpy as np
import pytest

from hutwright.evidence import board_log
from hutwright.evidence.recorded import Reason
from hutwright.evidence.trace import Way
from hutwright.evidence.traces import parse_traces
from hutwright.live.lines import BEGUN, Became, Begun, Bits, Reply, Telemetry, spoken
from hutwright.native.words import Eye, Fault, Mode, Why

REST = Telemetry(
    ms=0, mode=Mode.SHUT, why=Why(0), fault=Fault(0), duty=0.0, current=0.0, residual=0.0, expected=0.0,
    supply=12.6, temperature=8.5, place=0.0, present=Eye(0), bits=Bits.PLACE_KNOWN,
)  # fmt: skip


def told(way: Way, *, begun: int = 65000, rows: int = 60, ended: Mode | None = None) -> list[str]:
    """What a board says of a move and of the rest after it."""
    opening = way is Way.OPENING
    lines = []
    for at in range(rows):
        share = at / (rows - 1)
        lines.append(
            replace(
                REST,
                ms=(begun + 20 * at) % 65536,
                mode=Mode.OPENING if opening else Mode.CLOSING,
                duty=0.9 if opening else -0.9,
                current=1.0 + 0.004 * at + (0.0 if opening else 0.1),
                place=share if opening else 1.0 - share,
                bits=Bits.PLACE_KNOWN | Bits.ENABLED,
            )
        )
    after = ended if ended is not None else Mode.OPEN if opening else Mode.SHUT
    lines += [replace(lines[-1], duty=0.0, bits=Bits.PLACE_KNOWN), replace(REST, mode=after)]
    return [spoken(each).decode().strip() for each in lines]


def test_moves_are_told_by_duty_and_their_ends_by_the_state_after():
    lines = ["# a morning", *told(Way.OPENING), *told(Way.CLOSING), *told(Way.OPENING, ended=Mode.STOPPED)]
    found = parse_traces("\n".join(lines), "board.log", whole=False)
    assert [(each.cycle, each.way, each.reached) for each in found.traces] == [
        (1, Way.OPENING, True),
        (1, Way.CLOSING, True),
    ]
    assert [each.reason for each in found.left] == [Reason.DUPLICATE]  # the third says the very same readings
    first = found.traces[0]
    assert first.time == pytest.approx(0.02 * np.arange(60))  # over the round of the clock
    assert first.current == pytest.approx(1.0 + 0.004 * np.arange(60))
    assert first.place == pytest.approx(np.linspace(0.0, 1.0, 60), abs=5e-4)
    assert first.reckoned
    assert first.duty == pytest.approx(np.full(60, 0.9))
    assert first.supply == pytest.approx(np.full(60, 12.6))
    assert first.temperature == pytest.approx(281.65)


def test_a_move_that_ended_elsewhere_is_left_out_unless_an_obstacle_is_known():
    lines = [*told(Way.OPENING), *told(Way.CLOSING, ended=Mode.REVERSING, rows=30)]
    found = parse_traces("\n".join(lines), "board.log")
    assert [each.reason for each in found.left] == [Reason.TRUNCATED]
    assert [each.reached for each in parse_traces("\n".join(lines), "b.log", whole=False).traces] == [
        True,
        False,
    ]


def test_a_line_with_a_wrong_checksum_is_named_and_one_lost_line_bridged():
    lines = told(Way.OPENING)
    lines[10] = lines[10].replace("i=", "i=9")
    found = parse_traces("\n".join(lines), "board.log")
    (left,) = found.left
    assert (left.reason, left.fault.line) == (Reason.DAMAGED, 11)
    assert len(found.traces[0].time) == 59


def test_many_lost_lines_leave_the_move_out():
    lines = told(Way.CLOSING)
    del lines[10:20]
    found = parse_traces("\n".join([*told(Way.OPENING), *lines]), "board.log")
    assert [each.reason for each in found.left] == [Reason.GAP]


def test_a_board_that_begins_anew_ends_the_move_untold():
    lines = told(Way.OPENING)
    lines[30:] = [spoken(Begun(0)).decode().strip(), spoken(Reply(3, Became.TAKEN)).decode().strip()]
    (trace,) = parse_traces("\n".join(lines), "board.log", whole=False).traces
    assert trace.reached is None
    assert len(trace.time) == 30


def test_an_unknown_place_is_no_place():
    lines = [
        spoken(
            replace(REST, ms=20 * at, mode=Mode.OPENING, duty=1.0, current=1.0, bits=Bits.ENABLED)
        ).decode()
        for at in range(20)
    ]
    assert parse_traces("".join(lines), "board.log").traces[0].place is None


def test_the_numbers_are_those_of_the_controller_and_of_the_line():
    assert (board_log.AT_SHUT, board_log.OPENS, board_log.AT_OPEN, board_log.CLOSES) == (
        Mode.SHUT,
        Mode.OPENING,
        Mode.OPEN,
        Mode.CLOSING,
    )
    assert (board_log.PLACE_KNOWN, board_log.ENABLED) == (Bits.PLACE_KNOWN, Bits.ENABLED)
    assert board_log.BEGUN == BEGUN


def test_what_a_board_tells_of_its_store_is_no_damaged_row():
    body = "S o=0 s=1 a=1 b=2 c=3 d=4 e=5 f=6 g=7 h=8 i=9 j=65535"
    store = f"{body}*{crc_hqx(body.encode(), board_log.BEGUN):04X}"
    found = parse_traces("\n".join([store, *told(Way.OPENING), store]), "board.log", whole=False)
    assert len(found.traces) == 1
    assert found.left == ()
