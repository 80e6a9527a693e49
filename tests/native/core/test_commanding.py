"""Commands, stop, link, winter: the manual in door.h, sentence by sentence."""

from __future__ import annotations

from typing import Any

import pytest

from hutwright.native.words import Commands, Counter, Eye, Eyes, LinkLost, Mode, Why, Word
from tests.native.core.leaf import Leaf

MOVES = ["dead time", "opening", "closing", "reversing", "backing off"]


def in_move(move: str, **changes: Any) -> Leaf:
    """A leaf in that part of a move."""
    if move == "dead time":
        return Leaf(**changes).shut().say(Word.OPEN).run(5)
    if move == "opening":
        return Leaf(**changes).opening_at(0.5)
    if move == "closing":
        return Leaf(**changes).closing_at(0.5)
    leaf = Leaf(**changes).closing_at(0.5) if move == "reversing" else Leaf(**changes).opening_at(0.5)
    leaf.blocked = (leaf.place, 1.0) if move == "reversing" else (0.0, leaf.place)
    leaf.until(Mode.REVERSING)
    leaf.until_driven()
    leaf.run(30)
    return leaf


# ---- stop --------------------------------------------------------------------------------------------


@pytest.mark.parametrize("move", MOVES)
def test_a_stop_on_the_line_takes_the_drive_off_in_the_same_tick(move):
    leaf = in_move(move)
    leaf.say(Word.STOP)
    assert (leaf.mode, leaf.why, leaf.duty, leaf.out["enable"]) == (Mode.STOPPED, Why.STOP, 0, 0)
    assert leaf.counted(Counter.STOPS) == 1


@pytest.mark.parametrize("move", MOVES)
def test_the_button_stops_in_the_tick_in_which_its_debounce_is_over(move):
    leaf = in_move(move, debounce_ms=12)
    mode = leaf.mode
    leaf.inputs["button"] = 1
    leaf.run(11)
    assert leaf.mode == mode
    leaf.tick()
    assert (leaf.mode, leaf.why, leaf.duty) == (Mode.STOPPED, Why.STOP, 0)


@pytest.mark.parametrize("contact", ["button", "relay", "sensor"])
def test_a_stop_at_rest_wins_over_a_contact_that_is_heard_in_the_same_tick(contact):
    other = Leaf(debounce_ms=12).run(120)
    leaf = Leaf(debounce_ms=12).run(120)
    for each in (leaf, other):
        each.inputs[contact] = 1
        each.run(11)
    leaf.say(Word.STOP)
    other.tick()
    assert other.mode == Mode.OPENING  # the contact was heard in that very tick
    assert (leaf.mode, leaf.out["enable"]) == (Mode.STOPPED, 0)
    assert leaf.run(500).mode == Mode.STOPPED


def test_a_stop_at_rest_wins_over_the_closing_that_is_due_in_the_same_tick():
    ticks = Leaf(auto_close_s=1).opened().until(Mode.CLOSING)
    leaf = Leaf(auto_close_s=1).opened().run(ticks - 1)
    leaf.say(Word.STOP)
    assert (leaf.mode, leaf.out["enable"]) == (Mode.OPEN, 0)


def test_a_stop_is_heard_even_where_the_line_is_not_fitted():
    leaf = Leaf(commands=int(Commands.BUTTON)).run(120)
    leaf.say(Word.OPEN)
    assert leaf.mode == Mode.STOPPED
    leaf.press(25)
    assert leaf.mode == Mode.OPENING
    leaf.say(Word.STOP)
    assert (leaf.mode, leaf.why) == (Mode.STOPPED, Why.STOP)


@pytest.mark.parametrize("other", ["veto", "edge", "supply", "fault", "arrival"])
def test_a_stop_wins_over_whatever_else_comes_in_that_tick(other):
    leaf = in_move("closing")
    if other == "veto":
        leaf.inputs["present"] = Eye.SEES
    elif other == "edge":
        leaf.inputs["edge"] = Eye.SEES
    elif other == "supply":
        leaf.inputs["supply_mV"] = 9000
        leaf.run(49)
    elif other == "fault":
        leaf.limits = {"shut": 1, "open": 1}
    else:
        leaf.limits = {"shut": 1}
    leaf.say(Word.STOP)
    assert (leaf.mode, leaf.why) == (Mode.STOPPED, Why.STOP)


def test_a_stop_at_rest_changes_nothing():
    leaf = Leaf().opened().say(Word.STOP).run(5)
    assert (leaf.mode, leaf.why, bool(leaf.out["may_leave"])) == (Mode.OPEN, Why.LIMIT, True)
    assert leaf.counted(Counter.STOPS) == 0


# ---- button, relay, sensor, line ---------------------------------------------------------------------


def test_the_button_opens_stops_and_goes_the_other_way():
    leaf = Leaf().shut()
    for mode in (Mode.OPENING, Mode.STOPPED, Mode.CLOSING, Mode.STOPPED, Mode.OPENING):
        leaf.press(30).run(120)
        assert leaf.mode == mode
    assert leaf.why == Why.BUTTON


