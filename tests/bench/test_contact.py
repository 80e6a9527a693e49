"""Single contacts: against whole runs, against the closed form, and what must hold of any of them."""

from __future__ import annotations

from dataclasses import replace
from math import isnan

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hutwright.bench import contact as module
from hutwright.bench.contact import (
    Spot,
    approach,
    at_gap,
    at_hinge_side,
    contact_scenarios,
    contact_settings,
    contacts,
)
from hutwright.bench.plant import sim_door
from hutwright.bench.settings import core_settings
from hutwright.layout.leaf import hinge_side_gap
from hutwright.model.door import Edge, EdgeKind
from hutwright.native import engine
from hutwright.native.scenario import Event, scenario
from hutwright.native.words import Commands, EventKind, Mode, Why
from hutwright.plant.conditions import Conditions, coldest_calm
from hutwright.plant.motion import move
from hutwright.plant.swing import closing
from hutwright.plant.travel import travel
from tests.bench.doors import DESCRIBED, full_speed
from tests.layout.doors import door_of, plain
from tests.plant.doors import CALM, demo, sliding, with_door

HARD, HAND = 500e3, 75e3  # of the force test's instrument, of a hand [N/m]
REPEATED = 0.02  # sampling and filter of the controller move a trip by a millisecond or two: so much force


def one(project, spot, conditions=CALM, *, followed=False):
    """The only contact."""
    (found,) = contacts(project, conditions, (spot,), followed=followed)
    return found


def at_30_cm(project, obstacle=HARD):
    """A spot that is there."""
    spot = at_gap(project, 0.3, obstacle=obstacle)
    assert spot is not None
    return spot


def in_gaps(project, gaps, obstacles):
    """Every obstacle in every gap that the travel has."""
    found = (at_gap(project, gap, obstacle=each) for gap in gaps for each in obstacles)
    return tuple(spot for spot in found if spot is not None)


def detecting(project, **fields):
    """The project with some fields of its detection changed."""
    detection = replace(project.controller.detection, **fields)
    return replace(project, controller=replace(project.controller, detection=detection))


# ---- against whole runs -----------------------------------------------------------------------------------


@pytest.mark.parametrize("project", [plain, sliding], ids=["hinged", "sliding"])
@pytest.mark.parametrize("obstacle", [HARD, HAND])
def test_a_contact_is_the_one_that_a_whole_closing_has(project, obstacle):
    project = project()
    spot = at_30_cm(project, obstacle)
    settings_ = contact_settings(project).copy()
    settings_["commands"] |= int(Commands.BUTTON)
    press = (Event(EventKind.BUTTON, time=0.3, a=1.0), Event(EventKind.BUTTON, time=0.5))
    there = Event(EventKind.OBSTACLE, a=spot.place * travel(project).edge_radius, b=obstacle)
    scene = scenario((*press, there), start_open=True, duration=12.0, stop_on_release=True)
    door = sim_door(project, CALM, sensed=False)
    whole = engine.run(door, engine.sealed(settings_), scene, rows=False).result
    found = one(project, spot)
    assert found.touched
    assert found.speed == pytest.approx(float(whole["contact_speed"]), rel=0.005)
    assert found.peak == pytest.approx(float(whole["peak_force"]), rel=REPEATED)
    assert found.trip_time == pytest.approx(float(whole["trip_time"] - whole["contact_time"]), abs=0.003)
    assert found.why == Why(int(whole["end_why"]))


@pytest.mark.parametrize("project", [plain, sliding], ids=["hinged", "sliding"])
def test_a_longer_way_to_the_obstacle_changes_nothing(project, monkeypatch):
    project = project()
    spot = at_30_cm(project)
    short = one(project, spot)
    monkeypatch.setattr(module, "LEAD", 3 * module.LEAD)
    scenes = contact_scenarios(project, CALM, (spot,))
    result = engine.batch(sim_door(project, CALM, sensed=False), contact_settings(project), scenes)[0]
    assert short.peak == pytest.approx(float(result["peak_force"]), rel=REPEATED)


