"""Recorded moves read from files, and what is left out of them."""

from __future__ import annotations

import time as clock
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.errors import RequestError
from hutwright.evidence.recorded import Reason
from hutwright.evidence.side_file import EvidenceError
from hutwright.evidence.trace import Trace, Way
from hutwright.evidence.trace_rows import BLOCK
from hutwright.evidence.traces import parse_traces, read_traces, traces_text

NAMES = "cycle,direction,t_s,current_A,supply_V"


def move(cycle: int, way: str, rows: int = 20, *, begun: float = 0.0, more: str = "") -> list[str]:
    """Rows of a move."""
    return [
        f"{cycle},{way},{begun + 0.02 * at:.3f},{1.0 + 0.01 * at + 0.001 * cycle:.4f},12.{at:02d}{more}"
        for at in range(rows)
    ]


def table(*rows: list[str], names: str = NAMES) -> str:
    """A file."""
    return "\n".join([names, *(line for each in rows for line in each)]) + "\n"


def good(cycles: int = 3) -> list[list[str]]:
    """Some whole cycles."""
    return [move(cycle, way) for cycle in range(1, cycles + 1) for way in ("opening", "closing")]


def reasons(text: str, **how: bool) -> list[Reason]:
    """Why something was left out of a file."""
    return [each.reason for each in parse_traces(text, "a.csv", **how).left]


def test_each_move_of_each_cycle_becomes_a_trace():
    found = parse_traces(table(*good()), "a.csv")
    assert [(each.cycle, each.way) for each in found.traces] == [
        (cycle, way) for cycle in (1, 2, 3) for way in (Way.OPENING, Way.CLOSING)
    ]
    first = found.traces[0]
    assert first.time == pytest.approx(0.02 * np.arange(20))
    assert first.current == pytest.approx(1.001 + 0.01 * np.arange(20))
    assert first.supply is not None
    assert (first.supply[0], first.place, first.temperature, first.reached) == (12.0, None, None, None)
    assert first.source == "a.csv, lines 2 to 21"
    assert found.left == ()


def test_semicolons_decimal_commas_remarks_and_another_order_of_columns_read_the_same():
    plain = parse_traces(table(*good()), "a.csv").traces
    turned = ["# a cool morning", "supply_V;t_s;direction;cycle;current_A"]
    for line in (line for each in good() for line in each):
        cycle, way, at, current, supply = line.split(",")
        turned += ["", f"{supply}; {at};{way.upper()} ;{cycle};{current}".replace(".", ","), "# remark"]
    found = parse_traces("\r\n".join(turned).replace("\r\n", "\n"), "b.csv")
    assert found.left == ()
    for one, other in zip(plain, found.traces, strict=True):
        assert (one.cycle, one.way) == (other.cycle, other.way)
        assert np.array_equal(one.current, other.current)
        assert one.supply is not None
        assert other.supply is not None
        assert np.array_equal(one.supply, other.supply)


def test_without_cycle_and_supply_moves_are_counted_by_their_directions():
    lines = [
        f"{way},{0.02 * at:.2f},1.{at:02d}{cycle}"
        for cycle in "123"
        for way in ("open", "close")
        for at in range(9)
    ]
    found = parse_traces(table(lines, names="direction,t_s,current_A"), "a.csv")
    assert [(each.cycle, each.way.value) for each in found.traces] == [
        (cycle, way) for cycle in (1, 2, 3) for way in ("opening", "closing")
    ]
    assert found.traces[0].supply is None


