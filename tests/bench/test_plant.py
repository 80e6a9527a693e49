"""The record of the simulated door against layout and plant."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.bench.electrics import brown_out, sensing
from hutwright.bench.plant import rod, sim_door, stroke_ends
from hutwright.errors import RequestError
from hutwright.layout.linkage import arm, is_direct, rod_length
from hutwright.model.door import DoorKind, Edge, EdgeKind
from hutwright.model.drive import EndSwitches
from hutwright.native import engine
from hutwright.native.records import DOOR, SHARES, blank
from hutwright.native.words import Linkage
from hutwright.plant.conditions import Conditions, coldest_calm, coldest_worst, nominal, warmest_calm
from hutwright.plant.loads import drift, loads
from hutwright.plant.masses import inertia
from hutwright.plant.motion import move
from hutwright.plant.motor import line
from hutwright.plant.travel import travel
from tests.bench.doors import DESCRIBED, bare_time, full_speed, lift
from tests.described import orchard
from tests.layout.doors import door_of, plain, rods, with_kind, with_pins
from tests.plant.doors import CALM, demo, sliding, with_door, without_losses

EXACT = 1e-9  # the constants are those of the geometry itself
WINDY = Conditions(293.15, wind=60.0)


def with_constants(project):
    """A record with the project's rod and nothing else."""
    door, found = blank(DOOR), rod(project)
    for name in ("linkage", "k0", "k1", "k2", "way"):
        door[name] = getattr(found, name)
    door["full"] = travel(project).full
    return door


def assert_rod_agrees(project):
    over, door = travel(project), with_constants(project)
    lengths = rod_length(project, over.places)
    for place, length, slope in zip(over.places, lengths, arm(project, over.places), strict=True):
        if length < 0.05:  # pins that all but meet: no rod is so short
            continue
        moved, change = engine.rod(door, float(place))
        assert moved == pytest.approx(door["way"] * (length - lengths[0]), abs=EXACT)
        assert change == pytest.approx(door["way"] * slope, abs=EXACT)


# ---- rod --------------------------------------------------------------------------------------------------


@given(rods)
def test_a_rod_that_turns_a_leaf_has_length_and_arm_of_the_layout_however_it_leans(project):
    assert rod(project).linkage is Linkage.ROD_TURNING
    assert_rod_agrees(project)


@given(
    st.sampled_from((DoorKind.LIFT, DoorKind.SLIDING)),
    st.tuples(st.floats(0.1, 0.8), st.floats(0.2, 0.9), st.floats(0.05, 0.7)),
    st.tuples(st.floats(0.1, 0.8), st.floats(-0.05, 0.1), st.floats(0.05, 0.7)),
)
def test_a_rod_that_pulls_a_straight_leaf_has_length_and_arm_of_the_layout(kind, foot, head):
    project = with_pins(with_kind(kind, opens=0.5), foot, head)
    assert rod(project).linkage is Linkage.ROD_SLIDING
    assert_rod_agrees(project)


def test_a_direct_drive_goes_as_far_as_the_leaf():
    assert is_direct(sliding())
    assert_rod_agrees(sliding())
    assert rod(sliding()).travel(0.3) == 0.3


def test_a_rod_that_gets_shorter_as_the_leaf_opens_still_counts_from_shut():
    project = with_pins(plain(), (0.47, -0.5, 0.6), (0.47, -0.02, 0.2))
    found = rod(project)
    assert found.way == -1.0
    assert found.travel(0.1) > 0.0
    assert_rod_agrees(project)


def test_the_rod_s_own_stops_are_those_of_the_listing():
    project = plain()
    low, high = stroke_ends(project)
    assert project.drive is not None
    assert project.drive.length is not None
    assert high - low == pytest.approx(project.drive.length.stroke)
    assert low == pytest.approx(project.drive.length.shortest - float(rod_length(project, 0.0)))
    assert stroke_ends(sliding()) == (-1e9, 1e9)


# ---- loads ------------------------------------------------------------------------------------------------


def read(table, full, place):
    """A table of the simulated door at a place, as sim.h has it: straight in the root of the travel."""
    return np.interp(np.sqrt(place / full), np.sqrt(SHARES), table)


