"""Places for roof windows: between the timbers, over the inside, sheet beside sheet."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.catalogue.roof_windows import REBATE, SHEETS
from hutwright.description.build import rebuild
from hutwright.layout.faces import inner_skin, outer_face, placed_openings
from hutwright.layout.members import crossings
from hutwright.model.hut import Face
from hutwright.studies.window_places import described_places, on_the_skin, together, window_places
from tests.described import orchard, sports_field

PANE = {"material": "polycarbonate", "thickness": "5 mm"}
BARE = {"openings.first_window": None}


def with_window(described, place):
    """The project with one window more."""
    return rebuild(described, {("openings", "proposed"): place.spelled(PANE)}).project


def faults_of(described, place):
    """Everything that is wrong with a window, looked at by other code than that which proposed it."""
    project = with_window(described, place)
    found = [each.member for each in crossings(project) if each.opening == "proposed"]
    (cut,) = [each for each in placed_openings(project) if each.name == "proposed"]
    (inner,) = [each for each in inner_skin(project) if each.name == cut.face]
    hole, room = inner.place(cut.inner), inner.place(inner.corners)
    if (hole.min(axis=0) < room.min(axis=0) - 1e-6).any():
        found.append("not over the inside")
    if (hole.max(axis=0) > room.max(axis=0) + 1e-6).any():
        found.append("not over the inside")
    outer = outer_face(project, Face(place.face))
    sheet, rim = outer.place(cut.outer), outer.place(outer.corners)
    if (sheet.min(axis=0) - REBATE < rim.min(axis=0) - 1e-6).any():
        found.append("over the rim")
    if (sheet.max(axis=0) + REBATE > rim.max(axis=0) + 1e-6).any():
        found.append("over the rim")
    return found


lengths = st.integers(20, 120).map(lambda mm: f"{mm} mm")


@st.composite
def timbers(draw):
    """Rafters and purlins anywhere, and heights of the two walls."""
    rafters = sorted(draw(st.sets(st.integers(0, 940), max_size=5)))
    purlins = sorted(draw(st.sets(st.integers(0, 1140), max_size=3)))
    front, back = draw(st.integers(66, 90)), draw(st.integers(50, 90))
    changes = {
        "members": {
            "rafters": {
                "section": [draw(lengths), "70 mm"],
                "grade": "C24",
                "along": "slope",
                "at": [f"{at} mm" for at in rafters],
            },
            "purlins": {
                "section": [draw(lengths), "70 mm"],
                "grade": "C24",
                "along": "eaves",
                "at": [f"{at} mm" for at in purlins],
            },
        },
        "openings.vent": None,
        "hut.inside.front": f"{front} cm",
        "hut.inside.back": f"{back} cm",
        "hut.roof.high": "front" if front >= back else "back",
        "hut.roof.overhang": f"{draw(st.integers(0, 200))} mm",
    }
    return {**BARE, **changes}


@pytest.mark.slow
@given(timbers(), st.randoms(use_true_random=False))
def test_no_window_lies_on_a_timber_or_over_an_edge(changes, chance):
    described = orchard(changes)
    found = window_places(described.project, step=0.1)
    for place in chance.sample(found, min(3, len(found))):
        assert faults_of(described, place) == []


@pytest.mark.parametrize("described", [orchard(BARE), sports_field()], ids=["one pitch", "two pitches"])
def test_every_place_of_the_demos_is_free_and_of_a_size_on_sale(described):
    found = window_places(described.project, step=0.2)
    assert found
    sizes = {tuple(sorted((round(w.sheet.clear[0], 3), round(w.sheet.clear[1], 3)))) for w in found}
    assert sizes <= {(round(each.clear[0], 3), round(each.clear[1], 3)) for each in SHEETS}
    assert {each.face for each in found} == {
        each.name for each in inner_skin(described.project) if each.name.startswith("roof")
    }
    for place in found[:: max(1, len(found) // 12)]:
        assert faults_of(described, place) == []


def test_the_first_and_last_places_that_fit_are_tried_and_none_is_farther_than_a_step_from_the_next():
    found = window_places(orchard(BARE).project, step=0.05)
    low = sorted({round(w.along[0], 3) for w in found if w.sheet is SHEETS[0] and w.across[0] < 0.2})
    assert np.diff(low).max() <= 0.0501
    (inner,) = [each for each in inner_skin(orchard(BARE).project) if each.name == "roof"]
    highest = max(each.along[1] for each in on_the_skin(orchard(BARE).project, found))
    assert inner.extent[1] - highest < 2e-3


def test_a_described_window_takes_its_place_with_a_rebate_round_it():
    project = orchard().project
    (now,) = described_places(project)
    found = window_places(project, step=0.05)
    assert found
    assert all(not each.meets(now) for each in found)
    everywhere = window_places(orchard(BARE).project, step=0.05)
    assert any(each.meets(now) for each in everywhere)


def test_two_windows_go_together_only_where_their_sheets_lie_side_by_side():
    found = window_places(orchard(BARE).project, step=0.2)
    pairs = together(found)
    assert np.array_equal(pairs, pairs.T)
    assert not pairs.diagonal().any()
    for row in range(0, len(found), 7):
        for column in range(0, len(found), 5):
            assert pairs[row, column] == (not found[row].meets(found[column]))


def test_a_window_straight_below_keeps_its_size_and_is_the_hole_that_the_skin_has():
    described = orchard(BARE)
    place = window_places(described.project)[5]
    (below,) = on_the_skin(described.project, [place])
    assert below.across[1] - below.across[0] == pytest.approx(place.across[1] - place.across[0])
    assert below.along[1] - below.along[0] == pytest.approx(place.along[1] - place.along[0])
    (cut,) = [each for each in placed_openings(with_window(described, place)) if each.name == "proposed"]
    (inner,) = [each for each in inner_skin(described.project) if each.name == "roof"]
    hole = inner.place(cut.inner)
    assert (hole[:, 0].min(), hole[:, 1].max()) == pytest.approx((below.across[0], below.along[1]))


def test_a_roof_full_of_timber_has_no_place():
    close = {"section": ["45 mm", "70 mm"], "grade": "C24", "along": "slope"}
    at = [f"{number * 150} mm" for number in range(7)]
    project = orchard({**BARE, "members.rafters": {**close, "at": at}}).project
    assert window_places(project) == ()
