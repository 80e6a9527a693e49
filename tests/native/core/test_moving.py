"""Starts, ends, caps, supply, power: the manual in door.h, sentence by sentence."""

from __future__ import annotations

import pytest

from hutwright.native.words import Counter, Ends, Fault, Mode, Refusal, Why, Word
from tests.native.core.leaf import Leaf


def test_nothing_moves_after_power_up_until_commanded():
    leaf = Leaf().run(3000)
    assert (leaf.mode, leaf.why, leaf.place) == (Mode.STOPPED, Why.POWER_UP, 0.0)
    assert leaf.counted(Counter.STARTS) == 0


def test_a_power_up_is_counted_and_the_counters_are_kept_over_it():
    leaf = Leaf().shut()
    kept = leaf.controller.state["counters"].copy()
    leaf.controller.begin(kept)
    assert leaf.counted(Counter.POWER_UPS) == 2
    assert leaf.counted(Counter.COMPLETED) == int(kept[Counter.COMPLETED]) > 0
    leaf.controller.begin()
    assert leaf.counted(Counter.POWER_UPS) == 1
    assert leaf.counted(Counter.COMPLETED) == 0


def test_the_last_state_is_not_trusted_after_power_comes_back():
    leaf = Leaf().opened()
    leaf.controller.begin()
    leaf.run(100)
    assert leaf.mode == Mode.STOPPED
    assert not leaf.out["may_leave"]
    assert not leaf.detect["place_known"]


@pytest.mark.parametrize(("word", "place"), [(Word.OPEN, 0.0), (Word.CLOSE, 1.0)])
def test_the_whole_first_move_is_slow_and_the_next_is_not(word, place):
    leaf = Leaf(place).run(120).say(word)
    greatest = 0
    while leaf.mode in (Mode.OPENING, Mode.CLOSING):
        leaf.tick()
        greatest = max(greatest, abs(leaf.duty))
    assert greatest == 400
    leaf.run(50).say(Word.CLOSE if word == Word.OPEN else Word.OPEN).run(300)
    assert abs(leaf.duty) == 900


def test_a_first_move_is_slow_even_where_a_sensor_tells_the_place():
    leaf = Leaf()
    leaf.place_sensor = True
    leaf.run(120).say(Word.OPEN).run(400)
    assert leaf.detect["place_known"]
    assert leaf.duty == 400


@pytest.mark.parametrize("dead_ms", [5, 20, 333])
def test_both_sides_are_off_for_exactly_the_dead_time_before_a_start(dead_ms):
    leaf = Leaf(dead_ms=dead_ms).run(900).say(Word.OPEN)
    assert leaf.mode == Mode.OPENING
    assert leaf.until_driven() == dead_ms


@pytest.mark.parametrize("dead_ms", [5, 20, 333])
def test_both_sides_are_off_for_exactly_the_dead_time_in_a_reversal(dead_ms):
    leaf = Leaf(dead_ms=dead_ms).run(900).opening_at(0.5).say(Word.CLOSE)
    assert (leaf.mode, leaf.duty, leaf.out["enable"]) == (Mode.CLOSING, 0, 1)
    assert leaf.until_driven() == dead_ms
    assert leaf.duty < 0


def test_the_bridge_brakes_in_the_dead_time_and_is_off_at_rest():
    leaf = Leaf().run(120)
    assert not leaf.out["enable"]
    leaf.say(Word.OPEN)
    assert (leaf.duty, leaf.out["enable"]) == (0, 1)
    leaf.until(Mode.OPEN)
    assert not leaf.out["enable"]


@pytest.mark.parametrize(("start", "ramp"), [(200, 100), (0, 333), (399, 7), (200, 2000), (100, 1)])
def test_the_duty_rises_evenly_from_start_to_normal_in_the_time_of_the_ramp(start, ramp):
    leaf = Leaf(
        start_permille=start, ramp_ms=ramp, place_gain_q8=1, opening_cap_ms=60000, last_open_permille=0
    )
    leaf.run(120)
    leaf.limits, leaf.current = {"shut": 0, "open": 0}, lambda mA: 2000 if mA else 0
    leaf.decide["first_move"] = 0
    leaf.detect["place_known"] = 1
    leaf.say(Word.OPEN).run(20)
    for elapsed in range(ramp + 20):
        assert leaf.duty == pytest.approx(min(900.0, start + (900 - start) * elapsed / ramp), abs=1.0)
        leaf.tick()
    assert leaf.duty == 900


