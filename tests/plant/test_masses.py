"""Masses, middle and inertia of the leaf."""

from __future__ import annotations

from dataclasses import replace
from math import cos, sin

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.plant.masses import (
    centre_of_gravity,
    edge_mass,
    inertia,
    leaf_inertia,
    leaf_mass,
    moving_mass,
)
from hutwright.plant.travel import travel
from tests.layout.doors import door_of, plain, rods
from tests.plant.doors import THICK, lifting, reach_of, with_door


def test_the_leaf_weighs_its_sheet_and_its_fittings():
    # 0.74 m x 0.56 m x 15 mm plywood of 560 kg/m3, and 1.1 kg
    assert leaf_mass(plain()) == pytest.approx(0.74 * 0.56 * 0.015 * 560.0 + 1.1)


@given(st.floats(0.0, 1.4))
def test_the_middle_of_a_top_hinged_leaf_turns_about_its_hinge(angle):
    y, z = -THICK / 2 + 0.008, 0.29 - 0.57  # from the hinge, shut
    turned = (0.47, y * cos(angle) + z * sin(angle) - 0.008, z * cos(angle) - y * sin(angle) + 0.57)
    np.testing.assert_allclose(centre_of_gravity(plain(), angle), turned, atol=1e-12)


@given(rods)
def test_the_inertia_is_the_sum_over_all_its_pieces(project):
    door = door_of(project)
    assert door.hinge is not None
    across = (np.arange(400) + 0.5) / 400
    upright = door.hinge.x is not None
    size, hole = (
        (door.leaf.width, door.opening.left + door.opening.width / 2)
        if upright
        else (door.leaf.height, door.opening.sill + door.opening.height / 2)
    )
    hinge = door.hinge.x if upright else door.hinge.z
    assert hinge is not None
    along = hole + (across - 0.5) * size - hinge
    deep = -THICK * across - door.hinge.y
    summed = leaf_mass(project) * ((along**2).mean() + (deep**2).mean())
    assert leaf_inertia(project) == pytest.approx(summed, rel=1e-4)


def test_the_edge_feels_the_inertia_over_the_square_of_its_way():
    project = plain()
    assert edge_mass(project) == pytest.approx(leaf_inertia(project) / reach_of(project) ** 2)
    assert travel(project).edge_radius == pytest.approx(reach_of(project))


def test_a_counterweight_moves_with_the_edge():
    assert moving_mass(lifting(counterweight=3.0)) == pytest.approx(leaf_mass(plain()) + 3.0)
    assert edge_mass(lifting(counterweight=3.0)) == pytest.approx(leaf_mass(plain()) + 3.0)
    swinging = with_door(plain(), counterweight=2.0)
    assert edge_mass(swinging) == pytest.approx(edge_mass(plain()) + 2.0)
    assert inertia(swinging) > leaf_inertia(swinging)


def test_a_heavier_leaf_has_more_of_everything():
    project = plain()
    door = door_of(project)
    heavy = with_door(project, leaf=replace(door.leaf, mass=2 * door.leaf.mass, fittings=2.2))
    for of in (leaf_mass, leaf_inertia, edge_mass, moving_mass):
        assert of(heavy) == pytest.approx(2 * of(project))
