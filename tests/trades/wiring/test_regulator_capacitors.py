"""The capacitors beside a regulator."""

import pytest

from hutwright.assessment import case_of
from hutwright.checks.judging import judge
from hutwright.checks.verdict import Status
from hutwright.trades.wiring import regulator_capacitors
from tests.described import described
from tests.judged import recompute
from tests.trades.wiring.regulated import apply, board, checks, levers_of

QUESTION = regulator_capacitors.QUESTION
SMALL = board().replace('input_capacitor = "0.33 uF"', 'input_capacitor = "0.1 uF"')


def status(text, subject):
    case = case_of(described(text))
    return next(each.status for each in judge(QUESTION, case) if each.check.subject == subject)


@pytest.mark.published(
    "data sheet of a three-terminal 0.5 A positive regulator family, January 2004, test conditions"
)
def test_what_the_data_sheet_asks_for_is_enough():
    found = checks(QUESTION, board())
    assert (found["five_input"].limit, found["five_output"].limit) == pytest.approx((0.33e-6, 0.1e-6))
    assert status(board(), "five_input") is Status.HOLDS
    assert status(board(), "five_output") is Status.HOLDS
    for each in found.values():
        recompute(each)


def test_a_smaller_one_misses_and_the_next_size_on_sale_holds():
    assert status(SMALL, "five_input") is Status.MISSES
    _, lever = levers_of(QUESTION, SMALL, "five_input", "solder a capacitor")
    assert lever.needed == pytest.approx(0.33e-6)
    assert apply(SMALL, QUESTION, "five_input", lever, exactly=True).margin == pytest.approx(0.0, abs=1e-15)
    assert lever.option is not None
    assert apply(SMALL, QUESTION, "five_input", lever).margin >= 0.0


def test_one_that_was_not_mentioned_is_not_taken_to_be_there():
    silent = board().replace('output_capacitor = "0.1 uF"\n', "")
    assert status(silent, "five_output") is Status.UNDECIDED
