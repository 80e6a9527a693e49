"""How many satellites are heard inside over a day, and when the machine could start."""

from __future__ import annotations

import time
from dataclasses import replace

import numpy as np
import pytest

from hutwright import memo
from hutwright.errors import RequestError
from hutwright.laws.antenna_pattern import cardioid
from hutwright.laws.dilution import dilutions
from hutwright.plant.sky.inside import State, inside_sums
from hutwright.plant.sky.readiness import (
    CLOSED,
    LOWEST_COUNTED,
    METAL_OPEN,
    METAL_WALLS,
    OPEN,
    OVERHUNG,
    OVERHUNG_CLOSED,
    RAIN,
    SHUT,
    SOAKED,
    THAW,
    WINDOWED,
    accuracy,
    at_share,
    counted,
    day,
    dilution,
    doubt_db,
    enough_share,
    heard,
    is_metal,
    open_dilution,
    ready_share,
    roof_hears,
)
from tests.described import orchard
from tests.plant.sky.test_inside import AIRY

PANE = {"material": "polycarbonate", "thickness": "5 mm"}
STEEL = ["0.6 mm steel sheet"]
NO_WINDOW = State(closed=frozenset(["first_window"]))


def test_without_a_hut_to_speak_of_the_open_sky_is_heard():
    project = orchard({**AIRY, "machine.receiver.overhead": "45 dB-Hz"}).project
    found = day(project)
    level = 45.0 + 20.0 * np.log10(cardioid(np.sin(np.nan_to_num(found.sky.elevation))))
    wanted = (found.clear & (level >= 38.0)).sum(axis=1)
    assert heard(project, SHUT).counts.mean() == pytest.approx(wanted.mean(), abs=1.0)


def test_all_that_is_up_is_hidden_weak_or_heard():
    project = orchard().project
    for state in (SHUT, OPEN, RAIN, THAW, NO_WINDOW):
        found = heard(project, state)
        assert found.up == pytest.approx(found.hidden + found.weak + found.counts.mean())
    assert day(project).sky.elevation[heard(project, SHUT).flags].min() > LOWEST_COUNTED


def test_what_is_heard_falls_with_rain_skyline_and_threshold_and_rises_with_the_window():
    project = orchard().project
    mean = heard(project, SHUT).counts.mean()
    assert heard(project, RAIN).counts.mean() < mean
    assert heard(project, NO_WINDOW).counts.mean() < mean
    hidden = orchard({"site.skyline": [["0 deg", "40 deg"]]}).project
    assert heard(hidden, SHUT).counts.mean() < mean
    for threshold in ("36 dB-Hz", "40 dB-Hz"):
        other = heard(orchard({"machine.receiver.threshold": threshold}).project, SHUT).counts.mean()
        assert bool(other > mean) is (threshold == "36 dB-Hz")


def test_louder_satellites_are_as_good_as_a_lower_threshold():
    lower = orchard({"machine.receiver.threshold": "36 dB-Hz"}).project
    assert np.array_equal(heard(orchard().project, SHUT, 2.0).flags, heard(lower, SHUT).flags)


def test_only_what_the_roof_antenna_hears_as_well_counts():
    project = orchard({"roof_antenna.skyline": [["0 deg", "50 deg"]]}).project
    roof = roof_hears(project)
    assert roof is not None
    assert np.array_equal(counted(project, SHUT), heard(project, SHUT).flags & roof)
    assert counted(project, SHUT).sum() < heard(project, SHUT).flags.sum()
    alone = replace(project, roof_antenna=None)
    assert roof_hears(alone) is None
    assert np.array_equal(counted(alone, SHUT), heard(alone, SHUT).flags)


def test_the_dilution_is_that_of_the_law_with_a_clock_for_each_system():
    project = orchard().project
    sky, flags = day(project).sky, counted(project, SHUT)
    law = dilutions(sky.azimuth, sky.elevation, flags, sky.clocks).position
    found = dilution(project, SHUT)
    good = np.isfinite(law) & (law < 100.0)
    assert good.mean() > 0.9
    assert found[good] == pytest.approx(law[good], rel=1e-6)
    assert np.median(open_dilution(project)) < np.median(found)


