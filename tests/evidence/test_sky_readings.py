"""Readings and incidents that a builder wrote down, and what is wrong with a file of them."""

from datetime import UTC

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.errors import RequestError
from hutwright.evidence import rows
from hutwright.evidence.moments import zone_named
from hutwright.evidence.side_file import MOST_FAULTS, EvidenceError
from hutwright.evidence.sky_readings import (
    AS_DESCRIBED,
    LARGEST_FILE,
    Opened,
    parse_incidents,
    parse_sky,
    read_incidents,
    read_sky,
)
from hutwright.laws.gnss_time import gps_from_utc, gps_seconds

OPENINGS = ("first_window", "second_window")
HEAD = "time, open, satellites, signal\n"


def sky(text, zone=UTC):
    """Readings of a text."""
    return parse_sky(text, "sky.csv", zone, OPENINGS)


def incidents(text, zone=UTC):
    """Incidents of a text."""
    return parse_incidents(text, "incidents.csv", zone, OPENINGS)


def faults(parse, text):
    """The faults of a text."""
    with pytest.raises(EvidenceError) as caught:
        parse(text)
    return caught.value.faults


def utc(year, month, day, second):
    """GPS time of a moment of UTC."""
    return float(gps_from_utc(gps_seconds(year, month, day, second)))


def test_reads_what_was_open_counted_and_heard():
    (first, second) = sky(
        "# first evening\n\ntime, open, satellites, signal [dB-Hz], note\n"
        "2025-11-03 07:30, first_window + door, 12, 38.5 dB-Hz, 'rain'\n"
        '2025-11-03 07:45:30Z, roof off, , 41, "wind, and rain"\n'
    )
    assert first.epoch == utc(2025, 11, 3, 27_000.0)
    assert first.opened == Opened(frozenset({"first_window"}), door=True, roof_off=False)
    assert (first.line, first.satellites, first.signal_db) == (4, 12, 38.5)
    assert second.epoch == utc(2025, 11, 3, 27_930.0)
    assert second.opened == Opened(frozenset(), door=False, roof_off=True)
    assert (second.satellites, second.signal_db) == (None, 41.0)


@pytest.mark.parametrize(
    ("cell", "opened"),
    [
        ("", AS_DESCRIBED),
        ("all", AS_DESCRIBED),
        ("All + door", Opened(None, door=True, roof_off=False)),
        ("closed", Opened(frozenset(), door=False, roof_off=False)),
        ("door", Opened(frozenset(), door=True, roof_off=False)),
        ("roof  off+door", Opened(frozenset(), door=True, roof_off=True)),
        ("second_window+first_window", Opened(frozenset(OPENINGS), door=False, roof_off=False)),
    ],
)
def test_knows_what_was_open_and_says_it_again(cell, opened):
    (reading,) = sky(f"open;satellites\n{cell};9\n")
    assert reading.opened == opened
    (again,) = sky(f"open;satellites\n{reading.opened.words};9\n")
    assert again.opened == opened


def test_semicolons_part_cells_with_decimal_commas():
    (reading,) = sky("signal; satellites\n38,5; 11\n")
    assert (reading.signal_db, reading.satellites, reading.epoch) == (38.5, 11, None)
    assert reading.opened == AS_DESCRIBED


def test_clock_times_are_those_of_the_site_summer_and_winter():
    zone = zone_named("Europe/Berlin")
    winter, summer, told = sky(
        "time,satellites\n2025-01-10 12:00,9\n2025-07-10 12:00,9\n2025-07-10T12:00-02:30,9\n", zone
    )
    assert winter.epoch == utc(2025, 1, 10, 11 * 3600.0)
    assert summer.epoch == utc(2025, 7, 10, 10 * 3600.0)
    assert told.epoch == utc(2025, 7, 10, 14.5 * 3600.0)


def test_an_unknown_zone_is_refused_and_none_is_utc():
    assert zone_named(None) is UTC
    for name in ("Europe/Nowhere", "../../etc/passwd", "", "a\0b"):
        with pytest.raises(RequestError, match="time zone"):
            zone_named(name)


