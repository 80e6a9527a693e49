"""Layouts of roof windows out of one table."""

import time
from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pytest

from hutwright import memo
from hutwright.errors import RequestError
from hutwright.layout.leaf import full_travel
from hutwright.layout.skin import skin
from hutwright.model.hut import Pane
from hutwright.plant.sky.coverings import DRY, WET
from hutwright.plant.sky.field import antenna_at, field_ratio, leaf_at, mean_power, patch_size, unit_sums
from hutwright.plant.sky.inside import PATCH
from hutwright.plant.sky.table import (
    RoofWindow,
    described_windows,
    field_table,
    layout_field,
    scene,
    snapped,
)
from tests.described import orchard, sports_field
from tests.plant.sky.skies import one_place, spread_sky

SIZE = 0.05
SKY = spread_sky(100)
PANE = Pane(material="polycarbonate", thickness=5e-3, edges="held", metallised=False)
WINDOW = {
    "size": {"width": "0.30 m", "length": "0.40 m"},
    "pane": {"material": "polycarbonate", "thickness": "5 mm"},
}


@pytest.fixture(autouse=True)
def _nothing_is_remembered():
    with memo.forgetting():
        yield


def orchard_with_window_on_the_grid():
    """The orchard with its window moved so that every edge lies on a line of the roof's grid."""
    project = orchard().project
    cut = skin(project, SIZE, roof_openings=False)
    (now,) = described_windows(skin(project, SIZE))
    then = snapped(cut, RoofWindow(now.face, (0.1, 0.4), now.along))
    moved = orchard(
        {
            "openings.first_window.place.from_left": f"{0.10 + then.across[0] - now.across[0]!r} m",
            "openings.first_window.place.from_low_edge": f"{0.45 + then.along[0] - now.along[0]!r} m",
            "openings.first_window.size.width": f"{then.across[1] - then.across[0]!r} m",
            "openings.first_window.size.length": f"{then.along[1] - then.along[0]!r} m",
        }
    ).project
    return moved, cut


@pytest.mark.parametrize("weather", [DRY, WET])
@pytest.mark.parametrize("leaf", [0, 1, None])
def test_a_layout_from_the_table_is_the_direct_integral(weather, leaf):
    project, cut = orchard_with_window_on_the_grid()
    antenna = antenna_at(project)
    leaves = [leaf_at(project, q) for q in (0.0, full_travel(project))]
    direct = field_ratio(
        project,
        unit_sums(skin(project, SIZE), antenna, SKY, leaves=leaves),
        weather,
        leaf=leaf,
    )
    table = field_table(cut, antenna, SKY, leaves=leaves)
    windows = described_windows(skin(project, SIZE))
    found = layout_field(scene(project, table, PANE, weather, leaf=leaf), windows)
    assert np.abs(found - direct).max() < 3e-6


def test_two_windows_of_a_double_pitch_are_the_direct_integral():
    windows = {
        f"openings.{side}": {
            "place": {"face": side, "from_left": "0.5 m", "from_low_edge": "0.4 m"},
            **WINDOW,
        }
        for side in ("roof_left", "roof_right")
    }
    project = sports_field(windows).project
    antenna = one_place(0.95, 0.60)
    cut = skin(project, SIZE)
    direct = field_ratio(project, unit_sums(cut, antenna, SKY), DRY)
    table = field_table(skin(project, SIZE, roof_openings=False), antenna, SKY)
    found = layout_field(scene(project, table, PANE, DRY), described_windows(cut))
    # The edges lie between the table's lines, whose cells are then shared out by area.
    apart = np.abs(found - direct)
    assert np.sqrt((apart**2).mean()) < 0.02


def test_no_window_is_the_closed_roof_and_a_window_in_two_halves_is_one():
    project, cut = orchard_with_window_on_the_grid()
    table = field_table(cut, one_place(), SKY)
    stage = scene(project, table, PANE, DRY)
    assert np.array_equal(layout_field(stage, ()), stage.closed)
    whole = layout_field(stage, [RoofWindow("roof", (0.11, 0.43), (0.2, 0.6))])
    halves = [RoofWindow("roof", (0.11, 0.27), (0.2, 0.6)), RoofWindow("roof", (0.27, 0.43), (0.2, 0.6))]
    assert layout_field(stage, halves) == pytest.approx(whole, abs=1e-5)