def test_the_ready_share_is_counted_moment_by_moment():
    project = orchard().project
    assert project.machine is not None
    assert project.machine.start_rule is not None
    rule = project.machine.start_rule
    ready = [
        count >= rule.satellites and pdop <= rule.pdop
        for count, pdop in zip(counted(project, SHUT).sum(axis=1), dilution(project, SHUT), strict=True)
    ]
    assert ready_share(project, SHUT) == pytest.approx(np.mean(ready))
    assert ready_share(project, SHUT) <= enough_share(project, SHUT)
    lax = orchard({"machine.start_rule": {"satellites": 4, "pdop": 50.0}}).project
    assert ready_share(lax, SHUT) > ready_share(project, SHUT)


def test_the_share_of_a_day_is_the_value_that_it_does_not_exceed():
    values = np.arange(1.0, 101.0)
    assert (at_share(values, 0.05), at_share(values, 0.95), at_share(values, 1.0)) == (5.0, 95.0, 100.0)
    assert at_share(np.array([1.0, np.inf]), 0.5) == 1.0
    assert at_share(np.array([3, 1, 2]), 0.0) == 1.0


def test_each_hut_and_state_has_the_accuracy_that_was_found_for_it():
    project, flush = orchard().project, orchard({"hut.roof.overhang": "0 m"}).project
    open_only = State(is_open=True, closed=NO_WINDOW.closed)
    assert accuracy(flush, SHUT) is accuracy(flush, open_only) is WINDOWED
    assert accuracy(flush, NO_WINDOW) is CLOSED
    assert accuracy(project, SHUT) is accuracy(project, open_only) is OVERHUNG
    assert accuracy(project, NO_WINDOW) is OVERHUNG_CLOSED
    assert accuracy(project, RAIN) is SOAKED
    steel = orchard({"build_ups.wall": STEEL}).project
    assert accuracy(steel, RAIN) is METAL_WALLS
    assert accuracy(steel, open_only) is METAL_OPEN
    assert is_metal(project.build_ups["roof"])
    assert not is_metal(project.build_ups["wall"])


@pytest.mark.parametrize("state", [SHUT, NO_WINDOW, RAIN, OPEN, THAW])
def test_the_doubt_moves_the_count_by_as_many_satellites_as_are_stated(state):
    project, known = orchard().project, accuracy(orchard().project, state)
    least, most = doubt_db(project, state)
    now = heard(project, state).counts.mean()
    step = 1.0 / len(day(project).clear)
    assert least <= 0.0 <= most
    assert heard(project, state, most).counts.mean() - now == pytest.approx(known.more, abs=2 * step)
    assert now - heard(project, state, least).counts.mean() == pytest.approx(known.fewer, abs=2 * step)


def test_behind_metal_the_doubt_is_stated_in_decibels():
    project = orchard({"build_ups.wall": STEEL, "build_ups.leaf": STEEL}).project
    assert doubt_db(project, SHUT)[1] == METAL_WALLS.quieter_db


def test_a_day_costs_a_part_of_the_sums_that_it_reads():
    with memo.forgetting():
        began = time.process_time()
        sums = inside_sums(orchard().project)
        table = time.process_time() - began
    assert sums.coverings.size
    inside_sums(orchard().project)
    project = orchard().project
    began = time.process_time()
    ready_share(project, SHUT)
    assert time.process_time() - began < table  # a tenth of it here


def test_under_a_sky_that_is_all_hidden_nothing_is_heard_and_nothing_raises():
    project = orchard({"site.skyline": [["0 deg", "90 deg"]]}).project
    assert heard(project, SHUT).counts.max() == 0
    assert doubt_db(project, SHUT) == (0.0, 0.0)
    assert ready_share(project, SHUT) == 0.0
    assert np.isinf(dilution(project, SHUT)).all()


def test_says_what_is_lacking():
    project = orchard().project
    with pytest.raises(RequestError, match=r"site\.place"):
        day(orchard({"site.place": None}).project)
    with pytest.raises(RequestError, match=r"machine\.receiver"):
        day(replace(project, machine=None))


# A second window, for whoever asks about two
SECOND = {
    "openings.second_window": {
        "place": {"face": "roof", "from_left": "0.52 m", "from_low_edge": "0.23 m"},
        "size": {"width": "0.30 m", "length": "0.40 m"},
        "pane": PANE,
    }
}
