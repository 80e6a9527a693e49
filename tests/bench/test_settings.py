"""The controller's settings from the description: what is accepted, what means what, and what is refused."""

from __future__ import annotations

from dataclasses import replace
from math import erf, sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.bench.electrics import brown_out, supply_voltage
from hutwright.bench.plant import rod, sim_door
from hutwright.bench.settings import (
    core_settings,
    eyes_of,
    no_current,
    rod_share,
    sealed,
    stuck_time,
    supply_levels,
)
from hutwright.errors import ModelError, RequestError
from hutwright.model.circuit import PresentKind, PresentSensor
from hutwright.model.controller import Command, ProtectiveLayer, SpeedShares
from hutwright.model.door import DoorKind
from hutwright.model.drive import EndSwitches
from hutwright.native import engine
from hutwright.native.scenario import scenario
from hutwright.native.words import Commands, Ends, Eyes, LinkLost, Refusal, Sense
from hutwright.plant.conditions import nominal
from hutwright.plant.mechanism import rod_force
from hutwright.plant.motor import line
from hutwright.plant.travel import travel
from tests.bench.doors import DESCRIBED, lift
from tests.layout.doors import HINGED, plain, with_kind
from tests.plant.doors import CALM, at_speed, demo, sliding


def controlled(project, **fields):
    """The project with some fields of its controller changed."""
    assert project.controller is not None
    return replace(project, controller=replace(project.controller, **fields))


def detecting(project, **fields):
    """The project with some fields of its detection changed."""
    return controlled(project, detection=replace(project.controller.detection, **fields))


def with_drive(project, **fields):
    """The project with some fields of its drive changed."""
    assert project.drive is not None
    return replace(project, drive=replace(project.drive, **fields))


# ---- accepted ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("name", "variant"), DESCRIBED)
def test_the_core_accepts_every_demo_and_variant(name, variant):
    settings = core_settings(demo(name, variant))
    assert engine.refusal(settings) is Refusal.GOOD
    assert settings["checksum"] == engine.sealed(settings)["checksum"]


@pytest.mark.parametrize("kind", HINGED)
@pytest.mark.parametrize("ends", EndSwitches)
def test_the_core_accepts_every_kind_of_hinge_and_end(kind, ends):
    project = with_drive(with_kind(kind), end_switches=ends)
    assert engine.refusal(core_settings(project)) is Refusal.GOOD
    assert engine.refusal(core_settings(lift())) is Refusal.GOOD


@given(
    st.floats(0.05, 30.0),
    st.floats(0.0, 0.9),
    st.floats(0.0, 1.0),
    st.floats(0.0, 2.9),
    st.floats(0.11, 1.0),
    st.floats(0.5, 1.0),
)
def test_the_core_accepts_whatever_the_description_may_sensibly_say(trip, after, lag, blind, normal, last):
    project = at_speed(plain(), normal=normal, last=normal * last, last_over=lag)
    project = detecting(project, trip=trip, after=after, filter=lag, blind_after_start=blind)
    settings = core_settings(project)
    assert engine.refusal(settings) is Refusal.GOOD
    assert settings["closing"]["trip_mA"] == round(1e3 * trip)
    assert settings["backstop_mA"] > settings["closing"]["trip_mA"]


def test_what_was_written_by_mistake_is_refused_by_its_checksum():
    settings = core_settings(plain())
    with pytest.raises(ValueError, match="read-only"):
        settings["dead_ms"] = 1
    changed = settings.copy()
    changed["dead_ms"] = 50
    assert engine.refusal(changed) is Refusal.CHECKSUM
    assert engine.refusal(sealed(changed)) is Refusal.GOOD


# ---- what means what --------------------------------------------------------------------------------------


def test_the_described_trip_stands_over_a_profile_of_nothing():
    settings = core_settings(plain())
    for way in ("opening", "closing"):
        assert settings[way]["trip_mA"] == 3200
        assert settings[way]["rise_mA"] == 65535
        assert not settings[way]["profile_mA"].any()
        assert not settings[way]["start_mA"].any()
        assert settings[way]["per_kelvin_uA"] == settings[way]["per_volt_mA"] == 0
    assert (settings["after_ms"], settings["blind_ms"]) == (40, 350)


@given(st.floats(0.002, 0.5))
def test_the_filter_forgets_as_its_time_constant_says(lag):
    share = float(core_settings(detecting(plain(), filter=lag))["filter_q16"]) / 65536.0
    assert (1.0 - share) ** (lag / 1e-3) == pytest.approx(np.exp(-1.0), rel=0.01)