def test_without_a_direction_it_is_told_by_the_position_and_by_the_limits():
    up = [f"{0.02 * at:.2f},1.{at:02d},{10.0 + 30 * at}" for at in range(11)]
    down = [f"{0.02 * at:.2f},1.{at:02d}1,{310.0 - 30 * at}" for at in range(11)]
    found = parse_traces(table(up, down, names="t_s,current_A,position_mm"), "a.csv")
    assert [each.way for each in found.traces] == [Way.OPENING, Way.CLOSING]
    assert found.traces[0].place == pytest.approx(np.linspace(0.0, 1.0, 11))
    assert found.traces[1].place == pytest.approx(np.linspace(1.0, 0.0, 11))
    up = [f"{0.02 * at:.2f},1.{at:02d},{int(at == 10)},{int(at < 2)}" for at in range(11)]
    down = [f"{0.02 * at:.2f},1.{at:02d}1,{int(at < 2)},{int(at == 10)}" for at in range(11)]
    found = parse_traces(table(up, down, names="t_s,current_A,limit_open,limit_closed"), "a.csv")
    assert [each.way for each in found.traces] == [Way.OPENING, Way.CLOSING]
    assert [each.reached for each in found.traces] == [True, True]


def test_a_known_travel_gives_places_that_do_not_depend_on_the_other_moves():
    up = [f"opening,{0.02 * at:.2f},1.{at:02d},{20.0 + 20 * at}" for at in range(11)]
    found = parse_traces(table(up, names="direction,t_s,current_A,position_mm"), "a.csv", travel=0.4)
    assert found.traces[0].place == pytest.approx(np.linspace(0.05, 0.55, 11))


def test_a_current_that_counts_below_zero_one_way_is_turned():
    lines = [line.replace(",1.", ",-1.") for line in move(1, "closing")]
    found = parse_traces(table(move(1, "opening"), lines), "a.csv")
    assert (found.traces[1].current > 0.0).all()


def test_the_file_names_its_temperature_in_degrees_and_the_trace_in_kelvin():
    text = table(move(1, "opening", more=",20.0"), names=f"{NAMES},temperature_C")
    assert parse_traces(text, "a.csv").traces[0].temperature == pytest.approx(293.15)


# --- left out by rule ----------------------------------------------------------------------------------


def with_line(at: int, line: str) -> str:
    """A good file with a line more."""
    lines = table(*good()).splitlines()
    lines.insert(at, line)
    return "\n".join(lines) + "\n"


DAMAGED_ROWS = {
    "letters for a number": "1,opening,0.091,x,12.0",
    "too few cells": "1,opening,0.091",
    "too many cells": "1,opening,0.091,1.0,12.0,7",
    "not a number": "1,opening,0.091,nan,12.0",
    "endless": "1,opening,0.091,inf,12.0",
    "more current than there is": "1,opening,0.091,5000,12.0",
    "a unit in the cell": "1,opening,0.091,1.0 A,12.0",
    "an unknown direction": "1,upwards,0.091,1.0,12.0",
    "half a cycle": "1.5,opening,0.091,1.0,12.0",
    "an empty current": "1,opening,0.091,,12.0",
    "digits of another script": "1,opening,0.091,١,12.0",
    "digits that a program would group": "1,opening,0.0_91,1.0,12.0",
    "quotes": '1,"opening",0.091,1.0,12.0',
    "a line without end": "1,opening,0.091," + "1" * 600 + ",12.0",
    "letters alone": "recording stopped",
}


@pytest.mark.parametrize("line", DAMAGED_ROWS.values(), ids=DAMAGED_ROWS.keys())
def test_a_damaged_row_is_named_with_its_line_and_the_rest_is_used(line):
    found = parse_traces(with_line(6, line), "a.csv")
    assert len(found.traces) == 6
    (left,) = found.left
    assert (left.reason, left.rows, left.move) == (Reason.DAMAGED, 1, False)
    assert "a.csv, line 7" in left.sentence()
    assert np.array_equal(found.traces[0].current, parse_traces(table(*good()), "a.csv").traces[0].current)


def test_damaged_rows_in_a_row_are_told_once():
    lines = table(*good()).splitlines()
    lines[100:100] = ["?"] * 500
    (left,) = (each for each in parse_traces("\n".join(lines), "a.csv").left if not each.move)
    assert (left.rows, left.fault.line) == (500, 101)