def test_the_same_contact_comes_out_the_same_to_the_last_bit():
    spot = at_30_cm(plain())
    first = one(plain(), spot)
    again = replace(plain(), name="the same under another name")
    assert one(again, spot) == first


def test_many_at_a_time_are_as_each_alone():
    project = plain()
    spots = tuple(Spot(place, obstacle) for place in (0.3, 0.6, 1.1) for obstacle in (HARD, HAND))
    assert contacts(project, CALM, spots) == tuple(one(project, spot) for spot in spots)
    assert contacts(project, CALM, ()) == ()


@pytest.mark.parametrize("opening", [True, False])
def test_the_leaf_starts_at_the_speed_that_the_plant_moves_it_with(opening):
    project = full_speed(plain())
    steady, over = move(project, CALM, opening=opening), travel(project)
    leaf = approach(project, CALM, opening=opening)
    for place in (0.2, 0.7, 1.3):
        assert leaf.rate(place) * over.edge_radius == pytest.approx(
            over.at(steady.edge_speed, place), rel=0.01
        )
        start, rate = leaf.start(place)
        assert (rate > 0.0) is opening
        assert (start < place) is opening


@pytest.mark.parametrize(("name", "variant"), DESCRIBED)
def test_a_peak_is_the_same_however_long_one_looks(name, variant):
    project = demo(name, variant)
    spots = in_gaps(project, (0.05, 0.3), (HARD, 20e3))
    brief, long = (contacts(project, CALM, spots, followed=way) for way in (False, True))
    for one_, other in zip(brief, long, strict=True):
        assert one_.peak == pytest.approx(other.peak, rel=0.01)


@pytest.mark.parametrize("trip", [2.5, 1.5])
def test_a_start_within_the_slow_stretch_does_not_trip_before_the_touch(trip):
    """Filter and current begin at what the slow stretch asks for, so that a short wait trips by nothing."""
    project = detecting(demo("sports_field", None), after=0.001, filter=0.002, trip=trip)
    assert project.controller is not None
    assert project.controller.speed.last_over > 0.1
    spot = at_gap(project, 0.05, obstacle=HARD)
    assert spot is not None
    found = one(project, spot)
    assert found.touched
    assert found.trip_time > 0.0
    brief = detecting(project, after=0.03)
    assert one(brief, spot).speed == pytest.approx(found.speed, rel=1e-6)


# ---- against the closed form ------------------------------------------------------------------------------


@pytest.mark.parametrize(("name", "variant"), DESCRIBED)
def test_a_contact_that_trips_lies_in_the_closed_form_s_range(name, variant):
    project = demo(name, variant)
    leaf = closing(project, CALM)
    spots = in_gaps(project, (0.05, 0.3, 0.5), (HARD, HAND, 20e3))
    met = [each for each in contacts(project, CALM, spots) if not isnan(each.trip_time)]
    assert met
    for each in met:
        bounds = leaf.meets([each.spot.place], obstacle=each.spot.obstacle)[0].peak
        assert bounds.least <= each.peak <= bounds.greatest


# ---- what must hold ---------------------------------------------------------------------------------------


@settings(max_examples=30)
@given(st.floats(0.25, 0.95), st.floats(10e3, 500e3))
def test_a_reversal_lets_go_and_the_leaf_gives_way(share, obstacle):
    project = full_speed(plain())
    found = one(project, Spot(share * travel(project).full, obstacle), followed=True)
    assert found.touched
    assert 0.0 < found.trip_time <= found.back_time
    assert found.mode in (Mode.REVERSING, Mode.OPEN)
    assert found.why in (Why.RESIDUAL, Why.BACKSTOP, Why.LIMIT)
    assert found.end_force < 1.0
    assert 0.0 <= found.above_150 <= found.above_25
    assert found.peak_seen <= found.peak * (1 + 1e-6)


@settings(max_examples=30)
@given(st.floats(1.8, 3.4), st.floats(0.1, 0.6))
def test_a_higher_trip_never_presses_less(trip, more):
    spot = at_30_cm(plain())
    low, high = (one(detecting(plain(), trip=value), spot).peak for value in (trip, trip + more))
    assert high >= low * (1 - REPEATED)


