"""What an obstacle meets on the closing travel."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.errors import RequestError
from hutwright.model.door import Edge, EdgeKind
from hutwright.plant.masses import edge_mass
from hutwright.plant.motion import move
from hutwright.plant.motor import drive_constants, line
from hutwright.plant.swing import contact, rotor_mass, with_edge
from hutwright.plant.travel import place_at_gap, travel
from tests.layout.doors import door_of, plain
from tests.plant.doors import CALM, at_speed, demo, sliding, with_door

HARD, HAND = 500e3, 75e3  # the measuring instrument, a hand [N/m]


def at_gap(project, gap):
    place = place_at_gap(project, gap)
    assert place is not None
    return place


def test_the_edge_is_as_quick_as_the_move_says():
    project = plain()
    found = move(project, CALM, opening=False)
    for number in (8, 30, 59):
        met = contact(project, float(found.places[number]), CALM, obstacle=HARD)
        assert met.edge_speed == pytest.approx(found.edge_speed[number])
        assert met.current == pytest.approx(found.current[number])
        assert met.edge_speed == pytest.approx(met.rod_speed * met.leverage)


def test_energies_are_those_of_the_masses():
    project = plain()
    met = contact(project, 0.5, CALM, obstacle=HARD)
    assert met.leaf_energy == pytest.approx(0.5 * edge_mass(project) * met.edge_speed**2)
    assert met.rotor_energy == pytest.approx(0.5 * rotor_mass(project) * met.rod_speed**2)


@pytest.mark.practice(
    "the same motor geared slow or quick: equal rotor energy, more reflected mass when slow"
)
def test_the_rotor_has_the_same_energy_however_it_is_geared():
    quick, slow = (demo("orchard", variant) for variant in ("quick_drive", "strong_drive"))
    energies = [0.5 * rotor_mass(project) * line(project, CALM).free_speed ** 2 for project in (quick, slow)]
    assert max(energies) / min(energies) < 2.0
    assert rotor_mass(slow) > 10 * rotor_mass(quick)


def test_a_newton_at_the_edge_tells_in_the_current_by_the_listing_s_force_constant():
    project = plain()
    met = contact(project, 0.5, CALM, obstacle=HARD)
    assert met.sensitivity == pytest.approx(met.leverage / drive_constants(project).force_constant)


def test_what_the_obstacle_carries_of_a_falling_leaf_the_current_does_not_tell():
    met = contact(plain(), 0.9, CALM, obstacle=HARD)
    assert met.rod_force < 0.0
    assert met.blind_force == pytest.approx(-met.rod_force / met.leverage)
    assert contact(sliding(), 0.4, CALM, obstacle=HARD).blind_force == 0.0


def test_the_drive_never_presses_more_than_it_can_before_reversal():
    met = contact(plain(), 0.5, CALM, obstacle=HARD)
    assert met.trip_force <= met.stall_force
    assert met.stall_force == pytest.approx((line(plain(), CALM).stall_force - met.rod_force) / met.leverage)


@given(st.floats(1e3, 500e3), st.floats(0.05, 1.3))
def test_the_range_holds_its_middle(obstacle, place):
    met = contact(plain(), place, CALM, obstacle=obstacle)
    assert 0.0 < met.peak.least <= met.peak.usual <= met.peak.greatest
    assert met.peak.usual == pytest.approx(np.hypot(met.impact, met.driven))


@given(st.floats(0.35, 0.95))
def test_a_slower_last_stretch_presses_less(last):
    place = at_gap(plain(), 0.05)
    fast, slow = (
        contact(at_speed(plain(), normal=1.0, last=share, last_over=0.2), place, CALM, obstacle=HARD)
        for share in (1.0, last)
    )
    assert slow.edge_speed < fast.edge_speed
    assert slow.peak.usual < fast.peak.usual


@given(st.floats(0.5, 3.0), st.floats(0.1, 4.0))
def test_a_lower_trip_never_presses_more(trip, more):
    project = plain()
    controller = project.controller
    assert controller is not None

    def at_trip(value):
        seen = replace(controller.detection, trip=value)
        changed = replace(project, controller=replace(controller, detection=seen))
        return contact(changed, 0.5, CALM, obstacle=HARD).peak.usual

    assert at_trip(trip) <= at_trip(trip + more) + 1e-9


def test_a_trip_below_the_running_current_leaves_no_threshold():
    project = plain()
    assert project.controller is not None
    seen = replace(project.controller.detection, trip=0.5)
    below = replace(project, controller=replace(project.controller, detection=seen))
    assert contact(below, 0.5, CALM, obstacle=HARD).threshold == 0.0


def test_a_soft_edge_is_a_spring_before_the_obstacle():
    edge = Edge(kind=EdgeKind.SOFT, stiffness=12e3, depth=0.025)
    assert with_edge(12e3, edge) == pytest.approx(6e3)
    assert with_edge(HARD, Edge(kind=EdgeKind.HARD, stiffness=None, depth=None)) == HARD


def test_a_soft_edge_helps_until_it_bottoms():
    project = plain()
    hard = contact(project, 0.5, CALM, obstacle=HARD)
    deep, thin = (
        contact(
            with_door(project, edge=Edge(kind=EdgeKind.SOFT, stiffness=12e3, depth=depth)),
            0.5,
            CALM,
            obstacle=HARD,
        )
        for depth in (0.2, 0.001)
    )
    assert not deep.bottoms
    assert deep.peak.usual < hard.peak.usual
    assert thin.bottoms
    assert thin.peak.usual == pytest.approx(hard.peak.usual)
    assert thin.peak.least <= thin.peak.usual <= thin.peak.greatest


def test_a_heavier_leaf_hits_harder_at_the_same_speed():
    project = sliding()
    door = door_of(project)
    heavy = with_door(project, leaf=replace(door.leaf, mass=4 * door.leaf.mass))
    one, other = (contact(each, 0.4, CALM, obstacle=HAND) for each in (project, heavy))
    assert other.impact > one.impact
    assert other.leaf_energy > one.leaf_energy


def test_at_a_dead_centre_nothing_moves():
    from tests.layout.doors import with_pins

    hinge = door_of(plain()).hinge
    assert hinge is not None
    line_at, foot = np.array([hinge.y, 0.57]), np.array([0.40, 0.37])
    head = line_at + 0.3 * (foot - line_at)
    project = with_pins(plain(), (0.47, *foot), (0.47, *head))
    assert travel(project).dead[0]
    assert contact(project, 0.0, CALM, obstacle=HARD).rod_speed == 0.0


def test_asks_for_what_it_needs():
    with pytest.raises(RequestError, match="controller"):
        contact(replace(plain(), controller=None), 0.5, CALM, obstacle=HARD)
    with pytest.raises(RequestError, match="drive"):
        contact(replace(plain(), drive=None), 0.5, CALM, obstacle=HARD)
