"""Numbers are rounded to what they are worth, and those that are needed to the side that holds."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright import units
from hutwright.checks.lever import Effort, Lever, Option
from hutwright.outputs.phrasing import (
    lever_text,
    limit_text,
    listed,
    lowered,
    margin_text,
    on_the_good_side,
    range_text,
    shortlist,
    value_text,
    wrapped,
)
from hutwright.units import NUMBER
from tests.outputs.made import TEXT, assessed

DIMENSIONS = [
    units.LENGTH,
    units.VOLTAGE,
    units.CURRENT,
    units.RESISTANCE,
    units.RESISTANCE_PER_LENGTH,
    units.TIME,
    units.CAPACITANCE,
    units.ANGLE,
    units.RATIO,
    units.THERMAL_RESISTANCE,
    units.AREA,
    units.FORCE,
]


@given(st.sampled_from(DIMENSIONS), st.floats(1e-6, 1e6), st.booleans())
def test_a_needed_number_is_never_rounded_to_the_side_that_misses(dimension, value, upwards):
    if dimension == units.ANGLE:
        value = min(value, 3.0)
    text = on_the_good_side(value, dimension, upwards=upwards)
    read = units.read(text, dimension).nominal
    assert read >= value if upwards else read <= value
    assert read == pytest.approx(value, rel=0.011)  # three digits: at worst 1.00 against 1.01


@given(st.floats(230.0, 400.0), st.booleans())
def test_that_holds_for_temperatures_too(value, upwards):
    read = units.read(on_the_good_side(value, units.TEMPERATURE, upwards=upwards), units.TEMPERATURE).nominal
    assert read >= value if upwards else read <= value
    assert read == pytest.approx(value, abs=1.01)


@pytest.mark.parametrize(
    ("value", "upwards", "text"), [(19.2, True, "19.2"), (19.21, True, "19.3"), (19.29, False, "19.2")]
)
def test_a_bare_number_is_rounded_likewise(value, upwards, text):
    assert on_the_good_side(value, NUMBER, upwards=upwards) == text


def test_a_number_that_is_exact_is_not_moved():
    assert on_the_good_side(4.5, units.VOLTAGE, upwards=True) == "4.5 V"
    assert on_the_good_side(4.5, units.VOLTAGE, upwards=False) == "4.5 V"


def test_value_range_limit_and_margin_have_a_unit_and_few_digits():
    (verdict,) = assessed(limit=11.5).verdicts
    assert value_text(verdict) == "12 V"
    assert range_text(verdict) == "10.8..13.2 V"
    assert limit_text(verdict.worst) == "at least 11.5 V"
    assert margin_text(verdict.check) == "+0.5 V"
    assert margin_text(verdict.worst) == "-0.7 V"


def test_a_margin_that_is_unknown_is_said_so():
    (verdict,) = assessed(value=math.nan).verdicts
    assert margin_text(verdict.check) == "unknown"


def lever(words, *, needed=None, option=None, upwards=False):
    return Lever(
        words=words,
        path=("cables", "feed", "length"),
        needed=needed,
        dimension=units.LENGTH,
        option=option,
        effort=Effort.REWIRE,
        upwards=upwards,
    )


def test_a_lever_is_a_sentence_without_repetition():
    cut = Option("shorten it to 4.6 m", {("cables", "feed", "length"): "4.6 m"})
    assert (
        lever_text(lever("shorten it to", needed=4.6291, option=cut))
        == "shorten it to 4.62 m or less; in practice 4.6 m"
    )
    assert lever_text(lever("shorten it to", needed=4.6, option=cut)) == "shorten it to 4.6 m or less"
    assert lever_text(lever("keep it at most", needed=4.6)) == "keep it at most 4.6 m"
    assert lever_text(lever("shorten it to")) == "shorten it to: no help within the allowed range"


@pytest.mark.parametrize(
    ("sentence", "after"),
    [
        ("Below this it stops.", "below this it stops."),
        ("IEC says so.", "IEC says so."),
        ("A fuse.", "a fuse."),
    ],
)
def test_a_sentence_goes_on_in_small_letters_but_for_names(sentence, after):
    assert lowered(sentence) == after


def test_words_in_a_row_are_joined():
    assert [listed(words) for words in ([], ["a"], ["a", "b"], ["a", "b", "c"])] == [
        "",
        "a",
        "a and b",
        "a, b and c",
    ]


def test_an_empty_sentence_is_one_empty_line():
    assert wrapped("", 40, "  ") == [""]


def test_a_range_that_no_digit_of_the_value_shows_is_not_printed():
    text = TEXT.replace("12 V +- 10 %", "12.001..12.002 V")
    (verdict,) = assessed(text=text).verdicts
    assert verdict.low < verdict.high
    assert value_text(verdict) == "12 V"
    assert range_text(verdict) == ""


def test_of_many_sentences_ten_are_told_and_the_rest_counted():
    sentences = [f"row {number}" for number in range(12)]
    assert shortlist(sentences) == [*sentences[:10], "and 2 more"]
    assert shortlist(sentences[:10]) == sentences[:10]
    assert shortlist(()) == []
