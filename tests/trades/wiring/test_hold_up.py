"""How long the reservoir carries the board."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.trades.wiring import hold_up
from tests.described import described
from tests.judged import recompute
from tests.trades.wiring.regulated import apply, board, checks, levers_of

QUESTION = hold_up.QUESTION
HELD = 'diode = true\ndiode_drop = "0.5 V"\nreservoir = "{size}"\n'


def text(size="220 uF", feed="60 m", voltage="10.5 V", load="70 mA"):
    """A light motor on a long feed: its start pulls it below what the board needs, and is soon over."""
    held = HELD.format(size=size)
    return board(feed=feed, voltage=voltage, load=load, running="1.05 A", regulator=held)


def only(source):
    (found,) = checks(QUESTION, source).values()
    return found


def test_a_linear_regulator_draws_its_reservoir_down_evenly():
    found = only(text(size="1000 uF", feed="6 m", voltage="12 V"))
    rest = 12.0 - (0.030 + 6 * 0.020) * 0.075
    # A fifth is taken off 1000 uF; from behind the diode down to 7 V, at 70 mA and 5 mA of its own.
    assert found.value == pytest.approx(800e-6 * (rest - 0.5 - 7.0) / 0.075, rel=1e-4)
    assert found.limit == 0.0  # the feed never falls so far that the reservoir must carry alone
    recompute(found)


def test_a_switching_regulator_draws_the_same_power_to_the_end():
    switching = text(size="1000 uF", feed="6 m", voltage="12 V").replace(
        "linear 5 V 0.5 A", "switching 5 V 3 A"
    )
    switching = switching.replace("diode = true", "diode = true\nefficiency = 0.8")
    found = only(switching)
    taken = 5.0 * 0.070 / (12.0 * 0.8) + 0.005
    full = 12.0 - 0.150 * taken - 0.5
    power = 5.0 * 0.070 / 0.8 + full * 0.005
    assert found.value == pytest.approx(800e-6 * (full**2 - 7.0**2) / (2 * power), rel=1e-4)
    recompute(found)


def test_it_must_last_while_the_feed_is_too_low():
    found = only(text())
    assert 0.0 < found.limit < 0.5
    assert found.margin < 0.0
    recompute(found)


def test_the_reservoir_at_zero_margin_and_the_next_size_hold():
    verdict, lever = levers_of(QUESTION, text(), "", "make the reservoir")
    assert verdict.margin < 0.0
    assert lever.needed is not None
    assert apply(text(), QUESTION, "", lever, exactly=True).margin == pytest.approx(0.0, abs=1e-6)
    assert lever.option is not None
    assert apply(text(), QUESTION, "", lever).margin >= 0.0


def test_a_board_that_draws_less_lasts_long_enough():
    verdict, lever = levers_of(QUESTION, text(), "", "draw at most")
    assert verdict.margin < 0.0
    assert lever.needed is not None
    assert apply(text(), QUESTION, "", lever, exactly=True).margin == pytest.approx(0.0, abs=1e-6)


def test_a_kind_that_needs_less_above_its_output_lasts_long_enough():
    poor = text(voltage="11 V").replace('dropout = "2 V"', 'dropout = "2.6 V"')
    verdict, lever = levers_of(QUESTION, poor, "", "another kind")
    assert verdict.margin < 0.0
    assert lever.option is not None
    assert apply(poor, QUESTION, "", lever).margin >= 0.0


@given(st.floats(0.02, 0.3))
def test_twice_the_reservoir_lasts_twice_as_long(load):
    one, two = (only(text(size=size, load=f"{load:.5f} A")) for size in ("1000 uF", "2000 uF"))
    assert two.value == pytest.approx(2.0 * one.value)


def test_is_not_asked_without_a_diode_or_without_a_reservoir():
    for extra in ("", "diode = true\n", 'reservoir = "1000 uF"\n'):
        assert hold_up.ask(described(board(regulator=extra)).project) == ()