@pytest.mark.parametrize("windy", [CALM, WINDY, Conditions(263.15, wind=-40.0, snow=True)])
@pytest.mark.parametrize("project", [plain, sliding, lift], ids=["hinged", "sliding", "lift"])
def test_the_tables_are_the_loads_within_one_per_cent_of_the_greatest(project, windy):
    project = project()
    door, over = sim_door(project, windy), travel(project)
    full, gust = float(door["full"]), float(bool(windy.wind))
    kept, drag = door["gravity"] + gust * door["wind"], gust * door["wind_drag"]
    for opening in (True, False):
        table = -kept + (door["resist_open"] + drag if opening else -door["resist_close"] - drag)
        wanted = loads(project, windy, opening=opening).total
        found = read(table, full, over.places)
        # the corner where seal or snow ends is cut off between the two places of the table round it
        clear = np.ones(len(over.places), dtype=bool)
        for corner in (door_of(project).seal.over, drift(project).depth):
            apart = np.sqrt(over.edge_way / over.edge_way[-1]) - np.sqrt(corner / over.edge_way[-1])
            clear &= np.abs(apart) > np.sqrt(SHARES[1])
        assert np.abs(found - wanted)[clear].max() < 0.01 * np.abs(wanted).max()
        work = np.trapezoid(found, over.places), np.trapezoid(wanted, over.places)
        assert work[0] == pytest.approx(work[1], abs=0.01 * np.abs(wanted).max() * full)


def test_resistance_never_helps():
    for project in (plain(), sliding(), lift()):
        door = sim_door(project, coldest_worst(project, opening=True))
        for name in ("resist_open", "resist_close", "wind_drag"):
            assert (door[name] >= 0.0).all()


def test_a_door_without_losses_has_gravity_only():
    door = sim_door(without_losses(plain()), CALM)
    assert not door["resist_open"].any()
    assert not door["resist_close"].any()
    assert (door["gravity"][8:] < 0.0).all()  # a top-hinged leaf falls shut, once off the wall


def test_ice_is_there_only_in_the_cold_that_has_it():
    project = plain()
    iced = sim_door(project, coldest_worst(project, opening=True))
    assert iced["ice"] == pytest.approx(door_of(project).ice * travel(project).edge_radius)
    assert iced["ice_over"] * travel(project).edge_radius == pytest.approx(2e-3)
    assert sim_door(project, CALM)["ice"] == 0.0


# ---- drive and supply -------------------------------------------------------------------------------------


@pytest.mark.parametrize(("name", "variant"), DESCRIBED)
@pytest.mark.parametrize("weather", [nominal, coldest_calm, warmest_calm])
def test_held_fast_it_draws_and_pushes_what_the_plant_s_line_says(name, variant, weather):
    project = demo(name, variant)
    conditions = weather(project)
    door, drive = sim_door(project, conditions), line(project, conditions)
    current = (door["voltage"] - door["bridge_offset"]) / (
        door["resistance"] + door["series_resistance"] + door["source_resistance"]
    )
    assert current == pytest.approx(drive.stall_current, rel=1e-12)
    force = door["efficiency"] * door["constant"] * (current - door["friction_current"])
    assert force == pytest.approx(drive.stall_force, rel=1e-12)
    assert door["inertia"] == inertia(project)


# Without a duty below 1, which divides what supply and cables lose: the sag of the bus is then the same in
# both. A load that helps counts otherwise in a drive that locks: see the next test.
@pytest.mark.parametrize("cold", [False, True])
@pytest.mark.parametrize("opening", [True, False])
@pytest.mark.parametrize(
    "project",
    [plain, lambda: demo("orchard", "second_draft"), sliding, lift],
    ids=["hinged", "second draft", "sliding", "lift"],
)
def test_a_bare_move_takes_as_long_as_the_plant_says(project, opening, cold):
    project = full_speed(project())
    conditions = coldest_calm(project) if cold else CALM
    steady, share = move(project, conditions, opening=opening), 0.98
    place = share * steady.places[-1] if opening else (1.0 - share) * steady.places[-1]
    wanted = float(np.interp(place, steady.places, steady.time))
    assert bare_time(project, conditions, opening=opening, share=share) == pytest.approx(wanted, rel=0.03)


def test_a_load_that_helps_a_locking_drive_takes_no_current_here_and_some_in_the_plant():
    # the plant takes 2 - 1/efficiency for the whole gear, below zero too; the simulation never below nothing
    project = full_speed(demo("orchard", "quick_drive"))
    steady = move(project, CALM, opening=False)
    place = 0.02 * steady.places[-1]
    wanted = float(np.interp(place, steady.places, steady.time))
    assert 0.94 * wanted < bare_time(project, CALM, opening=False, share=0.98) < wanted


