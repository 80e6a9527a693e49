"""The simulated door against a stiff integrator with the exact geometry."""

from __future__ import annotations

import math

import numpy as np
import pytest

from hutwright.native import engine
from hutwright.native.scenario import obstacle, scenario
from tests.native.doors import DOORS
from tests.native.sim.reference import Obstacle, follow

INTEGRATOR = pytest.mark.published(
    "ODEPACK, LSODA, as in SciPy 1.17: tolerance 1e-7, steps of 0.5 ms at most"
)

# Where each starts from rest, where the obstacle stands, and how long it is followed.
CASES = {"hinged": (0.5, 0.2, 0.6), "sliding": (0.4, 0.3, 1.0), "lift": (0.4, 0.3, 1.6)}
STIFF, BODY = 5e5, 2e4  # an instrument, and a part of a body [N/m]


def both(name, door, stiffness, damping):
    start, face, duration = CASES[name]
    seen = follow(name, door, Obstacle(face, stiffness, damping), start_q=start, duty=-1.0, duration=duration)
    event = obstacle(0.0, face=face, stiffness=stiffness, damping=damping)
    return seen, lambda until: engine.free(door, scenario([event], duration=until, start_q=start), duty=-1.0)


@INTEGRATOR
@pytest.mark.parametrize("name", DOORS)
@pytest.mark.parametrize(("stiffness", "damping"), [(STIFF, 0.0), (STIFF, 200.0), (BODY, 50.0)])
def test_the_first_peak_of_force_is_that_of_a_stiff_integrator(name, stiffness, damping):
    seen, run = both(name, DOORS[name](), stiffness, damping)
    until = math.ceil(1e3 * seen.first_peak() + 1.0) * 1e-3
    result = run(until).result
    assert result["peak_force"] == pytest.approx(seen.peak_until(result["end_time"]), rel=0.01)
    assert result["contact_time"] == pytest.approx(seen.touch, abs=5e-4)


@INTEGRATOR
@pytest.mark.parametrize("name", DOORS)
def test_the_motor_pushing_on_gives_the_force_of_a_stiff_integrator(name):
    seen, run = both(name, DOORS[name](), STIFF, 50.0)
    got = run(CASES[name][2])
    assert got.result["peak_force"] == pytest.approx(seen.peak_until(got.result["end_time"]), rel=0.01)
    # A row's force is that of the plant's last step, which began 0.25 ms before it.
    force = np.interp(got.rows["time"] - 2.5e-4, seen.time, seen.force)
    # Where the leaf bounces, a twentieth of a millisecond more or less shows.
    assert np.abs(got.rows["force"] - force).max() < 0.03 * force.max()
    moved = np.interp(got.rows["time"], seen.time, seen.state[:, 3])
    assert np.abs(got.rows["q"] - moved).max() < 2e-4 * DOORS[name]()["full"]
    current = np.interp(got.rows["time"], seen.time, seen.state[:, 0])
    assert np.abs(got.rows["current"] - current).max() < 0.02 * np.abs(current).max()


@INTEGRATOR
@pytest.mark.parametrize("name", ["hinged", "sliding"])
def test_a_soft_edge_gives_way_and_bottoms_as_in_a_stiff_integrator(name):
    door = DOORS[name]()
    door["edge_stiffness"], door["edge_depth"] = 15e3, 0.004
    seen, run = both(name, door, STIFF, 100.0)
    for until in (seen.touch + 0.05, CASES[name][2]):
        result = run(until).result
        assert result["peak_force"] == pytest.approx(seen.peak_until(result["end_time"]), rel=0.01)


@INTEGRATOR
@pytest.mark.parametrize(("mount", "rotor"), [(5e6, 1.0), (5e6, 0.3), (1e4, 3.0)])
def test_light_rotors_on_stiff_mounts_are_followed_in_finer_steps(mount, rotor):
    door = DOORS["sliding"]()
    door["mount_stiffness"], door["rotor_mass"], door["inertia"] = mount, rotor, 1.5
    seen, run = both("sliding", door, STIFF, 50.0)
    until = math.ceil(1e3 * seen.first_peak() + 1.0) * 1e-3
    result = run(until).result
    assert result["peak_force"] == pytest.approx(seen.peak_until(result["end_time"]), rel=0.01)