def test_a_roof_all_of_pane_is_a_roof_built_of_it():
    project, cut = orchard_with_window_on_the_grid()
    stage = scene(project, field_table(cut, one_place(), SKY), PANE, DRY)
    found = layout_field(stage, [RoofWindow("roof", (-1.0, 9.0), (-1.0, 9.0))])
    built = orchard({"build_ups.roof": ["5 mm polycarbonate"]}).project
    direct = field_ratio(built, unit_sums(cut, one_place(), SKY), DRY)
    assert np.abs(found - direct).max() < 3e-6
    assert np.abs(stage.closed - direct).max() > 0.5


def test_a_window_beyond_the_inner_skin_counts_for_what_lies_on_it():
    project, cut = orchard_with_window_on_the_grid()
    stage = scene(project, field_table(cut, one_place(), SKY), PANE, DRY)
    beyond = layout_field(stage, [RoofWindow("roof", (-0.2, 0.3), (0.2, 0.6))])
    within = layout_field(stage, [RoofWindow("roof", (0.0, 0.3), (0.2, 0.6))])
    assert np.array_equal(beyond, within)


def test_workers_do_not_change_the_table():
    _, cut = orchard_with_window_on_the_grid()
    alone = field_table(cut, one_place(), SKY)
    with ThreadPoolExecutor(2) as executor:
        together = field_table(cut, one_place(), SKY, executor=executor)
    assert np.array_equal(alone.roofs[0].sums, together.roofs[0].sums)


def test_a_layout_costs_a_small_part_of_the_direct_sum():
    project, cut = orchard_with_window_on_the_grid()
    antenna = one_place()
    stage = scene(project, field_table(cut, antenna, SKY), PANE, DRY)
    windows = [RoofWindow("roof", (0.1, 0.4), (0.2, 0.6)), RoofWindow("roof", (0.5, 0.8), (0.2, 0.6))]
    began = time.process_time()
    unit_sums(skin(project, SIZE), antenna, SKY)
    direct = time.process_time() - began
    spent = []
    for _ in range(20):
        began = time.process_time()
        layout_field(stage, windows)
        spent.append(time.process_time() - began)
    assert min(spent) < direct / 20  # the least, which other work on the machine does not lengthen


def test_the_patches_of_the_table_are_small_enough():
    project, _ = orchard_with_window_on_the_grid()
    antenna, leaves = antenna_at(project), (leaf_at(project, 0.0),)
    windows = (RoofWindow("roof", (0.1, 0.4), (0.2, 0.6)), RoofWindow("roof", (0.5, 0.8), (0.2, 0.6)))
    fine, used = (
        10.0 * np.log10(mean_power(layout_field(scene(project, table, PANE, DRY, leaf=0), windows), antenna))
        for table in (
            field_table(
                skin(project, times * patch_size(), roof_openings=False), antenna, SKY[::4], leaves=leaves
            )
            for times in (2.0 / 3.0, PATCH)
        )
    )
    loud = fine > -10.0
    assert loud.sum() > 10
    assert np.sqrt(np.square(fine - used)[loud].mean()) < 0.1  # dB, of the integral's own 0.5 dB with no hut


def test_the_table_costs_a_few_plain_sums_and_pays_from_then_on():
    project, cut = orchard_with_window_on_the_grid()
    antenna = antenna_at(project)
    times = []
    for work in (field_table, unit_sums):
        began = time.process_time()
        work(cut, antenna, SKY)
        times.append(time.process_time() - began)
    assert times[0] < 12.0 * times[1]  # 3 to 5 here


def test_a_skin_with_holes_in_its_roof_and_an_unknown_face_are_refused():
    project, cut = orchard_with_window_on_the_grid()
    with pytest.raises(RequestError, match="without openings"):
        field_table(skin(project, SIZE), one_place(), SKY)
    stage = scene(project, field_table(cut, one_place(), SKY[:3]), PANE, DRY)
    with pytest.raises(RequestError, match="roof_left"):
        layout_field(stage, [RoofWindow("roof_left", (0.1, 0.4), (0.2, 0.6))])
