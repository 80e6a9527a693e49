"""Faults and their clearing: the manual in door.h, sentence by sentence."""

from __future__ import annotations

import pytest

from hutwright.native.words import Counter, Ends, Fault, Mode, Why, Word
from tests.native.core.leaf import Leaf


def failed(leaf: Leaf, fault: Fault, within: int = 20000) -> Leaf:
    """It fails, with that fault, and goes off."""
    leaf.until(Mode.FAULT, within=within)
    assert leaf.fault == fault
    assert (leaf.duty, leaf.out["enable"], leaf.why) == (0, 0, Why.FAULT)
    assert not leaf.out["may_leave"]
    return leaf


@pytest.mark.parametrize("moving", [False, True])
def test_both_limits_at_once_are_a_fault_moving_or_not(moving):
    leaf = Leaf().opening_at(0.5) if moving else Leaf().shut()
    leaf.limits = {"shut": 1, "open": 1}
    failed(leaf, Fault.BOTH_LIMITS, within=2)


def test_limits_are_not_looked_at_where_the_drive_has_its_own():
    leaf = Leaf(ends=Ends.INSIDE).shut()
    leaf.limits = {"shut": 1, "open": 1}
    leaf.say(Word.OPEN)
    leaf.until(Mode.OPEN)


@pytest.mark.parametrize("stuck", ["shut", "open"])
def test_a_limit_that_should_have_gone_is_a_fault(stuck):
    leaf = Leaf().shut() if stuck == "shut" else Leaf().opened()
    leaf.limits = {stuck: 1}
    leaf.say(Word.OPEN if stuck == "shut" else Word.CLOSE)
    failed(leaf, Fault.LIMIT_STUCK)
    gone = leaf.place if stuck == "shut" else 1.0 - leaf.place
    assert 0.15 < gone < 0.5


def test_a_limit_that_is_late_within_the_slip_is_none():
    leaf = Leaf(slip_permille=300).shut()
    leaf.limits = {"shut": 1}
    leaf.say(Word.OPEN)
    while leaf.place < 0.25:
        leaf.tick()
    leaf.limits = {}
    leaf.until(Mode.OPEN)


def test_a_limit_that_is_never_made_ends_in_obstructions_and_a_fault():
    leaf = Leaf(most_reversals=2).shut()
    leaf.limits = {"open": 0}
    leaf.say(Word.OPEN)
    leaf.until(Mode.STOPPED, Mode.FAULT)
    assert leaf.mode == Mode.STOPPED
    leaf.run(120).say(Word.OPEN)
    leaf.until(Mode.STOPPED)
    failed(leaf, Fault.TOO_MANY_REVERSALS, within=2)


def test_a_slip_is_counted_and_the_place_set_right_and_twice_in_a_row_is_a_fault():
    leaf = Leaf().shut()
    for each in (1, 2):
        leaf.say(Word.OPEN if each == 1 else Word.CLOSE)
        while abs(leaf.place - (each == 1)) > 0.5:
            leaf.tick()
        leaf.place = 1.0 if each == 1 else 0.0
        leaf.until(Mode.OPEN, Mode.SHUT, Mode.FAULT)
        assert leaf.counted(Counter.SLIPS) == each
        if each == 1:
            leaf.run(120)
            assert (leaf.mode, leaf.believed) == (Mode.OPEN, 1.0)
    failed(leaf, Fault.SLIPPED, within=1)


def test_a_slip_followed_by_a_true_arrival_is_forgiven():
    leaf = Leaf().shut()
    for _ in range(3):
        leaf.say(Word.OPEN)
        while leaf.place < 0.5:
            leaf.tick()
        leaf.place = 1.0
        leaf.until(Mode.OPEN)
        leaf.run(120).say(Word.CLOSE)
        leaf.until(Mode.SHUT)
        leaf.run(120)
    assert leaf.counted(Counter.SLIPS) == 3


