"""Readings as builders write them."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright import units
from hutwright.catalogue.instruments import FISTS, LUGGAGE_SCALE, STOPWATCH, TAPE, THERMOMETER, VOLTMETER
from hutwright.errors import RequestError
from hutwright.laws.kinetic import FREE_FALL
from hutwright.studies.observing.observation import Blank
from hutwright.studies.observing.reading import is_left, read_reading


def blank(instrument):
    return Blank(key="read", words="what was read", instrument=instrument)


@pytest.mark.parametrize(
    ("instrument", "text", "value"),
    [
        (LUGGAGE_SCALE, "3,2", 3.2 * FREE_FALL),
        (LUGGAGE_SCALE, "3.2 kg", 3.2 * FREE_FALL),
        (LUGGAGE_SCALE, "3200 g", 3.2 * FREE_FALL),
        (LUGGAGE_SCALE, "31 N", 31.0),
        (LUGGAGE_SCALE, "7 lb", 7.0 * 0.45359237 * FREE_FALL),
        (LUGGAGE_SCALE, "2..4", 3.0 * FREE_FALL),
        (LUGGAGE_SCALE, " 2 .. 4 kg ", 3.0 * FREE_FALL),
        (LUGGAGE_SCALE, "-0.4", -0.4 * FREE_FALL),
        (TAPE, "560", 0.56),
        (TAPE, "56 cm", 0.56),
        (TAPE, "0,56 m", 0.56),
        (TAPE, "56,5 cm", 0.565),
        (TAPE, "22 in", 22 * 0.0254),
        (STOPWATCH, "9.5", 9.5),
        (STOPWATCH, "ca. 9,5 s", 9.5),
        (STOPWATCH, "about 9.5 s", 9.5),
        (STOPWATCH, "~10", 10.0),
        (STOPWATCH, "1 min", 60.0),
        (VOLTMETER, "12,61", 12.61),
        (VOLTMETER, "12610 mV", 12.61),
        (THERMOMETER, "-3 degC", 270.15),
        (THERMOMETER, "-3", 270.15),
        (THERMOMETER, "68 degF", 293.15),
        (FISTS, "1,5", 1.5),
        (FISTS, "0", 0.0),
        (FISTS, "circa 2", 2.0),
        (FISTS, "1..2", 1.5),
    ],
)
def test_a_reading_is_understood(instrument, text, value):
    assert read_reading(blank(instrument), text).value == pytest.approx(value, rel=1e-9, abs=1e-12)


@pytest.mark.parametrize(
    ("instrument", "text", "wanted"),
    [
        (LUGGAGE_SCALE, "3.2 m", "kg|N"),
        (LUGGAGE_SCALE, "three", "wanted"),
        (LUGGAGE_SCALE, "300 kg", "luggage scale"),
        (LUGGAGE_SCALE, "4..2 kg", "wanted"),
        (LUGGAGE_SCALE, "1,234", "thousands"),
        (TAPE, "-5 mm", "a tape"),
        (TAPE, "560 m", "a tape"),
        (TAPE, "5 kg", "wanted"),
        (TAPE, "nan", "wanted"),
        (TAPE, "1e400 m", "wanted"),
        (STOPWATCH, "inf", "wanted"),
        (STOPWATCH, "3 h", "stopwatch"),
        (STOPWATCH, "9.5.5", "wanted"),
        (STOPWATCH, "yes", "wanted"),
        (VOLTMETER, "230 V", "voltmeter"),
        (VOLTMETER, "12 A", "wanted"),
        (THERMOMETER, "500 degC", "thermometer"),
        (FISTS, "12", "fists"),
        (FISTS, "-1", "fists"),
        (FISTS, "two", "plain number"),
        (FISTS, "2..1", "smaller"),
        (FISTS, "2 deg", "plain number"),
        (FISTS, "ca.", "plain number"),
    ],
)
def test_an_odd_reading_is_a_sentence(instrument, text, wanted):
    with pytest.raises(RequestError, match=wanted) as refused:
        read_reading(blank(instrument), text)
    assert "\n" not in str(refused.value)


@pytest.mark.parametrize("text", ["", " ", "?", "-", "don't know", "Dont Know", "unknown", "no idea", "skip"])
def test_nobody_has_to_know(text):
    assert is_left(text)


def test_about_and_a_range_add_to_the_doubt():
    plain, about = (read_reading(blank(STOPWATCH), text).doubt for text in ("10", "ca. 10"))
    spread = read_reading(blank(STOPWATCH), "9..11").doubt
    assert about.within == pytest.approx(plain.within + 1.0)
    assert spread.within == pytest.approx(plain.within + 1.0)


@given(st.floats(0.001, 29.0))
def test_a_tape_reads_back_what_is_written(value):
    assert read_reading(blank(TAPE), units.write(value, units.LENGTH)).value == value


@given(st.text(max_size=30))
def test_any_text_is_read_or_refused_in_a_sentence(text):
    for instrument in (LUGGAGE_SCALE, FISTS, THERMOMETER):
        try:
            found = read_reading(blank(instrument), text)
        except RequestError as refused:
            assert str(refused)  # noqa: PT017 - any text, read or not
        else:
            assert math.isfinite(found.value)
