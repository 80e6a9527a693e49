"""Veto and obstruction: the manual in door.h, sentence by sentence."""

from __future__ import annotations

import pytest

from hutwright.native.words import Commands, Counter, Ends, Eye, Eyes, Fault, Mode, Why, Word
from tests.native.core.leaf import Leaf

EYES = [("present", Eyes.PRESENT), ("beam", Eyes.BEAM)]


# ---- veto --------------------------------------------------------------------------------------------


@pytest.mark.parametrize("eye", ["present", "beam"])
@pytest.mark.parametrize("says", [Eye.SEES, Eye.FAILED, Eye.NONE, 200])
def test_no_closing_begins_while_an_eye_does_not_say_clear(eye, says):
    leaf = Leaf().opened()
    leaf.inputs[eye] = says
    leaf.say(Word.CLOSE).run(100).press()
    assert (leaf.mode, leaf.why) == (Mode.OPEN, Why.REFUSED)
    assert leaf.counted(Counter.REFUSED) == 2


@pytest.mark.parametrize("says", [Eye.SEES, Eye.FAILED])
def test_a_pressed_or_failed_edge_lets_no_closing_begin(says):
    leaf = Leaf().opened()
    leaf.inputs["edge"] = says
    leaf.press()
    assert leaf.mode == Mode.OPEN
    leaf.inputs["edge"] = Eye.CLEAR
    leaf.press()
    assert leaf.mode == Mode.CLOSING


def test_the_veto_holds_for_its_time_after_the_eye_is_clear_again():
    leaf = Leaf(present_hold_ms=300).opened()
    leaf.inputs["present"] = Eye.SEES
    leaf.tick()
    leaf.inputs["present"] = Eye.CLEAR
    leaf.run(299).say(Word.CLOSE)
    assert leaf.mode == Mode.OPEN
    leaf.say(Word.CLOSE)
    assert leaf.mode == Mode.CLOSING


def test_eyes_that_are_not_fitted_are_not_looked_at():
    leaf = Leaf(eyes=0).opened()
    leaf.inputs["present"] = leaf.inputs["beam"] = leaf.inputs["edge"] = Eye.FAILED
    leaf.press()
    assert leaf.mode == Mode.CLOSING


@pytest.mark.parametrize(("eye", "bit"), EYES)
@pytest.mark.parametrize("says", [Eye.SEES, Eye.FAILED])
def test_a_closing_is_reversed_by_the_veto_and_the_leaf_opens_fully_and_stays(eye, bit, says):
    leaf = Leaf(eyes=bit, auto_close_s=1).closing_at(0.5)
    leaf.inputs[eye] = says
    leaf.tick()
    assert (leaf.mode, leaf.why, leaf.duty) == (Mode.REVERSING, Why.VETO, 0)
    assert leaf.counted(Counter.VETO) == 1
    leaf.inputs[eye] = Eye.CLEAR
    leaf.until(Mode.OPEN)
    leaf.run(2500)
    assert (leaf.mode, leaf.place) == (Mode.OPEN, 1.0)


def test_a_failing_edge_reverses_a_closing():
    leaf = Leaf().closing_at(0.5)
    leaf.inputs["edge"] = Eye.FAILED
    leaf.tick()
    assert (leaf.mode, leaf.why) == (Mode.REVERSING, Why.VETO)


def test_a_veto_in_the_dead_time_keeps_the_closing_from_ever_being_driven():
    leaf = Leaf().opened().say(Word.CLOSE).run(5)
    leaf.inputs["beam"] = Eye.SEES
    leaf.run(200)
    assert leaf.mode == Mode.OPEN
    assert leaf.place == 1.0


def test_opening_goes_on_whatever_the_eyes_say():
    leaf = Leaf().opening_at(0.5)
    leaf.inputs["present"], leaf.inputs["beam"], leaf.inputs["edge"] = Eye.SEES, Eye.FAILED, Eye.SEES
    leaf.until(Mode.OPEN, within=2000)
    assert leaf.counted(Counter.VETO) == 0


