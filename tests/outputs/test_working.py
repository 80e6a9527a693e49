"""One check is explained with the numbers put in and the origin of all that moves it."""

from __future__ import annotations

import pytest

from hutwright import app
from hutwright.outputs.working import working
from tests.house.places import TOP
from tests.outputs.made import assessed, unknown, voltage_dial

ORCHARD = TOP / "demos" / "orchard"


def joined(text: str) -> str:
    return " ".join(text.split())


@pytest.fixture(scope="module")
def start_dip():
    found = app.why(ORCHARD, "start_dip")
    return found, working(found.verdict, found.described)


def test_every_step_stands_in_it_in_symbols_numbers_and_words(start_dip):
    found, text = start_dip
    assert found.verdict.check.working
    for step in found.verdict.check.working:
        symbols, numbers = step.lines()
        for part in (symbols, numbers, step.words):
            assert part in joined(text)


def test_every_input_that_moves_it_stands_in_it_with_its_origin(start_dip):
    found, text = start_dip
    assert found.verdict.influences
    for each in found.verdict.influences:
        datum = found.described.values[each.path]
        assert f"{'.'.join(each.path)}: " in joined(text)
        assert datum.origin.value in text


def test_nominal_and_worst_end_are_told_apart():
    assessment = assessed(limit=12.5, levers=(voltage_dial(),))
    text = joined(working(assessment.verdicts[0], assessment.described))
    assert "nominal: 12 V, to be at least 12.5 V: margin -0.5 V" in text
    assert "worst end: 10.8 V, to be at least 12.5 V: margin -1.7 V" in text
    assert "range: 10.8..13.2 V" in text
    assert "100 % supplies.source.voltage: 10.8..13.2 V, given; knowing it could settle the check" in text
    assert "do raise the voltage to 12.5 V or more" in text
    assert "method: a book, p. 3 (read)" in text
    assert "limit: another book, p. 4 (from memory: confirm before relying on it)" in text


def test_what_rests_on_nothing_unsure_says_so():
    assessment = assessed(value=12.0, limit=5.0)
    text = working(assessment.verdicts[0], assessment.described)
    assert "nothing that it rests on is unsure" in text
    assert "worst end:" not in text


def test_what_the_method_leaves_open_is_told_with_what_would_settle_it():
    assessment = assessed(value=12.0, limit=12.5, off=1.0)
    text = joined(working(assessment.verdicts[0], assessment.described))
    assert "undecided: " in text
    assert "method: leaves 11..13 V open, at nominal values; a better meter could settle the check" in text
    sure = assessed(value=12.0, limit=5.0, off=1.0)
    text = joined(working(sure.verdicts[0], sure.described))
    assert "a better meter would tell more" in text


def test_an_unknown_value_is_told():
    assessment = unknown()
    assert "nominal:   unknown, to be at least 11.5 V: margin unknown" in working(
        assessment.verdicts[0], assessment.described
    )


@pytest.mark.parametrize("width", [40, 70, 100, 200])
def test_no_line_is_wider_than_the_screen(start_dip, width):
    found, _ = start_dip
    lines = working(found.verdict, found.described, width=width).splitlines()
    assert max(map(len, lines)) <= min(100, width)