def test_a_move_with_too_many_damaged_rows_is_left_out_whole():
    lines = table(*good()).splitlines()
    for at in (3, 6, 9):
        lines[at] = "1,opening,?,?,?"
    found = parse_traces("\n".join(lines), "a.csv")
    assert len(found.traces) == 5
    assert found.left[-1].move
    assert "cycle 1 opening" in found.left[-1].sentence()


def test_a_clock_that_jumps_back_or_on_leaves_that_move_out():
    back, on = move(7, "opening"), move(8, "opening")
    back[10:] = move(7, "opening", begun=-0.1)[10:]
    on[10:] = move(8, "opening", begun=0.2)[10:]
    assert reasons(table(*good(), back)) == [Reason.BACK]
    assert reasons(table(*good(), on)) == [Reason.GAP]


def test_a_lost_reading_is_bridged_and_a_hole_is_not():
    one, many = move(7, "opening"), move(8, "opening")
    del one[9], many[9:15]
    assert reasons(table(*good(), one)) == []
    assert reasons(table(*good(), many)) == [Reason.GAP]


def test_a_row_that_stands_twice_is_taken_once():
    lines = table(*good()).splitlines()
    lines.insert(5, lines[5])
    found = parse_traces("\n".join(lines), "a.csv")
    assert [each.reason for each in found.left] == [Reason.REPEATED]
    assert len(found.traces[0].time) == 20


def test_the_same_move_of_a_cycle_again_is_left_out():
    assert reasons(table(*good(), move(2, "opening", rows=19))) == [Reason.DUPLICATE]


def test_files_behind_one_another_may_count_their_cycles_anew():
    other = [line.replace(",1.", ",2.") for each in good() for line in each]
    found = parse_traces(table(*good()) + table(other), "a.csv")
    assert (len(found.traces), found.left) == (12, ())
    assert reasons(table(*good()) + table(*good())) == [Reason.DUPLICATE] * 6


def test_a_move_that_was_cut_short_is_left_out_unless_an_obstacle_cut_it_short():
    text = table(*good(), move(4, "opening", rows=9))
    assert reasons(text) == [Reason.TRUNCATED]
    assert reasons(text, whole=False) == []


def test_a_move_that_its_limit_says_never_arrived_is_left_out():
    lines = [f"{line},0" for line in move(1, "opening")]
    other = [f"{line},{int(at == 19)}" for at, line in enumerate(move(2, "opening"))]
    text = table(lines, other, names=f"{NAMES},limit_open")
    found = parse_traces(text, "a.csv")
    assert [each.reached for each in found.traces] == [True]
    assert [each.reason for each in found.left] == [Reason.TRUNCATED]
    assert [each.reached for each in parse_traces(text, "a.csv", whole=False).traces] == [False, True]


def test_a_column_with_holes_is_left_out_of_that_move_and_told():
    lines = move(7, "opening")
    lines[4] = ",".join([*lines[4].split(",")[:4], ""])
    found = parse_traces(table(*good(), lines), "a.csv")
    assert [each.reason for each in found.left] == [Reason.PARTLY]
    assert found.traces[-1].supply is None
    assert found.traces[0].supply is not None


def test_a_reckoned_position_is_told_from_a_measured_one_and_gives_way_to_it():
    names = "direction,t_s,current_A,position_mm,reckoned_mm"
    rows = [f"opening,{at / 50},1,{{}},{at}" for at in range(30)]
    both = parse_traces(table([each.format(10 * at) for at, each in enumerate(rows)], names=names), "a.csv")
    alone = parse_traces(table([each.format("") for each in rows], names=names), "a.csv")
    assert [each.traces[0].reckoned for each in (both, alone)] == [False, True]
    assert both.left == alone.left == ()
    for each in (both, alone):
        assert each.traces[0].place == pytest.approx(np.linspace(0.0, 1.0, 30))


