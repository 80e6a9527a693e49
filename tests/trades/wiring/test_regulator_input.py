"""The highest voltage that a regulator is fed with."""

import pytest

from hutwright.trades.wiring import regulator_input
from tests.judged import recompute
from tests.trades.wiring.regulated import NINE, apply, board, checks, levers_of

QUESTION = regulator_input.QUESTION
HIGH = board(voltage="30 V").replace("linear 5 V 0.5 A", "switching 5 V 3 A")


def test_the_first_regulator_sees_the_whole_supply_and_the_second_what_the_first_lets_through():
    found = checks(QUESTION, NINE.format(voltage="13 V"))
    assert found["nine"].value == pytest.approx(13.0)
    assert found["five"].value == pytest.approx(9.0)
    for each in found.values():
        recompute(each)


def test_a_regulator_above_a_supply_that_is_too_low_lets_through_no_more_than_the_supply():
    assert checks(QUESTION, NINE.format(voltage="8 V"))["five"].value == pytest.approx(8.0)


def test_counts_the_charger():
    text = board(voltage="13 V").replace(
        'capacity = "18 Ah"', 'capacity = "18 Ah", charger = { current = "1 A" }'
    )
    found = checks(QUESTION, text)["five"]
    assert found.value == pytest.approx(14.8)  # lead, at most
    recompute(found)


def test_a_kind_that_stands_more_is_proposed_and_holds():
    verdict, lever = levers_of(QUESTION, HIGH, "five", "another kind")
    assert verdict.check.limit == pytest.approx(28.0)
    assert verdict.margin < 0.0
    assert lever.option is not None
    assert apply(HIGH, QUESTION, "five", lever).margin == pytest.approx(35.0 - 30.0)


def test_a_regulator_before_it_is_proposed_and_holds():
    _, lever = levers_of(QUESTION, HIGH, "five", "a regulator before five")
    assert lever.option is not None
    assert apply(HIGH, QUESTION, "five", lever).margin > 0.0