def test_the_last_stretch_is_slow_in_both_directions():
    leaf = Leaf(last_open_permille=200, last_shut_permille=300).shut()
    for word, slow_from in ((Word.OPEN, 0.8), (Word.CLOSE, 0.3)):
        leaf.say(word).run(150)
        while leaf.mode in (Mode.OPENING, Mode.CLOSING):
            if leaf.believed not in (0.0, 1.0) and abs(leaf.believed - slow_from) > 0.01:
                late = leaf.believed > slow_from if word == Word.OPEN else leaf.believed < slow_from
                assert abs(leaf.duty) == (400 if late else 900) or leaf.decide["run_ms"] < 110
            leaf.tick()
        leaf.run(150)


@pytest.mark.parametrize("ends", [Ends.SWITCHES, Ends.INSIDE])
def test_a_move_ends_at_its_end_and_the_place_is_set_there(ends):
    leaf = Leaf(ends=ends).shut()
    assert (leaf.mode, leaf.believed) == (Mode.SHUT, 0.0)
    leaf.say(Word.OPEN)
    leaf.until(Mode.OPEN)
    leaf.tick()
    assert (leaf.why, leaf.believed) == (Why.LIMIT, 1.0)
    assert leaf.counted(Counter.COMPLETED) == 3


def test_the_drive_goes_off_in_the_tick_in_which_the_switch_is_made():
    leaf = Leaf().opening_at(0.5)
    leaf.limits["open"] = 1
    leaf.limits["shut"] = 0
    leaf.tick()
    assert (leaf.duty, leaf.out["enable"], leaf.mode) == (0, 0, Mode.OPEN)


def test_a_command_to_where_the_leaf_already_is_drives_nothing():
    leaf = Leaf().shut()
    starts = leaf.counted(Counter.STARTS)
    leaf.say(Word.CLOSE).run(200)
    assert (leaf.mode, leaf.counted(Counter.STARTS)) == (Mode.SHUT, starts)
    assert leaf.counted(Counter.REFUSED) == 0


def test_a_leaf_that_was_pushed_off_its_switch_is_driven_there_again():
    leaf = Leaf().opened()
    leaf.place = 0.97
    leaf.tick()
    assert not leaf.out["may_leave"]
    leaf.say(Word.OPEN)
    assert leaf.mode == Mode.OPENING
    leaf.until(Mode.OPEN)
    leaf.tick()
    assert leaf.out["may_leave"]


def test_the_machine_may_leave_only_when_fully_open_and_at_rest():
    leaf = Leaf().run(120).say(Word.OPEN)
    while leaf.mode == Mode.OPENING:
        assert not leaf.out["may_leave"]
        leaf.tick()
    assert leaf.out["may_leave"]
    leaf.run(100).say(Word.CLOSE)
    assert not leaf.out["may_leave"]


def test_an_arrival_without_current_is_not_relied_on_before_the_other_end_is_found():
    leaf = Leaf(ends=Ends.INSIDE).opened()
    assert leaf.mode == Mode.OPEN
    assert not leaf.out["may_leave"]
    leaf.say(Word.CLOSE)
    leaf.until(Mode.SHUT)
    leaf.run(120).say(Word.OPEN)
    leaf.until(Mode.OPEN)
    assert leaf.out["may_leave"]


def test_a_motor_that_never_draws_current_is_found_in_the_second_move():
    leaf = Leaf(ends=Ends.INSIDE)
    leaf.moving = False
    leaf.opened()
    assert leaf.mode == Mode.OPEN
    leaf.say(Word.CLOSE)
    leaf.until(Mode.FAULT)
    assert leaf.fault == Fault.NO_CURRENT


def test_no_current_in_mid_travel_is_a_fault_with_inside_switches():
    leaf = Leaf(ends=Ends.INSIDE).opening_at(0.5)
    leaf.moving = False
    leaf.until(Mode.FAULT, within=100)
    assert leaf.fault == Fault.NO_CURRENT


def test_a_drive_without_switches_takes_the_stall_at_the_end_as_arrival():
    leaf = Leaf(ends=Ends.STALL, blind_ms=50).opened()
    assert leaf.mode == Mode.STOPPED  # where it is was not known: relaxed and held
    assert 0.9 < leaf.place < 1.0
    assert not leaf.out["may_leave"]
    leaf.say(Word.CLOSE)
    leaf.until(Mode.SHUT)
    leaf.run(120).say(Word.OPEN)
    leaf.until(Mode.OPEN)
    assert leaf.out["may_leave"]
    assert leaf.counted(Counter.COMPLETED) == 2


def test_a_stall_in_mid_travel_is_no_arrival_without_switches():
    leaf = Leaf(ends=Ends.STALL, blind_ms=50).opened().say(Word.CLOSE)
    while leaf.place > 0.5:
        leaf.tick()
    leaf.blocked = (leaf.place, 1.0)
    assert leaf.until(Mode.REVERSING) < 40
    leaf.until(Mode.OPEN)