def test_a_button_that_bounces_is_one_press_and_one_that_flickers_is_none():
    leaf = Leaf().shut()
    for level in (1, 0, 1, 0, 1):
        leaf.inputs["button"] = level
        leaf.run(15)
    assert leaf.mode == Mode.SHUT
    leaf.run(10)
    assert leaf.mode == Mode.OPENING


@pytest.mark.parametrize("contact", ["button", "relay", "sensor"])
def test_a_contact_that_is_made_at_power_up_is_no_command(contact):
    leaf = Leaf()
    leaf.inputs[contact] = 1
    leaf.run(500)
    assert leaf.mode == Mode.STOPPED
    leaf.inputs[contact] = 0
    leaf.run(50)
    leaf.inputs[contact] = 1
    leaf.run(50)
    assert leaf.mode == Mode.OPENING


@pytest.mark.parametrize(
    ("bit", "contact"), [(1, "button"), (2, "relay"), (8, "sensor")], ids=["button", "relay", "sensor"]
)
def test_a_way_to_command_that_is_not_fitted_is_not_heard(bit, contact):
    leaf = Leaf(commands=15 & ~bit).shut()
    leaf.inputs[contact] = 1
    leaf.run(100)
    assert leaf.mode == Mode.SHUT


def test_the_relay_opens_when_made_and_closes_when_let_go():
    leaf = Leaf().shut()
    leaf.inputs["relay"] = 1
    leaf.until(Mode.OPEN)
    leaf.run(400)
    assert leaf.mode == Mode.OPEN
    leaf.inputs["relay"] = 0
    leaf.until(Mode.CLOSING, within=30)
    assert leaf.why == Why.RELAY
    leaf.until(Mode.SHUT)


def test_the_sensor_in_front_opens_and_turns_a_closing_round():
    leaf = Leaf().closing_at(0.5)
    leaf.inputs["sensor"] = 1
    leaf.run(20)
    assert (leaf.mode, leaf.why) == (Mode.OPENING, Why.SENSOR)
    leaf.until(Mode.OPEN)


def test_a_command_against_the_move_turns_it_round():
    leaf = Leaf().opening_at(0.5).say(Word.CLOSE)
    assert leaf.mode == Mode.CLOSING
    leaf.run(100).say(Word.OPEN)
    assert leaf.mode == Mode.OPENING
    leaf.until(Mode.OPEN)


def test_a_refused_close_lets_an_opening_go_on():
    leaf = Leaf().opening_at(0.5)
    leaf.inputs["present"] = Eye.SEES
    leaf.say(Word.CLOSE)
    assert (leaf.mode, leaf.why) == (Mode.OPENING, Why.REFUSED)
    assert leaf.counted(Counter.REFUSED) == 1
    leaf.until(Mode.OPEN)


def test_no_command_but_stop_ends_a_reversal():
    leaf = in_move("reversing")
    leaf.say(Word.CLOSE)
    assert leaf.mode == Mode.REVERSING
    leaf.say(Word.OPEN)
    assert leaf.mode == Mode.REVERSING
    assert leaf.counted(Counter.REFUSED) == 1
    leaf.until(Mode.OPEN)


def test_opening_while_it_backs_off_is_refused():
    leaf = in_move("backing off")
    leaf.say(Word.OPEN)
    assert leaf.mode == Mode.REVERSING
    assert leaf.counted(Counter.REFUSED) == 1


def test_open_goes_before_close_in_one_tick():
    leaf = Leaf(debounce_ms=1).run(120)
    leaf.inputs["relay"] = 1
    leaf.tick()
    leaf.until(Mode.OPEN)
    leaf.run(150)
    leaf.place = 0.9  # pushed off its switch, so that opening is a move
    leaf.inputs["relay"] = 0
    leaf.say(Word.OPEN)
    assert (leaf.mode, leaf.why) == (Mode.OPENING, Why.LINE)


def test_words_that_do_not_exist_are_not_heard():
    leaf = Leaf().shut()
    for word in range(7, 256, 31):
        leaf.tick(word)
    assert leaf.mode == Mode.SHUT
    assert leaf.counted(Counter.REFUSED) == 0


# ---- auto close --------------------------------------------------------------------------------------


def test_the_leaf_closes_by_itself_after_its_time():
    leaf = Leaf(auto_close_s=2).run(120).say(Word.OPEN)
    leaf.until(Mode.OPEN)
    assert leaf.until(Mode.CLOSING) == 2000
    assert leaf.why == Why.AUTO_CLOSE


@pytest.mark.parametrize("contact", ["sensor", "relay"])
def test_it_does_not_while_somebody_holds_it_open(contact):
    leaf = Leaf(auto_close_s=1).run(120).say(Word.OPEN)
    leaf.until(Mode.OPEN)
    leaf.inputs[contact] = 1
    leaf.run(3000)
    assert leaf.mode == Mode.OPEN


