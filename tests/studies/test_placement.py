"""Roof windows placed on the orchard hut, and what else was tried."""

import json
from types import SimpleNamespace

import pytest

from hutwright.description.build import rebuild
from hutwright.errors import RequestError
from hutwright.layout.members import crossings
from hutwright.outputs.sky_text import placement_text
from hutwright.outputs.sky_values import placement_values
from hutwright.plant.sky.readiness import RAIN, SHUT, counted, ready_share
from hutwright.studies.placement import place_windows
from hutwright.studies.sky_ways import other_ways
from tests.described import orchard
from tests.studies.skies import HUT

COARSE = 0.30  # m between places, to be quick
NEVER = SimpleNamespace(is_set=lambda: False)


@pytest.fixture(scope="module")
def told():
    return []


@pytest.fixture(scope="module")
def placed(told):
    return place_windows(
        HUT, most=2, step=COARSE, progress=lambda done, of: told.append((done, of)), cancel=NEVER
    )


@pytest.fixture(scope="module")
def ways():
    return other_ways(HUT)


def test_its_numbers_are_those_of_the_description_with_the_changes_made(placed):
    for layout in placed.layouts:
        built = rebuild(HUT, layout.changes).project
        assert layout.wet.ready == pytest.approx(ready_share(built, RAIN))
        assert layout.dry.ready == pytest.approx(ready_share(built, SHUT))
        assert layout.wet.count == pytest.approx(counted(built, RAIN).sum(axis=1).mean())
        assert layout.wet.least <= layout.wet.ready <= layout.wet.most
        assert [each.opening for each in crossings(built)] == []
        assert len([n for n, o in built.openings.items() if o.pane is not None]) == len(layout.windows)


def test_each_window_more_is_ready_for_longer_on_this_hut(placed):
    none, one, two = (each.wet.ready for each in placed.layouts)
    assert none < one < two
    assert placed.layouts[1].adds_wet == pytest.approx(
        placed.layouts[1].wet.count - placed.layouts[0].wet.count
    )
    assert placed.complete
    assert not placed.first_wasted


def test_whoever_waits_is_told_how_far_it_is(placed, told):
    assert placed.tried > placed.places > 0
    assert told == [(number, told[0][1]) for number in range(1, len(told) + 1)]
    assert told[-1][0] == told[-1][1]


def test_the_same_question_has_the_same_answer(placed):
    again = place_windows(HUT, most=2, step=COARSE)
    assert again == placed


def test_a_window_that_stays_keeps_its_place_and_the_next_goes_beside_it(placed):
    found = place_windows(HUT, most=1, step=COARSE, keep=["first_window"])
    assert found.kept == ("first_window",)
    assert found.layouts[0].wet.ready == pytest.approx(ready_share(HUT.project, RAIN))
    built = rebuild(HUT, found.layouts[1].changes).project
    assert {"first_window", "roof_window_1"} <= set(built.openings)
    assert found.layouts[1].wet.count > found.layouts[0].wet.count
    assert found.layouts[1].wet.ready <= placed.layouts[2].wet.ready + 0.05


def test_told_to_end_at_once_it_gives_what_it_has():
    found = place_windows(HUT, cancel=SimpleNamespace(is_set=lambda: True))
    assert not found.complete
    assert len(found.layouts) == 1
    assert other_ways(HUT, cancel=SimpleNamespace(is_set=lambda: True)) == ()


def test_a_roof_without_room_has_no_window_and_says_so():
    close = {"section": ["45 mm", "70 mm"], "grade": "C24", "along": "slope"}
    at = [f"{number * 150} mm" for number in range(7)]
    changes = {"machine.parked.error": "0 mm", "members.rafters": {**close, "at": at}}
    found = place_windows(orchard({**changes, "openings.first_window": None}))
    assert len(found.layouts) == 1
    assert found.places == 0
    assert "No window of a size on sale fits" in placement_text(found)


@pytest.mark.parametrize(
    ("asked", "told"),
    [
        ({"most": 0}, "ask for 1 to 3"),
        ({"most": 4}, "ask for 1 to 3"),
        ({"step": 0.0}, "0.005 to 1 m"),
        ({"step": float("nan")}, "0.005 to 1 m"),
        ({"keep": ["vent"]}, "described are first_window"),
    ],
)
def test_what_cannot_be_searched_is_refused(asked, told):
    with pytest.raises(RequestError, match=told):
        place_windows(HUT, **asked)


def test_a_hut_without_a_start_rule_is_told_what_to_describe():
    with pytest.raises(RequestError, match=r"machine\.start_rule"):
        place_windows(orchard({"machine.start_rule": None}))


# ---- other ways -------------------------------------------------------------------------------------------


def test_every_way_is_worked_out_and_not_asserted(ways):
    for way in ways:
        if way.changes and way.after is not None:
            built = rebuild(HUT, way.changes).project
            assert way.after.ready == pytest.approx(ready_share(built, RAIN))
    gains = [round(way.gain, 6) for way in ways]
    assert gains == sorted(gains, reverse=True)


def test_timber_for_metal_and_walls_that_stay_dry_help_this_hut(ways):
    by_words = {way.words: way for way in ways}
    (timber,) = [way for words, way in by_words.items() if "felt on timber" in words]
    (dry,) = [way for words, way in by_words.items() if "keeps the rain off" in words]
    assert timber.helps
    assert dry.helps
    about = " ".join(by_words)
    for word in ("door", "antenna", "roof antenna", "quarter to the right", "half round"):
        assert word in about


def test_a_way_that_contradicts_the_description_says_why():
    changed = orchard({"machine.parked.error": "0 mm", "machine.antenna.up": "0.55 m"})
    for way in other_ways(changed):
        assert (way.after is None) == bool(way.why_not)


# ---- text and values --------------------------------------------------------------------------------------


@pytest.mark.parametrize("width", [40, 76, 100])
def test_the_text_fits_the_screen_and_says_where_to_cut(placed, ways, width):
    text = placement_text(placed, ways, width=width)
    assert max(len(line) for line in text.splitlines()) <= width
    flat = " ".join(text.split())
    for window in placed.layouts[2].windows:
        assert f"{round(1e3 * window.along[0])} mm from the low edge" in flat
    assert "Windows alone do not do it: the start rule asks for 95 % of the day" in flat
    assert "soaked walls" in flat
    assert "keeps the rain off the timber: helps" in flat


def test_the_values_are_plain(placed, ways):
    values = placement_values(placed, ways)
    again = json.loads(json.dumps(values, allow_nan=False))
    assert again == values
    assert [len(each["windows"]) for each in again["layouts"]] == [0, 1, 2]
    assert again["layouts"][2]["rain"]["ready"] == placed.layouts[2].wet.ready