def test_a_list_of_starts_says_what_started_when_and_what_was_open():
    came, failed = incidents("started,time,open\nYes,2025-11-03 07:30,\nno,2025-11-03 08:30,closed\n")
    assert (came.started, failed.started) == (True, False)
    assert failed.epoch - came.epoch == 3600.0
    assert failed.opened == Opened(frozenset(), door=False, roof_off=False)


ROW = "2025-11-03 07:30, door, 12, 38.5\n"
BERLIN = zone_named("Europe/Berlin")
# name: (how it is read, text, line, what the fault must tell)
CASES = {
    "empty file": (sky, "", 0, "no line of column names"),
    "only remarks": (sky, "# to do\n\n", 0, "no line of column names"),
    "names alone": (sky, HEAD, 0, "no readings"),
    "no names": (sky, ROW, 1, "write the line of names first"),
    "misspelt column": (sky, "time, satelites\n2025-11-03 07:30, 9\n", 1, "did you mean satellites?"),
    "column twice": (sky, "time, time, satellites\n", 1, "each column once"),
    "column that is needed": (incidents, "time\n2025-11-03 07:30\n", 1, "no column started"),
    "a cell too few": (sky, HEAD + "2025-11-03 07:30, door, 12\n", 2, "read 3 cells; wanted 4"),
    "a cell too many": (sky, "time,satellites\n2025-11-03 07:30,9,5\n", 2, "read 3 cells; wanted 2"),
    "decimal comma among commas": (sky, HEAD + "2025-11-03 07:30, door, 12, 38,5\n", 2, "5 cells"),
    "open quote": (sky, HEAD + '2025-11-03 07:30, "door, 12, 38.5\n', 2, "quotes closed"),
    "day first": (sky, HEAD + "03.11.2025 07:30, door, 12, 38.5\n", 2, "year first"),
    "no such day": (sky, HEAD + "2025-02-30 07:30, door, 12, 38.5\n", 2, "a day of the calendar"),
    "hour 24": (sky, HEAD + "2025-02-03 24:00, door, 12, 38.5\n", 2, "a time of day"),
    "year 1925": (sky, HEAD + "1925-02-03 07:00, door, 12, 38.5\n", 2, "a year from 2000 to 2099"),
    "offset of two days": (sky, HEAD + "2025-02-03 07:00+48:00, door, 12, 38\n", 2, "a day of the cal"),
    "minutes beyond the hour": (sky, HEAD + "2025-02-03 07:00+01:75, door, 1, 38\n", 2, "a day of"),
    "hour that came twice": (
        lambda text: sky(text, BERLIN), HEAD + "2025-10-26 02:30, door, 12, 38\n", 2, "write it with +01:00",
    ),
    "hour that was skipped": (
        lambda text: sky(text, BERLIN), HEAD + "2025-03-30 02:30, door, 12, 38\n", 2, "write it with +01:00",
    ),
    "neither count nor signal": (sky, HEAD + "2025-11-03 07:30, door, ,\n", 2, "read neither"),
    "half a satellite": (sky, HEAD + "2025-11-03 07:30, door, 11.5, 38.5\n", 2, "a whole number"),
    "fewer than none": (sky, HEAD + "2025-11-03 07:30, door, -3, 38.5\n", 2, "a whole number"),
    "a thousand satellites": (sky, HEAD + "2025-11-03 07:30, door, 1000, 38.5\n", 2, "0 to 99"),
    "foreign digits": (sky, HEAD + "2025-11-03 07:30, door, ١٢, 38.5\n", 2, "a whole number"),
    "signal in dBm": (sky, HEAD + "2025-11-03 07:30, door, 12, -130\n", 2, "0 to 65 dB-Hz"),
    "signal not a number": (sky, HEAD + "2025-11-03 07:30, door, 12, nan\n", 2, "signal: read 'nan'"),
    "unknown opening": (sky, HEAD + "2025-11-03 07:30, first_windw, 12, 38\n", 2, "'first_window'?"),
    "closed and open": (sky, HEAD + "2025-11-03 07:30, closed + door, 12, 38\n", 2, "stands alone"),
    "all and one": (sky, HEAD + "2025-11-03 07:30, all + first_window, 12, 38\n", 2, "contradict"),
    "name twice": (sky, HEAD + "2025-11-03 07:30, door + door, 12, 38\n", 2, "name each once"),
    "nothing between": (sky, HEAD + "2025-11-03 07:30, door + , 12, 38\n", 2, "as hut.toml does"),
    "very many names": (sky, HEAD + f"2025-11-03 07:30, {'+'.join(['door'] * 40)}, 12, 38\n", 2, "40 names"),
    "the same moment": (sky, HEAD + ROW + ROW, 3, "the moment of line 2 again"),
    "two answers for one moment": (
        incidents, "time,started\n2025-11-03 07:30,yes\n2025-11-03 07:30:00,no\n", 3, "of line 2 again",
    ),
    "perhaps": (incidents, "time,started\n2025-11-03 07:30,perhaps\n", 2, "wanted yes or no"),
    "no answer": (incidents, "time,started\n2025-11-03 07:30,\n", 2, "read nothing; wanted yes or no"),
    "no time": (incidents, "time,started\n,no\n", 2, "time: read nothing"),
    "endless line": (sky, HEAD + "2025-11-03 07:30, " + "x" * 10_000 + "\n", 2, "at most 500"),
    "endless line of names": (sky, "time" + " " * 10_000 + "\n" + ROW, 1, "at most 500"),
}  # fmt: skip


