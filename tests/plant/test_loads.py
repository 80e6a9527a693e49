"""The loads over the travel, each part apart, against energies, mirror images and plain numbers."""

from __future__ import annotations

from dataclasses import replace
from math import cos, radians, sin

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.laws.kinetic import FREE_FALL
from hutwright.laws.leaf_wind import edge_zone, side_coefficient
from hutwright.model.door import DoorKind
from hutwright.plant.conditions import (
    Conditions,
    coldest_calm,
    coldest_worst,
    nominal,
    warmest_calm,
    working_pressure,
)
from hutwright.plant.loads import ICE_OVER, drift, hut_height, loads, shut_coefficients, wind_load
from hutwright.plant.masses import leaf_mass
from hutwright.plant.travel import PLACES, travel
from tests.layout.doors import door_of, doors, mirrored, plain, rods, with_kind
from tests.plant.doors import CALM, THICK, lifting, sliding, with_door

UPRIGHT = (DoorKind.LEFT_HINGED, DoorKind.RIGHT_HINGED)


def energy_of_a_top_hinged_leaf(project, angle):
    """Potential energy of leaf, counterweight and seal, from the bare numbers. [J]"""
    door = door_of(project)
    assert door.hinge is not None
    assert door.hinge.z is not None
    deep = -THICK / 2 - door.hinge.y
    low = door.opening.sill + door.opening.height / 2 - door.hinge.z
    height = low * np.cos(angle) - deep * np.sin(angle)
    way = travel(project).edge_radius * angle
    pressed = np.maximum(door.seal.over - way, 0.0)
    strip = door.seal.force * pressed**2 / (2 * door.seal.over)
    return leaf_mass(project) * FREE_FALL * height - door.counterweight * FREE_FALL * way + strip


@given(st.floats(0.0, 5.0), st.floats(-0.03, 0.02), st.floats(1.0, 80.0))
def test_gravity_and_seal_are_the_slope_of_their_energy(counterweight, y, force):
    project = with_door(plain(), counterweight=counterweight)
    door = door_of(project)
    assert door.hinge is not None
    project = with_door(
        project, hinge=replace(door.hinge, y=y), seal=replace(door.seal, force=force, over=0.0301)
    )
    places, step = travel(project).places, 1e-6
    found = loads(project, CALM, opening=False)
    slope = (
        energy_of_a_top_hinged_leaf(project, places + step)
        - energy_of_a_top_hinged_leaf(project, places - step)
    ) / (2 * step)
    # At shut itself the strip is pressed no further; the slope is that of the side of the travel.
    np.testing.assert_allclose((found.gravity + found.seal)[1:], slope[1:], rtol=1e-6, atol=1e-6)
    assert found.gravity[0] + found.seal[0] == pytest.approx(slope[0], rel=1e-6, abs=1e-6)


def test_a_lift_leaf_weighs_what_its_lean_leaves_less_its_counterweight():
    project = lifting(counterweight=3.0, tilt=0.2)
    weight = FREE_FALL * (leaf_mass(project) * cos(0.2) - 3.0)
    assert loads(project, CALM, opening=True).gravity == pytest.approx(np.full(PLACES, weight))


@given(st.floats(-0.5, 0.5))
def test_a_sliding_leaf_on_a_tilted_track_weighs_its_share(tilt):
    project = sliding()
    track = door_of(project).track
    assert track is not None
    tilted = with_door(project, track=replace(track, tilt=tilt))
    weight = FREE_FALL * leaf_mass(project) * sin(tilt)
    assert loads(tilted, CALM, opening=True).gravity == pytest.approx(np.full(PLACES, weight))


def test_friction_turns_round_with_the_move_and_gravity_does_not():
    project = plain()
    opened, shut = (loads(project, CALM, opening=opening) for opening in (True, False))
    np.testing.assert_array_equal(opened.friction, -shut.friction)
    np.testing.assert_array_equal(opened.gravity, shut.gravity)
    assert opened.friction[0] == 0.4


def test_track_friction_is_its_share_of_the_weight():
    project = sliding()
    share = 0.085 * leaf_mass(project) * FREE_FALL
    assert loads(project, CALM, opening=True).friction == pytest.approx(np.full(PLACES, share))


def test_the_parts_add_up():
    project = plain()
    found = loads(project, coldest_worst(project, opening=True), opening=True)
    assert sum(found.parts().values()) == pytest.approx(found.total)
    assert set(found.parts()) == {"gravity", "friction", "seal", "ice", "wind", "snow"}


def test_ice_holds_the_shut_leaf_only_and_only_against_opening():
    project, frozen = plain(), Conditions(255.0, ice=True)
    ice = loads(project, frozen, opening=True).ice
    over = travel(project)
    assert ice[0] == pytest.approx(60.0 * over.edge_radius)
    assert (ice[over.edge_way >= ICE_OVER] == 0.0).all()
    assert not loads(project, frozen, opening=False).ice.any()
    assert not loads(project, CALM, opening=True).ice.any()


def test_the_seal_resists_closing_over_its_depth_and_helps_nobody():
    project = plain()
    over, seal = travel(project), loads(project, CALM, opening=False).seal
    assert seal[0] == pytest.approx(-45.0 * over.edge_radius)
    assert (seal[over.edge_way >= 0.012] == 0.0).all()
    assert (np.diff(seal) >= 0.0).all()
    assert not loads(project, CALM, opening=True).seal.any()


# ---- wind -------------------------------------------------------------------------------------------------


