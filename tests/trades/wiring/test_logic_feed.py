"""How far the motor's start pulls the board's feed down."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.laws.motor_start import peak_start_current
from hutwright.trades.wiring import logic_feed
from tests.described import described
from tests.judged import recompute
from tests.trades.wiring.regulated import apply, board, checks, levers_of

QUESTION = logic_feed.QUESTION
# A light motor on a long feed: its start pulls the feed below what the board needs, and is soon over.
LONG = {"feed": "60 m", "voltage": "9.5 V", "running": "1.05 A"}
FAR = board(**LONG)
HELD = 'diode = true\ndiode_drop = "0.5 V"\nreservoir = "{size}"\n'


def only(text):
    (found,) = checks(QUESTION, text).values()
    return found


def step(check, symbol):
    return next(each.result.value for each in check.working if each.symbol == symbol)


def test_the_fall_is_the_peak_of_the_start_through_what_is_shared():
    found = only(board(feed="6 m"))
    shared = 0.030 + 6 * 0.020  # battery, and both conductors of the feed
    loop = shared + 1.0 + 12.0 / 9.0  # bridge, and the winding by its stall current
    peak = peak_start_current(12.0, loop, 2e-3, 12.0 / 9.0, 0.050, 3.0, drop=1.4)
    assert found.value == pytest.approx(shared * peak, rel=1e-4)
    assert found.limit == pytest.approx(12.0 - shared * 0.075 - 7.0, abs=1e-4)
    recompute(found)


def test_inductance_keeps_the_peak_below_the_stall_current():
    found = only(board())
    assert step(found, "I_peak") < step(found, "I_stall")


def test_says_that_the_board_hangs_on_the_bridges_own_regulator():
    assert "bridge's own regulator, five" in only(board()).meaning
    assert "bridge's own" not in only(board(own="2 m")).meaning


def test_tells_what_a_feed_of_its_own_and_a_reservoir_would_leave():
    found = only(FAR)
    own, behind = step(found, "U_fall_own"), step(found, "U_fall_reservoir")
    assert own == pytest.approx(0.030 * step(found, "I_peak"))
    assert own < behind < found.value
    # What was promised for the reservoir is what comes out once it is there.
    with_it = only(board(**LONG, regulator=HELD.format(size="1000 uF")))
    assert with_it.value == pytest.approx(behind, rel=1e-6)
    recompute(with_it)


def test_the_diode_costs_its_own_drop():
    bare, held = only(FAR), only(board(**LONG, regulator=HELD.format(size="1000 uF")))
    assert held.limit == pytest.approx(bare.limit - 0.5)


@given(st.floats(1.0, 60.0), st.sampled_from(["100 uF", "1000 uF", "10000 uF"]))
def test_a_reservoir_never_makes_the_fall_deeper(length, size):
    text = f"{length:.3f} m"
    held = only(board(feed=text, regulator=HELD.format(size=size)))
    assert held.value <= only(board(feed=text)).value * (1 + 1e-12)


@pytest.mark.parametrize(
    "words", ["feed of its own", "shorten the feed", "lower the resistance of the feed", "a second regulator"]
)
def test_what_is_proposed_keeps_the_board_up(words):
    verdict, lever = levers_of(QUESTION, FAR, "", words)
    assert verdict.margin < 0.0
    if lever.needed is not None:
        assert apply(FAR, QUESTION, "", lever, exactly=True).margin == pytest.approx(0.0, abs=1e-6)
    assert lever.option is not None
    assert apply(FAR, QUESTION, "", lever).margin >= 0.0


def test_a_diode_and_the_least_reservoir_that_will_do_are_proposed():
    text = board(**LONG, regulator='diode_drop = "0.3 V"\n')
    verdict, lever = levers_of(QUESTION, text, "", "a diode and a reservoir")
    assert verdict.margin < 0.0
    assert lever.option is not None
    assert apply(text, QUESTION, "", lever).margin >= 0.0


def test_a_larger_reservoir_meets_the_limit_exactly():
    text = board(**LONG, regulator=HELD.format(size="220 uF").replace("0.5 V", "0.3 V"))
    verdict, lever = levers_of(QUESTION, text, "", "make the reservoir")
    assert verdict.margin < 0.0
    assert lever.needed is not None
    assert apply(text, QUESTION, "", lever, exactly=True).margin == pytest.approx(0.0, abs=1e-6)
    assert lever.option is not None
    assert apply(text, QUESTION, "", lever).margin >= 0.0


def test_is_not_asked_where_the_board_has_a_supply_of_its_own():
    text = board(own="2 m").replace('from = "bridge"\nto = "five"', 'from = "small"\nto = "five"')
    text = text.replace(
        "[cables.feed]", '[supplies.small]\nkind = "lead-acid 12 V"\ncapacity = "7 Ah"\n[cables.feed]'
    )
    assert logic_feed.ask(described(text).project) == ()