@pytest.mark.parametrize("reading", [25100, -25100, 32767, -32768])
@pytest.mark.parametrize("moving", [False, True])
def test_a_reading_that_no_current_can_make_is_a_fault(moving, reading):
    leaf = Leaf().opening_at(0.5) if moving else Leaf().shut()
    leaf.current = lambda _: reading
    failed(leaf, Fault.SENSOR_RANGE, within=5)


def test_one_wild_reading_is_none():
    leaf = Leaf().opening_at(0.3)
    for _ in range(20):
        leaf.current = lambda _: 32767
        leaf.tick()
        leaf.current = int
        leaf.run(2)
    assert leaf.mode == Mode.OPENING


@pytest.mark.parametrize(("offset", "fault"), [(500, None), (-500, None), (501, 1), (-501, 1)])
def test_an_offset_is_believed_up_to_its_bound(offset, fault):
    leaf = Leaf(zero_most_mA=500)
    leaf.current = lambda mA: mA + offset
    leaf.run(200)
    assert leaf.fault == (Fault.SENSOR_RANGE if fault else Fault.WELL)
    if not fault:
        assert int(leaf.detect["offset_mA"]) == offset


def test_a_start_waits_for_the_zero_of_the_sensor():
    leaf = Leaf(zero_ms=300, dead_ms=20).say(Word.OPEN)
    waited = leaf.until_driven()
    assert waited == pytest.approx(320, abs=2)


def test_a_zero_that_never_comes_is_a_fault_after_five_seconds():
    leaf = Leaf(zero_ms=50).run(120)
    flicker = iter(range(10**9))
    leaf.current = lambda mA: mA or (400 if next(flicker) % 40 < 5 else 0)
    leaf.run(50)
    leaf.say(Word.OPEN)
    assert leaf.until(Mode.FAULT) == pytest.approx(5020, abs=3)
    assert leaf.fault == Fault.SENSOR_RANGE


def test_a_drift_of_the_offset_at_rest_is_followed():
    leaf = Leaf().shut()
    drift = 0
    for _ in range(40):
        drift += 10
        leaf.adds(drift)
        leaf.run(100)
    assert int(leaf.detect["offset_mA"]) == 400
    leaf.say(Word.OPEN)
    leaf.until(Mode.OPEN)


def test_current_at_rest_is_a_fault_after_its_time_and_is_not_zeroed_away():
    leaf = Leaf(none_ms=60, zero_ms=8).shut()
    leaf.current = lambda _: 210
    leaf.run(60)
    assert leaf.mode == Mode.SHUT
    failed(leaf, Fault.CURRENT_WITHOUT_DUTY, within=3)


def test_a_current_that_dies_down_after_a_stop_is_none():
    leaf = Leaf().opening_at(0.5)
    leaf.say(Word.STOP)
    for left in range(50, 0, -1):
        leaf.adds(40 * left).tick()
    leaf.current = int
    leaf.run(200)
    assert leaf.mode == Mode.STOPPED


def test_braking_current_in_the_dead_time_of_a_reversal_is_none():
    leaf = Leaf(dead_ms=200).opening_at(0.4).say(Word.CLOSE)
    leaf.current = lambda mA: mA or 3000
    leaf.run(199)
    assert leaf.mode == Mode.CLOSING
    leaf.current = int
    leaf.until(Mode.SHUT)


def test_no_start_while_current_flows_that_nobody_ordered():
    leaf = Leaf(dead_ms=5, none_ms=100).shut()
    leaf.current = lambda _: 3000
    leaf.run(3).say(Word.OPEN)
    leaf.until(Mode.FAULT, within=120)
    assert leaf.fault == Fault.CURRENT_WITHOUT_DUTY
    assert leaf.place == 0.0


@pytest.mark.parametrize("ends", [Ends.SWITCHES, Ends.STALL])
def test_no_current_in_spite_of_duty_is_a_fault(ends):
    leaf = Leaf(ends=ends, none_ms=60).run(120)
    leaf.moving = False
    leaf.say(Word.OPEN).until_driven()
    failed(leaf, Fault.NO_CURRENT, within=70)


