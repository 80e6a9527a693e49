"""The geometry over the travel: it is kept by geometry alone, and says what the layout says."""

from __future__ import annotations

import time
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given

from hutwright.errors import RequestError
from hutwright.layout.leaf import edge_travel, full_travel, travel_at_gap
from hutwright.layout.linkage import arm, dead_centres, rod_length
from hutwright.plant.conditions import coldest_worst
from hutwright.plant.masses import centre_of_gravity
from hutwright.plant.mechanism import rod_force
from hutwright.plant.motion import move
from hutwright.plant.travel import PLACES, _travel, place_at_gap, travel
from tests.layout.doors import door_of, plain, rods, with_pins
from tests.plant.doors import demo, lifting, sliding, with_door


@given(rods)
def test_says_what_the_layout_says(project):
    over = travel(project)
    assert (over.places[0], over.places[-1]) == (0.0, pytest.approx(full_travel(project)))
    np.testing.assert_allclose(over.arm, arm(project, over.places), atol=1e-12)
    np.testing.assert_allclose(over.rod_length, rod_length(project, over.places), atol=1e-12)
    np.testing.assert_allclose(over.edge_way, edge_travel(project, over.places), atol=1e-12)


@given(rods)
def test_the_rise_is_the_slope_of_the_height(project):
    over = travel(project)
    for number in (0, PLACES // 2, PLACES - 1):
        at, step = float(over.places[number]), 1e-6
        rise = centre_of_gravity(project, at + step)[2] - centre_of_gravity(project, at - step)[2]
        assert over.rise[number] == pytest.approx(rise / (2 * step), abs=1e-8)
        assert over.height[number] == pytest.approx(centre_of_gravity(project, at)[2])


@given(rods)
def test_every_dead_centre_lies_at_a_place_that_counts_as_dead(project):
    over = travel(project)
    for place in dead_centres(project):
        after = min(max(int(np.searchsorted(over.places, place)), 1), PLACES - 1)
        assert over.dead[after - 1] or over.dead[after]


def test_nobody_can_write_to_what_is_kept():
    over = travel(plain())
    for values in (over.places, over.arm, over.edge_way, over.rod_length, over.height, over.rise, over.dead):
        with pytest.raises(ValueError, match="read-only"):
            values[0] = 1.0


def test_what_is_not_geometry_finds_the_same_travel():
    project = plain()
    door = door_of(project)
    assert door.hinge is not None
    assert project.linkage is not None
    assert project.drive is not None
    kept = travel(project)
    for other in (
        with_door(project, hinge=replace(door.hinge, friction=3.0)),
        with_door(project, leaf=replace(door.leaf, mass=9.0, fittings=0.1)),
        with_door(project, seal=replace(door.seal, force=1.0, over=0.1), ice=0.0, counterweight=2.0),
        replace(project, linkage=replace(project.linkage, mount_stiffness=1e5)),
        replace(project, drive=replace(project.drive, cold_friction=3.0)),
        replace(project, controller=None, electronics=None, hut=project.hut),
    ):
        assert travel(other) is kept


def test_whatever_is_geometry_gives_another_travel():
    project = plain()
    door = door_of(project)
    assert door.hinge is not None
    assert door.hinge.z is not None
    foot, head = (0.47, 0.46, 0.27), (0.47, 0.03, 0.35)
    leaf, hole = door.leaf, door.opening
    others = (
        with_door(project, hinge=replace(door.hinge, y=-0.01)),
        with_door(project, hinge=replace(door.hinge, z=0.58)),
        with_door(project, open_angle=1.3),
        with_door(project, leaf=replace(leaf, height=leaf.height + 0.01)),
        with_door(project, leaf=replace(leaf, width=leaf.width + 0.01)),
        with_door(project, leaf=replace(leaf, build_up="roof")),
        with_door(project, opening=replace(hole, sill=hole.sill + 0.01)),
        with_pins(project, (0.47, 0.47, 0.27), head),
        with_pins(project, foot, (0.47, 0.04, 0.35)),
    )
    for other in others:
        kept, found = travel(project), travel(other)
        assert found is not kept
        _travel.cache_clear()
        again = travel(other)
        for name in ("places", "arm", "rod_length", "edge_way", "rise", "height"):
            np.testing.assert_array_equal(getattr(found, name), getattr(again, name))
        assert (found.area, found.open_lever, found.gyration) == (
            again.area,
            again.open_lever,
            again.gyration,
        )


def test_a_straight_leaf_leads_its_direct_drive_one_to_one():
    over = travel(sliding())
    np.testing.assert_array_equal(over.arm, np.ones(PLACES))
    np.testing.assert_array_equal(over.rod_length, over.places)
    assert (over.edge_radius, over.gyration, over.full) == (1.0, 1.0, 0.82)
    assert travel(lifting(tilt=0.1)).rise == pytest.approx(np.full(PLACES, np.cos(0.1)))


def test_a_value_between_two_places_lies_between_their_values():
    over = travel(plain())
    values = np.array(over.places) * 3.0
    assert over.at(values, 0.7) == pytest.approx(2.1)
    assert over.at(values, 0.0) == 0.0
    assert over.at(values, 99.0) == pytest.approx(3.0 * over.full)
    values[10] = np.inf
    assert over.at(values, float(over.places[10] + over.places[11]) / 2) == np.inf
    values[11] = np.inf
    assert over.at(values, float(over.places[10] + over.places[11]) / 2) == np.inf


def test_a_gap_is_found_where_the_layout_finds_it():
    project = demo("orchard")
    assert place_at_gap(project, 0.05) == travel_at_gap(project, 0.05)
    assert place_at_gap(project, 9.0) is None


def test_says_what_is_lacking():
    with pytest.raises(RequestError, match="linkage"):
        travel(replace(plain(), linkage=None))
    with pytest.raises(RequestError, match="door"):
        travel(replace(plain(), door=None))


def _least_time(call, number):
    times = []
    for _ in range(number):
        start = time.process_time()
        call()
        times.append(time.process_time() - start)
    return min(times)


def test_a_force_and_a_move_cost_less_than_building_the_geometry_anew():
    project = plain()
    worst = coldest_worst(project, opening=False)

    def anew():
        _travel.cache_clear()
        travel(plain())

    def evaluation():
        rod_force(project, worst, opening=False)
        move(project, worst, opening=False)

    built = _least_time(anew, 30)
    evaluation()
    assert _least_time(evaluation, 30) < built
    assert _least_time(lambda: travel(project), 30) < built / 10
