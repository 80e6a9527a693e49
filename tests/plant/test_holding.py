"""What the drive holds in a gale without current."""

from __future__ import annotations

from dataclasses import replace

import pytest

from hutwright.model.site import Terrain
from hutwright.plant.conditions import Conditions
from hutwright.plant.holding import holding, peak_pressure
from hutwright.plant.loads import loads
from hutwright.plant.travel import travel
from tests.layout.doors import door_of, plain
from tests.plant.doors import lifting, sliding, with_door


def windy(project, basic, terrain):
    return replace(
        project, site=replace(project.site, wind=replace(project.site.wind, basic=basic, terrain=terrain))
    )


def test_the_peak_pressure_is_that_of_the_standard_s_lowest_height():
    # 26 m/s, terrain II, 2 m and below: 422.5 Pa x c_e(2 m) = 422.5 x 1.4225
    found = peak_pressure(windy(plain(), 26.0, Terrain.FIELDS))
    assert found == pytest.approx(422.5 * (1 + 7 / 3.6889) * (0.19 * 3.6889) ** 2, rel=1e-4)


def test_the_rod_holds_what_the_wind_makes_of_it():
    project = plain()
    found, over = holding(project), travel(project)
    peak = peak_pressure(project)
    gravity = loads(project, Conditions(293.15), opening=True).gravity
    area = 0.74 * 0.56
    pulled = -found.outward * area * 0.28 - gravity[0]
    assert found.shut == pytest.approx(pulled / abs(over.arm[0]))
    moment = 1.8 * peak * area * 0.42 + abs(gravity[-1])
    assert found.opened == pytest.approx(moment / abs(over.arm[-1]))
    assert found.inward == pytest.approx(1.3 * peak)
    assert found.across == pytest.approx(1.8 * peak)


def test_more_wind_wants_more_holding():
    least, most = (holding(windy(plain(), basic, Terrain.FIELDS)) for basic in (20.0, 30.0))
    assert most.shut > least.shut
    assert most.opened > least.opened


def test_a_heavy_leaf_that_hangs_down_is_held_shut_by_its_weight_in_part():
    project = plain()
    door = door_of(project)
    assert door.hinge is not None
    sloping = with_door(project, hinge=replace(door.hinge, y=0.1))  # the middle hangs before the hinge
    gravity = loads(sloping, Conditions(293.15), opening=True).gravity[0]
    assert gravity != 0.0
    heavy = with_door(sloping, leaf=replace(door.leaf, mass=10 * door.leaf.mass))
    more = loads(heavy, Conditions(293.15), opening=True).gravity[0]
    assert (holding(heavy).shut < holding(sloping).shut) == (more > gravity)


def test_wind_does_not_push_a_straight_leaf_along_its_track():
    assert holding(sloping := sliding()).shut == 0.0
    assert holding(sloping).opened == 0.0
    weight = loads(lifting(counterweight=0.0), Conditions(293.15), opening=True).gravity[-1]
    assert holding(lifting(counterweight=0.0)).opened == pytest.approx(weight)
    assert holding(lifting(counterweight=0.0)).shut == 0.0


def test_too_heavy_a_counterweight_must_be_held_shut():
    assert holding(lifting(counterweight=6.0)).shut > 0.0
