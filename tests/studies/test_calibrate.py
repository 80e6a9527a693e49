"""Setting the reversal from recorded moves, on simulated ones."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from math import nan
from threading import Event
from time import process_time
from typing import Any

import numpy as np
import pytest

from hutwright.bench.contact import Contact, Spot
from hutwright.bench.played_moves import Setting, move_rows, played_move
from hutwright.bench.settings import core_settings
from hutwright.errors import RequestError, StoppedError
from hutwright.evidence.trace import Trace, Way
from hutwright.laws.copper import CELSIUS_ZERO
from hutwright.native import engine
from hutwright.native.words import Fault, Mode, Refusal, Why
from hutwright.plant.conditions import nominal
from hutwright.studies.calibrate import Calibration, beforehand, calibrate, training_times
from hutwright.studies.calibrate_claim import CONFIDENCE, Basis, Branch, claim_of, threshold_of
from hutwright.studies.calibrate_forces import Press
from hutwright.studies.calibrate_heard import heard
from hutwright.studies.calibrate_learn import learn
from hutwright.studies.rehearse import stage_of
from tests.described import orchard
from tests.evidence.rows import thinned
from tests.studies.population import door, drawn

MILD = (15.0, 25.0)
CYCLES = 12
NAMES = ["orchard", "sports_field"]


@cache
def _calibrated(name: str) -> Calibration:
    return calibrate(door(name), drawn(name, CYCLES, MILD))


@pytest.fixture(params=["orchard", pytest.param("sports_field", marks=pytest.mark.slow)])
def found(request):
    return _calibrated(request.param)


def _obstructed(name: str, gap: float) -> Trace:
    project, stage = door(name).project, stage_of(door(name))
    way = stage.edge_way(gap)
    assert way is not None
    setting = Setting(nominal(project), seed=77, events=stage.obstacle(way))
    return played_move(project, setting, Way.CLOSING, cycle=500)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("way", list(Way))
def test_a_move_is_heard_as_the_core_hears_it(name, way):
    project = door(name).project
    base, setting = core_settings(project), Setting(nominal(project), every=1)
    rows = move_rows(project, setting, way)
    move = heard([played_move(project, setting, way)], base)[0]
    first = int(np.flatnonzero(rows["duty_permille"] != 0.0)[0])
    core = rows["filtered_mA"][first : first + len(move.time)] / 1e3
    # the core rounds its zero and every reading to 1 mA and is within 3 mA; a row may be a tick apart, in
    # which the filter moves by a twentieth of its way, most at the start
    late = move.time > 0.5
    assert np.max(np.abs(core - move.filtered)[late]) < 0.02


def test_the_core_takes_the_settings_and_they_hold_the_trained_range(found):
    assert engine.refusal(found.settings) is Refusal.GOOD
    low, high = found.trained.temperature
    assert int(found.settings["trained_low_dC"]) == round(10 * (low - CELSIUS_ZERO))
    assert int(found.settings["trained_high_dC"]) == round(10 * (high - CELSIUS_ZERO))
    for one in found.learnt:
        detector = found.settings[one.way.value]
        assert int(detector["trip_mA"]) == round(1e3 * one.threshold(Branch.RESIDUAL).value)
        assert int(detector["rise_mA"]) == round(1e3 * one.threshold(Branch.RISE).value)


def test_moves_that_it_never_saw_arrive_with_the_settings_in_the_core(found):
    described = found.described
    assert found.trained.temperature is not None
    middle = sum(found.trained.temperature) / 2.0
    weather = nominal(described.project)._replace(temperature=middle)
    for seed in range(4):
        for way in Way:
            move = played_move(
                described.project, Setting(weather, seed=90 + seed), way, settings=found.settings
            )
            assert move.reached, (way, seed)


def test_every_contact_of_a_door_that_is_offered_keeps_its_limits(found):
    assert found.refused == any(not each.kept for each in found.presses)
    if not found.refused:
        for each in found.presses:
            met = each.contact
            assert not met.touched or (met.peak_seen <= each.limit and met.above_150 <= 0.75)
            assert not met.touched or each.decided or each.yielding


def _press(found: Calibration, *, stiffness: float, **seen: Any) -> Press:
    """The first contact with something of that stiffness, with some of what was seen changed."""
    press = next(each for each in found.presses if each.stiffness == stiffness and each.contact.touched)
    return replace(press, contact=replace(press.contact, **seen))


def test_what_yields_may_stay_below_peak_and_duration_without_any_decision():
    found = _calibrated("orchard")
    never: dict[str, Any] = {
        "trip_time": math.nan,
        "mode": Mode.SHUT,
        "above_150": 0.0,
        "peak_seen": 60.0,
        "at_5s": 60.0,
    }
    soft = _press(found, stiffness=1e3, end_force=60.0, **never)
    assert soft.yielding
    assert soft.kept
    assert soft.held == 60.0
    assert not _press(found, stiffness=1e3, **{**never, "above_150": 0.8}).kept
    assert not _press(found, stiffness=1e3, **{**never, "peak_seen": 401.0}).kept
    assert not _press(found, stiffness=20e3, **never).kept


def test_a_leaf_that_reverses_just_before_the_touch_has_decided():
    found = _calibrated("orchard")
    seen: dict[str, Any] = {
        "trip_time": math.nan,
        "above_150": 0.0,
        "peak_seen": 1.0,
        "at_5s": 0.0,
        "end_force": 0.0,
    }
    assert _press(found, stiffness=500e3, mode=Mode.REVERSING, **seen).kept
    assert not _press(found, stiffness=500e3, mode=Mode.CLOSING, **seen).kept


def test_something_that_is_held_for_good_is_warned_of():
    found = _calibrated("orchard")
    held = _press(found, stiffness=1e3, trip_time=math.nan, mode=Mode.SHUT, end_force=60.0, above_150=0.0)
    (told,) = beforehand((held,))
    assert "(1 N/mm, gap 50 mm" in told
    assert "is pressed with 60 N for good, and nothing reverses" in told
    assert tuple(beforehand(())) == ()


def test_runs_with_something_in_the_way_verify_and_set_nothing():
    clean = drawn("orchard", CYCLES, MILD)
    again = calibrate(door("orchard"), clean, [_obstructed("orchard", 0.3), _obstructed("orchard", 0.5)])
    assert again.verified is not None
    assert (again.verified.told, again.verified.runs) == (2, 2)
    assert again.settings.tobytes() == _calibrated("orchard").settings.tobytes()


def test_a_free_move_among_the_obstructed_ones_is_named_as_not_told():
    clean = drawn("orchard", CYCLES, MILD)
    again = calibrate(door("orchard"), clean, [clean[1]])
    assert again.verified is not None
    assert again.verified.told == 0
    assert "closing of cycle 1" in again.verified.missed[0]
    assert again.verified.missed_at_most == 1.0


def test_a_claim_that_counts_and_one_by_a_law_say_which_they_are(found):
    kinds = {each.basis for one in found.learnt for each in one.thresholds}
    assert (found.claim.basis is Basis.COUNT) == (Basis.COUNT in kinds)
    assert found.claim.cycles == CYCLES
    assert 0.0 < found.claim.expected < found.claim.share <= 1.0


def test_thresholds_by_the_law_share_the_confidence_of_the_claim():
    rng = np.random.default_rng(5)
    four = [threshold_of(Way.CLOSING, Branch.RISE, rng.gumbel(0.3, 0.02, 50), 4) for _ in range(4)]
    assert all(each.basis is Basis.LAW for each in four)
    claim = claim_of(four, 2)
    assert claim.share == pytest.approx(4 * 0.0005)
    assert claim.per_season == pytest.approx(claim.share * 2 * 214)
    assert claim.confidence == CONFIDENCE


def test_the_greatest_of_spoilt_maxima_is_claimed_by_counting_only():
    rng = np.random.default_rng(6)
    spoilt = np.concatenate([rng.gumbel(0.3, 0.02, 46), [1.5, 1.7, 1.9]])
    one = threshold_of(Way.CLOSING, Branch.RESIDUAL, spoilt, 1)
    assert one.basis is Basis.COUNT
    assert one.value == pytest.approx(1.9, abs=1.1e-3)
    # 1 - 0.05^(1/49)
    assert claim_of([one], 0).share == pytest.approx(1.0 - 0.05 ** (1 / 49), rel=1e-6)
    assert claim_of([one], 0).per_season is None


def test_what_is_behind_the_boards_filter_is_not_filtered_again():
    described = door("sports_field")
    base = core_settings(described.project)
    setting = Setting(nominal(described.project), every=1)
    rows = move_rows(described.project, setting, Way.CLOSING)
    raw = played_move(described.project, setting, Way.CLOSING)
    first = int(np.flatnonzero(rows["duty_permille"] != 0.0)[0])
    core = rows["filtered_mA"][first : first + len(raw.time)].astype(np.float64) / 1e3
    # as the board tells it: every 20 ms, which is further apart than the filter of 15 ms
    told = {name: getattr(raw, name)[::20] for name in ("time", "supply", "place", "duty")}
    coarse = replace(raw, **told, current=core[::20], filtered=True)
    (move,) = heard([coarse], base)
    np.testing.assert_array_equal(move.filtered, coarse.current[: len(move.filtered)])
    with pytest.raises(RequestError, match="wanted one every 15 ms or quicker"):
        heard([replace(coarse, filtered=False)], base)
    mixed = heard([raw, coarse, raw], base)
    np.testing.assert_array_equal(mixed[1].filtered, move.filtered)
    np.testing.assert_array_equal(mixed[0].filtered, heard([raw], base)[0].filtered)


def pressed(mode: Mode, trip_time: float = nan, peak_seen: float = 7.0) -> Press:
    met = Contact(
        spot=Spot(0.1, 5e5), touched=True, speed=0.05, peak=8.0, peak_seen=peak_seen, above_150=0.0,
        above_25=0.0, at_5s=0.0, trip_time=trip_time, back_time=nan, end_force=0.0, mode=mode, why=Why.RISE,
        fault=Fault.WELL,
    )  # fmt: skip
    return Press("a cold day", 0.3, 5e5, met, 400.0)


def test_a_leaf_that_had_turned_back_before_it_touched_was_turned_back():
    before = pressed(Mode.REVERSING)
    assert (before.kept, before.decided, before.by_itself) == (True, True, True)
    assert before.worst_share == pytest.approx(7.0 / 400.0)
    never = pressed(Mode.CLOSING)
    assert (never.kept, never.decided, never.by_itself) == (False, False, False)
    assert never.worst_share == float("inf")
    told = pressed(Mode.REVERSING, trip_time=0.05)
    assert (told.kept, told.decided, told.by_itself) == (True, True, False)
    assert not pressed(Mode.REVERSING, peak_seen=401.0).kept


def test_without_temperatures_it_says_that_the_weather_is_not_known():
    bare = [replace(each, temperature=None) for each in drawn("orchard", CYCLES, MILD)]
    found = calibrate(door("orchard"), bare)
    assert found.trained.temperature is None
    assert any("temperature was not recorded" in each for each in found.warnings)
    base = core_settings(door("orchard").project)
    assert found.settings["trained_low_dC"] == base["trained_low_dC"]


def test_a_place_that_was_not_recorded_is_followed_as_the_core_does():
    clean = drawn("orchard", CYCLES, MILD)[:2]
    base = core_settings(door("orchard").project)
    bare = heard([replace(each, place=None) for each in clean], base)
    for trace, move in zip(clean, bare, strict=True):
        assert trace.place is not None
        # the ramp of 0.2 s is left out, and rows stand for two ticks: some per mille of the travel
        assert np.max(np.abs(move.place - trace.place[: len(move.place)])) < 0.03


def test_moves_that_did_not_arrive_teach_nothing_and_are_named():
    clean = list(drawn("orchard", CYCLES, MILD))
    clean[0] = replace(clean[0], reached=False)
    found = calibrate(door("orchard"), clean)
    assert len(found.learnt[0].moves) == CYCLES - 1
    assert "opening of cycle 1 did not reach its end" in found.left_out[0]


def test_too_few_moves_are_refused_in_a_sentence():
    with pytest.raises(RequestError, match="read 3 clean moves of opening; wanted 10 or more"):
        learn(drawn("orchard", CYCLES, MILD)[:6], core_settings(door("orchard").project))


def test_rows_that_are_too_far_apart_for_the_filter_are_refused():
    clean = drawn("orchard", CYCLES, MILD)[0]
    thin = thinned(clean, 25)
    with pytest.raises(RequestError, match="read a row every 50 ms"):
        heard([thin], core_settings(door("orchard").project))


def test_it_ends_early_where_somebody_wants_that():
    stop = Event()
    stop.set()
    with pytest.raises(StoppedError, match="nothing was set"):
        calibrate(door("orchard"), drawn("orchard", CYCLES, MILD), cancel=stop)


def test_it_tells_how_many_moves_it_has_heard():
    told = []
    calibrate(
        door("orchard"),
        drawn("orchard", CYCLES, MILD),
        progress=lambda done, of: told.append((done, of)),
    )
    assert told[-1] == (2 * CYCLES, 2 * CYCLES)


def test_training_takes_longer_the_more_cycles_and_the_less_duty():
    project = door("orchard").project
    times = training_times(project)
    assert [each.cycles for each in times] == [10, 30, 100, 200]
    assert times[1].time == pytest.approx(3.0 * times[0].time)
    assert project.drive is not None
    rating = replace(project.drive.rating, duty=project.drive.rating.duty / 2.0)
    slower = replace(project, drive=replace(project.drive, rating=rating))
    assert training_times(slower)[0].time == pytest.approx(2.0 * times[0].time)


@pytest.mark.slow
def test_a_door_that_decides_too_late_is_refused_with_each_lever_tried():
    late = orchard({"controller.detection.after": "900 ms"})
    found = calibrate(late, drawn("orchard", CYCLES, MILD))
    assert found.refused
    assert found.worst is not None
    assert found.worst.contact.above_150 > 0.75
    assert [each.holds for each in found.helped] == [each.worst.worst_share <= 1.0 for each in found.helped]
    assert any("reverse after" in each.option.words and each.holds for each in found.helped)


@pytest.mark.slow
def test_two_hundred_cycles_are_calibrated_in_less_than_ten_seconds():
    moves = drawn("orchard", 200, MILD)
    begun = process_time()
    calibrate(door("orchard"), moves)
    assert process_time() - begun < 10.0
