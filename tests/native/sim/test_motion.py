"""What a door may never do, and what it must, whatever it is driven by."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.native import engine
from hutwright.native.records import SHARES
from hutwright.native.scenario import Event, obstacle, scenario
from hutwright.native.words import EventKind, Linkage, Word
from tests.native.doors import DOORS, hinged, lift, settings_for, sliding

names = st.sampled_from(sorted(DOORS))
GUSTS = [Event(EventKind.GUST, 0.0, 1.0, 0.5), Event(EventKind.GUST, 200.0, -1.0, 2.0)]


@pytest.mark.parametrize("name", ["hinged", "lift"])
@pytest.mark.parametrize("enable", [False, True])
def test_a_self_locking_screw_does_not_creep_in_ten_minutes_of_weight_and_wind(name, enable):
    door = DOORS[name]()
    if name == "lift":
        door["wind"] = 20.0
    start = 0.5 * float(door["full"])
    gusts = [
        *GUSTS,
        *(Event(EventKind.GUST, 300.0 + each, 1.0 - 2.0 * (each % 2), 0.3) for each in range(40)),
    ]
    run = engine.free(
        door, scenario(gusts, duration=600.0, start_q=start), duty=0.0, enable=enable, every=1000
    )
    travel = run.rows["rod"].astype(float)
    assert len(travel) == 600
    assert travel.max() == travel.min()
    assert abs(run.result["end_q"] - start) < 3e-3 * float(door["full"])  # what the mount gives way


def test_a_belt_that_does_not_lock_is_turned_by_its_load():
    door = sliding()
    door["wind"] = 60.0
    gust = Event(EventKind.GUST, 0.0, 1.0)
    free = engine.free(door, scenario([gust], duration=3.0), duty=0.0, enable=False)
    braked = engine.free(door, scenario([gust], duration=3.0), duty=0.0, enable=True)
    assert free.result["end_q"] > 0.3
    assert 0.002 < braked.result["end_q"] < 0.1 * free.result["end_q"]  # its own current holds it back
    door["self_locking"] = 1
    assert engine.free(door, scenario([gust], duration=3.0), duty=0.0, enable=False).result["end_q"] < 0.01


@given(st.floats(0.0, 5e3), st.floats(1e3, 5e5), st.floats(-0.12, -0.03))
def test_contact_presses_and_never_pulls(damping, stiffness, rate):
    door = sliding()
    door["friction_current"] = door["resist_close"] = 0.0
    event = obstacle(0.0, face=0.295, stiffness=stiffness, damping=damping)
    run = engine.free(
        door, scenario([event], duration=0.4, start_q=0.3, start_rate=rate), duty=0.0, enable=False
    )
    assert run.rows["force"].min() >= 0.0
    assert run.result["contact_time"] > 0.0
    away = 0.295 - run.rows["q"] < -1e-3  # a millimetre from it
    assert (run.rows["force"][away] == 0.0).all()


@given(names, st.floats(0.2, 1.0), st.floats(0.0, 1.0), st.floats(-1.0, 1.0))
def test_a_mirrored_rod_moves_the_leaf_in_the_very_same_way(name, duty, gust, side):
    door = DOORS[name]()
    mirrored = door.copy()
    if (
        name == "hinged"
    ):  # pins on the other side: opening makes the rod shorter, by other lengths but one arm
        mirrored["linkage"], mirrored["k0"], mirrored["k1"] = Linkage.DIRECT, 0.0, 0.07
        door = mirrored.copy()
    mirrored["way"], mirrored["k1"] = -1.0, -mirrored["k1"]
    scene = scenario([Event(EventKind.GUST, 0.1, gust, 0.2)], duration=1.0, start_q=0.5 * float(door["full"]))
    sign = 1.0 if side > 0.0 else -1.0
    one, other = (engine.free(each, scene, duty=sign * duty).rows for each in (door, mirrored))
    for column in one.dtype.names:
        np.testing.assert_array_equal(one[column], other[column])


def test_opening_and_closing_are_mirror_images_on_a_level_track():
    door = sliding()
    opening = engine.free(door, scenario(duration=1.5, start_q=0.2), duty=0.8).rows
    closing = engine.free(door, scenario(duration=1.5, start_q=0.35), duty=-0.8).rows
    np.testing.assert_allclose(opening["q"] - 0.2, 0.35 - closing["q"], atol=1e-6)
    np.testing.assert_allclose(opening["current"], -closing["current"], atol=1e-5)
    event = [obstacle(0.0, face=0.25, stiffness=1e5, damping=50.0, opening=True)]
    other = [obstacle(0.0, face=0.30, stiffness=1e5, damping=50.0)]
    opened = engine.free(door, scenario(event, duration=1.0, start_q=0.2), duty=0.8).result
    closed = engine.free(door, scenario(other, duration=1.0, start_q=0.35), duty=-0.8).result
    assert opened["peak_force"] == pytest.approx(closed["peak_force"], rel=1e-9)


def test_ice_holds_until_it_breaks_and_is_gone_for_good():
    door = lift()
    door["gravity"] = 0.0
    door["ice"], door["ice_over"] = 60.0, 0.002
    held = engine.free(door, scenario(duration=3.0), duty=0.15).result
    assert held["end_q"] < 0.0005
    run = engine.free(door, scenario(duration=3.0), duty=0.8).rows
    before, after = run["q"] < 0.0015, run["q"] > 0.03
    assert run["rod_force"][before].max() > 60.0
    assert run["rod_force"][after].mean() == pytest.approx(4.0, abs=1.0)


def test_the_mount_slides_above_its_force_and_stays_where_it_slid():
    door = sliding()
    door["slip_force"] = 60.0
    event = obstacle(0.0, face=0.3, stiffness=2e5)
    run = engine.free(door, scenario([event], duration=2.0, start_q=0.35), duty=-1.0)
    assert run.rows["rod_force"].min() > -61.0 - 0.3 * float(door["mount_damping"])
    assert run.rows["rod"][-1] < 0.25  # the rod went on
    assert run.rows["q"][-1] > 0.29  # the leaf did not


def test_a_machine_that_pushes_opens_the_leaf_with_no_more_than_its_load():
    door = sliding()
    door["rotor_mass"], door["friction_current"] = 4.0, 0.05
    push = Event(EventKind.PUSH, 0.1, 0.0, 0.2, 40.0, 2e4)
    run = engine.free(door, scenario([push], duration=3.0), duty=0.0, enable=False)
    assert run.result["end_q"] > 0.4
    assert run.result["work_other"] <= 40.0 * run.result["end_q"] * 1.001
    door["self_locking"] = 1
    held = engine.free(door, scenario([push], duration=3.0), duty=0.0, enable=False)
    assert held.result["end_q"] == pytest.approx((40.0 - 6.0) / door["mount_stiffness"], rel=0.3)


def test_inside_switches_cut_their_own_way_and_leave_the_way_back():
    door = sliding()
    door["board_switches"], door["inside_switches"] = 0, 1
    door["switch_shut"], door["switch_open"] = 0.005, 0.5
    run = engine.free(door, scenario(duration=6.0, start_q=0.45), duty=1.0)
    assert run.rows["current"][-1] == 0.0
    assert 0.499 < run.rows["rod"][-1] < 0.55
    back = engine.free(door, scenario(duration=1.0, start_q=0.52), duty=-1.0)
    assert back.result["end_q"] < 0.45


def test_rod_stops_take_what_runs_into_them_and_give_nothing_back():
    door = sliding()
    door["rod_high"] = 0.4
    run = engine.free(door, scenario(duration=3.0, start_q=0.2), duty=1.0)
    assert run.rows["rod"].max() < 0.4001
    assert run.rows["rod"][-500:].min() > 0.3999
    assert run.result["peak_current"] == pytest.approx(
        (12.6 - 0.9) / (1.6 + 0.25 + 0.15), rel=0.02
    )  # stalled


@pytest.mark.parametrize("name", DOORS)
def test_the_current_settles_where_the_forces_are_in_balance(name):
    door = DOORS[name]()
    door["resist_open"] = 9.0 * float(door["edge_radius"])
    run = engine.free(door, scenario(duration=1.5, start_q=0.3 * float(door["full"])), duty=1.0)
    q = float(run.rows["q"][-1])
    load = 9.0 * float(door["edge_radius"]) - np.interp(q, float(door["full"]) * SHARES, door["gravity"])
    force = load / engine.rod(door, q)[1]
    wanted = force / float(door["efficiency"] * door["constant"]) + float(door["friction_current"])
    assert run.rows["current"][-1] == pytest.approx(wanted, rel=0.02)


def test_a_cut_supply_resets_the_controller_and_keeps_its_counters():
    door = hinged()
    door["reservoir"] = 1e-3
    events = [
        Event(EventKind.WORD, 0.3, Word.OPEN),
        Event(EventKind.POWER, 2.0, 0.0),
        Event(EventKind.POWER, 2.5, 1.0),
    ]
    run = engine.run(door, settings_for(door), scenario(events, duration=4.0))
    assert run.result["counters"][0] == 2  # powered up twice
    assert run.result["counters"][1] == 1  # and moved once
    off = (run.rows["time"] > 2.2) & (run.rows["time"] < 2.5)
    assert (run.rows["enable"][off] == 0).all()
    assert run.rows["bus"][off].max() < float(door["brown_out"])
    assert run.rows["place_share"][-1] == -1.0
    assert run.result["broken"] == 0


def test_a_step_of_force_is_seen_to_rise_in_five_milliseconds():
    door = sliding()
    # Pressed from the first moment on by a soft spring that hardly gives way: a step.
    event = obstacle(0.0, face=0.4, stiffness=500.0)
    door["resist_open"], door["inertia"] = 1e3, 1e3
    rows = engine.free(door, scenario([event], duration=0.05, start_q=0.2), duty=0.0).rows
    seen = rows["force_seen"] / 100.0
    at = [float(np.interp(share, seen, rows["time"])) for share in (0.1, 0.9)]
    assert at[1] - at[0] == pytest.approx(5e-3, rel=0.02)


@pytest.mark.parametrize("inductance", [1.2e-3, 1e-5, 0.0])
def test_a_light_rotor_and_its_winding_do_not_ring_each_other_up(inductance):
    door = sliding()
    usual = engine.free(door, scenario(duration=1.0, start_q=0.1), duty=1.0).rows
    door["rotor_mass"], door["inductance"] = 0.05, inductance
    light = engine.free(door, scenario(duration=1.0, start_q=0.1), duty=1.0).rows
    assert light["current"].max() < usual["current"].max()
    np.testing.assert_allclose(light["current"][-300:], usual["current"][-300:], rtol=1e-4)