def test_the_backstop_is_below_the_stall_and_above_the_trip():
    for project in (plain(), sliding(), demo("orchard", "own_feed")):
        assert project.controller is not None
        trip, settings = project.controller.detection.trip, core_settings(project)
        stall = line(project, nominal(project), duty=project.controller.speed.normal).stall_current
        assert 1e3 * trip < settings["backstop_mA"] <= 1e3 * max(min(0.9 * stall, 1.5 * trip), 1.1 * trip) + 1


def test_a_drive_that_stalls_below_the_trip_has_its_backstop_above_it():
    settings = core_settings(detecting(plain(), trip=6.0))
    assert settings["backstop_mA"] == 6600


def test_the_slow_stretch_is_the_rod_s_share_of_the_edge_s_way():
    project = plain()
    assert project.controller is not None
    over, found = travel(project), rod(project)
    place = project.controller.speed.last_over / over.edge_radius
    share = found.travel(place) / found.travel(over.full)
    assert 0.0 <= core_settings(project)["last_shut_permille"] - 1000.0 * share < 1.0
    assert rod_share(sliding(), 0.41) == pytest.approx(0.5)
    assert (rod_share(plain(), 0.0), rod_share(plain(), 9.0)) == (0.0, 1.0)


@pytest.mark.parametrize("project", [plain, sliding, lift], ids=["hinged", "sliding", "lift"])
def test_the_back_emf_summed_over_a_move_is_the_whole_travel(project):
    """The bare door at full duty: what the core would add up every millisecond, in its own units."""
    project = project()
    settings, door = core_settings(project), sim_door(project, CALM, sensed=False)
    rows = engine.free(door, scenario((), duration=40.0), duty=1.0).rows
    arrived = int(np.argmax(rows["q"] >= 0.97 * float(door["full"])))
    assert arrived > 0
    rows = rows[:arrived]
    lost = float(settings["drop_mV"]) + float(settings["resistance_mohm"]) * rows["current"]
    emf = np.maximum(1e3 * rows["bus"] - lost, 0.0)
    covered = (emf * float(settings["place_gain_q8"]) / 256.0).sum() / 2.0**30
    wanted = rod(project).travel(float(rows["q"][-1])) / rod(project).travel(float(door["full"]))
    assert covered == pytest.approx(wanted, rel=0.01)


@pytest.mark.parametrize(
    ("switches", "ends"),
    [
        (EndSwitches.INSIDE, Ends.INSIDE),
        (EndSwitches.TO_THE_BOARD, Ends.SWITCHES),
        (EndSwitches.NONE, Ends.STALL),
    ],
)
def test_the_ends_are_told_as_the_drive_s_switches_allow(switches, ends):
    assert core_settings(with_drive(plain(), end_switches=switches))["ends"] == ends


def test_the_sensor_s_lead_is_the_described_one():
    assert core_settings(plain())["sense"] == Sense.MOTOR
    assert core_settings(sliding())["sense"] == Sense.SUPPLY


def test_a_move_neither_starts_nor_goes_on_where_the_board_would_reset():
    for project in (plain(), sliding()):
        start, stop = supply_levels(project)
        assert brown_out(project) < stop < start < supply_voltage(project)
        assert start == pytest.approx(0.9 * supply_voltage(project))


def test_without_a_described_board_the_levels_come_from_the_supply():
    start, stop = supply_levels(replace(plain(), electronics=None))
    assert start == pytest.approx(0.9 * 12.0)
    assert stop == pytest.approx(0.6 * 12.0)


def test_commands_and_a_lost_link_are_as_described():
    settings = core_settings(plain())
    assert settings["commands"] == Commands.BUTTON | Commands.LINE
    assert (settings["link_lost"], settings["link_lost_ms"]) == (LinkLost.STAY, 3000)
    button = core_settings(controlled(plain(), commands=(Command.BUTTON,)))
    assert (button["commands"], button["link_lost_ms"], button["auto_close_s"]) == (Commands.BUTTON, 0, 0)


def seeing(layers, kind):
    """The orchard with those layers and that present sensor."""
    project = controlled(plain(), layers=layers)
    assert project.electronics is not None
    sensor = None if kind is None else PresentSensor(kind=kind, current=0.01, always_on=True)
    return replace(project, electronics=replace(project.electronics, present_sensor=sensor))


PRESENT, BEAM, PRESSURE = (
    ProtectiveLayer.PRESENT_SENSOR,
    ProtectiveLayer.BEAM,
    ProtectiveLayer.PRESSURE_EDGE,
)


