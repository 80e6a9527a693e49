"""Moves of the simulated door as somebody would have recorded them."""

from __future__ import annotations

import numpy as np
import pytest

from hutwright.bench.free import free_move
from hutwright.bench.traced import Instrument, board_instrument, commanded_move, switched_move
from hutwright.evidence.trace import Way
from hutwright.evidence.traces import parse_traces, traces_text
from hutwright.native.scenario import obstacle
from hutwright.plant.conditions import nominal
from tests.plant.doors import demo

PERFECT = Instrument(0.0, 0.0, 0.0, 0.0)


@pytest.mark.parametrize("way", Way)
def test_a_commanded_move_is_recorded_from_first_to_last_duty(way):
    project = demo("orchard")
    trace = commanded_move(project, nominal(project), way=way)
    assert (trace.way, trace.reached, trace.time[0]) == (way, True, 0.0)
    assert trace.duty is not None
    assert (trace.duty > 0.0).all()
    whole = free_move(project, nominal(project), opening=way is Way.OPENING).time
    assert whole - 0.6 < trace.duration < whole  # less dead time and zeroing
    ends = (0.0, 1.0) if way is Way.OPENING else (1.0, 0.0)
    assert trace.place is not None
    assert trace.place[[0, -1]] == pytest.approx(ends, abs=0.01)
    assert np.median(trace.current) > 0.0


def test_the_instrument_adds_its_noise_and_its_steps_and_no_more():
    project = demo("orchard")
    tool = board_instrument(project)
    clean = switched_move(project, nominal(project), way=Way.OPENING, instrument=PERFECT)
    seen = switched_move(project, nominal(project), way=Way.OPENING)
    error = seen.current - clean.current
    # noise and the rounding to steps are independent where noise is not far below a step
    assert np.std(error) == pytest.approx(
        np.hypot(tool.current_noise, tool.current_step / np.sqrt(12.0)), rel=0.1
    )
    assert abs(np.mean(error)) < 0.1 * tool.current_step
    assert seen.current / tool.current_step == pytest.approx(
        np.round(seen.current / tool.current_step), abs=1e-6
    )
    assert clean.supply is not None
    assert seen.supply is not None
    assert np.std(seen.supply - clean.supply) < tool.supply_step


def test_a_seed_repeats_a_move_and_another_does_not():
    project = demo("sports_field")
    one, same, other = (
        switched_move(project, nominal(project), way=Way.CLOSING, seed=seed, every=10) for seed in (1, 1, 2)
    )
    assert np.array_equal(one.current, same.current)
    assert not np.array_equal(one.current, other.current)


def test_a_move_that_meets_an_obstacle_does_not_reach_its_end():
    project = demo("orchard")
    wall = obstacle(0.0, face=0.3, stiffness=500e3)
    trace = commanded_move(project, nominal(project), way=Way.CLOSING, every=5, events=(wall,))
    assert trace.reached is False
    assert trace.place is not None
    assert trace.place[-1] > 0.1


def test_a_simulated_move_goes_through_a_file_and_back():
    project = demo("orchard")
    trace = commanded_move(project, nominal(project), way=Way.OPENING, every=10)
    (back,) = parse_traces(traces_text([trace], travel=0.3), "a.csv", travel=0.3).traces
    assert back.current == pytest.approx(trace.current, abs=1e-4)
    assert back.duty == pytest.approx(trace.duty, abs=1e-4)
    assert back.place == pytest.approx(trace.place, abs=1e-4)
    assert (back.way, back.reached) == (trace.way, trace.reached)