def test_a_veto_is_no_obstruction_and_makes_no_fault_however_often():
    leaf = Leaf().opened()
    for _ in range(5):
        leaf.run(350).say(Word.CLOSE).run(250)
        leaf.inputs["beam"] = Eye.SEES
        leaf.tick()
        leaf.inputs["beam"] = Eye.CLEAR
        leaf.until(Mode.OPEN)
    assert leaf.counted(Counter.VETO) == 5
    assert leaf.mode == Mode.OPEN


@pytest.mark.parametrize("eyes", [0, int(Eyes.EDGE)])
def test_without_present_sensor_or_beam_only_the_button_closes(eyes):
    leaf = Leaf(eyes=eyes, auto_close_s=1).opened()
    leaf.say(Word.CLOSE).run(1500)
    leaf.inputs["relay"] = 1
    leaf.run(50)
    leaf.inputs["relay"] = 0
    leaf.run(50)
    assert leaf.mode == Mode.OPEN
    assert leaf.counted(Counter.REFUSED) == 2
    leaf.press()
    assert leaf.mode == Mode.CLOSING


# ---- obstruction while closing -----------------------------------------------------------------------


def block(leaf: Leaf) -> None:
    """From now on the leaf can go no further the way it goes."""
    leaf.blocked = (leaf.place, 1.0) if leaf.duty < 0 else (0.0, leaf.place)


def test_an_obstruction_while_closing_opens_fully_and_stays_open():
    leaf = Leaf(auto_close_s=1).closing_at(0.5)
    block(leaf)
    assert leaf.until(Mode.REVERSING) < 25
    assert leaf.why in (Why.RESIDUAL, Why.RISE)
    assert leaf.until_driven() == 20
    leaf.until(Mode.OPEN)
    leaf.run(2500)
    assert (leaf.mode, leaf.place) == (Mode.OPEN, 1.0)


def test_a_small_lasting_residual_is_an_obstruction_after_its_time():
    leaf = Leaf(closing={"rise_mA": 65535}, after_ms=30).closing_at(0.6)
    leaf.current = lambda mA: mA + 1600 if mA else 0
    elapsed = leaf.until(Mode.REVERSING)
    assert 30 <= elapsed <= 50
    assert leaf.why == Why.RESIDUAL
    assert leaf.counted(Counter.RESIDUAL) == 1


def test_a_residual_that_breaks_off_before_its_time_is_none():
    leaf = Leaf(closing={"rise_mA": 65535}, after_ms=30, filter_q16=65535).closing_at(0.6)
    for _ in range(6):
        leaf.current = lambda mA: mA + 3000
        leaf.run(29)
        leaf.current = int
        leaf.run(4)
    assert leaf.mode == Mode.CLOSING


def test_a_rise_below_the_trip_is_an_obstruction_by_itself():
    leaf = Leaf(last_shut_permille=0).closing_at(0.4)
    leaf.current = lambda mA: mA + 1300
    leaf.until(Mode.REVERSING)
    assert leaf.why == Why.RISE
    assert leaf.counted(Counter.RISE) == 1


def test_a_slow_rise_over_its_own_mean_is_none():
    leaf = Leaf(slow_q16=6553, closing_cap_ms=60000).closing_at(0.5)
    leaf.blocked = (0.0, 1.0)
    extra = 0
    while leaf.mode == Mode.CLOSING and extra < 1300:
        extra += 2
        leaf.adds(extra)
        leaf.tick()
    assert leaf.mode != Mode.REVERSING


def test_both_detectors_are_deaf_for_the_blind_time():
    leaf = Leaf(blind_ms=250).opened().say(Word.CLOSE)
    leaf.until_driven()
    leaf.current = lambda mA: mA + 6000 if mA else 0
    leaf.run(250)
    assert leaf.mode == Mode.CLOSING
    assert leaf.until(Mode.REVERSING) < 20


def test_the_backstop_is_heard_even_in_the_blind_time():
    leaf = Leaf(blind_ms=3000).opened().say(Word.CLOSE)
    leaf.until_driven()
    leaf.current = lambda mA: 13000 if mA else 0
    assert leaf.until(Mode.REVERSING) in range(20, 24)
    assert leaf.why == Why.BACKSTOP
    assert leaf.counted(Counter.BACKSTOP) == 1


