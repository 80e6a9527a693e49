"""The full wave beside the integral: what both make of a day, and what is told where they differ."""

import threading

import numpy as np
import pytest

from hutwright.layout.skin import skin
from hutwright.model.hut import Moisture
from hutwright.plant.sky.coverings import DRY
from hutwright.plant.sky.field import antenna_at, field_ratio, leaf_at, patch_size, unit_sums
from hutwright.plant.sky.inside import FLOOR_DB, Season, State, dome, loss_db
from hutwright.plant.sky.readiness import counted, day, ready_share, roof_hears
from hutwright.plant.sky.wave import FINE, SIDE
from hutwright.plant.sky.wave_accuracy import DRY_WALLS, METAL_SHEETS, SOAKED_WALLS, doubts, wave_accuracy
from hutwright.studies.sky_confirm import (
    STATES,
    Both,
    Reckoning,
    both,
    confirm,
    integral_levels_db,
    reckoning,
)
from tests.described import orchard
from tests.plant.sky.skies import BUILD_UPS, SMALL_HUT, STEEL, metal_hut, small_hut

SHUT, RAIN = State(), State(season=Season.RAIN)


def reckoned(count, fewest, most, ready=0.5):
    return Reckoning(
        count=count,
        fewest=fewest,
        most=most,
        ready=ready,
        ready_least=ready - 0.1,
        ready_most=ready + 0.1,
        accuracy="as good as said",
    )


def all_clear(project):
    """Satellites that both antennas have a clear way to, mean over the day."""
    roof = roof_hears(project)
    assert roof is not None
    return (day(project).clear & roof).sum(axis=1).mean()


def beside(integral, wave, **more):
    return Both(
        windows=None,
        state=SHUT,
        side=SIDE,
        integral=integral,
        full_wave=wave,
        rms_db=1.0,
        mean_db=0.5,
        **more,
    )


def test_where_the_methods_agree_the_count_is_the_full_waves():
    found = beside(reckoned(10.3, 9.0, 11.0), reckoned(9.6, 8.8, 10.4))
    assert not found.differ
    assert found.count == (9.6, 9.6)
    assert found.ready == (0.4, 0.6)


@pytest.mark.parametrize("integral", [12.3, 5.0])
def test_where_they_differ_by_more_than_the_accuracy_it_is_a_range(integral):
    found = beside(reckoned(integral, integral - 1, integral + 1, 0.9), reckoned(8.9, 7.0, 10.6))
    assert found.differ
    assert found.count == (min(integral, 8.9), max(integral, 8.9))
    assert found.ready == (0.4, 0.9)


def test_a_day_is_read_as_the_checks_read_it():
    project = orchard().project
    found = reckoning(project, loss_db(project, SHUT), (-1.0, 1.0), "")
    # The checks round levels to single precision; a satellite in some thousand may fall on the other side.
    assert found.count == pytest.approx(counted(project, SHUT).sum(axis=1).mean(), abs=0.01)
    assert found.ready == pytest.approx(ready_share(project, SHUT), abs=0.01)
    assert found.fewest < found.count < found.most
    assert found.ready_least <= found.ready <= found.ready_most


def test_an_open_sky_is_all_that_stands_clear():
    project = small_hut()
    found = reckoning(project, np.full(len(dome().toward), 40.0), (0.0, 0.0), "")
    assert found.count == all_clear(project)


@pytest.mark.slow
def test_the_integral_is_that_of_the_middle_place():
    project = orchard().project  # whose machine parks with an error of 40 mm
    antenna = antenna_at(project, spread=False)
    sums = unit_sums(skin(project, patch_size()), antenna, dome().toward, leaves=[leaf_at(project, 0.0)])
    alone = 20.0 * np.log10(np.abs(field_ratio(project, sums, DRY, leaf=0)[0]))
    found = integral_levels_db(project, SHUT)
    loud = alone > -10.0
    assert loud.sum() > 100
    assert np.abs(found - alone)[loud].max() <= 0.5  # patches of a sixth against an eighth of the wave
    assert found.min() >= FLOOR_DB - 1e-6


def test_cells_and_accuracy_go_by_the_walls():
    timber, metal = orchard().project, metal_hut()
    assert wave_accuracy(timber, SHUT) is DRY_WALLS
    assert wave_accuracy(timber, RAIN) is SOAKED_WALLS
    assert wave_accuracy(metal, RAIN) is METAL_SHEETS
    foam = orchard({"build_ups.wall": ["22 mm polystyrene foam"]}).project
    assert wave_accuracy(foam, RAIN) is DRY_WALLS
    assert (DRY_WALLS.side, SOAKED_WALLS.side) == (SIDE, FINE)


def test_the_full_wave_is_suggested_where_the_integral_is_doubtful():
    assert doubts(orchard().project) == ("soaked walls in rain", "a roof of metal hangs over the walls")
    assert doubts(metal_hut(hut__roof__overhang="0 m", members=None)) == (
        "waves go to and fro between walls of metal",
    )
    assert doubts(orchard({"hut.walls.moisture": "wet"}).project)[0] == "soaked walls"
    assert Moisture.WET.value == "wet"
    assert doubts(small_hut({"build_ups.wall": ["22 mm polystyrene foam"]})) == ()


@pytest.mark.slow
def test_through_walls_of_air_both_hear_the_open_sky():
    project = small_hut({each: ["22 mm polystyrene foam"] for each in BUILD_UPS})
    found = both(project, SHUT)
    everything = all_clear(project)
    assert found.rms_db <= 0.3  # the identity of the integral holds to 0.3 dB with a pattern
    assert not found.differ
    threshold = reckoning(project, np.zeros(len(dome().toward)), (0.0, 0.0), "").count
    assert found.full_wave.count == pytest.approx(threshold, abs=0.2)
    assert found.full_wave.count <= everything


@pytest.mark.slow
def test_steel_all_round_is_heard_by_neither():
    found = both(small_hut({each: STEEL for each in BUILD_UPS}), SHUT)
    assert found.full_wave.count == found.integral.count == 0.0
    assert np.isnan(found.rms_db)
    assert found.count == (0.0, 0.0)


def test_what_was_done_before_it_was_stopped_is_given():
    described = orchard(SMALL_HUT)
    flag, told = threading.Event(), []

    def progress(done, of):
        told.append((done, of))
        if done > 100:
            flag.set()

    found = confirm(described, progress=progress, cancel=flag)
    assert [each.state for each in found.found] == [SHUT]
    assert found.asked == len(STATES)
    assert not found.complete
    assert told == sorted(told)
    assert {of for _, of in told} == {100 * len(STATES)}
    assert confirm(described, cancel=flag).found == ()


def test_what_cannot_be_asked_is_left_out_with_its_reason():
    found = confirm(orchard({**SMALL_HUT, "machine.antenna.up": "0.90 m"}))
    assert found.found == ()
    assert len(found.left_out) == found.asked == len(STATES)
    assert found.left_out[0].startswith("door shut: the antenna at")
    assert found.complete


def test_another_antenna_than_a_patch_is_told():
    described = orchard({**SMALL_HUT, "machine.antenna.pattern": "isotropic"})
    flag = threading.Event()
    flag.set()
    assert confirm(described, cancel=flag).other_pattern
    assert not confirm(orchard(SMALL_HUT), cancel=flag).other_pattern
