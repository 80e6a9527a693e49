"""A look at the sky in words, as values and as pictures: one look, with all that can lie beside a hut."""

from __future__ import annotations

import json
import subprocess
import sys
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from hutwright.errors import RequestError
from hutwright.evidence.beside import Beside
from hutwright.evidence.moments import zone_named
from hutwright.outputs.sky_look_text import band_text, sky_look_text
from hutwright.outputs.sky_look_values import sky_look_values
from hutwright.outputs.sky_plots import draw_levels, draw_tracks, draw_windows, draw_worth, plot_sky
from hutwright.plant.sky.inside import Season
from hutwright.plant.sky.readiness import SHUT, counted, heard, ready_share
from hutwright.studies.sky_look import look
from tests.house.places import TOP
from tests.outputs.shapes import documented
from tests.outputs.test_sky_confirm_text import FOUND
from tests.studies.skies import HUT, PROJECT, real_orbits, simulated, starts

AS_THE_FILE = "changes[].value"
# What has the shape of states[].readiness, and what that of readings.threshold_db
LIKE_READINESS = ("layouts[].rain", "layouts[].dry", "layouts[].thaw", "ways[].before", "ways[].after")
LIKE_FITTED = ("readings.overhead_db", "readings.wetness", "readings.bias")


@pytest.fixture(scope="module")
def found():
    beside = Beside(
        readings=tuple(simulated(2, 0, 38.0, 0.4, 0.0, signals=True)),
        incidents=tuple(starts(20, 1, 1.0)),
        orbits=real_orbits(),
    )
    return look(HUT, beside, zone_named("Europe/Berlin"), most=1, worth=True)


def words_of(figure) -> set[str]:
    """All that is written on a picture."""
    written = {each.get_text() for axes in figure.axes for each in axes.texts}
    written |= {each.get_text() for one in figure.legends for each in one.get_texts()}
    for axes in figure.axes:
        written |= {axes.get_xlabel(), axes.get_ylabel(), axes.get_title()}
        if axes.get_legend() is not None:
            written |= {each.get_text() for each in axes.get_legend().get_texts()}
    return written


# ---- what it says -----------------------------------------------------------------------------------------


def test_readiness_is_that_of_the_plant_for_door_and_weather(found):
    rows = {(each.is_open, each.season): each.readiness for each in found.states}
    assert set(rows) == {(door, season) for door in (False, True) for season in Season}
    shut = rows[False, Season.DESCRIBED]
    assert shut.ready == ready_share(PROJECT, SHUT)
    assert shut.least <= shut.ready <= shut.most


def test_the_tracks_are_what_the_plant_hears(found):
    assert np.array_equal(found.over.heard, heard(PROJECT, SHUT).flags)
    assert np.array_equal(found.over.shared, counted(PROJECT, SHUT))


def test_every_satellite_clear_of_the_skyline_stands_in_one_sector(found):
    whole = found.over.clear.sum(axis=1).mean()
    assert sum(each.satellites for each in found.sectors) == pytest.approx(whole)
    shares = sum(each.satellites * each.heard for each in found.sectors if each.heard is not None)
    scarce = sum(each.satellites for each in found.sectors if each.heard is None)
    assert shares - 1e-9 <= found.over.heard.sum(axis=1).mean() <= shares + scarce + 1e-9


def test_a_window_over_the_low_side_is_seen_behind_the_hut_and_higher_than_the_door(found):
    seen = {each.name: each for each in found.outlines}
    assert seen["vent"].towards == "N"  # the back looks to 355 deg and 4 deg of declination
    assert seen["door"].towards == "S"
    assert seen["first_window"].elevation.min() > seen["door"].elevation.max()


def test_the_best_place_is_worth_as_much_on_the_map_as_in_the_search(found):
    (worth,), (before, after) = found.worth, found.placement.layouts
    (window,) = after.windows
    nearest = tuple(
        int(np.abs(middles - sum(ends) / 2).argmin())
        for middles, ends in ((worth.across, window.across), (worth.along, window.along))
    )
    gain = after.wet.count - before.wet.count
    # the map's places lie up to 18 mm beside the window's own, and its patches are an eighth of the
    # wavelength in place of a sixth
    assert worth.adds[nearest] == pytest.approx(gain, abs=1.0)
    assert gain <= worth.adds.max() + 1.0


def test_real_orbits_name_their_day_and_the_hours_with_too_few(found):
    text = " ".join(sky_look_text(found).split())
    assert "Real orbits: 2025-01-01" in text
    assert "almanac made up" in text
    few = found.real.over.shared.sum(axis=1) < found.least
    hours = sum(last - first for first, last in found.real.short) / 900.0
    assert hours == few.sum()
    assert few.any()
    assert "Fewer than 10 count from " in text