@pytest.mark.parametrize("case", CASES)
def test_names_the_line_and_says_what_was_read_and_wanted(case):
    parse, text, line, told = CASES[case]
    found = faults(parse, text)
    assert any(fault.line == line and told in fault.sentence() for fault in found), found
    assert len(found) <= 2, "one mistake should not make a page of them"


def test_the_same_moment_with_something_else_open_is_another_reading():
    assert len(sky(HEAD + ROW + ROW.replace("door", "closed"))) == 2


def test_tells_every_fault_at_once_up_to_a_limit():
    bad = HEAD + ROW + "x, door, 12, 38\n2025-11-03 07:31, door, x, 38\n"
    assert [fault.line for fault in faults(sky, bad)] == [3, 4]
    assert len(faults(sky, HEAD + "x, y, z, w\n" * 200)) == MOST_FAULTS


def test_too_many_rows_or_bytes_are_refused(tmp_path, monkeypatch):
    monkeypatch.setattr(rows, "MOST_ROWS", 2)
    many = HEAD + "".join(ROW.replace("07:30", f"07:{minute}") for minute in (31, 32, 33))
    assert faults(sky, many)[0].line == 4
    file = tmp_path / "sky.csv"
    file.write_text("#" * (LARGEST_FILE + 1))
    with pytest.raises(EvidenceError, match="more than that"):
        read_sky(file, "sky.csv", UTC, OPENINGS)
    with pytest.raises(EvidenceError, match="no such file"):
        read_incidents(tmp_path / "none.csv", "incidents.csv", UTC, OPENINGS)


def test_files_with_either_line_ending_or_separator_are_read(tmp_path):
    (tmp_path / "sky.csv").write_bytes((HEAD + ROW).replace("\n", "\r\n").encode())
    assert len(read_sky(tmp_path / "sky.csv", "sky.csv", UTC, OPENINGS)) == 1
    (tmp_path / "incidents.csv").write_text("time;started\n2025-11-03 07:30;no\n")
    assert len(read_incidents(tmp_path / "incidents.csv", "incidents.csv", UTC, OPENINGS)) == 1


@given(st.text(max_size=300), st.sampled_from(["", HEAD, HEAD + ROW, "time;started\n"]))
def test_any_text_at_all_is_read_or_refused_in_a_sentence(text, start):
    for parse in (sky, incidents):
        try:
            assert parse(start + text)
        except EvidenceError as error:
            assert all(fault.wanted and fault.remedy for fault in error.faults)  # noqa: PT017


@given(st.integers(0, 200), st.characters())
def test_one_character_changed_is_read_or_refused_in_a_sentence(place, char):
    text = HEAD + ROW + ROW.replace("07:30", "07:45+01:00")
    place %= len(text)
    try:
        assert sky(text[:place] + char + text[place + 1 :])
    except EvidenceError as error:
        assert all(fault.wanted and fault.remedy for fault in error.faults)  # noqa: PT017