def test_the_very_same_reading_for_its_time_is_a_fault():
    leaf = Leaf(stuck_ms=100).opening_at(0.3)
    leaf.run(150)
    assert leaf.mode == Mode.OPENING
    leaf.current = lambda _: 2003
    leaf.run(99)
    assert leaf.mode == Mode.OPENING
    failed(leaf, Fault.SENSOR_STUCK, within=4)


# ---- clearing ----------------------------------------------------------------------------------------


def in_fault() -> Leaf:
    """Both limits, which then are well again."""
    leaf = Leaf().shut()
    leaf.limits = {"shut": 1, "open": 1}
    leaf.tick()
    leaf.limits = {}
    return leaf.run(50)


def test_in_a_fault_commands_are_refused_and_nothing_clears_it_by_itself():
    leaf = in_fault()
    for word in (Word.OPEN, Word.CLOSE, Word.LAY_UP):
        leaf.say(word).run(50)
    leaf.run(3000)
    assert leaf.mode == Mode.FAULT
    assert leaf.counted(Counter.REFUSED) == 3


def test_the_button_clears_a_fault_when_held_for_its_time():
    leaf = in_fault()
    leaf.press(900)
    assert leaf.mode == Mode.FAULT
    leaf.inputs["button"] = 1
    elapsed = leaf.until(Mode.STOPPED)
    assert elapsed == pytest.approx(1020, abs=2)
    assert (leaf.why, leaf.fault) == (Why.BUTTON, Fault.WELL)
    leaf.inputs["button"] = 0
    leaf.run(500)
    assert leaf.mode == Mode.STOPPED


def test_a_button_that_was_already_down_counts_from_the_fault_on():
    leaf = Leaf().shut()
    leaf.inputs["button"] = 1
    leaf.run(900)
    leaf.limits = {"shut": 1, "open": 1}
    leaf.until(Mode.FAULT)
    leaf.limits = {}
    assert leaf.until(Mode.STOPPED) == pytest.approx(1000, abs=2)


def test_the_line_clears_a_fault_only_where_nothing_is_wrong_any_more():
    leaf = in_fault()
    leaf.limits = {"shut": 1, "open": 1}
    leaf.say(Word.CLEAR)
    assert (leaf.mode, leaf.why) == (Mode.FAULT, Why.REFUSED)
    leaf.limits = {}
    leaf.say(Word.CLEAR)
    assert (leaf.mode, leaf.why, leaf.fault) == (Mode.STOPPED, Why.LINE, Fault.WELL)


def test_after_a_fault_the_place_is_not_known_and_the_move_slow():
    leaf = in_fault()
    assert not leaf.detect["place_known"]
    leaf.say(Word.CLEAR).run(120)
    assert not leaf.detect["place_known"]
    leaf.say(Word.OPEN).run(300)
    assert leaf.duty == 400


def test_after_a_fault_the_move_is_slow_even_where_a_sensor_tells_the_place():
    leaf = in_fault()
    leaf.place_sensor = True
    leaf.say(Word.CLEAR).run(120).say(Word.OPEN).run(300)
    assert leaf.detect["place_known"]
    assert leaf.duty == 400


def test_clearing_by_the_button_zeroes_the_sensor_afresh():
    leaf = Leaf().shut()
    leaf.current = lambda mA: mA + 300
    leaf.until(Mode.FAULT)
    assert leaf.fault == Fault.CURRENT_WITHOUT_DUTY
    leaf.say(Word.CLEAR)
    assert leaf.mode == Mode.FAULT
    leaf.press(1100)
    leaf.run(200)
    assert leaf.mode == Mode.STOPPED
    assert int(leaf.detect["offset_mA"]) == 300
    leaf.say(Word.OPEN)
    leaf.until(Mode.OPEN)


def test_a_fault_that_is_still_there_comes_back_after_clearing():
    leaf = in_fault()
    leaf.limits = {"shut": 1, "open": 1}
    leaf.press(1100)
    assert leaf.fault == Fault.BOTH_LIMITS
    assert leaf.counted(Counter.FAULTS) == 2


def test_every_fault_is_counted():
    leaf = in_fault()
    assert leaf.counted(Counter.FAULTS) == 1
