"""The hand at the edge when the power is gone."""

from __future__ import annotations

from dataclasses import replace
from math import inf

import pytest

from hutwright.plant.conditions import coldest_calm
from hutwright.plant.loads import loads
from hutwright.plant.manual import driving_back, hand_force
from hutwright.plant.motor import drive_constants
from hutwright.plant.travel import travel
from tests.layout.doors import plain
from tests.plant.doors import CALM, lifting, sliding


def test_a_released_leaf_takes_its_load_over_the_edge_s_arm():
    project = plain()
    most = loads(project, CALM, opening=True).total.max()
    assert hand_force(project, CALM, opening=True, released=True) == pytest.approx(
        most / travel(project).edge_radius
    )


def test_a_locking_drive_that_is_not_released_yields_to_no_hand():
    for opening in (True, False):
        assert hand_force(plain(), CALM, opening=opening, released=False) == inf


def test_a_belt_drive_is_turned_backwards_by_hand():
    project = sliding()
    constants = drive_constants(project)
    # unpowered, the friction current is overcome by what the efficiency lets back
    back = constants.friction_current * constants.constant / (2 - 1 / constants.efficiency)
    assert driving_back(project, CALM) == pytest.approx(back)
    free, held = (hand_force(project, CALM, opening=True, released=released) for released in (True, False))
    assert held == pytest.approx(free + back)


def test_cold_grease_makes_it_harder():
    project = sliding()
    assert driving_back(project, coldest_calm(project)) > driving_back(project, CALM)


def test_a_drive_that_loses_more_than_half_locks_whatever_its_screw_is_said_to_do():
    project = plain()
    assert project.drive is not None
    screw = replace(project.drive.screw, self_locking=False)
    said = replace(project, drive=replace(project.drive, screw=screw))
    assert drive_constants(said).efficiency < 0.5
    assert driving_back(said, CALM) == inf


def test_a_leaf_that_goes_by_itself_wants_no_hand():
    assert hand_force(lifting(counterweight=20.0), CALM, opening=True, released=True) == 0.0
