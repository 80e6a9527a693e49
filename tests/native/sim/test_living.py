"""The simulated door a millisecond at a time: the same door as in a run, for as long as one likes."""

from __future__ import annotations

import numpy as np
import pytest

from hutwright.native import engine
from hutwright.native._door import ffi, lib
from hutwright.native.records import DOOR
from hutwright.native.scenario import scenario
from tests.native.doors import DOORS, hinged


class Living:
    """A door that lives."""

    def __init__(self, door, q: float, seed: int = 1) -> None:
        self.record = np.ascontiguousarray(np.asarray(door, DOOR).reshape(1))
        self.door = ffi.cast("sim_door *", self.record.ctypes.data)
        self.live = ffi.new("uint64_t[]", lib.sim_live_bytes() // 8 + 1)
        self.inputs = ffi.new("door_inputs *")
        self.can_be = lib.sim_live_begin(self.door, q, seed, self.live)

    def tick(self, duty: float, enable: int = 1) -> float:
        lib.sim_live_tick(self.door, duty, enable, self.live, self.inputs)
        return float(lib.sim_live_q(self.live))


@pytest.mark.parametrize("name", sorted(DOORS))
@pytest.mark.parametrize(("share", "duty", "enable"), [(0.0, 0.9, 1), (0.7, -0.6, 1), (0.4, 0.0, 0)])
def test_it_goes_where_the_same_door_goes_in_a_run(name, share, duty, enable):
    door = DOORS[name]()
    start = share * float(door["full"])
    run = engine.free(
        door, scenario([], duration=1.5, start_q=start), duty=duty, enable=bool(enable), every=1
    )
    living = Living(door, start)
    found = [living.tick(duty, enable) for _ in range(1499)]
    np.testing.assert_array_equal(np.array(found, np.float32), run.rows["q"][1:1500])


def test_it_reads_what_the_controller_would_and_begins_anew_in_other_weather():
    door = hinged()
    living = Living(door, 0.0)
    for _ in range(400):
        living.tick(0.9)
    read = living.inputs
    assert read.current_mA > 100
    assert read.supply_mV < 1e3 * float(door["voltage"])
    assert read.temperature_dC == round(10.0 * (float(door["temperature"]) - 273.15))
    place = float(lib.sim_live_q(living.live))
    kelvin = float(door["temperature"])
    living.record["temperature"] = kelvin + 10.0
    assert lib.sim_live_begin(living.door, place, 2, living.live) == 1
    living.tick(0.0, 0)
    assert lib.sim_live_q(living.live) == pytest.approx(place, abs=1e-6)
    assert living.inputs.temperature_dC == round(10.0 * (kelvin - 263.15))


def test_a_door_that_cannot_be_is_refused():
    door = hinged()
    door["rotor_mass"] = 0.0
    assert Living(door, 0.0).can_be == 0