@pytest.mark.parametrize("width", [40, 76, 100])
def test_the_text_fits_the_screen(found, width):
    text = sky_look_text(found, width=width)
    body = text.split("What hut.toml could be changed to")[0]
    assert max(len(line) for line in body.splitlines()) <= width
    for part in ("Share of the day ready", "Where the sky is empty", "by direction", "Roof windows"):
        assert part in text
    for part in ("threshold of the receiver", "Does the sky explain the failed starts?"):
        assert part in text


def test_a_sky_without_an_empty_part_is_called_so():
    assert band_text(None) == "Satellites come to every part of this sky."


def keys_in(values: Any, path: str = "") -> set[str]:
    """The keys of an answer, spelled as in the document."""
    if path.endswith((AS_THE_FILE, *LIKE_READINESS, *LIKE_FITTED)):
        return set()
    if isinstance(values, dict):
        here = {f"{path}.{name}" if path else name: each for name, each in values.items()}
        found = set()
        for name, each in here.items():
            rows = isinstance(each, list) and bool(each) and isinstance(each[0], dict)
            found |= {f"{name}[]" if rows else name} | keys_in(each, name)
        return found
    if isinstance(values, list):
        return set().union(*(keys_in(each, f"{path}[]") for each in values))
    return set()


def test_the_document_names_every_key_of_the_values_and_no_other(found):
    values = sky_look_values(replace(found, confirmation=FOUND))
    assert json.loads(json.dumps(values, allow_nan=False)) == values
    for both in values["full_wave"]["found"]:
        assert both.pop("integral").keys() == both["full_wave"].keys()
        both["integral"] = None  # which the document describes by the other
    keys = keys_in(values)
    assert {each for each in keys if f"{each}[]" not in keys} == documented("sky")


def test_what_the_document_calls_alike_is_alike(found):
    values = sky_look_values(found)
    shape = values["states"][0]["readiness"].keys()
    for layout in values["placement"]["layouts"]:
        assert layout["rain"].keys() == layout["dry"].keys() == layout["thaw"].keys() == shape
    for way in values["placement"]["ways"]:
        assert way["before"].keys() == shape
        assert way["after"] is None or way["after"].keys() == shape
    told = values["readings"]
    fitted = told["threshold_db"].keys()
    assert all(told[name].keys() == fitted for name in ("overhead_db", "wetness", "bias"))


# ---- pictures ---------------------------------------------------------------------------------------------


def test_the_sky_shows_outlines_skyline_empty_part_and_how_many_are_heard(found):
    written = words_of(draw_tracks(found))
    assert {"first_window", "vent", "door", "skyline", "never a satellite"} <= written
    moment = len(found.real.over.sky.epochs) // 2
    assert f"heard at that moment, {found.real.over.heard[moment].sum()}" in written


def test_the_levels_are_drawn_dry_and_in_rain_with_their_unit(found):
    written = words_of(draw_levels(found))
    assert {"as described", "rain"} <= written
    assert any("[dB]" in each for each in written)


def test_the_roof_shows_its_timbers_and_the_window_found(found):
    written = words_of(draw_worth(found.worth[0], found.placement))
    assert {"timber", "first_window, as described", "the best one"} <= written
    assert any("[m]" in each for each in written)


def test_readiness_by_number_stands_with_its_range(found):
    (axes,) = draw_windows(found.placement).axes
    assert axes.get_ylabel() == "share of the day ready, door shut [%]"
    assert {each.get_label() for each in axes.containers} == {"dry", "rain", "thaw"}
    assert "wanted, 95 %" in {each.get_text() for each in axes.texts}


def test_files_are_written_and_nothing_is_without_windows(found, tmp_path):
    written = plot_sky(replace(found, placement=None, worth=(), real=None), tmp_path / "new")
    assert [path.name for path in written] == ["sky.png", "loss.png"]
    assert all(path.read_bytes().startswith(b"\x89PNG") for path in written)
    (tmp_path / "file").write_text("in the way", "utf-8")
    with pytest.raises(RequestError, match="choose another folder"):
        plot_sky(found, tmp_path / "file")


def test_nothing_is_drawn_with_before_a_picture_is_wanted():
    code = "import sys; import hutwright.outputs.sky_plots; print('matplotlib' in sys.modules)"
    done = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
        cwd=TOP,
        env={"PYTHONPATH": "src"},
    )
    assert done.stdout == "False\n"
