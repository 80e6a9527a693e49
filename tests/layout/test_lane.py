"""The machine on its lane against the moving leaf."""

from __future__ import annotations

from dataclasses import replace
from math import pi
from time import process_time

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.errors import RequestError
from hutwright.layout.lane import (
    clearance,
    clearance_over_time,
    closest_approach,
    is_ramp,
    underside,
    way_out,
    way_to_door,
    way_when_before_door,
)
from hutwright.layout.leaf import full_travel, leaf_solid
from hutwright.layout.solid import box, separation
from hutwright.layout.solids import base, door_wall, lane, machine_at, machine_passage, threshold, walls
from hutwright.model.door import DoorKind
from hutwright.model.hut import RoofForm, Side
from tests.layout.doors import doors, mirrored, plain, shares, with_kind, with_lane, with_roof


@given(doors, shares, st.floats(0.0, 2.0))
def test_the_flat_reckoning_agrees_with_the_solids(project, share, way):
    travel = share * full_travel(project)
    leaf, machine = leaf_solid(project, travel), machine_at(project, way)
    low, high = machine.corners.min(axis=0), machine.corners.max(axis=0)
    low[2] = underside(project)
    found = float(clearance(project, travel, way))
    if np.isinf(found):
        assert leaf.corners[:, 2].max() <= low[2] + 1e-9
    else:
        assert found == pytest.approx(float(separation(leaf, box("m", low, high))), abs=1e-9)


@given(doors, st.floats(0.0, 2.0))
def test_a_shut_leaf_is_hit_when_the_nose_has_come_to_the_wall(project, way):
    nose = way_to_door(project)
    found = float(clearance(project, 0.0, way))
    if way <= nose:
        assert found == pytest.approx(nose - way)
    elif way < way_when_before_door(project, 0.0):
        assert found < 0.0


def test_mirror_images_clear_each_other_alike():
    project = with_kind(DoorKind.RIGHT_HINGED, opens=1.9)
    travel, way = np.linspace(0, 1.9, 12)[:, None], np.linspace(0, 2, 15)
    assert clearance(mirrored(project), travel, way) == pytest.approx(clearance(project, travel, way))


def test_a_whole_table_takes_a_small_part_of_the_time_that_its_places_take_one_by_one():
    project = plain()
    travel, way = np.linspace(0, full_travel(project), 40)[:, None], np.linspace(0, 2, 40)
    one_by_one, at_once = [], []
    for _ in range(3):  # processor time, and the least of three, so that other work decides nothing
        start = process_time()
        single = [float(clearance(project, travel[number, 0], way[number])) for number in range(40)]
        middle = process_time()
        table = clearance(project, travel, way)
        at_once.append(process_time() - middle)
        one_by_one.append(middle - start)
        assert np.diag(table) == pytest.approx(np.array(single))
    assert min(at_once) < 40 * min(one_by_one) / 10


def test_the_distance_to_an_open_top_hinged_leaf_is_its_height_over_the_machine():
    project = with_lane(with_kind(DoorKind.TOP_HINGED, opens=pi / 2, y=0.0), 0.0)
    # Open, the leaf's inner face lies level at 0.57 m; the machine climbs the 30 mm sill.
    assert float(clearance(project, pi / 2, 0.6)) == pytest.approx(0.57 - (0.29 + 0.03))


def test_a_lane_that_rises_lifts_the_machine():
    flat, steep = (with_lane(plain(), slope) for slope in (0.0, 0.1))
    end, way = full_travel(flat), way_when_before_door(flat, 0.5)
    top = [machine_at(project, way).corners[:, 2].max() for project in (flat, steep)]
    assert top == pytest.approx([0.29, 0.29 + 0.1 * (0.5 + 0.72)])
    assert clearance(steep, end, 1.0) < clearance(flat, end, 1.0)


def test_a_leaf_that_lies_down_as_a_ramp_stops_nothing_and_one_half_down_does():
    project = with_lane(with_kind(DoorKind.BOTTOM_HINGED, opens=pi / 2), 0.0)
    assert is_ramp(project)
    assert np.isinf(clearance(project, pi / 2, [0.0, 0.5, 1.0])).all()
    assert float(clearance(project, 1.0, 0.6)) < 0.0
    steep = with_kind(DoorKind.BOTTOM_HINGED, opens=1.0)
    assert not is_ramp(steep)
    assert float(clearance(steep, 1.0, 0.6)) < 0.0


def test_a_machine_that_starts_late_meets_the_leaf_less_closely():
    project = plain()
    times = np.linspace(0.0, 20.0, 401)
    travel = full_travel(project) * np.clip(times / 12.0, 0.0, 1.0)
    found = [closest_approach(project, times, travel, start=t, speed=0.45) for t in (0.0, 6.0, 12.0)]
    assert found[0].distance < 0.0
    assert found[0].distance < found[1].distance < found[2].distance
    assert found[2].distance > 0.1
    over = clearance_over_time(project, times, travel, start=6.0, speed=0.45)
    assert over.min() == found[1].distance
    assert over[np.argmin(over)] == over[np.searchsorted(times, found[1].time)]


def test_the_machine_stands_still_until_it_starts():
    assert way_out([0.0, 2.0, 3.0], start=2.0, speed=0.5) == pytest.approx([0.0, 0.0, 0.5])


def test_the_passage_holds_every_place_on_the_way():
    project = with_lane(plain(), 0.0)
    whole = machine_passage(project, 1.0)
    for way in np.linspace(0.0, 1.0, 7):
        assert float(separation(whole, machine_at(project, way))) < 0.0
    assert whole.corners[:, 1].min() == pytest.approx(0.62 - 0.36 - 1.0)


def test_the_wall_round_the_hole_leaves_just_the_hole():
    pieces = door_wall(plain())
    assert [piece.name for piece in pieces] == [
        "wall left of the door",
        "wall right of the door",
        "wall above the door",
        "wall below the door",
    ]
    plug = box("plug", (0.12, 0.0, 0.03), (0.82, 0.022, 0.55))
    assert [float(separation(plug, piece)) for piece in pieces] == pytest.approx([0.0] * 4, abs=1e-12)


def test_a_wall_under_a_ridge_is_split_there():
    project = with_roof(RoofForm.DOUBLE_PITCH, Side.FRONT, 0.7, 0.7, 1.0)
    names = [piece.name for piece in walls(project)]
    assert names.count("wall above the door") == 2
    assert names.count("back wall") == 2
    tops = {round(float(z), 9) for piece in walls(project) for z in piece.corners[:, 2]}
    assert max(tops) == pytest.approx(1.0)


def test_the_ground_before_the_door_lies_a_threshold_below_the_floor():
    project = with_lane(plain(), 0.02)
    (ground,), (step,), (slab,) = lane(project), threshold(project), base(project)
    assert ground.corners[6, 2] == pytest.approx(-0.015)
    assert ground.corners[4, 2] == pytest.approx(-0.015 + 0.02 * 2.5)
    assert step.corners[:, 2].min() == pytest.approx(-0.015)
    assert slab.corners.min(axis=0) == pytest.approx(np.array([-0.15, -0.15, -0.10]))


def test_asks_where_the_machine_stands():
    with pytest.raises(RequestError, match=r"machine\.parked"):
        machine_at(replace(plain(), machine=None))
