"""The field at an antenna inside the hut."""

import cmath
import math
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace

import numpy as np
import pytest

from hutwright.errors import RequestError
from hutwright.laws.permittivity import LIGHT_SPEED
from hutwright.layout.leaf import full_travel
from hutwright.layout.skin import Kind, skin
from hutwright.model.hut import Moisture
from hutwright.model.machine import AntennaPattern
from hutwright.plant.sky.coverings import DRY, L1, WET, Weather
from hutwright.plant.sky.field import (
    antenna_at,
    field_ratio,
    leaf_at,
    mean_power,
    patch_size,
    unit_sums,
)
from tests.described import orchard, sports_field
from tests.plant.sky.skies import db, metal_hut, one_place, spread_sky

SKY = spread_sky(60)


def place_in(project):
    return one_place() if project.machine is not None else one_place(0.95, 0.60)


@pytest.mark.parametrize("made", [orchard, sports_field])
def test_a_skin_that_lets_all_through_leaves_the_open_wave(made):
    project = made().project
    sums = unit_sums(skin(project, patch_size()), one_place(0.60, 0.55), SKY)
    whole = sums.coverings.sum(axis=0)[0]
    assert np.abs(db(whole)).max() <= 0.1
    assert np.abs(np.angle(whole)).max() <= 0.02


@pytest.mark.parametrize("pattern", [AntennaPattern.PATCH, AntennaPattern.HELIX])
def test_with_a_pattern_the_open_wave_is_kept_to_three_tenths(pattern):
    project = orchard().project
    sums = unit_sums(skin(project, patch_size()), one_place(pattern=pattern), SKY)
    assert np.abs(db(sums.coverings.sum(axis=0)[0])).max() <= 0.3


def test_a_shut_metal_hut_without_a_window_lets_nothing_in():
    project = metal_hut(openings__first_window=None)
    sums = unit_sums(skin(project, 0.05), one_place(), SKY, leaves=[leaf_at(project, 0.0)])
    assert np.abs(field_ratio(project, sums, DRY, leaf=0)).max() < 1e-5


# ---- against the same sum written plainly -----------------------------------------------------------------


def ray_share(cut, x, s, name):
    """Share of one straight ray's footprint in a covering: found face by face, in plain numbers."""
    best, chosen = math.inf, cut.faces[0]
    for face in cut.faces:
        facing = float(face.face.normal @ s)
        if facing > 1e-6:
            way = max(float(face.face.normal @ (face.face.corners[0] - x)), 0.0) / facing
            if way < best:
                best, chosen = way, face
    place, grid = chosen.face.place(x + best * s), chosen.grid
    start, step, count = (np.array(each) for each in (grid.start, grid.step, grid.count))
    place = np.clip(place, start + step / 2, start + step * (count - 0.5))  # no footprint hangs over the rim
    shares = {}
    for region in chosen.regions:
        part = 1.0
        for at, ends, step in zip(place, (region.across, region.along), chosen.grid.step, strict=True):
            part *= max(0.0, min(at + step / 2, ends[1]) - max(at - step / 2, ends[0])) / step
        shares[region.covering] = part
    shares[chosen.base] = 1.0 - sum(shares.values())
    return shares.get(name, 0.0)


def plain_sum(cut, point, s, name):
    """The integral over what counts for one covering, patch by patch as the formula is printed."""
    wavelength = LIGHT_SPEED / L1
    k, travel, total = 2.0 * math.pi / wavelength, -s, 0.0j
    for x, area, n, own in zip(cut.centres, cut.areas, cut.inward, cut.covering, strict=True):
        lit = float(travel @ n) > 1e-6
        share = float(own == name) if lit else ray_share(cut, x, s, name)
        if share == 0.0:
            continue
        r = float(np.linalg.norm(x - point))
        slant = float((point - x) @ n) / r
        sent = cmath.exp(1j * k * float(travel @ (x - point))) * cmath.exp(1j * k * r) / r
        total += share * sent * (float(travel @ n) + slant * (1.0 + 1j / (k * r))) * area
    return total / (2j * wavelength)


@pytest.mark.parametrize("made", [orchard, sports_field])
def test_the_blocked_sums_are_the_formula_patch_by_patch(made):
    project = made().project
    cut = skin(project, 0.12)
    antenna = one_place(0.60, 0.55)
    directions = SKY[[3, 25, 50]]
    sums = unit_sums(cut, antenna, directions)
    for number in range(len(cut.coverings)):
        for column, s in enumerate(directions):
            assert complex(sums.coverings[number, 0, column]) == pytest.approx(
                plain_sum(cut, antenna.places[0], s, number), abs=1e-4
            )


# ---- weather and door -------------------------------------------------------------------------------------


def test_wet_walls_and_a_film_on_the_window_take_from_the_sky_as_a_whole():
    project = orchard().project
    antenna = antenna_at(project, spread=False)
    sums = unit_sums(skin(project, patch_size()), antenna, SKY, leaves=[leaf_at(project, 0.0)])
    dry, wet, walls = (
        mean_power(field_ratio(project, sums, weather, leaf=0), antenna).mean()
        for weather in (DRY, WET, Weather(walls=Moisture.WET))
    )
    assert wet < walls < dry