def test_a_drive_without_a_described_circuit_hangs_on_its_rated_voltage():
    door = sim_door(replace(plain(), electronics=None), CALM)
    assert (door["voltage"], door["source_resistance"], door["brown_out"]) == (12.0, 0.0, 0.0)


def test_the_board_resets_where_its_regulator_has_nothing_left():
    project = plain()
    assert project.electronics is not None
    assert project.electronics.board is not None
    regulator = project.regulators["bridge_5v"]
    assert brown_out(project) == pytest.approx(project.electronics.board.resets_below + regulator.dropout)
    assert sim_door(project, CALM)["brown_out"] == brown_out(project)


def test_a_board_on_another_supply_does_not_see_the_motor():
    assert brown_out(demo("sports_field")) > 0.0
    project = demo("sports_field")
    assert project.electronics is not None
    project = replace(project, regulators={}, electronics=replace(project.electronics, logic=None))
    assert brown_out(project) == 0.0


def test_a_listing_that_contradicts_itself_makes_no_energy():
    project = plain()
    assert project.drive is not None
    rating = replace(project.drive.rating, force=900.0)
    stall = replace(project.drive.stall, force=1500.0)
    doubtful = replace(project, drive=replace(project.drive, rating=rating, stall=stall))
    assert sim_door(doubtful, CALM)["efficiency"] == 1.0


# ---- sensor, edge, ends -----------------------------------------------------------------------------------


@pytest.mark.practice("a 10-bit converter over 5 V and 100 mV/A: 49 mA a count")
def test_the_sensor_s_step_is_one_count():
    project = plain()
    found = sensing(project)
    assert found is not None
    assert found.step == pytest.approx(5.0 / 1024 / 0.100)
    door = sim_door(project, CALM)
    assert door["sensor_step"] == found.step
    assert not door["sense_supply_lead"]
    assert sim_door(sliding(), CALM)["sense_supply_lead"]


def test_unsensed_it_is_seen_as_it_is():
    door = sim_door(plain(), CALM, sensed=False)
    for name in ("sensor_noise", "sensor_step", "supply_noise", "supply_step"):
        assert door[name] == 0.0
    assert door["sensor_range"] == sim_door(plain(), CALM)["sensor_range"] == 20.0


def test_a_soft_edge_gives_and_a_hard_one_does_not():
    assert sim_door(plain(), CALM)["edge_stiffness"] == 0.0
    soft = with_door(plain(), edge=Edge(kind=EdgeKind.SOFT, stiffness=12e3, depth=0.025))
    door = sim_door(soft, CALM)
    assert (door["edge_stiffness"], door["edge_depth"]) == (12e3, 0.025)


@pytest.mark.parametrize("switches", EndSwitches)
def test_only_the_switches_that_are_described_are_there(switches):
    project = plain()
    assert project.drive is not None
    door = sim_door(replace(project, drive=replace(project.drive, end_switches=switches)), CALM)
    assert bool(door["inside_switches"]) is (switches is EndSwitches.INSIDE)
    assert bool(door["board_switches"]) is (switches is EndSwitches.TO_THE_BOARD)
    assert 0.0 <= door["switch_shut"] < door["switch_open"] <= door["rod_high"]
    assert 0.0 < door["limit_shut"] < door["limit_open"] <= door["full"]


def test_a_rod_that_is_too_short_switches_itself_off_at_its_own_end():
    project = plain()
    assert project.drive is not None
    assert project.drive.length is not None
    short = replace(project.drive, length=replace(project.drive.length, stroke=0.2))
    door = sim_door(replace(project, drive=short), CALM)
    assert (
        door["switch_open"]
        == door["rod_high"]
        == pytest.approx(stroke_ends(replace(project, drive=short))[1])
    )


def test_the_record_cannot_be_written_to_by_mistake():
    door = sim_door(plain(), CALM)
    with pytest.raises(ValueError, match="read-only"):
        door["voltage"] = 1.0
    door.copy()["voltage"] = 1.0
    assert sim_door(plain(), CALM)["voltage"] != 1.0


def test_asks_for_what_it_needs():
    project = orchard().project
    with pytest.raises(RequestError, match="drive"):
        sim_door(replace(project, drive=None), CALM)
