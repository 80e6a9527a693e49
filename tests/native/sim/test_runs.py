"""Runs with the real controller: the same whoever runs them, one by one or many at once."""

from __future__ import annotations

import threading
from concurrent.futures import ProcessPoolExecutor, ThreadPoolExecutor
from multiprocessing import get_context

import numpy as np
import pytest

from hutwright.laws.force_trace import time_above
from hutwright.native import engine, records
from hutwright.native.scenario import Event, fill, obstacle, scenario
from hutwright.native.words import Counter, Ended, EventKind, Eyes, Mode, When, Word
from tests.native.doors import DOORS, hinged, pressing, settings_for, sliding

OPEN = Event(EventKind.WORD, 0.3, Word.OPEN)


def noisy():
    """A sliding door whose sensor is noisy and coarse."""
    door = sliding()
    door["sensor_noise"], door["supply_noise"] = 0.05, 0.02
    door["sensor_step"], door["supply_step"] = 0.03, 0.02
    return door


def many(number, duration=1.0):
    """Scenarios that differ in their seed and their obstacle."""
    made = np.zeros(number, records.SCENARIO)
    for seed in range(number):
        face = 0.02 + 0.04 * (seed / number)
        stop = obstacle(0.0, face=face, stiffness=5e4, opening=True)
        made[seed] = scenario([OPEN, stop], duration=duration, seed=seed)
    return made


@pytest.mark.parametrize("name", DOORS)
def test_a_door_opens_on_command_and_shuts_on_command(name):
    door = DOORS[name]()
    settings = settings_for(door)
    opened = engine.run(door, settings, scenario([OPEN], duration=30.0, settle=0.5))
    assert Mode(opened.result["end_mode"]) is Mode.OPEN
    assert opened.result["ended_early"] == Ended.SETTLED
    assert opened.result["end_q"] > 0.97 * float(door["full"])
    close = Event(EventKind.WORD, 0.3, Word.CLOSE)
    shut = engine.run(door, settings, scenario([close], duration=30.0, start_open=True, settle=0.5))
    assert Mode(shut.result["end_mode"]) is Mode.SHUT
    assert shut.result["end_q"] < 0.03 * float(door["full"])
    for run in (opened, shut):
        assert run.result["broken"] == 0
        assert run.result["rows"] == len(run.rows) == round(1000.0 * run.result["end_time"])
        known = run.rows["place_share"]
        share = run.rows["rod"] / engine.rod(door, float(door["full"]))[0]
        assert np.abs(known - share).max() < 0.05  # what the controller believes is near the truth


def test_a_closing_that_meets_something_reverses_and_opens():
    door = hinged()
    close, block = Event(EventKind.WORD, 0.3, Word.CLOSE), obstacle(0.0, face=0.2, stiffness=2e4)
    settings = settings_for(door).copy()
    settings["closing"]["profile_mA"], settings["closing"]["trip_mA"] = 900, 600
    run = engine.run(
        door, engine.sealed(settings), scenario([close, block], duration=30.0, start_open=True, settle=0.5)
    )
    result = run.result
    assert Mode(result["end_mode"]) is Mode.OPEN
    assert 0.0 < result["contact_time"] < result["trip_time"] < result["back_time"]
    assert result["static_force"] == pytest.approx(0.0, abs=1e-6)
    assert result["peak_force"] == pytest.approx(run.rows["force"].max(), rel=0.02)
    assert result["peak_seen"] <= result["peak_force"]
    assert result["above_25"] == pytest.approx(
        time_above(run.rows["time"], run.rows["force_seen"], 25.0), abs=2e-3
    )
    assert result["broken"] == 0


@pytest.mark.parametrize("name", DOORS)
def test_a_pressed_edge_turns_the_leaf_wherever_in_the_millisecond_it_is_touched(name):
    door = DOORS[name]()
    settings = settings_for(door).copy()
    settings["eyes"] = Eyes.PRESENT | Eyes.EDGE
    settings = engine.sealed(settings)
    close, took_ms = Event(EventKind.WORD, 0.3, Word.CLOSE), []
    for step in range(24):  # 0.2 mm in all: a few milliseconds of the way
        met = pressing(door, 0.3, face=0.2 + 9e-6 * step, stiffness=2500.0)
        scene = scenario([close, *met], duration=30.0, start_open=True, settle=0.5)
        result = engine.run(door, settings, scene, rows=False).result
        assert result["counters"][Counter.EDGE] == 1
        assert Mode(result["end_mode"]) is Mode.OPEN
        assert result["trip_time"] < result["back_time"] < result["contact_time"] + 0.3
        took_ms.append(1e3 * (result["trip_time"] - result["contact_time"]))
    # the controller looks each millisecond
    assert min(took_ms) > 0.0
    assert max(took_ms) < 1.01


def test_one_seed_gives_the_same_bits_and_another_seed_others():
    door, settings = noisy(), settings_for(noisy())
    one, again, other = (
        engine.run(door, settings, scenario([OPEN], duration=2.0, seed=seed)) for seed in (7, 7, 8)
    )
    assert one.rows.tobytes() == again.rows.tobytes()
    assert one.result.tobytes() == again.result.tobytes()
    assert (one.rows["reading_mA"] != other.rows["reading_mA"]).mean() > 0.5


def test_the_noise_has_the_deviation_asked_for_and_no_step():
    door = noisy()
    door["sensor_step"] = 0.0
    rows = engine.run(door, settings_for(door), scenario(duration=30.0, seed=3)).rows
    reading = rows["reading_mA"].astype(float)
    # 30000 readings: three standard errors of a deviation are 1.2 %, of a mean 0.9 mA.
    assert reading.std() == pytest.approx(50.0, rel=0.013)
    assert abs(reading.mean()) < 0.9
    assert abs(np.corrcoef(reading[1:], reading[:-1])[0, 1]) < 0.02