def test_a_duty_is_read_by_its_size_and_left_out_where_it_has_holes():
    lines = [
        f"{each},{duty}" for each, duty in zip(move(7, "closing"), np.linspace(-0.2, -1.0, 99), strict=False)
    ]
    found = parse_traces(table(lines, names=f"{NAMES},duty"), "a.csv")
    assert found.traces[0].duty is not None
    assert found.traces[0].duty == pytest.approx(-np.linspace(-0.2, -1.0, 99)[: len(lines)])
    lines[3] = lines[3].rsplit(",", 1)[0] + ","
    found = parse_traces(table(lines, names=f"{NAMES},duty"), "a.csv")
    assert [each.reason for each in found.left] == [Reason.PARTLY]
    assert found.traces[0].duty is None
    assert found.traces[0].supply is not None


def test_a_duty_in_per_cent_is_damage_that_says_what_is_wanted():
    lines = [f"{each},100" for each in move(7, "closing")]
    with pytest.raises(EvidenceError, match=r"duty '100'; wanted a number from -1 to 1"):
        parse_traces(table(lines, names=f"{NAMES},duty"), "a.csv")


# --- refused -------------------------------------------------------------------------------------------

ROWS = "\n".join(move(1, "opening"))
REFUSED: dict[str, bytes] = {
    "nothing": b"",
    "blanks": b" \n\n",
    "remarks alone": b"# nothing yet\n",
    "no line of names": ROWS.encode(),
    "names alone": NAMES.encode(),
    "names in other units": f"cycle,direction,t_ms,current_A\n{ROWS}".encode(),
    "milliamperes": f"cycle,direction,t_s,current_mA,supply_V\n{ROWS}".encode(),
    "a name in other letters": f"cycle,direction,t_s,current_a,supply_V\n{ROWS}".encode(),
    "a column nobody knows": f"cycle,direction,t_s,current_A,mood\n{ROWS}".encode(),
    "a column without a name": f"cycle,direction,t_s,current_A,\n{ROWS}".encode(),
    "a column twice": f"cycle,direction,t_s,current_A,current_A\n{ROWS}".encode(),
    "no time": f"cycle,direction,supply_V,current_A\n{ROWS}".encode(),
    "no current": f"cycle,direction,t_s,supply_V\n{ROWS}".encode(),
    "no direction": b"cycle,t_s,current_A\n1,0,1\n",
    "tabulators": f"{NAMES}\n{ROWS}".replace(",", "\t").encode(),
    "other names further down": f"{NAMES}\n{ROWS}\ndirection,t_s,current_A\nopening,1,1\n".encode(),
    "zeros between": f"{NAMES}\n{ROWS}".encode().replace(b"12.04", b"12\x0004"),
    "two bytes a letter": f"{NAMES}\n{ROWS}".encode("utf-16"),
    "packed by gzip": b"\x1f\x8b\x08\x00abc",
    "packed by zip": b"PK\x03\x04abc",
    "a picture": b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR",
    "noise": bytes(range(1, 256)) * 20,
    "every row damaged": f"{NAMES}\n{ROWS}".replace("opening", "upwards").encode(),
    "three rows": "\n".join([NAMES, *move(1, "opening", rows=3)]).encode(),
    "one row": "\n".join([NAMES, *move(1, "opening", rows=1)]).encode(),
    "a clock that stands": "\n".join(
        [NAMES, *(f"1,opening,0,{1 + at / 100},12" for at in range(20))]
    ).encode(),
    "a clock that runs backwards": "\n".join(
        [NAMES, *(f"1,opening,{-at},1,12" for at in range(20))]
    ).encode(),
    "the same row all along": "\n".join([NAMES, *["1,opening,0,1,12"] * 20]).encode(),
    "no current at all": "\n".join([NAMES, *(f"1,opening,{at / 50},0,12" for at in range(20))]).encode(),
    "a hole in the only move": "\n".join(
        [NAMES, *move(1, "opening")[:8], *move(1, "opening", begun=3.0)[8:]]
    ).encode(),
    "a position that stands": "\n".join(
        ["t_s,current_A,position_mm", *(f"{at / 50},1,5" for at in range(20))]
    ).encode(),
    "a position there and back": "\n".join(
        ["t_s,current_A,position_mm", *(f"{at / 50},1,{min(at, 20 - at)}" for at in range(21))]
    ).encode(),
    "decimal commas between commas": "\n".join(
        [NAMES, *(f"1,opening,0,{at},1,00,12,0" for at in range(20))]
    ).encode(),
    "decimal points and commas": "\n".join(
        [NAMES.replace(",", ";"), *(f"1;opening;{at};1.000,5;12" for at in range(20))]
    ).encode(),
    "a log of rest alone": b"T t=81 m=0 w=1 f=0 d=0 i=0 r=0 x=0 u=12000 k=200 g=0 p=0 b=513*0000\n",
    "only a broken log": b"T t=81 m=1 w=1 f=0 d=900 i=900 r=0 x=0 u=12000 k=200 g=0 p=0 b=1536*FFFF\n" * 9,
    "a web page": b"<!doctype html>\n<title>not found</title>\n",
}