@pytest.mark.published(
    "EN 1991-1-4:2005, 4.5, 7.2.2 and 7.4.3: 0.5 x 1.25 v2, 1.0 + 0.3, 1.8 at a quarter off"
)
def test_the_working_gust_presses_as_the_coefficients_say():
    project = plain()
    gust = working_pressure(project)
    assert gust == pytest.approx(0.5 * 1.25 * 11.0**2)
    wind = loads(project, Conditions(293.15, gust), opening=True).wind
    area = 0.74 * 0.56
    assert wind[0] == pytest.approx(1.3 * gust * area * 0.28)
    assert wind[-1] == pytest.approx(1.8 * gust * area * 0.75 * 0.56)


def test_the_shut_leaf_is_drawn_out_as_a_strip_of_a_side_wall():
    project = plain()
    assert project.hut is not None
    depth = project.hut.inside.depth + 2 * 0.022
    zone = edge_zone(depth, hut_height(project) - 0.015)
    # the leaf stands 0.10 m from the left edge of the wall and 0.104 m from the right one
    expected = side_coefficient(0.10, 0.84, zone) - 0.2
    found = shut_coefficients(project)
    assert found.inward == pytest.approx(1.3)
    assert found.outward == pytest.approx(expected)
    assert -1.6 <= found.outward <= -0.7


def test_without_a_hut_the_leaf_counts_as_standing_at_the_corner():
    assert shut_coefficients(replace(plain(), hut=None)).outward == pytest.approx(-1.6)
    assert hut_height(replace(plain(), hut=None)) == pytest.approx(0.57 + 0.015)


def test_a_leaf_stands_out_in_the_wind_from_ten_degrees_on():
    project = plain()
    over = travel(project)
    load = wind_load(project, 100.0)
    assert np.ptp(load[over.places >= radians(10.0)]) == pytest.approx(0.0)
    assert load[0] < load[-1]


@given(doors, st.floats(1.0, 300.0))
def test_wind_from_one_side_pushes_against_wind_from_the_other(project, pressure):
    if project.linkage is None or door_of(project).kind.hinged:
        project = replace(project, linkage=plain().linkage)
    against, with_it = wind_load(project, pressure), wind_load(project, -pressure)
    assert (against > 0.0).all()
    assert (with_it < 0.0).all()


def test_wind_across_a_straight_leaf_makes_friction_either_way():
    project = sliding()
    for pressure in (75.0, -75.0):
        opened = loads(project, Conditions(293.15, pressure), opening=True).wind
        shut = loads(project, Conditions(293.15, pressure), opening=False).wind
        np.testing.assert_array_equal(opened, -shut)
        assert (opened > 0.0).all()
    assert loads(project, Conditions(293.15, 75.0), opening=True).wind[0] == pytest.approx(
        0.085 * 1.3 * 75.0 * 0.86 * 0.66
    )


# ---- snow -------------------------------------------------------------------------------------------------


def test_snow_presses_from_the_ground_that_it_lies_on():
    # 0.15 m on ground 15 mm below the floor, before a leaf whose foot is 10 mm above the floor
    found = drift(plain())
    assert found.depth == pytest.approx(0.125)
    assert found.force == pytest.approx(0.5 * 2000.0 * 0.125**2 * 0.74)
    assert found.load == pytest.approx(found.force * (0.57 - 0.01 - 0.125 / 3))
    assert found.edge_force == pytest.approx(found.load / travel(plain()).edge_radius)


def test_heavier_or_packed_snow_presses_more():
    assert drift(plain(), weight=4000.0).force == pytest.approx(2 * drift(plain()).force)
    assert drift(plain(), ratio=3.0).force == pytest.approx(3 * drift(plain()).force)


def test_a_low_drift_does_not_touch_a_leaf_above_it():
    project = plain()
    low = replace(project, site=replace(project.site, snow=replace(project.site.snow, drift=0.02)))
    assert drift(low).load == 0.0
    assert not loads(low, coldest_worst(low, opening=True), opening=True).snow.any()


@pytest.mark.parametrize("kind", list(DoorKind))
def test_snow_is_pushed_at_first_and_only_when_opening(kind):
    project = with_kind(kind, opens=0.7)
    project = replace(project, linkage=project.linkage if project.linkage else plain().linkage)
    deep = Conditions(260.0, snow=True)
    snow = loads(project, deep, opening=True).snow
    assert snow[0] > 0.0
    assert (np.diff(snow) <= 0.0).all()
    assert bool(snow[-1] > 0.0) is (kind is DoorKind.SLIDING)
    assert not loads(project, deep, opening=False).snow.any()


# ---- the whole ------------------------------------------------------------------------------------------


@given(rods, st.booleans(), st.floats(-150.0, 150.0))
def test_mirror_images_agree(project, opening, pressure):
    if door_of(project).kind not in UPRIGHT:
        return
    conditions = Conditions(260.0, pressure, ice=True, snow=True)
    one = loads(project, conditions, opening=opening)
    other = loads(mirrored(project), conditions, opening=opening)
    for name, part in one.parts().items():
        np.testing.assert_allclose(part, other.parts()[name], atol=1e-9, err_msg=name)


def test_the_named_conditions_are_what_they_are_called():
    project = plain()
    assert nominal(project) == Conditions(293.15)
    assert coldest_calm(project).temperature == pytest.approx(255.15)
    assert warmest_calm(project).temperature == pytest.approx(309.15)
    opening, closing = (coldest_worst(project, opening=way) for way in (True, False))
    assert opening.wind == -closing.wind == pytest.approx(75.625)
    assert opening.ice
    assert opening.snow


@given(rods, st.booleans())
def test_the_worst_conditions_take_no_less_than_the_calm_ones(project, opening):
    worst = loads(project, coldest_worst(project, opening=opening), opening=opening).total
    calm = loads(project, CALM, opening=opening).total
    assert ((worst - calm) * (1.0 if opening else -1.0) >= -1e-9).all()
