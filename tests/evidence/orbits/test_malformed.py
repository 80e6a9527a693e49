"""Every fault of an almanac or navigation file is told with its line, what was read, and what to do."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.evidence.orbits import reading, rinex
from hutwright.evidence.orbits.numbers import number_of
from hutwright.evidence.orbits.reading import parse_orbits, read_orbits
from hutwright.evidence.side_file import MOST_FAULTS, EvidenceError
from hutwright.laws.gnss_time import gps_seconds
from tests.evidence.orbits.made import HEADER_END, header, record_2, record_3, rinex_2, rinex_3, sem, yuma

NEAR = float(gps_seconds(2021, 4, 28))


def faults(text, name="orbits/day.txt"):
    """The faults of a text."""
    with pytest.raises(EvidenceError) as caught:
        parse_orbits(text, name, NEAR)
    for fault in caught.value.faults:
        assert fault.file == name
        assert fault.read
        assert fault.wanted
        assert fault.remedy
    return caught.value.faults


def read_or_refused(text):
    """Whether a text is read, or refused with nothing but sentences; any other way out is a failure."""
    try:
        return bool(parse_orbits(text, "a", NEAR).satellites)
    except EvidenceError as error:
        return all(fault.read and fault.wanted and fault.remedy for fault in error.faults)


def changed(text, old, new):
    """The text with the first such part changed."""
    assert old in text
    return text.replace(old, new, 1)


YUMA, SEM, RINEX_3, RINEX_2 = yuma({}), sem({}), rinex_3(record_3()), rinex_2(record_2())
LAST_ANGLE = "Mean Anom(rad):             2.1100000000E+00\n"
LINES_3 = RINEX_3.splitlines(keepends=True)
CASES = {
    "nothing": ("", 0, "an empty file"),
    "a letter": ("Dear neighbour,\nthe apples are ripe.\n", 0, "'Dear neighbour,'"),
    # YUMA
    "yuma: number with a decimal comma": (changed(YUMA, "0.9634000000", "0,9634"), 6, "'0,9634'"),
    "yuma: no number": (changed(YUMA, "5153.610000", "5153.61 m"), 8, "'5153.61 m'"),
    "yuma: nothing behind the colon": (changed(YUMA, ":                     000", ":"), 3, "nothing"),
    "yuma: not a number": (changed(YUMA, "0.830000000", "nan"), 10, "'nan'"),
    "yuma: endless": (changed(YUMA, "0.830000000", "1e999"), 10, "'1e999'"),
    "yuma: orbit inside the Earth": (changed(YUMA, "5153.610000", "2153.61"), 8, "4500 to 7000 m^1/2"),
    "yuma: open orbit": (changed(YUMA, "4.2000000000E-03", "1.2"), 4, "0 to 0.5"),
    "yuma: second beyond the week": (changed(YUMA, "319488.0000", "704800"), 5, "0 to 604800 s"),
    "yuma: tilt in degrees": (changed(YUMA, "0.9634000000", "55.2"), 6, "0 to 3.2 rad"),
    "yuma: label misspelt": (changed(YUMA, "Eccentricity", "Excentricity"), 4, "write 'eccentricity'?"),
    "yuma: label twice": (YUMA + "ID: 07\n", 15, "it stands in line 2 too"),
    "yuma: line missing": (changed(YUMA, LAST_ANGLE, ""), 1, "mean anom"),
    "yuma: no colon": (changed(YUMA, "ID:", "ID "), 2, "write the colon"),
    "yuma: satellite twice": (yuma({}, {}), 16, "it stands in line 1 too"),
    "yuma: satellite of no number": (changed(YUMA, "                         07", "97"), 2, "1 to 63"),
    "yuma: half a satellite": (changed(YUMA, "                         07", "7.5"), 2, "a whole number"),
    "yuma: words before the first": ("Almanac of the week\n" + YUMA, 1, "add the heading"),
    "yuma: cut off": (YUMA[: YUMA.index("Right Ascen at")], 1, "a line that begins 'right ascen'"),
    "yuma: heading missing": (YUMA + "\n" * 3 + "x: 1\n" * 60, 1, "more than 40 lines"),
    "yuma: too many": (yuma(*({"number": n % 63 + 1} for n in range(65))), 961, "at most 64"),
    # SEM
    "sem: count too high": (sem({}, count=2), 11, "16 for 2 records of 8"),
    "sem: count of none": (changed(SEM, "1  ORCHARD.ALM", "0  ORCHARD.ALM"), 1, "1 to 64"),
    "sem: count too great to be": (changed(SEM, "1  ORCHARD", "99999999  ORCHARD"), 1, "1 to 64"),
    "sem: second beyond the week": (changed(SEM, "319488", "904800"), 2, "0 to 604800 s"),
    "sem: value missing": (changed(SEM, "  1.0E-05  0.0E+00", "  1.0E-05"), 9, "3: mean anomaly"),
    "sem: letters": (changed(SEM, "40\n0\n", "40\nO\n"), 6, "'O'"),
    "sem: satellite of no number": (changed(SEM, "\n7\n40", "\n77\n40"), 4, "1 to 63"),
    "sem: satellite twice": (sem({}, {}), 13, "it stands in line 4 too"),
    "sem: angle in radians": (sem({"perigee": 9.0}), 8, "-1.1 to 1.1 half turns"),
    "sem: only a head": (SEM.split("\n\n")[0] + "\n", 2, "8 for 1 records"),
    # RINEX
    "rinex: observations": (header(3.04, "O"), 1, "a file of observations (O)"),
    "rinex: edition 4": (header(4.0), 1, "RINEX 2 or 3"),
    "rinex: version in words": (changed(RINEX_3, "     3.04", "     three"[:9]), 1, "a version, a type"),
    "rinex: type of no kind": (header(2.11, "X"), 1, "N for a navigation file"),
    "rinex: header that never ends": (RINEX_3.replace(HEADER_END, ""), 0, "a header that ends"),
    "rinex: no records": (header(), 0, "none"),
    "rinex: only other systems": (rinex_3(record_3("S22")), 0, "none"),
    "rinex: satellite of no system": (rinex_3(record_3("X07")), 3, "'X07'"),
    "rinex: satellite of no number": (rinex_3(record_3("Gxx")), 3, "'Gxx'"),
    "rinex: 30 February": (rinex_3(record_3(moment=(2021, 2, 30, 0, 0, 0))), 3, "'2021 02 30 00 00 00'"),
    "rinex: hour 24": (rinex_3(record_3(moment=(2021, 2, 3, 24, 0, 0))), 3, "a moment"),
    "rinex: field damaged": (changed(RINEX_3, "5.153750000000D+03", "5.15375O000000D+03"), 5, "sqrt(A)"),
    "rinex: field empty": (changed(RINEX_3, "5.153750000000D+03", " " * 18), 5, "sqrt(A): read nothing"),
    "rinex: columns shifted": (changed(RINEX_3, "\n     3.10", "\n    3.10"), 4, "the line is shifted"),
    "rinex: number cut off": (changed(RINEX_3, "-7.600000000000D-09\n", "-7.6\n"), 7, "ends 80 characters"),
    "rinex: record cut off": ("".join(LINES_3[:8]), 3, "a record of 6 lines"),
    "rinex: record without its first line": ("".join(LINES_3[:2] + LINES_3[3:]), 3, "with a satellite"),
    "rinex: first line lost in the middle": (RINEX_3 + "".join(LINES_3[3:]), 13, "more than 10 lines"),
    "rinex: endless line": (RINEX_3 + "G08" + " " * 4_000 + "x", 11, "4004 characters"),
    "rinex: glonass underground": (rinex_3(record_3("R01", fields={(3, 0): 0.0})), 3, "24000 to 27000 km"),
    "rinex: speed of light": (rinex_3(record_3("R01", fields={(2, 1): 299_792.0})), 5, "-10 to 10 km/s"),
    "rinex 2: field damaged": (changed(RINEX_2, "9.839000000000D-01", "9.839*00000000D-01"), 7, "i0"),
    "rinex 2: month 13": (rinex_2(record_2(moment=(21, 13, 1, 0, 0, 0.0))), 3, "a moment"),
}  # fmt: skip


@pytest.mark.parametrize("case", CASES)
def test_names_the_line_and_says_what_was_read_and_wanted(case):
    text, line, told = CASES[case]
    found = faults(text)
    sentences = [fault.sentence() for fault in found]
    assert any(fault.line == line and told in fault.sentence() for fault in found), sentences
    assert len(found) <= 3, "one mistake should not make a page of them"


def test_tells_every_fault_at_once_up_to_a_limit():
    two = changed(changed(YUMA, "0.9634000000", "x"), "5153.610000", "y")
    assert [fault.line for fault in faults(two)] == [6, 8]
    many = rinex_3(*(record_3("R01", fields={(3, 0): 0.0}) for _ in range(3 * MOST_FAULTS)))
    assert len(faults(many)) == MOST_FAULTS


def test_a_file_too_large_is_not_read(tmp_path, monkeypatch):
    file = tmp_path / "day.rnx"
    file.write_text(RINEX_3)
    monkeypatch.setattr(reading, "LARGEST_FILE", 100)
    with pytest.raises(EvidenceError, match="cut the file down"):
        read_orbits(file, "day.rnx", NEAR)


def test_a_file_of_too_many_lines_or_records_is_refused(monkeypatch):
    monkeypatch.setattr(rinex, "MOST_RECORDS", 2)
    assert faults(rinex_3(*[record_3()] * 3))[0].line == 19
    monkeypatch.setattr(reading, "MOST_LINES", 5)
    assert "more lines" in faults(RINEX_3)[0].read


@given(st.text(max_size=300))
def test_any_text_at_all_is_read_or_refused_in_a_sentence(text):
    for start in ("", YUMA[:200], SEM[:60], RINEX_3[:200]):
        assert read_or_refused(start + text)


@given(st.sampled_from([YUMA, SEM, RINEX_3, RINEX_2]), st.integers(0, 900), st.characters())
def test_one_character_changed_is_read_or_refused_in_a_sentence(text, place, char):
    place %= len(text)
    assert read_or_refused(text[:place] + char + text[place + 1 :])


@pytest.mark.parametrize(
    "text", ["1_0", "0x10", "1e", "--1", "", " ", "1 2", "inf", "NaN", "1e400", "٣", "1" * 99]
)
def test_takes_no_text_for_a_number_that_is_none(text):
    assert number_of(text) is None


@pytest.mark.parametrize(
    ("text", "value"), [(" .5D+01", 5.0), ("-0.9E-002", -0.009), ("+7.", 7.0), ("3", 3.0), ("1d2", 100.0)]
)
def test_takes_the_numbers_that_files_write(text, value):
    assert number_of(text) == pytest.approx(value)