def test_a_batch_gives_what_its_runs_give_one_by_one():
    door, settings, scenes = noisy(), settings_for(noisy()), many(6)
    together = engine.batch(door, settings, scenes)
    for each, scene in zip(together, scenes, strict=True):
        alone = engine.run(door, settings, scene, rows=False).result
        assert each.tobytes() == alone.tobytes()
    doors = np.stack([noisy(), sliding()])
    one, other = engine.batch(doors, settings, scenes[0])
    assert one.tobytes() == together[0].tobytes()
    assert other.tobytes() != one.tobytes()


def test_the_number_of_workers_changes_nothing():
    door, settings, scenes = noisy(), settings_for(noisy()), many(23, 0.6)
    alone = engine.batch(door, settings, scenes)
    for workers, pieces in ((1, 3), (3, None), (2, 50)):
        with ThreadPoolExecutor(workers) as executor:
            assert (
                engine.batch(door, settings, scenes, executor=executor, pieces=pieces).tobytes()
                == alone.tobytes()
            )


@pytest.mark.slow
def test_processes_give_the_same_as_threads():
    door, settings, scenes = noisy(), settings_for(noisy()), many(8, 0.5)
    told = []
    with ProcessPoolExecutor(2, mp_context=get_context("spawn")) as executor:
        apart = engine.batch(
            door,
            settings,
            scenes,
            executor=executor,
            pieces=4,
            progress=lambda done, of: told.append((done, of)),
        )
    assert apart.tobytes() == engine.batch(door, settings, scenes).tobytes()
    assert told[-1] == (8, 8)


@pytest.mark.parametrize("workers", [None, 2])
def test_progress_is_told_and_a_cancelled_batch_says_what_it_has_not_run(workers):
    door, settings, scenes = noisy(), settings_for(noisy()), many(60, 20.0)
    stop, told = threading.Event(), []

    def progress(done, of):
        told.append((done, of))
        stop.set()

    executor = None if workers is None else ThreadPoolExecutor(workers)
    results = engine.batch(door, settings, scenes, executor=executor, progress=progress, cancel=stop)
    if executor is not None:
        executor.shutdown()
    not_run = results["ended_early"] == Ended.CANCELLED
    assert 0 < not_run.sum() < 60 or told[0][0] == 60
    assert all(of == 60 for _, of in told)
    first = engine.run(door, settings, scenes[0], rows=False).result
    assert not_run[0] or results[0].tobytes() == first.tobytes()


def test_an_event_can_wait_for_the_leaf_to_pass_a_place():
    door = sliding()
    passing = Event(EventKind.WORD, 0.0, Word.STOP, when=When.PASSING_OPENING, place=0.2)
    never = Event(EventKind.WORD, 0.0, Word.CLOSE, when=When.PASSING_CLOSING, place=0.1)
    result = engine.run(door, settings_for(door), scenario([OPEN, passing, never], duration=8.0)).result
    assert Mode(result["end_mode"]) is Mode.STOPPED
    assert 0.2 < result["end_q"] < 0.23


def test_a_start_in_the_midst_of_a_move_goes_on_with_it():
    door = sliding()
    scene = scenario(duration=0.5, start_q=0.3, start_rate=-0.12)
    run = engine.run(door, settings_for(door), scene)
    assert (run.rows["mode"] == Mode.CLOSING).all()
    assert run.rows["duty_permille"].max() == -1000.0
    np.testing.assert_allclose(run.rows["rate"], -0.124, rtol=0.05)


@pytest.mark.parametrize("supply_lead", [0, 1])
@pytest.mark.parametrize("way", [1.0, -1.0])
def test_a_start_within_the_slow_stretch_begins_with_its_duty_and_its_current(way, supply_lead):
    door = sliding()
    door["sense_supply_lead"] = supply_lead
    settings = settings_for(door).copy()
    settings["last_shut_permille"] = settings["last_open_permille"] = 300
    at = 0.15 * float(door["full"]) if way < 0.0 else 0.85 * float(door["full"])
    steady = engine.run(
        door, engine.sealed(settings), scenario(duration=0.4, start_q=at - 0.01 * way, start_rate=0.05 * way)
    ).rows[-1]
    scene = scenario(duration=0.05, start_q=at, start_rate=float(steady["rate"]))
    rows = engine.run(door, engine.sealed(settings), scene).rows
    slow = float(settings["last_permille"])
    assert (rows["duty_permille"] == way * slow).all()
    # five hundredths: what is left of the 0.4 s of settling, and the first steps of the mount
    np.testing.assert_allclose(rows["current"], steady["current"], rtol=0.05)
    np.testing.assert_allclose(rows["filtered_mA"], 1e3 * abs(steady["current"]), rtol=0.06)


def test_every_thing_that_cannot_be_is_refused_in_words():
    door, settings = sliding(), settings_for(sliding())
    with pytest.raises(TypeError, match="door: wanted records"):
        engine.run(settings, settings, scenario(duration=1.0))
    with pytest.raises(ValueError, match="64 events at most; 65"):
        fill(scenario(duration=1.0), [OPEN] * 65)
    with pytest.raises(ValueError, match="with one record or with as many"):
        engine.batch(np.stack([door] * 2), settings, many(3))
    with pytest.raises(ValueError, match="every"):
        engine.free(door, scenario(duration=1.0), duty=0.0, every=0)
    door["inertia"] = 0.0
    assert engine.run(door, settings, scenario(duration=1.0)).result["ended_early"] == Ended.SENSELESS
    assert len(engine.batch(door, settings, np.zeros(0, records.SCENARIO))) == 0
