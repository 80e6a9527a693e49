"""What is made of a board's lines: whole moves, each compared, through lost ports and boards begun anew."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import threading
import time
from dataclasses import replace

import numpy as np
import pytest

from hutwright.bench.settings import core_settings
from hutwright.description.folder import load
from hutwright.errors import RequestError
from hutwright.evidence.logbook import Logbook
from hutwright.evidence.trace import Way
from hutwright.live.lines import Became, Begun, Bits, Reply, Say, Telemetry, read_command, sealed, spoken
from hutwright.live.ring import RECORDS, RingFetch, read_ring_line
from hutwright.live.settings_file import settings_in
from hutwright.live.settings_line import BoardLine, read_settings, send_settings
from hutwright.live.simulated_board import HostBoard, SimulatedBoard
from hutwright.live.simulated_door import simulated_door
from hutwright.live.watch_screen import frame
from hutwright.live.watching import BOOK, Compared, Kind, Watcher, watching
from hutwright.native.engine import sealed as sealed_settings
from hutwright.native.words import Fault, Mode
from hutwright.outputs.firmware import settings_lines
from tests.live.made import report
from tests.live.places import until
from tests.native.doors import hinged, settings_for
from tests.outputs.shapes import DOCUMENT, documented

SETTINGS = settings_for(hinged())
RING = b"R s=%d n=7 l=8123 p=-40 u=11870 k=-35 o=1 w=15"


def move(way: Way, *, start: int = 5000, rows: int = 60, peak: float = 0.2, step: int = 20, **more):
    """Lines of a whole move, with one of rest before and one behind it."""
    opens = way is Way.OPENING
    mode = Mode.OPENING if opens else Mode.CLOSING
    ends = Mode.OPEN if opens else Mode.SHUT
    values = {"duty": 1.0 if opens else -1.0, "mode": mode, "supply": 12.0} | more
    lines = [report(ms=start - 20, mode=Mode.STOPPED)]
    for row in range(rows):
        share = row / (rows - 1)
        residual = peak if row == 50 else 0.01
        lines.append(
            report(
                ms=(start + row * step) % 65536,
                current=1.0 + residual,
                residual=residual,
                expected=1.0,
                place=share if opens else 1.0 - share,
                **values,
            )
        )
    return [*lines, report(ms=(start + rows * step + 700) % 65536, mode=ends, place=float(opens))]


class Seen:
    """A watcher with all that it tells."""

    def __init__(self, folder, *, settings=SETTINGS, fetch=None) -> None:
        self.book = Logbook(folder / BOOK)
        self.news: list = []
        compared = Compared(settings=settings, stroke=0.25)
        self.watcher = Watcher(compared, folder, self.book, self.news.append, fetch)

    def hear(self, *lines) -> bytes:
        """Take lines, said as the board says them."""
        raw = b"".join(each if isinstance(each, bytes) else spoken(each) for each in lines)
        return self.watcher.bytes_came(raw, 0.0)

    def told(self, kind: Kind) -> list[str]:
        """All sentences of a kind."""
        return [each.text for each in self.news if each.kind is kind]


@pytest.fixture
def seen(tmp_path):
    made = Seen(tmp_path)
    yield made
    made.book.__exit__(None, None, None)
    told = documented("watch")  # of every piece of news in any of these tests
    assert {key for each in made.news for key in each.values} <= told
    assert all(f"`{each.kind.value}`" in DOCUMENT for each in made.news)


def test_a_move_is_kept_in_the_book_and_as_a_trace_with_the_columns_that_calibration_reads(seen, tmp_path):
    seen.hear(*move(Way.OPENING))
    (kept,) = seen.book.moves()
    assert (kept.cycle, kept.way, kept.reached, kept.whole) == (1, Way.OPENING, True, True)
    assert kept.duration == pytest.approx(59 * 0.02)
    assert kept.peak_residual == pytest.approx(0.2)
    assert kept.peak_place == pytest.approx(50 / 59, abs=0.001)
    assert kept.temperature == pytest.approx(281.15)
    text = (tmp_path / kept.file).read_text("utf-8").splitlines()
    assert text[0].startswith("# recorded by hutwright watch")
    assert text[1] == (
        "cycle,direction,t_s,current_A,supply_V,duty,reckoned_mm,temperature_C,limit_open,limit_closed,"
        "filtered"
    )
    assert text[-1] == "1,opening,1.180,1.010,12.000,1.000,250.00,8.0,1,0,1"
    assert text[-2].endswith(
        ",8.0,0,0,1"
    )  # the board says that it has arrived in the line after the last row
    assert len(text) == 62


def test_an_opening_and_its_closing_are_one_cycle(seen):
    for _ in range(2):
        seen.hear(*move(Way.OPENING), *move(Way.CLOSING, start=9000))
    seen.hear(*move(Way.CLOSING, start=20000))
    assert [(each.cycle, each.way.value[0]) for each in seen.book.moves()] == [
        (1, "o"), (1, "c"), (2, "o"), (2, "c"), (3, "c")
    ]  # fmt: skip


def test_cycles_go_on_counting_after_a_new_beginning_and_no_trace_is_overwritten(seen, tmp_path):
    seen.hear(*move(Way.OPENING))
    (tmp_path / BOOK).rename(tmp_path / "old.sqlite")
    seen.book.__exit__(None, None, None)
    again = Seen(tmp_path)
    again.hear(*move(Way.OPENING))
    assert [each.cycle for each in again.book.moves()] == [2]
    assert len(list((tmp_path / "traces").iterdir())) == 2
    again.book.__exit__(None, None, None)


def test_the_boards_clock_may_go_round_in_the_middle_of_a_move(seen):
    seen.hear(*move(Way.OPENING, start=65000))
    (kept,) = seen.book.moves()
    assert (kept.duration, kept.whole) == (pytest.approx(59 * 0.02), True)


def test_missing_lines_are_said_and_the_move_is_left_out_of_the_chart(seen):
    lines = move(Way.OPENING)
    seen.hear(*lines[:20], *lines[45:])
    assert seen.book.moves()[0].whole is False
    assert "lines of it are missing" in seen.told(Kind.MOVE)[0]


def test_a_port_that_is_lost_in_a_move_leaves_no_half_move_behind(seen):
    lines = move(Way.OPENING)
    seen.hear(*lines[:30])
    seen.watcher.port_went("the port is not there")
    seen.watcher.port_came("/dev/x")
    seen.hear(*lines[30:])  # the rest of a move whose beginning is gone
    assert seen.book.moves() == []
    assert "not recorded" in seen.told(Kind.PORT)[0]
    seen.hear(*move(Way.CLOSING, start=20000))
    assert [each.way for each in seen.book.moves()] == [Way.CLOSING]


def test_a_board_that_begins_anew_in_a_move_leaves_no_half_move_behind(seen):
    seen.hear(*move(Way.OPENING)[:30], Begun(0), report(ms=10, mode=Mode.STOPPED))
    assert seen.book.moves() == []
    assert "the board has begun; the move that was on is not recorded" in seen.told(Kind.NOTE)[0]


def test_noise_on_the_line_is_no_move_and_no_fault(seen):
    lines = [spoken(each) for each in move(Way.OPENING)]
    noisy = [b"\xff\x00T t=1*0000\n" + each for each in lines]
    seen.hear(*noisy)
    assert len(seen.book.moves()) == 1


def test_a_fault_is_kept_once(seen):
    wrong = report(mode=Mode.FAULT, fault=Fault.SENSOR_STUCK)
    seen.hear(wrong, wrong, report(), wrong)
    assert [fault for _, fault, _ in seen.book.faults()] == [Fault.SENSOR_STUCK] * 2
    assert seen.told(Kind.FAULT)[0] == "fault: sensor stuck"


def test_a_move_outside_of_the_trained_range_is_said_with_the_range(tmp_path):
    trained = SETTINGS.copy()
    for name, value in {"low_dC": 100, "high_dC": 250, "low_mV": 12500, "high_mV": 14000}.items():
        trained[f"trained_{name}"] = value
    watched = Seen(tmp_path, settings=sealed_settings(trained))
    watched.hear(*move(Way.OPENING))
    (told,) = watched.told(Kind.MOVE)
    assert (
        "outside of the trained range: 8 degC; trained 10 to 25 degC, 12.0 V; trained 12.5 to 14.0 V" in told
    )
    watched.book.__exit__(None, None, None)


def test_a_drift_is_told_and_goes_on_being_known_after_a_new_beginning(seen, tmp_path):
    draw = np.random.default_rng(4)
    for number in range(60):
        worse = 0.1 if number >= 30 else 0.0
        seen.hear(*move(Way.OPENING, peak=round(0.3 + worse + 0.02 * float(draw.normal()), 3)))
    assert len([each for each in seen.told(Kind.DRIFT) if "the door drifts" in each]) == 1
    again = Seen(tmp_path)
    again.hear(*move(Way.OPENING, peak=0.4))
    assert again.told(Kind.DRIFT) == []  # it was said before
    again.book.__exit__(None, None, None)


def test_the_ring_is_asked_for_after_a_greeting_and_kept_whole(tmp_path):
    watched = Seen(tmp_path, fetch=(fetch := RingFetch()))
    greeting = read_command(fetch.tick(0.0))
    assert greeting is not None
    asked = watched.hear(Reply(greeting.number, Became.TAKEN))
    assert asked.startswith(b"ring 2*")
    blank = sealed(b"R s=65535 n=65535 l=65535 p=-1 u=65535 k=-1 o=255 w=255")
    watched.hear(*[sealed(RING % serial) for serial in range(20)], *[blank] * (RECORDS - 20))
    assert watched.told(Kind.RING) == ["the board's ring is fetched; 20 of its records are new"]
    kept = watched.book.ring()[0]
    assert (kept.duration, kept.peak_residual) == (8.123, -0.04)
    assert kept.temperature == pytest.approx(269.65)
    alive = read_command(fetch.tick(1.0))
    assert alive is not None
    assert alive.say is Say.ALIVE  # a board that was greeted may watch its link
    watched.book.__exit__(None, None, None)


def test_a_ring_of_which_a_part_was_lost_is_asked_for_anew(tmp_path):
    fetch = RingFetch()
    first = read_command(fetch.tick(0.0))
    assert first is not None
    assert fetch.answered(Reply(first.number, Became.TAKEN), 0.0)
    for _ in range(RECORDS - 1):
        assert not fetch.heard()
    assert fetch.tick(1.0) == b""
    assert fetch.tick(6.0).startswith(b"hello 3*")
    assert not fetch.done


@pytest.mark.parametrize("body", [b"R s=1", RING % 1 + b" z=1", (RING % 1).replace(b"o=1", b"o=2"), b"T t=1"])
def test_what_is_no_line_of_the_ring_is_none(body):
    assert read_ring_line(sealed(body)) is None
    assert read_ring_line(body) is None


def test_settings_are_read_from_the_lines_that_a_board_would_get():
    assert settings_in(settings_lines(SETTINGS.tobytes())).tobytes() == SETTINGS.tobytes()


@pytest.mark.parametrize("lines", [b"", b"set 1 0 zz*0000\n", b"\xff", b"hello 1*0000\nkeep 2*0000\n"])
def test_lines_that_hold_no_settings_are_a_sentence(lines):
    with pytest.raises(RequestError, match="wanted"):
        settings_in(lines)


@pytest.mark.parametrize("columns", [1, 20, 48, 80, 200])
@pytest.mark.parametrize("lines", [1, 5, 14, 24, 60])
def test_the_screen_fits_whatever_its_size_and_needs_no_colour(seen, columns, lines):
    seen.hear(*move(Way.OPENING), report(mode=Mode.OPEN, place=1.0, bits=Bits.PLACE_KNOWN))
    text = frame(seen.watcher, 0.0, name="Hut", columns=columns, lines=lines)
    assert len(text.split("\n")) <= lines
    assert all(len(line) <= columns for line in text.split("\n"))
    assert "\x1b" not in text


def test_the_screen_shows_current_and_where_it_would_trip(seen):
    seen.hear(*move(Way.OPENING))
    text = frame(seen.watcher, 0.0, name="Hut", columns=80, lines=30)
    assert "opening: * current, = where it trips, # both" in text
    assert text.count("*") > 40
    assert "1.2 s" in text
    assert "A |" in text


def test_after_a_calibration_each_cycle_refreshes_the_claim_and_the_log_book_is_counted(tmp_path):
    trained = SETTINGS.copy()
    for way in Way:
        trained[way.value]["profile_mA"] = 900
    trained = sealed_settings(trained)
    watched = Seen(tmp_path, settings=trained)
    for start in range(100, 54000, 6000):
        watched.hear(*move(Way.OPENING, start=start), *move(Way.CLOSING, start=start + 3000))
    told = watched.told(Kind.CLAIM)
    assert len(told) == 9  # after each closing
    assert "0 in 9 cycles with these settings" in told[-1]
    assert told[-1] in frame(watched.watcher, 0.1, name="Hut", columns=200, lines=30)
    watched.book.__exit__(None, None, None)
    again = Seen(tmp_path, settings=trained)
    assert "0 in 9 cycles" in again.watcher.since.claim.words
    again.hear(*move(Way.OPENING), *move(Way.CLOSING, start=3000))
    told = again.told(Kind.CLAIM)
    assert "0 in 10 cycles" in told[0]
    assert "10 clean cycles are recorded by now: `hutwright calibrate" in told[1]
    again.book.__exit__(None, None, None)


def test_settings_that_were_never_trained_claim_nothing(tmp_path):
    plain = SETTINGS.copy()
    for way in Way:
        plain[way.value]["profile_mA"] = 0
    seen = Seen(tmp_path, settings=sealed_settings(plain))
    seen.hear(*move(Way.OPENING), *move(Way.CLOSING, start=3000))
    assert seen.told(Kind.CLAIM) == []
    seen.book.__exit__(None, None, None)


def test_a_board_that_says_nothing_is_said_on_the_screen(seen):
    assert "the board says nothing" in frame(seen.watcher, 100.0, name="Hut", columns=80, lines=20)


def test_the_real_boards_telemetry_is_understood_though_it_does_not_say_what_it_expects():
    from hutwright.live.lines import read_spoken

    said = read_spoken(sealed(b"T t=1000 m=1 w=2 f=0 d=900 i=1500 r=300 u=12000 k=80 g=500 p=1 b=1536"))
    assert isinstance(said, Telemetry)
    assert replace(said, expected=1.2) == said


def run(folder, *more):
    """The verb, as somebody types it."""
    words = [sys.executable, "-m", "hutwright", "watch", str(folder), "--simulated", "--pace", "10", "--json"]
    return subprocess.Popen([*words, *more], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)


@pytest.fixture
def compiled_hut(hut, require_tool):
    """The same, where there is a compiler for the simulated board."""
    require_tool("cc")
    return hut


@pytest.mark.slow
def test_the_simulated_hut_is_sent_its_settings_watched_and_recorded(compiled_hut, tmp_path):
    lines = tmp_path / "settings.lines"
    lines.write_bytes(settings_lines(core_settings(load(compiled_hut).project).tobytes()))
    program = run(compiled_hut, "--settings", str(lines), "--send", "--read", "--ring", "--moves", "3")
    out, told = program.communicate(timeout=200)
    assert program.returncode == 0, told
    events = [json.loads(line) for line in out.splitlines()]
    back = [(each["slot"], each["read_back"]) for each in events if "read_back" in each]
    assert back == [(1, "equal"), (1, "equal")]
    moves = [each for each in events if each["event"] == "move"]
    assert [each["way"] for each in moves] == ["opening", "closing", "opening"]
    assert all(each["arrived"] and each["whole"] for each in moves)
    assert any(each["event"] == "ring" for each in events)
    assert len(list((compiled_hut / "traces").glob("*.csv"))) == 3
    with Logbook(compiled_hut / BOOK) as book:
        assert len(book.moves()) == 3
        assert len(book.settings()) == 1


@pytest.mark.slow
def test_a_board_that_is_set_otherwise_than_what_its_moves_are_compared_with_is_told(
    compiled_hut, monkeypatch
):
    from hutwright.cli import watching as verb

    other = core_settings(load(compiled_hut).project).copy()
    other["opening"]["trip_mA"] += 100
    other["closing_cap_ms"] += 1
    monkeypatch.setattr(
        verb, "simulated_door", lambda d, _, *rest: simulated_door(d, sealed_settings(other), *rest)
    )
    told: list[str] = []
    monkeypatch.setattr(verb, "say", told.append)
    wanted = verb.Asked(
        folder=compiled_hut, variant=None, port=None, settings=None, moves=1, pace=20.0, air=(15.0, 20.0),
        simulated=True, send=False, read=True, ring=False, as_json=False,
    )  # fmt: skip
    assert verb.watch_board(wanted) == 0
    assert "the board is set otherwise than what its moves are compared with" in told[0]
    assert ": closing_cap_ms, opening; name its own" in told[0]


@pytest.mark.slow
def test_ctrl_c_ends_it_cleanly(compiled_hut):
    program = run(compiled_hut)
    assert program.stdout is not None
    assert json.loads(program.stdout.readline())["event"] == "port"
    time.sleep(1.0)
    os.kill(program.pid, signal.SIGINT)
    _, told = program.communicate(timeout=60)
    assert program.returncode == 130
    assert "Traceback" not in told


class Unplugged:
    """A port that is there, is pulled out in the middle of a move, and comes back at the next try."""

    def __init__(self, *pieces: bytes | None) -> None:
        self.path, self.why, self.is_open, self.pieces, self.closed = "/dev/x", "", False, list(pieces), False

    def try_open(self, now: float) -> bool:
        """Open where it is shut."""
        came, self.is_open = not self.is_open, True
        return came

    def read(self) -> bytes:
        """The next piece; where it is None, the port is gone."""
        piece = self.pieces.pop(0) if self.pieces else b""
        if piece is None:
            self.is_open, self.why = False, "the port '/dev/x' is not there"
        return piece or b""

    def send(self, line: bytes) -> bool:
        """Take a line."""
        return self.is_open

    def close(self) -> None:
        """Let it go."""
        self.closed = True


def test_the_watch_goes_on_after_the_port_was_pulled_out_in_a_move(seen):
    first, second = move(Way.OPENING), move(Way.CLOSING, start=20000)
    pieces = [b"".join(map(spoken, each)) for each in (first[:30], first[30:], second)]
    port = Unplugged(pieces[0], None, pieces[1], pieces[2])
    watching(
        seen.watcher, port, show=lambda _: None, over=lambda: seen.watcher.moves >= 1, stop=threading.Event()
    )
    assert [each.way for each in seen.book.moves()] == [Way.CLOSING]
    assert ["is open" in text for text in seen.told(Kind.PORT)] == [True, False, True]
    assert port.closed


def test_a_watch_that_is_told_to_stop_lets_the_port_go(seen):
    port, stop = Unplugged(), threading.Event()
    watching(seen.watcher, port, show=lambda _: stop.set(), over=lambda: False, stop=stop)
    assert port.closed


def test_a_port_that_never_was_there_is_said_once(seen):
    class Missing(Unplugged):
        def try_open(self, now: float) -> bool:
            self.why = "the port '/dev/x' is not there"
            return False

    looks = iter(range(5))
    watching(
        seen.watcher, Missing(), show=lambda _: None, over=lambda: next(looks, None) is None,
        stop=threading.Event(),
    )  # fmt: skip
    assert len(seen.told(Kind.PORT)) == 1


@pytest.mark.slow
def test_settings_are_refused_while_the_door_moves_and_the_old_ones_stay(require_tool, tmp_path):
    hosted = HostBoard(tmp_path, SETTINGS, require_tool("cc"))
    with SimulatedBoard(hosted, pace=1.0) as board:
        with BoardLine(board.path) as line:
            assert line.ask("hello") == Became.TAKEN
            assert line.ask("open") == Became.TAKEN
        until(lambda: not hosted.at_rest, "the door moves")
        with pytest.raises(RequestError, match="the door moves; it goes on with the settings it had"):
            send_settings(board.path, settings_lines(SETTINGS.tobytes()))
        assert read_settings(board.path).raw == SETTINGS.tobytes()
        assert not hosted.at_rest
        until(lambda: hosted.place == 1.0, "the door goes on and arrives")
