"""The closed inner skin in patches."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hutwright.layout.faces import inner_skin, placed_openings
from hutwright.layout.skin import Kind, skin
from tests.described import orchard, sports_field
from tests.layout.doors import huts

SIZE = 0.05


@given(huts)
@settings(max_examples=15)
def test_the_patches_close_and_hold_the_volume_of_the_room(project):
    cut = skin(project, 0.08)
    flow = (cut.inward * cut.areas[:, None]).sum(axis=0)
    assert flow == pytest.approx(np.zeros(3), abs=1e-9)
    volume = -(np.einsum("ij,ij->i", cut.centres, cut.inward) * cut.areas).sum() / 3.0
    whole = sum(float(each.corners[0] @ each.normal) * each.area for each in inner_skin(project)) / 3.0
    assert volume == pytest.approx(whole, rel=1e-9)


@pytest.mark.parametrize("made", [orchard, sports_field])
def test_every_face_keeps_its_area_and_its_first_moment(made):
    cut = skin(made().project, SIZE)
    for each in cut.faces:
        areas, centres = cut.areas[each.patches], cut.centres[each.patches]
        assert areas.sum() == pytest.approx(each.face.area, rel=1e-9)
        corners = each.face.corners
        spokes = corners[1:] - corners[0]
        doubled = np.cross(spokes[:-1], spokes[1:]) @ each.face.normal
        middle = (
            corners[0] + ((spokes[:-1] + spokes[1:]) / 3.0 * doubled[:, None]).sum(axis=0) / doubled.sum()
        )
        assert (areas[:, None] * centres).sum(axis=0) / areas.sum() == pytest.approx(middle, abs=1e-9)
        assert each.face.height_of(centres) == pytest.approx(np.zeros(len(centres)), abs=1e-9)


def test_openings_have_their_exact_areas_wherever_the_grid_lies():
    project = orchard({"openings.first_window.place.from_left": "0.2137 m"}).project
    cut = skin(project, SIZE)
    areas = {each.name: cut.areas[cut.covering == n].sum() for n, each in enumerate(cut.coverings)}
    assert areas["first_window"] == pytest.approx(0.30 * 0.40, rel=1e-9)
    assert areas["vent"] == pytest.approx(0.15 * 0.05, rel=1e-9)
    assert areas["door"] == pytest.approx(0.70 * 0.52, rel=1e-9)


def test_an_opening_lies_straight_below_where_it_is_cut():
    project = orchard({"openings.first_window.place.from_left": "0.2137 m"}).project
    cut = skin(project, SIZE)
    (window,) = [each for each in placed_openings(project) if each.name == "first_window"]
    own = cut.covering == cut.number_of(Kind.OPENING, "first_window")
    middle = (cut.centres[own] * cut.areas[own, None]).sum(axis=0) / cut.areas[own].sum()
    assert middle == pytest.approx(window.inner.mean(axis=0), abs=1e-9)


def test_no_patch_is_larger_than_asked():
    project = sports_field().project
    cut = skin(project, SIZE)
    assert cut.areas.max() <= SIZE**2 * (1 + 1e-9)
    for each in cut.faces:
        assert max(each.grid.step) <= SIZE * (1 + 1e-6)


def test_a_roof_can_be_cut_without_its_openings_into_whole_cells():
    project = orchard().project
    roof = skin(project, SIZE, roof_openings=False).face_named("roof")
    across, along = roof.grid.count
    assert roof.regions == ()
    assert list(roof.cells) == list(range(across * along))


def test_a_double_pitch_has_two_roof_faces_and_gables():
    cut = skin(sports_field().project, SIZE)
    assert [each.name for each in cut.faces] == [
        "floor",
        "front",
        "back",
        "left",
        "right",
        "roof_left",
        "roof_right",
    ]


@given(st.floats(0.01, 0.3))
@settings(max_examples=10)
def test_clearance_is_the_distance_to_the_nearest_face(share):
    cut = skin(orchard().project, 0.1)
    sizes = [each.face.corners for each in cut.faces]
    low, high = np.concatenate(sizes).min(axis=0), np.concatenate(sizes).max(axis=0)
    point = np.array([low[0] + share, (low[1] + high[1]) / 2, 0.32])
    assert cut.clearance(point) == pytest.approx(min(share, 0.32), abs=1e-9)
    assert cut.clearance(high + 1.0) < 0.0


@pytest.mark.parametrize("size", [0.0, -0.1, float("nan")])
def test_patches_of_no_size_are_refused(size):
    with pytest.raises(ValueError, match="patches"):
        skin(orchard().project, size)
