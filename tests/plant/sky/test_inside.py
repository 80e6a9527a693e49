"""What the hut leaves of a satellite's power, by direction and by the hut's state."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.errors import RequestError
from hutwright.layout.frame import TrueDirections, direction_to_local, facing
from hutwright.model.hut import Moisture
from hutwright.plant.sky import inside
from hutwright.plant.sky.inside import (
    FLOOR_DB,
    LOWEST,
    Season,
    State,
    dome,
    inside_sums,
    loss_db,
    loss_text,
    reading,
    weather_of,
)
from tests.described import orchard

FOAM = ["0.1 mm polystyrene foam"]
AIRY = {"build_ups.wall": FOAM, "build_ups.roof": FOAM, "build_ups.leaf": FOAM, "openings": None}
AROUND, ABOVE = st.floats(-10.0, 10.0), st.floats(LOWEST, np.pi / 2)


def elevations():
    """Elevation of every direction of the grid."""
    return np.repeat(dome().elevations, dome().counts)


def test_the_grid_has_some_650_directions_as_far_apart_along_its_rings_as_between_them():
    toward = dome().toward
    assert 600 <= len(toward) <= 700
    assert np.linalg.norm(toward, axis=1) == pytest.approx(np.ones(len(toward)))
    cosines = toward @ toward.T - 2.0 * np.eye(len(toward))
    nearest = np.arccos(np.clip(cosines.max(axis=1), -1.0, 1.0))
    assert np.degrees(nearest).min() > 3.5
    assert np.degrees(nearest).max() < 7.0


def test_a_direction_of_the_grid_reads_as_itself():
    toward = dome().toward
    azimuth, up = np.arctan2(toward[:, 0], toward[:, 1]), np.arcsin(np.clip(toward[:, 2], -1.0, 1.0))
    values = np.cos(np.arange(len(toward)))
    assert reading(azimuth + 1e-12, up).of(values) == pytest.approx(values, abs=1e-4)


@given(AROUND, ABOVE)
def test_what_is_even_reads_even_and_what_rises_with_elevation_reads_straight(azimuth, elevation):
    at = reading(np.array([azimuth]), np.array([elevation]))
    assert at.of(np.full(len(dome().toward), -7.5)) == pytest.approx([-7.5], abs=1e-5)
    assert at.of(elevations()) == pytest.approx([elevation], abs=1e-5)


@given(AROUND, ABOVE)
def test_a_smooth_pattern_is_read_between_the_directions(azimuth, elevation):
    toward = dome().toward
    at = reading(np.array([azimuth]), np.array([elevation]))
    wanted = np.cos(elevation) * np.sin(azimuth)
    assert at.of(toward[:, 0]) == pytest.approx([wanted], abs=0.015)  # chords of rings near the zenith


def test_below_the_lowest_ring_and_without_a_direction_something_is_read():
    values = elevations()
    assert reading([0.3, 0.3], [-0.5, 0.0]).of(values) == pytest.approx([LOWEST, LOWEST])
    assert np.isfinite(reading([np.nan], [np.nan]).of(values)).all()


def test_the_grid_turns_with_the_hut():
    project = orchard().project
    seen = direction_to_local(project, TrueDirections(np.array(2.0), np.array(0.4))).vectors
    turned = 2.0 - (facing(project) + np.pi)
    assert [np.cos(0.4) * np.sin(turned), np.cos(0.4) * np.cos(turned)] == pytest.approx(seen[:2])


def test_a_hut_of_nothing_takes_nothing():
    assert np.abs(loss_db(orchard(AIRY).project, State())).max() < 0.35  # the identity with a patch antenna


def test_an_opening_that_was_never_cut_is_a_hut_without_it():
    closed = loss_db(orchard().project, State(closed=frozenset(["first_window"])))
    never = loss_db(orchard({"openings.first_window": None}).project, State())
    heard = never > -15.0
    assert np.sqrt(np.mean((closed - never)[heard] ** 2)) < 0.1  # the patches are cut a little differently


def test_rain_takes_more_and_a_window_gives_from_overhead():
    project = orchard().project
    dry, rain = loss_db(project, State()), loss_db(project, State(season=Season.RAIN))
    assert np.median(rain) < np.median(dry) - 1.0
    closed = loss_db(project, State(closed=frozenset(["first_window"])))
    overhead = elevations() > np.radians(60.0)
    assert dry[overhead].mean() > closed[overhead].mean() + 2.0


def test_an_open_door_gives_from_its_own_side():
    project = orchard({"build_ups.wall": ["0.6 mm steel sheet"], "build_ups.leaf": ["0.6 mm steel sheet"]})
    shut, opened = loss_db(project.project, State()), loss_db(project.project, State(is_open=True))
    ahead = dome().toward @ np.array([0.0, -1.0, 0.0]) > 0.8
    assert (opened - shut)[ahead].mean() > 2.0


def test_no_loss_is_told_beyond_the_floor():
    steel = {f"build_ups.{name}": ["0.6 mm steel sheet"] for name in ("wall", "roof", "leaf")}
    found = loss_db(orchard({**steel, "openings": None}).project, State())
    assert found.min() == found.max() == FLOOR_DB
    assert loss_text(FLOOR_DB) == loss_text(-34.0) == "below -20 dB"
    assert loss_text(-4.26) == "-4.3 dB"


def test_described_walls_are_wet_in_every_season_but_rain_makes_them_so():
    wet = orchard({"hut.walls.moisture": "wet"}).project
    assert {weather_of(wet, season).walls for season in Season} == {Moisture.WET}
    dry = orchard().project
    assert [weather_of(dry, season).walls for season in Season] == [Moisture.DRY, Moisture.WET, Moisture.DRY]


def test_the_slow_sum_does_not_run_again_for_weather_skyline_threshold_or_materials(monkeypatch):
    inside_sums(orchard().project)

    def never(*_, **__):
        raise AssertionError("the integral was worked out again")

    monkeypatch.setattr(inside, "unit_sums", never)
    others: dict[str, object] = {
        "site.skyline": [["0 deg", "30 deg"]],
        "machine.receiver.threshold": "35 dB-Hz",
        "hut.walls.moisture": "wet",
        "hut.facing": "20 deg",
        "build_ups.wall": ["22 mm polystyrene foam"],
        "openings.first_window.pane.metallised": True,
    }
    for name, value in others.items():
        assert len(loss_db(orchard({name: value}).project, State(season=Season.RAIN))) == len(dome().toward)
    with pytest.raises(AssertionError, match="again"):
        inside_sums(orchard({"machine.antenna.up": "0.31 m"}).project)


def test_says_what_is_lacking():
    project = orchard().project
    with pytest.raises(RequestError, match="how far the door opens"):
        loss_db(replace(project, door=None, linkage=None), State(is_open=True))
    with pytest.raises(RequestError, match="not 24 mm inside"):
        loss_db(orchard({"machine.antenna.up": "0.95 m"}).project, State())
    assert len(loss_db(replace(project, door=None, linkage=None), State())) == len(dome().toward)
