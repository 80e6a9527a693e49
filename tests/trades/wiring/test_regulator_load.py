"""The current that is drawn from a regulator."""

import pytest

from hutwright.trades.wiring import regulator_load
from tests.judged import recompute
from tests.trades.wiring.regulated import NINE, apply, board, checks, levers_of

QUESTION = regulator_load.QUESTION
HEAVY = board(load="650 mA")


def test_the_upper_regulator_carries_the_lower_ones_own_current_too():
    found = checks(QUESTION, NINE.format(voltage="13 V"))
    assert found["five"].value == pytest.approx(0.070)
    assert found["nine"].value == pytest.approx(0.075)
    assert (found["five"].limit, found["nine"].limit) == (0.5, 1.0)
    for each in found.values():
        recompute(each)


def test_a_switching_regulator_takes_less_current_than_it_gives():
    text = NINE.replace("linear 5 V 0.5 A", "switching 5 V 3 A").replace(
        'output_capacitor = "0.1 uF"\n\nfed_by', 'output_capacitor = "0.1 uF"\nefficiency = 0.8\n\nfed_by'
    )
    found = checks(QUESTION, text.format(voltage="13 V"))["nine"]
    assert found.value == pytest.approx(5.0 * 0.070 / (9.0 * 0.8) + 0.005)
    recompute(found)


def test_a_stronger_kind_is_proposed_and_holds():
    verdict, lever = levers_of(QUESTION, HEAVY, "five", "another kind")
    assert verdict.margin == pytest.approx(0.5 - 0.65)
    assert lever.option is not None
    assert apply(HEAVY, QUESTION, "five", lever).margin == pytest.approx(1.0 - 0.65)


def test_a_board_that_draws_less_meets_the_limit_exactly():
    _, lever = levers_of(QUESTION, HEAVY, "five", "draw at most")
    assert lever.needed == pytest.approx(0.5)
    assert apply(HEAVY, QUESTION, "five", lever, exactly=True).margin == pytest.approx(0.0, abs=1e-9)