def test_the_backstop_wants_its_time_without_a_gap():
    leaf = Leaf(closing={"trip_mA": 40000, "rise_mA": 65535}).closing_at(0.7)
    for _ in range(5):
        leaf.current = lambda mA: 13000
        leaf.run(19)
        leaf.current = int
        leaf.run(3)
    assert leaf.mode == Mode.CLOSING


def test_a_pressed_edge_is_an_obstruction_in_the_same_tick():
    leaf = Leaf().closing_at(0.5)
    leaf.inputs["edge"] = Eye.SEES
    leaf.tick()
    assert (leaf.mode, leaf.why, leaf.duty) == (Mode.REVERSING, Why.EDGE, 0)
    assert leaf.counted(Counter.EDGE) == 1


def test_while_the_place_is_not_known_the_greatest_bin_is_expected_and_the_rise_is_off():
    profile = [1500] * 31 + [4000]
    leaf = Leaf(opening={"profile_mA": profile}).run(120).say(Word.OPEN)
    leaf.until_driven()
    leaf.run(600)
    assert int(leaf.detect["expected_mA"]) == 4000
    leaf.current = lambda mA: mA + 3200 if mA else 0
    leaf.run(200)
    assert leaf.mode == Mode.OPENING
    leaf.current = lambda mA: mA + 3600 if mA else 0
    leaf.run(40)
    assert leaf.why == Why.RESIDUAL


# ---- obstruction while opening -----------------------------------------------------------------------


def test_an_obstruction_while_opening_relaxes_and_then_closes_back():
    leaf = Leaf(relax_permille=50, back_permille=200).opening_at(0.6)
    block(leaf)
    at = leaf.place
    leaf.until(Mode.REVERSING)
    leaf.until(Mode.STOPPED)
    assert leaf.why == Why.BACKED_OFF
    assert at - leaf.place == pytest.approx(0.25, abs=0.01)


@pytest.mark.parametrize(
    "changes", [{"eyes": 6}, {"back_permille": 0}], ids=["no present sensor", "no closing back"]
)
def test_it_only_relaxes_where_closing_back_is_not_to_be(changes):
    leaf = Leaf(**changes).opening_at(0.6)
    block(leaf)
    at = leaf.place
    leaf.until(Mode.REVERSING)
    leaf.until(Mode.STOPPED)
    assert leaf.why == Why.BACKED_OFF
    assert at - leaf.place == pytest.approx(0.05, abs=0.01)


@pytest.mark.parametrize("eye", ["present", "beam"])
def test_it_holds_at_once_where_something_stands_in_the_doorway(eye):
    leaf = Leaf().opening_at(0.6)
    leaf.inputs[eye] = Eye.SEES
    block(leaf)
    leaf.until(Mode.STOPPED)
    at = leaf.place
    leaf.run(300)
    assert leaf.why in (Why.RESIDUAL, Why.RISE)
    assert leaf.place == at


def test_backing_off_is_slow_and_ends_when_something_comes_into_the_doorway():
    leaf = Leaf(relax_permille=20, back_permille=400).opening_at(0.7)
    block(leaf)
    leaf.until(Mode.REVERSING)
    leaf.until_driven()
    leaf.run(150)
    assert leaf.duty == -400
    leaf.inputs["present"] = Eye.SEES
    leaf.tick()
    assert (leaf.mode, leaf.why, leaf.duty) == (Mode.STOPPED, Why.VETO, 0)


def test_an_obstruction_while_backing_off_holds_at_once():
    leaf = Leaf(relax_permille=20, back_permille=400).opening_at(0.7)
    block(leaf)
    leaf.until(Mode.REVERSING)
    leaf.until_driven()
    leaf.run(100)
    leaf.inputs["edge"] = Eye.SEES
    leaf.tick()
    assert (leaf.mode, leaf.why) == (Mode.STOPPED, Why.EDGE)


def test_the_button_closes_after_an_obstruction_while_opening():
    leaf = Leaf().opening_at(0.6)
    block(leaf)
    leaf.until(Mode.STOPPED)
    leaf.blocked = (0.0, 1.0)
    leaf.run(120).press()
    assert leaf.mode == Mode.CLOSING


