"""Energy never comes from nothing, and none gets lost."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.native import engine
from hutwright.native.scenario import Event, obstacle, scenario
from hutwright.native.words import EventKind
from tests.native.doors import DOORS

names = st.sampled_from(sorted(DOORS))


def powers(low, high):
    """Even over the orders of magnitude."""
    return st.floats(np.log10(low), np.log10(high)).map(lambda power: float(10.0**power))


@st.composite
def doors(draw):
    """One of the test doors with everything that stores or loses energy changed."""
    door = DOORS[draw(names)]()
    door["mount_stiffness"] = draw(powers(1e4, 5e6))
    door["mount_damping"] = draw(st.one_of(st.just(0.0), powers(1.0, 1e5)))
    door["rotor_mass"] *= draw(powers(0.05, 3.0))
    door["inertia"] *= draw(powers(0.3, 3.0))
    door["efficiency"] = draw(st.floats(0.2, 1.0))
    door["self_locking"] = draw(st.integers(0, 1))
    door["friction_current"] = draw(st.floats(0.0, 1.0))
    door["reservoir"] = draw(st.one_of(st.just(0.0), powers(1e-4, 1e-2)))
    door["source_resistance"] = draw(st.floats(0.0, 1.0))
    door["inductance"] = draw(st.one_of(st.just(0.0), powers(1e-5, 1e-2)))
    door["stop_damping"] = draw(st.floats(0.0, 1000.0))
    door["slip_force"] = draw(st.one_of(st.just(1e30), st.floats(20.0, 200.0)))
    door["edge_stiffness"], door["edge_depth"] = draw(st.sampled_from([(0.0, 0.0), (1e4, 0.004)]))
    return door


@st.composite
def happenings(draw, door):
    """What may befall it within half a second."""
    full, edge = float(door["full"]), float(door["edge_radius"])
    load = 100.0 * edge
    events = [
        obstacle(
            0.0,
            face=edge * full * draw(st.floats(0.3, 0.7)),
            stiffness=draw(powers(1e3, 5e5)),
            damping=draw(st.one_of(st.just(0.0), powers(1.0, 3e3))),
            opening=draw(st.booleans()),
        ),
        Event(
            EventKind.GUST, draw(st.floats(0.0, 0.4)), draw(st.floats(-2.0, 2.0)), draw(st.floats(0.0, 0.2))
        ),
        Event(EventKind.SLIP, draw(st.floats(0.0, 0.4)), draw(st.floats(-0.002, 0.002))),
        Event(EventKind.DRAG, draw(st.floats(0.0, 0.4)), draw(st.floats(0.0, 0.1)) * load),
        Event(EventKind.POWER, draw(st.floats(0.2, 1.0)), 0.0),
    ]
    push = Event(
        EventKind.PUSH, 0.1, 0.5 * full, draw(st.floats(-0.2, 0.5)) * full, draw(st.floats(0.0, 2.0)) * load,
        draw(powers(10.0, 1e3)) * load / full, 0.1 * load,
    )  # fmt: skip
    return draw(st.lists(st.sampled_from([*events, push]), max_size=5, unique_by=lambda event: event.kind))


@given(st.data(), doors(), st.floats(-1.0, 1.0), st.booleans(), st.floats(0.0, 1.0))
def test_what_goes_in_is_what_is_kept_and_what_became_heat(data, door, duty, enable, share):
    events = data.draw(happenings(door))
    scene = scenario(events, duration=0.5, start_q=share * float(door["full"]))
    result = engine.free(door, scene, duty=duty, enable=enable, rows=False).result
    given_ = result["stored_start"] + result["work_supply"] + result["work_other"]
    kept = result["stored_end"] + result["heat"]
    turned_over = abs(result["work_supply"]) + abs(result["work_other"]) + result["heat"]
    turned_over += abs(result["stored_end"] - result["stored_start"])
    assert result["ended_early"] == 0
    assert kept == pytest.approx(given_, abs=0.01 * turned_over + 2e-3)
    assert result["heat"] >= -1e-6


@given(names, powers(1e4, 5e6), st.floats(-1.0, 1.0), st.booleans())
def test_without_losses_the_energy_stays(name, stiffness, speed, opening):
    door = DOORS[name]()
    door["mount_stiffness"], door["mount_damping"], door["stop_damping"] = stiffness, 0.0, 0.0
    door["efficiency"], door["self_locking"], door["friction_current"] = 1.0, 0, 0.0
    door["resist_open"] = door["resist_close"] = 0.0
    door["resistance"], door["inductance"] = 1e9, 0.0  # no current
    full, edge = float(door["full"]), float(door["edge_radius"])
    event = obstacle(0.0, face=edge * full * (0.55 if opening else 0.45), stiffness=1e5, opening=opening)
    scene = scenario([event], duration=1.0, start_q=0.5 * full, start_rate=speed * 0.4 * full)
    result = engine.free(door, scene, duty=0.0, enable=False, rows=False).result
    moved = abs(result["stored_end"] - result["stored_start"])
    speed_energy = 0.5 * float(door["inertia"]) * (0.4 * full) ** 2
    assert moved < 0.01 * (speed_energy + abs(result["stored_start"])) + 1e-4
    assert abs(result["work_other"]) < 1e-12
