"""The full wave of a described hut: from the antenna's place to what is heard of the sky."""

import threading

import numpy as np
import pytest

from hutwright.errors import RequestError, StoppedError
from hutwright.layout.leaf import full_travel
from hutwright.layout.skin import skin
from hutwright.memo import forgetting
from hutwright.native.full_wave import estimate, full_wave
from hutwright.native.march import march
from hutwright.plant.sky.coverings import DRY, L1
from hutwright.plant.sky.field import antenna_at, field_ratio, leaf_at, patch_size, unit_sums
from hutwright.plant.sky.lattice import crossed_dipoles, heard_alone, lattice, plane_waves
from hutwright.plant.sky.matter import matter
from hutwright.plant.sky.near_to_far import box_nodes, heard, side_by_side, transform_box
from hutwright.plant.sky.wave import FINE, SIDE, setting
from tests.described import orchard
from tests.plant.sky.skies import BUILD_UPS, NO_OVERHANG, STEEL, db, metal_hut, small_hut, spread_sky

SKY = spread_sky(300)


def rms(off):
    return float(np.sqrt((off**2).mean()))


@pytest.mark.recalled("with nothing there the ratio is 1 in every direction, by its definition")
@pytest.mark.parametrize("place", [(0.10, 0.10, 0.10), (0.051, 0.147, 0.083)])
def test_through_empty_space_every_wave_is_heard_as_if_there_were_no_grid(place):
    grid = lattice(np.zeros(3), np.full(3, 0.2), SIDE, L1)
    source, sides = crossed_dipoles(grid, np.array(place)), transform_box(grid)
    done = march(grid, matter(grid), source, box_nodes(grid, sides), most=1000)
    waves = plane_waves(grid.turn, spread_sky(300, -80.0))
    ratio = heard(waves, sides, side_by_side(sides, done.fields)) / heard_alone(grid, source, waves)
    assert np.abs(db(ratio)).max() <= 0.01  # what docs/handbook/full-wave.md says
    assert np.abs(np.angle(ratio)).max() <= 0.01


def test_walls_of_air_change_nothing():
    project = small_hut({each: ["22 mm polystyrene foam"] for each in BUILD_UPS})
    assert np.abs(db(full_wave(project, SKY).ratios)).max() <= 0.3  # of a permittivity of 1.04


def test_a_small_timber_hut_is_heard_as_the_integral_has_it():
    project = small_hut()
    by_wave = full_wave(project, SKY)
    assert by_wave.left <= 1e-4
    antenna = antenna_at(project, spread=False)
    sums = unit_sums(skin(project, patch_size()), antenna, SKY, leaves=[leaf_at(project, 0.0)])
    off = db(field_ratio(project, sums, DRY, leaf=0)[0]) - db(by_wave.ratios)
    assert rms(off) <= 2.0


def test_between_metal_walls_a_long_march_is_expected():
    shut, timber = setting(small_hut({each: STEEL for each in BUILD_UPS})), setting(small_hut())
    assert shut.usual == shut.most
    assert timber.usual < timber.most / 4


@pytest.mark.parametrize("open_by", [-0.1, 1.1, float("nan")])
def test_a_door_open_by_less_than_nothing_or_more_than_all_is_refused(open_by):
    with pytest.raises(RequestError, match="open by 0 to 1"):
        setting(small_hut(), open_by=open_by)


def test_says_before_it_starts_what_it_will_take():
    project = small_hut()
    ready = setting(project)
    told = estimate(ready)
    assert told.nodes == ready.grid.count
    assert 48 * told.nodes < told.bytes < 200 * told.nodes
    assert 0.02 < told.seconds < 60.0
    finer = estimate(setting(project, side=FINE))
    assert finer.seconds > 4.0 * told.seconds
    assert 1.9 < finer.steps / told.steps < 2.1


def test_stops_when_asked_and_tells_how_far_it_is():
    project = small_hut()
    flag, told = threading.Event(), []
    with forgetting():
        full_wave(project, SKY[:1], progress=lambda done, of: told.append((done, of)))
        assert told == sorted(told)
        flag.set()
        with pytest.raises(StoppedError):
            full_wave(project, SKY[:1], cancel=flag)


def test_an_antenna_outside_is_refused():
    with pytest.raises(RequestError, match="not inside the hut"):
        full_wave(orchard().project, SKY, place=np.array([0.5, 0.5, 3.0]))


# ---- whole huts -------------------------------------------------------------------------------------------


@pytest.mark.slow
@pytest.mark.parametrize(("changes", "open_by"), [({}, 0.0), (NO_OVERHANG, 0.0), (NO_OVERHANG, 1.0)])
def test_timber_with_windows_is_within_two_decibels_of_the_integral(changes, open_by):
    project = orchard(changes).project
    by_wave = db(full_wave(project, SKY, open_by=open_by).ratios)
    leaf = leaf_at(project, open_by * full_travel(project))
    sums = unit_sums(skin(project, patch_size()), antenna_at(project, spread=False), SKY, leaves=[leaf])
    off = db(field_ratio(project, sums, DRY, leaf=0)[0]) - by_wave
    assert rms(off[by_wave > -10.0]) <= 2.0


@pytest.mark.slow
def test_cells_of_20_mm_are_within_eight_tenths_of_those_of_10_mm():
    fine, coarse = (db(full_wave(orchard().project, SKY, side=side).ratios) for side in (FINE, SIDE))
    assert rms((coarse - fine)[fine > -10.0]) <= 0.8


@pytest.mark.slow
def test_an_open_door_lets_more_into_a_metal_hut_than_a_shut_one():
    project = metal_hut(openings__first_window=None)
    ajar, shut = (full_wave(project, SKY, open_by=each).power.mean() for each in (1.0, 0.0))
    assert ajar > 2.0 * shut
