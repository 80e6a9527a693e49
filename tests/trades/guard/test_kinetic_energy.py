"""Energy of the closing leaf and of the rotor behind it."""

from __future__ import annotations

import numpy as np
import pytest

from hutwright.model.paths import replaced
from hutwright.plant.conditions import coldest_calm, nominal, warmest_calm
from hutwright.plant.masses import edge_mass
from hutwright.plant.motion import move
from hutwright.plant.swing import rotor_mass
from tests.layout.doors import plain
from tests.trades.guard.judged import BARE, check, levers, sports_field

KEY = "guard.kinetic_energy"


def test_agrees_with_a_pencil():
    found = check(sports_field(BARE).project, KEY)
    resistance = 24.0 * (0.14 - 0.11) / (2.2 * 0.14 - 0.6 * 0.11)
    constant = (24.0 - 0.6 * resistance) / 0.14
    speed = (24.0 - resistance * (0.6 + 0.1 * 6.0 * 9.80665 / 112.5)) / constant
    rotor = 0.020 * constant**2 / resistance
    assert found.value == pytest.approx(0.5 * (6.0 + rotor) * speed**2)


@pytest.mark.published("EN 16005, annex F, low-energy use: 1.69 J")
def test_is_held_to_the_energy_of_a_low_energy_door():
    assert check(plain(), KEY).limit == 1.69


def test_no_calm_move_has_more_energy_anywhere():
    project = plain()
    found = check(project, KEY).value
    for weather in (nominal, coldest_calm, warmest_calm):
        run = move(project, weather(project), opening=False)
        energy = edge_mass(project) * run.edge_speed**2 + rotor_mass(project) * run.rod_speed**2
        assert found >= 0.5 * float(np.max(energy)) - 1e-12


def test_a_gust_that_shuts_a_hinged_leaf_makes_it_no_slower():
    still = replaced(plain(), {("site", "wind", "working"): 0.0})
    assert check(plain(), KEY).value >= check(still, KEY).value


def test_shows_leaf_and_rotor_apart():
    results = {step.symbol: step.result.value for step in check(plain(), KEY).working}
    assert results["E"] == results["E_leaf"] + results["E_rotor"]


def test_less_duty_lands_on_the_limit():
    working = levers(sports_field({**BARE, "drive.motor": {"time_constant": "40 ms"}}), KEY)
    assert working["run the leaf at no more of full duty than"].needed is not None


def test_a_lighter_leaf_is_offered_only_where_the_leaf_has_the_energy():
    heavy = {
        **BARE,
        "door.leaf.mass": "60 kg",
        "drive.motor": {"time_constant": "1 ms"},
        "drive.no_load.speed": "280 mm/s",
        "drive.rating.speed": "220 mm/s",
    }
    assert levers(sports_field(heavy), KEY)["build the leaf of no more than"].needed is not None
    words = [lever.words for lever in check(sports_field(BARE).project, KEY).levers]
    assert "build the leaf of no more than" not in words
