"""What each covering lets through in dry and wet weather."""

import math

import numpy as np
import pytest

from hutwright.errors import RequestError
from hutwright.layout.skin import Covering, Kind
from hutwright.model.hut import Moisture, Pane
from hutwright.plant.sky.coverings import DRY, L1, WET, Cover, Weather, pane_transmission, transmission
from tests.described import orchard
from tests.plant.sky.skies import db

SQUARE = np.array([1.0])
ANGLES = np.cos(np.radians([0.0, 30.0, 60.0, 75.0]))
WALL = Covering(Kind.WALL, "left", "wall")
ROOF = Covering(Kind.ROOF, "roof", "roof")
LEAF = Covering(Kind.DOOR, "front", "door")
WINDOW = Covering(Kind.OPENING, "roof", "first_window")
VENT = Covering(Kind.OPENING, "back", "vent")
SOAKED = Weather(walls=Moisture.WET)


def pane(*, material="polycarbonate", thickness=5e-3, metallised=False):
    return Pane(material=material, thickness=thickness, edges="held", metallised=metallised)


def loss(covering, weather=DRY, project=None):
    return -float(db(transmission(project or orchard().project, covering, SQUARE, weather))[0])


def test_dry_timber_and_the_pane_cost_little_and_steel_costs_all():
    assert loss(WALL) == pytest.approx(0.59, abs=0.02)  # dry boards, 22 mm: second calculation in the sources
    assert loss(WINDOW) < 0.2
    assert loss(ROOF) > 100.0


def test_soaked_walls_cost_more_and_steel_keeps_what_is_below_it_dry():
    assert loss(WALL, SOAKED) > loss(WALL) + 1.0
    steel_outside = orchard({"build_ups.wall": ["0.6 mm steel sheet", "22 mm softwood boards"]}).project
    felt = {"build_ups.wall": ["4 mm bitumen felt", "22 mm softwood boards"]}
    below_felt = orchard(felt).project
    assert loss(WALL, SOAKED, below_felt) == pytest.approx(loss(WALL, DRY, below_felt))
    assert loss(WALL, DRY, steel_outside) > 100.0
    inside_out = orchard({"build_ups.wall": ["22 mm softwood boards", "4 mm bitumen felt"]}).project
    assert loss(WALL, SOAKED, inside_out) > loss(WALL, DRY, inside_out) + 1.0


def test_a_film_on_the_pane_costs_far_more_than_deep_dry_snow():
    film = -db(pane_transmission(pane(thickness=6e-3), SQUARE, Cover(water=0.5e-3)))[0]
    snow = -db(pane_transmission(pane(thickness=6e-3), SQUARE, Cover(snow=0.10)))[0]
    wet_snow = -db(pane_transmission(pane(thickness=6e-3), SQUARE, Cover(snow=0.10, wetness=0.05)))[0]
    assert film == pytest.approx(2.9, abs=0.1)  # second calculation in the sources
    assert snow < 0.3
    assert snow < wet_snow < film + 1.0


def test_a_metallised_pane_costs_thirty_decibels_more_at_every_angle():
    plain, coated = (pane_transmission(pane(metallised=each), ANGLES, Cover()) for each in (False, True))
    assert db(coated / plain) == pytest.approx(np.full(len(ANGLES), -30.0))


def test_a_coated_pane_is_asked_for():
    with pytest.raises(RequestError, match="metallised"):
        pane_transmission(pane(material="low-emissivity glass"), SQUARE, Cover())


def test_a_screened_vent_lies_between_its_wall_and_free_air():
    metal = orchard({"build_ups.wall": ["0.6 mm steel sheet"]}).project
    assert loss(VENT, DRY, metal) == pytest.approx(20.0 * math.log10(2.0), abs=0.01)  # screen 0.5
    free = orchard({"openings.vent.screen": 1.0, "build_ups.wall": ["0.6 mm steel sheet"]}).project
    assert loss(VENT, DRY, free) == pytest.approx(0.0, abs=1e-9)


def test_the_film_lies_on_roof_panes_only():
    project = orchard({"openings.vent.pane": {"material": "polycarbonate", "thickness": "5 mm"}}).project
    assert loss(VENT, WET, project) == pytest.approx(loss(VENT, DRY, project))
    assert loss(WINDOW, WET, project) > loss(WINDOW, DRY, project) + 2.0


def test_the_door_stands_for_its_leaf_and_the_floor_for_nothing():
    assert loss(LEAF) > 0.5
    assert transmission(orchard().project, Covering(Kind.FLOOR, "floor", "floor"), SQUARE, DRY) == 0.0


@pytest.mark.practice("circular polarisation: mean of both linear ones, which a slanting pane splits")
def test_a_slanting_wave_takes_the_mean_of_both_polarisations():
    from hutwright.laws.permittivity import LIGHT_SPEED
    from hutwright.laws.slab import slab

    glass = pane(material="window glass", thickness=6e-3)
    found = pane_transmission(glass, ANGLES, Cover())
    eps = 6.31 + 0.0757j
    both = slab(ANGLES, [eps], [6e-3], LIGHT_SPEED / L1)
    assert found == pytest.approx((both.te + both.tm) / 2.0, abs=2e-3)
    # 60 deg: -3.13 and -0.11 dB by the second calculation in the sources
    assert [db(both.te[2]), db(both.tm[2])] == pytest.approx([-3.13, -0.11], abs=0.03)


@pytest.mark.parametrize("cover", [Cover(water=-1e-3), Cover(snow=math.nan)])
def test_a_film_of_less_than_nothing_is_refused(cover):
    with pytest.raises(RequestError, match="thickness"):
        pane_transmission(pane(), SQUARE, cover)