@pytest.mark.parametrize("raw", REFUSED.values(), ids=REFUSED.keys())
def test_what_cannot_be_read_at_all_is_refused_in_a_sentence(tmp_path: Path, raw: bytes):
    path = tmp_path / "a.csv"
    path.write_bytes(raw)
    with pytest.raises(EvidenceError) as raised:
        read_traces([path])
    assert raised.value.faults
    for fault in raised.value.faults:
        assert "read " in fault.sentence()
        assert "wanted " in fault.sentence()
        assert len(fault.sentence()) < 400
        assert fault.sentence().isprintable()


def test_a_missing_file_an_empty_folder_and_no_file_are_refused(tmp_path: Path):
    with pytest.raises(EvidenceError, match="no such file"):
        read_traces([tmp_path / "a.csv"])
    with pytest.raises(RequestError, match="no file that ends in"):
        read_traces([tmp_path])
    with pytest.raises(RequestError, match="read no file"):
        read_traces([])


def test_unreadable_files_of_a_folder_are_named_all_at_once(tmp_path: Path):
    for name in ("b.csv", "a.csv"):
        (tmp_path / name).write_text("")
    (tmp_path / "c.csv").write_text(table(*good()))
    with pytest.raises(EvidenceError) as raised:
        read_traces([tmp_path])
    assert [each.file for each in raised.value.faults] == [
        f"{tmp_path.name}/{name}" for name in ("a.csv", "b.csv")
    ]


def test_a_folder_is_read_in_the_order_of_its_names_and_a_copy_counts_once(tmp_path: Path):
    other = table(*good(2)).replace(",1.", ",2.")
    for name, text in (("b.csv", table(*good())), ("a.csv", other), ("copy.csv", other), ("notes.md", "no")):
        (tmp_path / name).write_text(text)
    found = read_traces([tmp_path])
    assert [each.source.split(",")[0].split("/")[1] for each in found.traces] == ["a.csv"] * 4 + ["b.csv"] * 6
    assert [each.reason for each in found.left] == [Reason.DUPLICATE] * 4


# --- there and back, damage, speed ---------------------------------------------------------------------

MOVES = st.builds(
    lambda cycle, way, number, supply, duty, place, reckoned, warm, reached: Trace(
        cycle=cycle,
        way=way,
        time=np.arange(number).astype(float) / 100.0,
        current=1.0 + 0.0001 * np.arange(number) + 0.01 * cycle,
        supply=np.full(number, 12.5) if supply else None,
        duty=np.linspace(0.2, 0.95, number) if duty else None,
        place=np.linspace(0.003, 0.998, number)[:: 1 if way is Way.OPENING else -1] if place else None,
        reckoned=place and reckoned,
        temperature=warm,
        reached=reached,
    ),
    st.integers(0, 9),
    st.sampled_from(Way),
    st.integers(8, 30),
    st.booleans(),
    st.booleans(),
    st.booleans(),
    st.booleans(),
    st.none() | st.sampled_from([263.15, 293.15]),
    st.none() | st.booleans(),
)