def test_it_waits_for_the_veto_to_end_and_refuses_nothing():
    leaf = Leaf(auto_close_s=1).run(120).say(Word.OPEN)
    leaf.until(Mode.OPEN)
    leaf.inputs["present"] = Eye.SEES
    leaf.run(3000)
    leaf.inputs["present"] = Eye.CLEAR
    assert leaf.until(Mode.CLOSING) == 301
    assert leaf.counted(Counter.REFUSED) == 0


def test_after_a_reversal_it_closes_by_itself_again_only_after_a_new_open():
    leaf = Leaf(auto_close_s=1).closing_at(0.6)
    leaf.inputs["beam"] = Eye.SEES
    leaf.tick()
    leaf.inputs["beam"] = Eye.CLEAR
    leaf.until(Mode.OPEN)
    leaf.run(2500)
    assert leaf.mode == Mode.OPEN
    leaf.say(Word.OPEN)
    assert leaf.until(Mode.CLOSING) == 1000


# ---- the link ----------------------------------------------------------------------------------------


def alive(leaf: Leaf, ms: int) -> Leaf:
    """The line is alive for that long."""
    leaf.inputs["line_alive"] = 1
    leaf.run(ms)
    leaf.inputs["line_alive"] = 0
    return leaf


def test_a_line_that_was_never_heard_is_not_lost():
    leaf = Leaf(link_lost_ms=200, link_lost=int(LinkLost.CLOSE)).opened().run(1000)
    assert leaf.mode == Mode.OPEN
    assert leaf.counted(Counter.LINK_LOST) == 0


def test_a_lost_link_that_shall_stay_only_counts():
    leaf = Leaf(link_lost_ms=200, link_lost=int(LinkLost.STAY)).opening_at(0.3)
    alive(leaf, 10).run(210)
    assert leaf.counted(Counter.LINK_LOST) == 1
    assert leaf.mode == Mode.OPENING


def test_a_lost_link_stops_the_move():
    leaf = Leaf(link_lost_ms=200, link_lost=int(LinkLost.STOP)).opening_at(0.3)
    alive(leaf, 10).run(199)
    assert leaf.mode == Mode.OPENING
    leaf.tick()
    assert (leaf.mode, leaf.why, leaf.duty) == (Mode.STOPPED, Why.LINK_LOST, 0)


def test_a_lost_link_closes_once_and_not_after_another_command():
    leaf = Leaf(link_lost_ms=200, link_lost=int(LinkLost.CLOSE)).opened()
    alive(leaf, 10)
    assert leaf.until(Mode.CLOSING) == 200
    assert leaf.why == Why.LINK_LOST
    leaf.until(Mode.SHUT)
    leaf.run(120).press()
    leaf.until(Mode.OPEN)
    leaf.run(1000)
    assert leaf.mode == Mode.OPEN


def test_a_lost_link_closes_only_where_an_eye_watches():
    leaf = Leaf(link_lost_ms=200, link_lost=int(LinkLost.CLOSE), eyes=int(Eyes.EDGE)).opened()
    alive(leaf, 10).run(1000)
    assert leaf.mode == Mode.OPEN


def test_the_link_is_lost_anew_after_it_has_come_back():
    leaf = Leaf(link_lost_ms=200).shut()
    for _ in range(3):
        alive(leaf, 10).run(500)
    assert leaf.counted(Counter.LINK_LOST) == 3


# ---- the winter --------------------------------------------------------------------------------------


def test_laid_up_nothing_is_heard_but_wake():
    leaf = Leaf().shut().say(Word.LAY_UP)
    assert leaf.mode == Mode.LAID_UP
    leaf.inputs["sensor"] = 1
    for word in (Word.OPEN, Word.CLOSE, Word.CLEAR, Word.LAY_UP, Word.STOP):
        leaf.say(word).run(50)
    leaf.press(1500)
    assert leaf.mode == Mode.LAID_UP
    assert leaf.counted(Counter.REFUSED) == 0
    leaf.say(Word.WAKE)
    assert leaf.mode == Mode.STOPPED


def test_laid_up_nothing_is_judged():
    leaf = Leaf().shut().say(Word.LAY_UP)
    leaf.limits, leaf.current = {"shut": 1, "open": 1}, lambda _: 30000
    leaf.run(1000)
    assert leaf.mode == Mode.LAID_UP


def test_after_waking_the_first_move_is_slow_and_the_place_not_known():
    leaf = Leaf().shut().say(Word.LAY_UP).run(1000).say(Word.WAKE).run(120)
    assert not leaf.detect["place_known"]
    leaf.say(Word.OPEN).run(300)
    assert leaf.duty == 400


def test_no_laying_up_in_a_move():
    leaf = in_move("opening").say(Word.LAY_UP)
    assert leaf.mode == Mode.OPENING
    assert leaf.counted(Counter.REFUSED) == 1
