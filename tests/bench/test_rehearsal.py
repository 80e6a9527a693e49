"""Scenarios played on a stage: the same whoever works, told while it goes on, ended when asked."""

from __future__ import annotations

import threading
from concurrent.futures import ProcessPoolExecutor, ThreadPoolExecutor
from multiprocessing import get_context

import numpy as np
import pytest

from hutwright.bench.rehearsal import cast, rehearse
from hutwright.bench.scenario import Quantity
from hutwright.bench.scenarios import SCENARIOS, chosen
from hutwright.native.words import Mode
from hutwright.studies.rehearse import stage_of
from tests.described import orchard, sports_field

SOME = ("free.mild", "obstacle.stiff_300", "obstacle.extremes_300", "command.stop_opening", "ends.both_made")


@pytest.fixture(scope="module")
def stage():
    return stage_of(orchard())


def results(rehearsal):
    return np.concatenate([[take.result for take in each.takes] for each in rehearsal.performances])


def test_the_scenarios_come_in_reading_order_and_those_that_do_not_arise_are_named(stage):
    rehearsal = rehearse(stage, chosen(SOME))
    assert [each.scenario.key for each in rehearsal.performances] == list(SOME[:4])
    assert [each.key for each in rehearsal.not_arising] == ["ends.both_made"]


def test_the_answer_is_the_same_however_many_work_on_it(stage):
    scenarios = chosen(SOME)
    alone = results(rehearse(stage, scenarios))
    for workers in (1, 3):
        with ThreadPoolExecutor(workers) as threads:
            np.testing.assert_array_equal(results(rehearse(stage, scenarios, executor=threads)), alone)


@pytest.mark.slow
def test_processes_give_the_same_too(stage):
    scenarios = chosen(SOME)
    with ProcessPoolExecutor(2, mp_context=get_context("spawn")) as processes:
        np.testing.assert_array_equal(
            results(rehearse(stage, scenarios, executor=processes)), results(rehearse(stage, scenarios))
        )


def test_it_tells_how_far_it_is(stage):
    told: list[tuple[int, int]] = []
    rehearsal = rehearse(stage, chosen(SOME), progress=lambda done, of: told.append((done, of)))
    number = sum(len(each.takes) for each in rehearsal.performances)
    assert told[-1] == (number, number)
    assert [done for done, _ in told] == sorted(done for done, _ in told)


def test_what_was_not_played_when_it_was_stopped_is_left_out(stage):
    flag = threading.Event()
    flag.set()
    with ThreadPoolExecutor(1) as threads:
        rehearsal = rehearse(stage, executor=threads, cancel=flag)
    ready, _ = cast(stage, SCENARIOS)
    assert rehearsal.left_out
    assert len(rehearsal.performances) + len(rehearsal.left_out) == len(ready)


def test_the_worst_run_stands_for_the_scenario(stage):
    (scenario,) = rehearse(stage, chosen(["obstacle.extremes_300"])).performances
    peaks = [take.value(Quantity.PEAK) for take in scenario.takes]
    assert len(peaks) == 4
    assert scenario.worst.value(Quantity.PEAK) == max(peaks)
    assert scenario.worst_of(Quantity.PEAK) == max(peaks)


def test_one_run_of_a_scenario_can_be_played_alone(stage):
    (whole,) = rehearse(stage, chosen(["obstacle.extremes_300"])).performances
    (part,) = rehearse(
        stage, chosen(["obstacle.extremes_300"]), only={"obstacle.extremes_300": 2}
    ).performances
    (take,) = part.takes
    np.testing.assert_array_equal(take.result, whole.takes[2].result)


def test_a_scenario_ends_in_the_state_that_it_says():
    rehearsal = rehearse(stage_of(sports_field()), chosen(["obstacle.too_often"]))
    (scenario,) = rehearsal.performances
    assert scenario.met
    assert scenario.worst.judgement.mode is Mode.FAULT
    assert rehearsal.not_met == ()