def test_a_soft_edge_presses_less_until_it_is_flat():
    spot = at_30_cm(sliding())
    hard, deep, thin = (
        one(with_door(sliding(), edge=edge), spot).peak
        for edge in (
            Edge(kind=EdgeKind.HARD, stiffness=None, depth=None),
            Edge(kind=EdgeKind.SOFT, stiffness=12e3, depth=0.2),
            Edge(kind=EdgeKind.SOFT, stiffness=12e3, depth=0.001),
        )
    )
    assert deep < thin <= hard * (1 + REPEATED)


def test_a_drive_that_never_reaches_the_trip_presses_on():
    project = detecting(plain(), trip=30.0)
    found = one(project, at_30_cm(project), followed=True)
    assert isnan(found.trip_time)
    assert isnan(found.back_time)
    assert found.mode is Mode.CLOSING
    assert found.end_force == pytest.approx(found.at_5s, rel=1e-3)
    assert found.at_5s > 100.0


def test_an_opening_leaf_reverses_too():
    project = plain()
    found = one(project, Spot(0.5 * travel(project).full, HARD, opening=True), followed=True)
    assert found.touched
    assert found.trip_time > 0.0
    assert found.mode in (Mode.REVERSING, Mode.STOPPED)
    assert found.end_force < 1.0


def test_wind_that_shuts_the_leaf_presses_more():
    spot = at_30_cm(plain())
    calm, pushed = (one(plain(), spot, Conditions(293.15, wind=wind)) for wind in (0.0, 25.0))
    assert pushed.peak > calm.peak


def test_the_hinge_side_presses_more_than_the_edge():
    """The same moment on a shorter arm."""
    project = full_speed(plain())
    edge, near = (one(project, Spot(0.6, HAND, lever=lever)) for lever in (0.0, 0.05))
    assert near.peak > edge.peak
    assert near.speed == pytest.approx(edge.speed * 0.05 / travel(project).edge_radius, rel=0.01)


def test_a_hinge_side_gap_is_where_the_layout_has_it():
    project = plain()
    low, high = np.asarray(hinge_side_gap(project, travel(project).places))[[0, -1]]
    gap = float(0.5 * (low + high))
    spot = at_hinge_side(project, gap, obstacle=HAND)
    assert spot is not None
    assert float(hinge_side_gap(project, spot.place)) == pytest.approx(gap, rel=0.01)
    assert at_hinge_side(project, 2 * float(high), obstacle=HAND) is None
    assert at_hinge_side(sliding(), gap, obstacle=HAND) is None


def test_a_gap_that_the_travel_has_not_is_no_spot():
    assert at_gap(plain(), 5.0, obstacle=HARD) is None


def test_a_cold_drive_still_trips():
    project = plain()
    found = one(project, at_30_cm(project), coldest_calm(project))
    assert found.touched
    assert found.peak > 0.0


def test_a_drive_that_cannot_move_the_leaf_touches_nothing():
    project = plain()
    assert project.drive is not None
    rating = replace(project.drive.rating, force=10.0)
    stall = replace(project.drive.stall, force=20.0)
    weak = replace(project, drive=replace(project.drive, rating=rating, stall=stall))
    heavy = with_door(weak, leaf=replace(door_of(weak).leaf, mass=80.0))
    found = one(heavy, Spot(0.9, HARD, opening=True))
    assert not found.touched
    assert found.peak == 0.0


def test_contacts_are_judged_by_the_described_settings_but_for_a_reading_that_stays():
    own, used = core_settings(plain()), contact_settings(plain())
    assert used["stuck_ms"] == 0
    for name in own.dtype.names:
        if name not in ("stuck_ms", "checksum"):
            assert own[name] == used[name]


def test_near_the_hinge_the_force_grows_slowly_and_far():
    """A finger there gives way so far that the leaf gets into its slow stretch, where no current trips."""
    project = plain()
    spot = at_hinge_side(project, 0.012, obstacle=HAND)
    assert spot is not None
    near, edge = one(project, spot), one(project, Spot(spot.place, HAND))
    assert near.peak > 3.0 * edge.peak
    assert isnan(near.trip_time)
    assert one(full_speed(project), spot).trip_time > 1.0
