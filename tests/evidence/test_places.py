"""Places where nobody recorded any."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from hutwright.bench.plant import sim_door
from hutwright.bench.traced import commanded_move, switched_move
from hutwright.evidence.places import with_places
from hutwright.evidence.trace import Trace, Way
from hutwright.plant.conditions import nominal
from tests.plant.doors import demo


@pytest.mark.parametrize("way", Way)
@pytest.mark.parametrize("wrong", [0.9, 1.0, 1.1])
def test_back_emf_finds_the_place_to_one_percent_of_the_travel(way, wrong):
    project = demo("orchard")
    door = sim_door(project, nominal(project))
    trace = switched_move(project, nominal(project), way=way, every=5)
    loop = wrong * float(door["resistance"] + door["series_resistance"])
    (found,) = with_places([replace(trace, place=None)], resistance=loop, drop=float(door["bridge_offset"]))
    assert found.place is not None
    assert found.place == pytest.approx(trace.place, abs=0.01)


@pytest.mark.parametrize("way", Way)
def test_a_recorded_duty_finds_it_to_two_percent_in_a_move_under_the_controller(way):
    project = demo("orchard")
    door = sim_door(project, nominal(project))
    trace = commanded_move(project, nominal(project), way=way, every=5)
    loop = float(door["resistance"] + door["series_resistance"])
    (found,) = with_places([replace(trace, place=None)], resistance=loop, drop=float(door["bridge_offset"]))
    assert found.place == pytest.approx(trace.place, abs=0.02)


def even(way: Way, rows: int, *, reached: bool | None = None) -> Trace:
    """A move at an even speed."""
    return Trace(
        cycle=1, way=way, time=np.arange(rows).astype(float) / 10.0, current=np.ones(rows), reached=reached
    )


def test_without_the_supply_places_go_by_time():
    opening, closing = with_places([even(Way.OPENING, 11), even(Way.CLOSING, 21)], resistance=2.0)
    assert opening.place == pytest.approx(np.linspace(0.0, 1.0, 11))
    assert closing.place == pytest.approx(np.linspace(1.0, 0.0, 21))


def test_a_move_that_did_not_arrive_is_measured_by_whole_ones_of_its_direction():
    moves = [
        even(Way.OPENING, 21),
        even(Way.OPENING, 11, reached=False),
        even(Way.CLOSING, 11, reached=False),
    ]
    _, half, untold = with_places(moves, resistance=None)
    assert half.place == pytest.approx(np.linspace(0.0, 0.5, 11))
    assert untold.place is None


def test_a_recorded_place_is_kept():
    trace = replace(even(Way.OPENING, 11), place=np.linspace(0.0, 0.9, 11))
    assert with_places([trace], resistance=None)[0] is trace
