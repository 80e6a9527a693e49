"""The simulated door's mechanics against a rigid-body engine."""

from __future__ import annotations

import pytest

from hutwright.native import engine
from hutwright.native.scenario import obstacle, scenario
from tests.native.doors import DOORS
from tests.native.sim.rigid import peak_force

ENGINE = pytest.mark.published(
    "MuJoCo 4.0, rigid-body engine, steps of 10 µs, force of the obstacle's spring"
)

# Where each starts and how it moves there, where the obstacle stands, and how long it is followed.
CASES = {
    "hinged": (0.42, -0.25, 0.2, 0.20),
    "sliding": (0.31, -0.12, 0.3, 0.25),
    "lift": (0.305, -0.07, 0.3, 0.25),
}


@ENGINE
@pytest.mark.parametrize("name", DOORS)
@pytest.mark.parametrize("stiffness", [5e5, 2e4])
def test_a_leaf_that_runs_on_by_itself_hits_as_in_a_rigid_body_engine(name, stiffness):
    start, rate, face, duration = CASES[name]
    door = DOORS[name]()
    # What the engine does not know: friction that grows with the rod's force, and the motor's current.
    door["efficiency"], door["self_locking"] = 1.0, 0
    door["friction_current"] *= 0.1  # that it gets there
    arm = engine.rod(door, start)[1]
    wanted = peak_force(
        name, door, start=start, rate=rate, arm=arm, face=face, stiffness=stiffness, duration=duration
    )
    scene = scenario(
        [obstacle(0.0, face=face, stiffness=stiffness)], duration=duration, start_q=start, start_rate=rate
    )
    door["inductance"], door["resistance"] = 0.0, 1e9  # no current, so no braking
    result = engine.free(door, scene, duty=0.0, enable=False).result
    assert wanted > 20.0
    assert result["peak_force"] == pytest.approx(wanted, rel=0.01)