@given(st.lists(MOVES, min_size=1, max_size=6, unique_by=lambda each: (each.cycle, each.way)), st.booleans())
def test_what_is_written_reads_back_the_same(traces, semicolons):
    text = traces_text(traces, travel=0.3, remark="made up\nfor a test")
    if semicolons:
        text = text.replace(",", ";").replace(".", ",")
    found = parse_traces(text, "a.csv", travel=0.3, whole=False)
    assert found.left == ()
    for one, other in zip(traces, found.traces, strict=True):
        assert (one.cycle, one.way, one.reached) == (other.cycle, other.way, other.reached)
        assert one.reckoned is other.reckoned
        assert (one.temperature is None) == (other.temperature is None)
        assert one.temperature is None or other.temperature == pytest.approx(one.temperature, abs=0.005)
        for before, after, accuracy in (
            (one.time, other.time, 1e-6),
            (one.current, other.current, 1e-4),
            (one.supply, other.supply, 1e-4),
            (one.duty, other.duty, 1e-4),
            (one.place, other.place, 1e-5 / 0.3),
        ):
            assert (before is None) == (after is None)
            assert before is None or after == pytest.approx(before, abs=accuracy)


@given(st.data())
def test_whatever_is_done_to_a_file_it_is_read_or_refused_in_sentences(data):
    raw = bytearray(table(*good(2)).encode())
    for _ in range(data.draw(st.integers(1, 6))):
        at, length = data.draw(st.integers(0, len(raw))), data.draw(st.integers(0, 60))
        raw[at : at + length] = data.draw(
            st.binary(max_size=12) | st.sampled_from([b"\n", b",", b";", b"#", b"nan"])
        )
    text = bytes(raw).decode("latin-1")
    told: list[str] = []
    try:
        found = parse_traces(text, "a.csv")
        told += [each.sentence() for each in found.left]
        assert found.traces
    except EvidenceError as error:
        told += [fault.sentence() for fault in error.faults]
        found = None
    assert found is not None or told
    assert all(each.isprintable() and "wanted" in each for each in told)


@given(st.integers(1, 40), st.integers(0, 1000))
def test_no_row_disappears_without_being_told(damaged, seed):
    lines = table(*good()).splitlines()
    rng = np.random.default_rng(seed)
    for at in rng.choice(np.arange(1, len(lines)), damaged, replace=False):
        lines[at] = lines[at].replace(",", ";", 1)
    text = "\n".join(lines)
    try:
        found = parse_traces(text, "a.csv")
    except EvidenceError:
        return
    used = sum(len(each.time) for each in found.traces)
    told = sum(each.rows for each in found.left if each.move or each.reason is Reason.DAMAGED)
    assert used + told == len(lines) - 1


def test_damage_in_one_block_does_not_change_the_others():
    rows = BLOCK // 100 + 5
    lines = [line for cycle in range(1, rows) for line in move(cycle, "opening", rows=100)]
    text = table(lines)
    lines[7] = "?"
    found, whole = parse_traces(table(lines), "a.csv"), parse_traces(text, "a.csv")
    assert len(found.traces) == len(whole.traces) == rows - 1
    assert len(found.traces[0].time) == 99
    assert all(
        np.array_equal(one.current, other.current)
        for one, other in zip(found.traces[1:], whole.traces[1:], strict=True)
    )


@pytest.mark.slow
def test_a_million_rows_are_read_in_a_few_seconds(tmp_path: Path):
    path = tmp_path / "long.csv"
    number = 5000
    time = np.arange(number).astype(float) / 500.0
    rng = np.random.default_rng(1)
    traces = [
        Trace(
            cycle=cycle,
            way=way,
            time=time,
            current=1.0 + 0.1 * rng.random(number),
            supply=12.0 + rng.random(number),
        )
        for cycle in range(100)
        for way in Way
    ]
    path.write_text(traces_text(traces))
    begun = clock.process_time()
    found = read_traces([path])
    taken = clock.process_time() - begun
    assert len(found.traces) == 200
    assert taken < 5.0  # half of what the whole calibration may take