def test_the_button_opens_where_closing_is_forbidden():
    leaf = Leaf().opening_at(0.6)
    leaf.press(25)
    assert leaf.mode == Mode.STOPPED
    leaf.inputs["present"] = Eye.FAILED
    leaf.run(120).press()
    assert leaf.mode == Mode.OPENING


# ---- again and again ---------------------------------------------------------------------------------


def test_an_obstruction_while_opening_fully_holds_at_once_near_the_first_one():
    leaf = Leaf(blind_ms=20, relax_permille=100).closing_at(0.5)
    block(leaf)
    leaf.until(Mode.REVERSING)
    held_at = leaf.place + 0.02
    leaf.blocked = (0.0, held_at)
    leaf.until(Mode.STOPPED)
    leaf.run(500)
    assert leaf.place == held_at


def test_an_obstruction_while_opening_fully_relaxes_and_holds_further_on():
    leaf = Leaf(relax_permille=50, blind_ms=50).closing_at(0.3)
    block(leaf)
    leaf.until(Mode.REVERSING)
    leaf.blocked = (0.0, 0.7)
    leaf.until(Mode.STOPPED)
    assert leaf.why == Why.BACKED_OFF
    assert leaf.place == pytest.approx(0.65, abs=0.01)


def test_after_the_last_reversal_in_a_row_the_leaf_still_opens_before_the_fault():
    leaf = Leaf(most_reversals=3).opened()
    for each in range(3):
        leaf.run(120).say(Word.CLOSE).run(300)
        block(leaf)
        leaf.until(Mode.REVERSING)
        assert leaf.mode == Mode.REVERSING
        leaf.blocked = (0.0, 1.0)
        leaf.until(Mode.OPEN)
        assert not leaf.out["may_leave"] or each < 2
    leaf.tick()
    assert (leaf.mode, leaf.fault, leaf.place) == (Mode.FAULT, Fault.TOO_MANY_REVERSALS, 1.0)


def test_the_last_obstruction_while_opening_only_relaxes_before_the_fault():
    leaf = Leaf(most_reversals=1, relax_permille=50, back_permille=200).opening_at(0.6)
    block(leaf)
    at = leaf.place
    leaf.until(Mode.FAULT)
    assert leaf.fault == Fault.TOO_MANY_REVERSALS
    assert at - leaf.place == pytest.approx(0.05, abs=0.01)


def test_a_completed_move_begins_the_count_afresh():
    leaf = Leaf(most_reversals=2).opened()
    for _ in range(4):
        leaf.run(120).say(Word.CLOSE).run(300)
        block(leaf)
        leaf.until(Mode.REVERSING)
        leaf.blocked = (0.0, 1.0)
        leaf.until(Mode.OPEN)
        leaf.run(120).say(Word.CLOSE)
        leaf.until(Mode.SHUT)
        leaf.run(120).say(Word.OPEN)
        leaf.until(Mode.OPEN)
    assert leaf.mode == Mode.OPEN


def test_stopping_the_last_reversal_does_not_lose_the_fault():
    leaf = Leaf(most_reversals=1).closing_at(0.5)
    block(leaf)
    leaf.until(Mode.REVERSING)
    leaf.say(Word.STOP)
    assert (leaf.mode, leaf.why) == (Mode.STOPPED, Why.STOP)
    leaf.tick()
    assert leaf.fault == Fault.TOO_MANY_REVERSALS


def test_with_switches_an_edge_that_the_frame_presses_reverses_unless_the_switch_comes_first():
    leaf = Leaf().closing_at(0.02)
    leaf.until(Mode.SHUT)
    leaf.inputs["edge"] = Eye.SEES
    leaf.run(100)
    assert leaf.mode == Mode.SHUT


def test_a_pressed_edge_is_no_arrival_for_a_drive_without_switches():
    leaf = Leaf(ends=Ends.STALL, blind_ms=50, commands=int(Commands.LINE)).opened().say(Word.CLOSE)
    while leaf.believed > 0.03:
        leaf.tick()
    leaf.inputs["edge"] = Eye.SEES
    leaf.tick()
    assert (leaf.mode, leaf.why) == (Mode.REVERSING, Why.EDGE)
