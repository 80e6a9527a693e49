"""What is left for a regulator while the motor runs."""

import pytest

from hutwright.trades.wiring import regulator_dropout
from tests.described import described
from tests.judged import recompute
from tests.trades.wiring.regulated import NINE, apply, board, checks, levers_of

QUESTION = regulator_dropout.QUESTION


def nine(volts):
    return checks(QUESTION, NINE.format(voltage=f"{volts:g} V"))["nine"]


@pytest.mark.practice(
    "a 9 V linear regulator works from about 13 V and no longer from about 11 V, dropout 2 V"
)
def test_a_nine_volt_regulator_holds_at_13_volts_and_lets_go_near_11():
    assert nine(13.0).margin > 1.0
    assert nine(10.5).margin < 0.0
    # Only the supply's 30 mohm and 80 mA stand before it: it lets go 2.4 mV above 11 V.
    assert nine(11.0024).margin == pytest.approx(0.0, abs=1e-9)


def test_the_board_behind_it_sags_only_once_the_nine_volts_have_sagged_by_two():
    after = {
        volts: checks(QUESTION, NINE.format(voltage=f"{volts:g} V"))["five"] for volts in (13.0, 10.5, 9.0)
    }
    assert after[13.0].value == pytest.approx(9.0)
    assert after[10.5].value == pytest.approx(10.5 - 0.030 * 0.080 - 2.0)
    assert after[10.5].margin > 0.0
    assert after[9.0].margin < 0.0


def test_counts_the_motors_rated_current_in_the_shared_cable_only():
    found = checks(QUESTION, board(feed="10 m", own="2 m"))["five"]
    per_metre = 0.020  # both conductors, at the 20 degC that the description calls its warmest day
    shared = 0.030 + 10 * per_metre
    own = 2 * per_metre
    assert found.value == pytest.approx(12.0 - shared * (3.0 + 0.075) - own * 0.075, abs=1e-4)
    assert found.limit == pytest.approx(7.0)
    recompute(found)


def test_a_diode_takes_its_share():
    bare, with_diode = (
        checks(QUESTION, board(regulator=extra))["five"]
        for extra in ("", 'diode = true\ndiode_drop = "0.5 V"')
    )
    assert with_diode.value == pytest.approx(bare.value - 0.5)


LONG = board(feed="90 m", own="2 m")


@pytest.mark.parametrize("words", ["feed of its own", "shorten the feed", "lower the resistance of the feed"])
def test_what_is_proposed_makes_it_hold(words):
    verdict, lever = levers_of(QUESTION, LONG, "five", words)
    assert verdict.margin < 0.0
    if lever.needed is not None:
        at_zero = apply(LONG, QUESTION, "five", lever, exactly=True)
        assert at_zero.margin == pytest.approx(0.0, abs=1e-6)
    assert lever.option is not None
    assert apply(LONG, QUESTION, "five", lever).margin >= 0.0


def test_leaving_out_the_regulator_in_between_leads_the_board_past_it():
    text = NINE.format(voltage="10.5 V")
    verdict, lever = levers_of(QUESTION, text, "nine", "no nine")
    assert verdict.margin < 0.0
    assert lever.option is not None
    after = apply(text, QUESTION, "five", lever)
    assert after.value == pytest.approx(10.5 - 0.030 * 0.075)


def test_is_not_asked_without_a_board():
    assert regulator_dropout.ask(described('format = 1\nname = "x"').project) == ()