@pytest.mark.parametrize(("way", "cap"), [("opening", 700), ("closing", 1234)])
def test_a_drive_is_ended_after_exactly_its_cap(way, cap):
    leaf = Leaf(place_gain_q8=1, last_open_permille=0, last_shut_permille=0, **{f"{way}_cap_ms": cap})
    leaf.run(120)
    leaf.blocked = (leaf.place, leaf.place)
    leaf.current = lambda mA: 2000 if mA else 0
    leaf.limits = {"shut": 0, "open": 0}
    leaf.say(Word.OPEN if way == "opening" else Word.CLOSE).until_driven()
    driven = 0
    while leaf.duty:
        driven += 1
        leaf.tick()
    assert driven == cap
    assert (leaf.mode, leaf.fault) == (Mode.FAULT, Fault.RUN_TOO_LONG)


def test_no_move_starts_while_the_supply_is_low():
    leaf = Leaf().shut()
    leaf.inputs["supply_mV"] = 10499
    leaf.say(Word.OPEN).run(50)
    assert (leaf.mode, leaf.why) == (Mode.SHUT, Why.REFUSED)
    leaf.inputs["supply_mV"] = 10500
    leaf.say(Word.OPEN)
    assert leaf.mode == Mode.OPENING


def test_a_move_ends_when_the_supply_has_been_low_for_its_time():
    leaf = Leaf().opening_at(0.4)
    leaf.inputs["supply_mV"] = 9499
    leaf.run(49)
    assert leaf.mode == Mode.OPENING
    leaf.tick()
    assert (leaf.mode, leaf.why, leaf.duty) == (Mode.STOPPED, Why.SUPPLY, 0)
    assert leaf.counted(Counter.SUPPLY) == 1


def test_a_short_dip_of_the_supply_ends_nothing():
    leaf = Leaf().opening_at(0.2)
    for _ in range(4):
        leaf.inputs["supply_mV"] = 9000
        leaf.run(49)
        leaf.inputs["supply_mV"] = 12000
        leaf.tick()
    assert leaf.mode == Mode.OPENING


def test_a_commanded_reversal_does_not_wait_for_a_better_supply():
    leaf = Leaf().closing_at(0.5)
    leaf.inputs["supply_mV"] = 10000
    leaf.say(Word.OPEN)
    assert leaf.mode == Mode.OPENING


def test_refused_settings_never_move_anything_and_nothing_clears_that():
    leaf = Leaf(opening_cap_ms=0)
    leaf.run(100).say(Word.OPEN).run(300).press(1500)
    leaf.say(Word.CLEAR).run(10)
    assert (leaf.mode, leaf.fault) == (Mode.FAULT, Fault.BAD_SETTINGS)
    assert Refusal(int(leaf.decide["refusal"])) == Refusal.RUN_CAP
    assert leaf.counted(Counter.FAULTS) == 1


def test_every_start_outside_the_trained_range_is_counted():
    leaf = Leaf().shut()
    assert leaf.counted(Counter.OUTSIDE_TRAINED) == 0
    leaf.inputs["temperature_dC"] = -51
    leaf.say(Word.OPEN)
    leaf.until(Mode.OPEN)
    assert leaf.counted(Counter.OUTSIDE_TRAINED) == 1


def test_counters_stay_at_their_greatest_value():
    leaf = Leaf().shut()
    leaf.controller.state["counters"][Counter.STARTS] = 65535
    leaf.say(Word.OPEN)
    leaf.until(Mode.OPEN)
    assert leaf.counted(Counter.STARTS) == 65535


def test_a_move_is_summed_up_in_the_tick_in_which_it_ends():
    leaf = Leaf().shut()
    before = int(leaf.controller.state["summary"]["number"])
    leaf.inputs["temperature_dC"] = 123
    leaf.say(Word.OPEN).until_driven()
    driven, ready = 0, 0
    while leaf.mode == Mode.OPENING:
        driven += 1
        leaf.inputs["supply_mV"] = 11000 if driven == 100 else 12000
        leaf.tick()
        ready += int(leaf.out["summary_ready"])
    summary = leaf.controller.state["summary"]
    assert ready == 1
    assert int(summary["number"]) == before + 1
    assert int(summary["duration_ms"]) == driven
    assert (int(summary["opening"]), int(summary["why"])) == (1, Why.LIMIT)
    assert (int(summary["least_supply_mV"]), int(summary["temperature_dC"])) == (11000, 123)
    assert abs(int(summary["peak_residual_mA"])) <= 20
    assert not leaf.tick()["summary_ready"]


def test_the_peak_residual_of_a_summary_leaves_the_blind_time_out():
    leaf = Leaf().shut()
    leaf.say(Word.OPEN).until_driven()
    leaf.current = lambda mA: mA + 5000
    leaf.run(150)
    leaf.current = lambda mA: mA + 300 if mA else 0
    leaf.until(Mode.OPEN)
    assert 290 <= int(leaf.controller.state["summary"]["peak_residual_mA"]) <= 320