@pytest.mark.parametrize(
    ("layers", "kind", "eyes"),
    [
        ((PRESENT,), PresentKind.PULSE_ECHO, Eyes.PRESENT),
        ((PRESENT,), PresentKind.BEAM, Eyes.PRESENT),
        ((PRESENT,), None, Eyes(0)),
        ((), PresentKind.PULSE_ECHO, Eyes(0)),
        ((PRESENT, BEAM), PresentKind.PULSE_ECHO, Eyes.PRESENT | Eyes.BEAM),
        ((PRESENT, BEAM), PresentKind.BEAM, Eyes.BEAM),
        ((PRESSURE, BEAM), None, Eyes.EDGE | Eyes.BEAM),
        ((ProtectiveLayer.SOFT_EDGE,), None, Eyes(0)),
    ],
)
def test_the_controller_has_the_eyes_that_are_layers_and_really_there(layers, kind, eyes):
    assert eyes_of(seeing(layers, kind)) == eyes
    assert core_settings(seeing(layers, kind))["eyes"] == eyes


def test_no_current_is_half_of_the_least_that_moves_the_leaf():
    for project in (plain(), sliding()):
        calm = nominal(project)
        drive = line(project, calm)
        least = min(drive.current(rod_force(project, calm, opening=way)).min() for way in (True, False))
        assert no_current(project, Ends.SWITCHES) == pytest.approx(0.5 * least)


def test_a_leaf_that_turns_its_own_motor_is_not_watched_for_no_current():
    heavy = lift()
    assert heavy.drive is not None
    light = replace(
        heavy.drive,
        no_load=replace(heavy.drive.no_load, current=0.02),
        rating=replace(heavy.drive.rating, force=550.0),
        stall=replace(heavy.drive.stall, force=2500.0),
        screw=replace(heavy.drive.screw, self_locking=False),
    )
    project = replace(heavy, drive=light)
    assert no_current(project, Ends.SWITCHES) == 0.0
    assert core_settings(with_drive(project, end_switches=EndSwitches.TO_THE_BOARD))["none_mA"] == 1
    assert core_settings(with_drive(project, end_switches=EndSwitches.INSIDE))["none_mA"] > 50


@given(st.floats(0.001, 1.0), st.floats(0.01, 0.2))
def test_a_sensor_that_is_well_is_hardly_ever_taken_to_hang(noise, step):
    time = stuck_time(noise, step)
    if time:
        assert 100 <= time <= 2000
        assert erf(0.5 * step / (sqrt(2.0) * noise)) ** (0.5 * time) <= 1e-17
    else:
        assert noise < 0.5 * step


def test_a_sensor_without_noise_is_not_watched_for_hanging():
    assert stuck_time(0.0, 0.05) == 0
    assert core_settings(sliding())["stuck_ms"] == 0  # a shunt, whose noise is a sixth of a count
    assert core_settings(plain())["stuck_ms"] > 0


# ---- refused ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("change", "field"),
    [
        (lambda p: detecting(p, trip=45.0), "controller.detection.trip"),
        (lambda p: detecting(p, trip=0.01), "controller.detection.trip"),
        (lambda p: detecting(p, after=1.5), "controller.detection.after"),
        (lambda p: detecting(p, filter=2.0), "controller.detection.filter"),
        (lambda p: detecting(p, blind_after_start=4.0), "controller.detection.blind_after_start"),
        (
            lambda p: controlled(p, longest_run=replace(p.controller.longest_run, opening=70.0)),
            "controller.longest_run.opening",
        ),
        (
            lambda p: controlled(p, longest_run=replace(p.controller.longest_run, closing=0.2)),
            "controller.longest_run.closing",
        ),
        (
            lambda p: controlled(p, speed=SpeedShares(normal=0.05, last=0.05, last_over=0.0)),
            "controller.speed.normal",
        ),
        (
            lambda p: controlled(p, speed=SpeedShares(normal=1.0, last=0.01, last_over=0.1)),
            "controller.speed.last",
        ),
        (lambda p: controlled(p, commands=()), "controller.commands"),
        (
            lambda p: replace(p, supplies={"battery": replace(p.supplies["battery"], voltage=7.0)}),
            "supplies",
        ),
    ],
)
def test_what_the_core_cannot_do_is_said_with_its_place(change, field):
    with pytest.raises(ModelError) as refused:
        core_settings(change(plain()))
    assert refused.value.field == field
    for part in (refused.value.read, refused.value.wanted, refused.value.remedy):
        assert part


def test_a_travel_that_a_drive_covers_in_no_time_is_refused():
    project = with_kind(DoorKind.SLIDING, opens=0.003)
    with pytest.raises(ModelError, match="no_load"):
        core_settings(replace(project, drive=plain().drive))


def test_asks_for_what_it_needs():
    with pytest.raises(RequestError, match="controller"):
        core_settings(replace(plain(), controller=None))
    with pytest.raises(RequestError, match="drive"):
        core_settings(replace(plain(), drive=None))
