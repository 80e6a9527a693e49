"""Simulated builders measure a truth that they do not know: how often the stated range holds it.

Each simulated measurement is made from the truth forwards: what the scale, the watch or the meter shows then,
off by what that instrument errs, and rounded to its steps.
"""

import math

import numpy as np
import pytest

from hutwright import units
from hutwright.description.folder import load
from hutwright.laws.kinetic import FREE_FALL
from hutwright.studies.observing.all import observation_of
from hutwright.studies.observing.door import ASKEW, SETTLED, UNEVEN
from hutwright.studies.observing.working_out import work_out
from hutwright.units import NUMBER
from tests.house.places import TOP

N = 400
LEAST, MOST = 0.85, 0.95  # of the ranges that are stated to hold nine in ten
SHAKEN = 3.0 * math.sqrt(0.9 * 0.1 / N)  # three standard errors of such a count


@pytest.fixture(scope="module")
def hut():
    return load(TOP / "demos" / "orchard").project


def shown(blank, true, chance):
    """What an instrument shows: off by its spread, rounded to its step."""
    instrument = blank.instrument
    read = true + instrument.spread_at(true) * chance.standard_normal()
    step = 2.0 * instrument.step
    read = round(read / step) * step if step else read
    read = min(max(read, instrument.least), instrument.most)
    return f"{read:.9g}" if instrument.dimension is NUMBER else units.write(read, instrument.dimension)


def leaf(hut, chance):
    """Scale readings of a leaf whose centre of gravity is not quite in its middle."""
    lever, mass, friction = chance.uniform(0.5, 0.58), chance.uniform(2.0, 9.0), chance.uniform(0.2, 3.0)
    reach = hut.door.leaf.height / 2.0 * (1.0 + UNEVEN * chance.uniform(-1.0, 1.0))
    square = 1.0 / (1.0 + ASKEW * chance.standard_normal())
    half, opened = math.radians(chance.uniform(35, 50)), math.radians(chance.uniform(70, 82))
    weight = (mass + hut.door.leaf.fittings) * FREE_FALL
    true = {"lever": lever, "half_angle": half, "open_angle": opened}
    for name, angle in (("half", half), ("open", opened)):
        moment = weight * reach * math.sin(angle)
        true[f"{name}_up"] = (moment + friction) / lever * square
        true[f"{name}_down"] = (moment - friction) / lever * square
    return true, {"door.leaf.mass": mass, "door.hinge.friction": friction}


def seal(hut, chance):
    force, before = chance.uniform(20.0, 80.0), chance.uniform(1.0, 10.0)
    shows = before + force / (1.0 + SETTLED * chance.standard_normal())
    return {"before": before, "press": shows}, {"door.seal.force": force}


def mount(hut, chance):
    stiffness, pull = 10.0 ** chance.uniform(4.3, 5.2), chance.uniform(80.0, 120.0)
    return {"pull": pull, "moved": pull / stiffness}, {"linkage.mount_stiffness": stiffness}


def free(hut, chance):
    speed, current, voltage = chance.uniform(0.005, 0.04), chance.uniform(0.3, 1.5), chance.uniform(11.5, 13)
    way = chance.uniform(0.1, 0.25)
    time = way / (speed * voltage / hut.drive.rating.voltage)
    true = {"way": way, "time": time, "current": current, "voltage": voltage}
    return true, {"drive.no_load.speed": speed, "drive.no_load.current": current}


def bucket(hut, chance):
    water, tare, current = chance.uniform(0.005, 0.02), chance.uniform(0.3, 1.2), chance.uniform(1.0, 3.0)
    way, time, voltage = chance.uniform(0.1, 0.25), chance.uniform(5.0, 20.0), chance.uniform(11.5, 13.0)
    true = {"water": water, "tare": tare, "way": way, "time": time, "current": current, "voltage": voltage}
    return true, {"drive.rating.force": FREE_FALL * (998.2 * water + tare), "drive.rating.current": current}


def stall(hut, chance):
    at_room, celsius, voltage = (
        chance.uniform(4.0, 12.0),
        chance.uniform(-5.0, 30.0),
        chance.uniform(10, 12.5),
    )
    warmer = 1.0 + 0.00393 * (celsius - 20.0)  # IEC 60028
    current = at_room * voltage / hut.drive.rating.voltage / warmer
    true = {"current": current, "voltage": voltage, "temperature": celsius + 273.15}
    return true, {"drive.stall.current": at_room}


def winding(hut, chance):
    at_room, celsius, leads = chance.uniform(0.8, 6.0), chance.uniform(-5.0, 30.0), chance.uniform(0.1, 0.5)
    warm = at_room * (1.0 + 0.00393 * (celsius - 20.0)) + leads
    true = dict.fromkeys(("first", "second", "third", "fourth"), warm)
    true |= {"leads": leads, "temperature": celsius + 273.15}
    return true, {"drive.motor.resistance": at_room}


def drop(hut, chance):
    resistance, current, idle = (
        chance.uniform(0.02, 0.3),
        chance.uniform(2.0, 8.0),
        chance.uniform(12.0, 13.0),
    )
    true = {"idle": idle, "loaded": idle - resistance * current, "current": current}
    return true, {"supplies.battery.resistance": resistance}


def paces(hut, chance):
    pace, length = chance.uniform(0.6, 0.9), chance.uniform(3.0, 40.0)
    return {"paces": length / pace, "pace": pace}, {"cables.feed.length": length}


BUILDERS = {
    "leaf_scale": leaf,
    "seal_scale": seal,
    "mount_pull": mount,
    "drive_free": free,
    "drive_bucket": bucket,
    "drive_stall": stall,
    "winding": winding,
    "supply_drop": drop,
    "paces_feed": paces,
}


@pytest.mark.slow
@pytest.mark.parametrize("key", BUILDERS)
def test_nine_in_ten_stated_ranges_hold_the_truth(hut, key):
    observation, chance = observation_of(hut, key), np.random.default_rng([7, len(key), ord(key[0])])
    held: dict[str, int] = {}
    made = 0
    for _ in range(N):
        true, truth = BUILDERS[key](hut, chance)
        blanks = {blank.key: blank for blank in observation.blanks}
        answers = {name: shown(blanks[name], value, chance) for name, value in true.items()}
        found = work_out(observation, hut, answers)
        made += 1
        for value in found.values:
            path = ".".join(value.path)
            if path in truth:
                assert value.estimate is not None
                low, high = value.estimate.low, value.estimate.high
                held[path] = held.get(path, 0) + (low <= truth[path] <= high)
    assert made == N
    assert held.keys() == BUILDERS[key](hut, chance)[1].keys()
    for path, count in held.items():
        assert LEAST - SHAKEN <= count / N <= MOST + SHAKEN, (path, count, N)