def test_an_open_door_of_a_metal_hut_lets_in_what_stands_before_it():
    project = metal_hut(openings__first_window=None)
    low = np.radians(5.0)  # clear below the leaf, which hangs 8 deg below the level
    ahead, above = np.array([0.0, -np.cos(low), np.sin(low)]), np.array([0.0, -0.17, np.sqrt(1 - 0.17**2)])
    leaves = [leaf_at(project, q) for q in (0.0, full_travel(project))]
    sums = unit_sums(skin(project, patch_size()), one_place(y=0.35), np.stack([ahead, above]), leaves=leaves)
    shut, opened = (db(field_ratio(project, sums, DRY, leaf=leaf) + 1e-9)[0] for leaf in (0, 1))
    assert (shut < -60.0).all()
    assert opened[0] > -6.0
    assert opened[0] > opened[1] + 6.0


def test_a_leaf_half_open_stops_what_stands_behind_it_and_nothing_below():
    project = metal_hut(openings__first_window=None)
    leaf = leaf_at(project, full_travel(project) / 2.0)
    assert not leaf.shut
    door = skin(project, patch_size())
    number = door.number_of(Kind.DOOR, "door")
    low, high = np.radians(3.0), np.radians(40.0)
    directions = np.array([[0.0, -np.cos(e), np.sin(e)] for e in (low, high)])
    sums = unit_sums(door, one_place(y=0.35), directions, leaves=[leaf])
    # At 41 deg the leaf's edge stands 0.15 m over the floor: below it the ground-near wave comes in, over the
    # lowest quarter of the hole; one from 40 deg meets the leaf wherever it goes through the hole.
    free = np.abs(field_ratio(project, sums, DRY, leaf=0)[0])
    hole = np.abs(sums.coverings[number, 0])
    assert free[1] < 0.05 * hole[1]
    assert 0.1 * hole[0] < free[0] < 0.6 * hole[0]


def test_a_leaf_far_aside_changes_nothing():
    project = sports_field().project
    cut = skin(project, patch_size())
    leaf = leaf_at(project, 0.0)
    aside = replace(leaf, corner=leaf.corner + np.array([0.0, 0.0, -50.0]), shut=False)
    sums = unit_sums(cut, one_place(0.95, 0.60), SKY, leaves=[aside])
    assert np.abs(sums.leaves).max() == 0.0


def test_a_leaf_that_covers_more_than_the_hole_counts_as_shut():
    project = sports_field().project
    cut = skin(project, patch_size())
    shut = leaf_at(project, 0.0)
    wide = replace(
        shut,
        corner=shut.corner - 5.0 * (shut.right + shut.up),
        right=11.0 * shut.right,
        up=11.0 * shut.up,
        shut=False,
    )
    before = SKY[SKY[:, 1] < -0.5]
    sums = unit_sums(cut, one_place(0.95, 0.60), before, leaves=[shut, wide])
    assert sums.leaves[1] == pytest.approx(sums.leaves[0], abs=5e-5)


# ---- places -----------------------------------------------------------------------------------------------


def test_the_antenna_stands_where_the_machine_is_parked_and_spreads_by_its_error():
    project = orchard().project
    middle = antenna_at(project, spread=False)
    assert middle.places == pytest.approx(np.array([[0.47, 0.72, 0.28]]))
    spread = antenna_at(project)
    offsets = (spread.places - middle.places)[:, :2] / 0.040
    assert spread.weights.sum() == pytest.approx(1.0)
    # Moments of a disc: 1/4 for x^2, 1/8 for x^4, 1/24 for x^2 y^2; odd ones are nothing.
    x, y = offsets.T
    moments = [
        float(spread.weights @ each) for each in (x, y, x**2, y**2, x**4, x**2 * y**2, x * y, x**3 * y)
    ]
    assert moments == pytest.approx([0.0, 0.0, 0.25, 0.25, 0.125, 1.0 / 24.0, 0.0, 0.0], abs=1e-12)


def test_mean_power_is_the_weighted_mean_of_each_places_power():
    antenna = replace(one_place(), places=np.zeros((2, 3)), weights=np.array([0.25, 0.75]))
    fields = np.array([[2.0, 1j], [0.0, 1.0]], dtype=np.complex64)
    assert mean_power(fields, antenna) == pytest.approx([1.0, 1.0])


def test_workers_do_not_change_the_result():
    project = orchard().project
    cut, antenna, sky = skin(project, 0.06), antenna_at(project), spread_sky(150)
    alone = unit_sums(cut, antenna, sky)
    with ThreadPoolExecutor(2) as executor:
        together = unit_sums(cut, antenna, sky, executor=executor)
    assert np.array_equal(alone.coverings, together.coverings)


def test_no_directions_give_no_field():
    project = orchard().project
    sums = unit_sums(skin(project, 0.1), one_place(), np.zeros((0, 3)), leaves=[leaf_at(project, 0.0)])
    assert field_ratio(project, sums, DRY, leaf=0).shape == (1, 0)


@pytest.mark.parametrize(
    ("antenna", "toward", "said"),
    [
        (one_place(z=-0.1), SKY, "inside the hut"),
        (one_place(x=5.0), SKY, "inside the hut"),
        (one_place(z=0.01), SKY, "inside the hut"),
        (one_place(), np.array([[0.0, 0.0, 2.0]]), "unit vectors"),
        (one_place(), np.array([[0.0, math.nan, 1.0]]), "unit vectors"),
        (one_place(), np.array([[0.0, 1.0, 0.0]]), "below the horizon"),
    ],
)
def test_what_cannot_be_reckoned_is_refused(antenna, toward, said):
    with pytest.raises(RequestError, match=said):
        unit_sums(skin(orchard().project, 0.1), antenna, toward)


def test_a_machine_without_an_antenna_is_asked_for_one():
    with pytest.raises(RequestError, match=r"machine\.antenna"):
        antenna_at(sports_field({"machine": None}).project)
