"""How hot a regulator gets."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.trades.wiring import regulator_junction
from tests.judged import recompute
from tests.trades.wiring.regulated import NINE, apply, board, checks, levers_of

QUESTION = regulator_junction.QUESTION
HOT = board(voltage="13 V", load="300 mA")


def test_the_heat_of_a_linear_regulator_follows_from_the_voltages():
    found = checks(QUESTION, HOT)["five"]
    heat = (13.0 - 5.0) * 0.300 + 13.0 * 0.005
    # Box air of 40 degC; 50 K/W without a heat sink.
    assert found.value == pytest.approx(273.15 + 40.0 + heat * 50.0)
    assert found.limit == pytest.approx(273.15 + 150.0)
    recompute(found)


def test_the_heat_of_a_switching_regulator_follows_from_its_efficiency():
    text = HOT.replace("linear 5 V 0.5 A", "switching 5 V 3 A").replace(
        'quiescent = "5 mA"', 'quiescent = "5 mA"\nefficiency = 0.8\ncooling = "40 K/W"'
    )
    found = checks(QUESTION, text)["five"]
    heat = 5.0 * 0.300 * (1.0 / 0.8 - 1.0) + 13.0 * 0.005
    assert found.value == pytest.approx(273.15 + 40.0 + heat * 40.0)
    recompute(found)


def test_a_battery_on_its_charger_heats_more_than_one_at_rest():
    charged = HOT.replace('capacity = "18 Ah"', 'capacity = "18 Ah", charger = { current = "1 A" }')
    rests, fills = (checks(QUESTION, text)["five"] for text in (HOT, charged))
    # Lead is charged at up to 14.8 V.
    assert fills.value - rests.value == pytest.approx((14.8 - 13.0) * 0.305 * 50.0)
    recompute(fills)


def test_two_regulators_in_a_row_share_the_heat():
    found = checks(QUESTION, NINE.format(voltage="13 V"))
    nine, five = found["nine"], found["five"]
    assert nine.value - 313.15 == pytest.approx(65.0 * ((13.0 - 9.0) * 0.075 + 13.0 * 0.005))
    assert five.value - 313.15 == pytest.approx(50.0 * ((9.0 - 5.0) * 0.070 + 9.0 * 0.005))
    recompute(five)


@pytest.mark.parametrize("words", ["cool five", "another kind", "a regulator before five"])
def test_what_is_proposed_keeps_it_cool_enough(words):
    verdict, lever = levers_of(QUESTION, HOT, "five", words)
    assert verdict.margin < 0.0
    if words == "cool five":
        at_zero = apply(HOT, QUESTION, "five", lever, exactly=True)
        assert at_zero.margin == pytest.approx(0.0, abs=1e-6)
    assert lever.option is not None
    assert apply(HOT, QUESTION, "five", lever).margin >= 0.0


def test_a_board_that_draws_less_keeps_it_cool_enough():
    verdict, lever = levers_of(QUESTION, HOT, "five", "draw at most")
    assert verdict.margin < 0.0
    assert lever.needed is not None
    assert lever.needed < 0.300
    assert apply(HOT, QUESTION, "five", lever, exactly=True).margin == pytest.approx(0.0, abs=1e-6)


@given(st.floats(8.0, 30.0), st.floats(0.01, 0.5), st.floats(0.01, 5.0))
def test_a_higher_supply_never_cools_a_linear_regulator(volts, load, more):
    low, high = (
        checks(QUESTION, board(voltage=f"{each:.6f} V", load=f"{load:.6f} A"))["five"]
        for each in (volts, volts + more)
    )
    assert high.value >= low.value
