"""A closed skin, and openings that lie in its faces."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given

from hutwright.layout.faces import (
    area_vector,
    door_hole,
    inner_skin,
    outer_face,
    outer_faces,
    placed_openings,
)
from hutwright.layout.frame import frame
from hutwright.layout.members import crossings, free_spans, strips
from hutwright.model.hut import Along, Face, FacePlace, Opening, OpeningSize, RoofForm, Side
from tests.layout.doors import huts, plain, with_roof


@given(huts)
def test_the_inner_skin_is_closed_and_holds_the_volume_of_the_room(project):
    skin = inner_skin(project)
    vectors = np.array([face.area * face.normal for face in skin])
    assert vectors.sum(axis=0) == pytest.approx(np.zeros(3), abs=1e-12)
    volume = sum(float(face.corners[0] @ area_vector(face.corners)) for face in skin) / 3
    hut = project.hut
    heights = (
        (hut.inside.front, hut.inside.back) if hut.roof.ridge is None else (hut.inside.front, hut.roof.ridge)
    )
    assert volume == pytest.approx(0.9 * 1.1 * sum(heights) / 2)


@given(huts)
def test_every_edge_of_the_skin_is_walked_once_each_way(project):
    skin = inner_skin(project)
    corners = [tuple(np.round(corner, 9) + 0.0) for face in skin for corner in face.corners]
    assert len(set(corners)) == (8 if frame(project).ridge is None else 10)
    walked = [
        (tuple(np.round(a, 9) + 0.0), tuple(np.round(b, 9) + 0.0))
        for face in skin
        for a, b in zip(face.corners, np.roll(face.corners, -1, axis=0), strict=True)
    ]
    assert {(b, a) for a, b in walked} == set(walked)
    assert len(walked) == len(set(walked))


@given(huts)
def test_faces_look_outwards_and_are_measured_from_their_low_left_corner(project):
    middle = np.array([0.472, 0.572, 0.3])
    for face in (*inner_skin(project), *outer_faces(project)):
        assert np.linalg.norm(face.normal) == pytest.approx(1.0)
        assert face.height_of(middle) < 0.0
        assert face.height_of(face.corners) == pytest.approx(0.0, abs=1e-12)
        assert np.cross(face.right, face.up) == pytest.approx(face.normal)
        if face.name != "floor":
            assert face.up[2] >= -1e-12
            assert (face.place(face.corners).max(axis=0) >= np.array(face.extent) - 1e-12).all()


@given(huts)
def test_walls_are_measured_from_edge_to_edge_and_roofs_without_what_hangs_over(project):
    sizes = frame(project)
    for face in (*inner_skin(project)[1:], *outer_faces(project)):
        lows = face.place(face.corners).min(axis=0)
        if np.isclose(np.abs(lows), 0.0, atol=1e-12).all():
            assert face.place(face.corners).max(axis=0) == pytest.approx(np.array(face.extent))
            continue
        assert face.name.startswith("roof")
        stretch = sizes.slopes[0].stretch
        assert lows == pytest.approx(np.array([-0.08, -0.08 * stretch]))
        assert face.corner[:2] == pytest.approx(np.clip(face.corner[:2], 0.0, (sizes.width, sizes.depth)))


def test_a_window_and_a_rafter_are_measured_from_the_same_corner():
    roof = outer_face(plain(), Face.ROOF)
    sizes = frame(plain())
    assert roof.corner[:2] == pytest.approx(np.array([sizes.width, sizes.depth]))
    assert roof.extent == pytest.approx((0.944, 1.144 * sizes.slopes[0].stretch))


@given(huts)
def test_openings_lie_in_their_face_and_straight_below_on_the_skin(project):
    places = {name: FacePlace(face=face, from_left=0.2, from_low_edge=0.1) for name, face in enumerate(Face)}
    size = OpeningSize(width=0.15, length=0.1)
    openings = {str(n): Opening(place=place, size=size, pane=None, screen=1.0) for n, place in places.items()}
    project = replace(project, openings=openings)
    outer = {face.name: face for face in outer_faces(project)}
    inner = {face.name: face for face in inner_skin(project)}
    sizes = frame(project)
    for placed in placed_openings(project):
        assert outer[placed.face].height_of(placed.outer) == pytest.approx(0.0, abs=1e-12)
        assert inner[placed.face].height_of(placed.inner) == pytest.approx(0.0, abs=1e-12)
        assert np.linalg.norm(area_vector(placed.inner)) == pytest.approx(0.15 * 0.1)
        deep = sizes.roof if placed.face.startswith("roof") else sizes.wall
        assert np.linalg.norm(placed.outer - placed.inner, axis=-1) == pytest.approx(deep)
        assert area_vector(placed.outer) @ placed.normal > 0.0


def test_left_is_left_for_one_who_stands_before_the_face():
    project = plain()
    back, left = outer_face(project, Face.BACK), outer_face(project, Face.LEFT)
    assert back.point(0.1, 0.2) == pytest.approx(np.array([0.844, 1.144, 0.2]))
    assert left.point(0.1, 0.2) == pytest.approx(np.array([0.0, 1.044, 0.2]))
    roof = outer_face(project, Face.ROOF)  # low behind: seen from behind
    assert roof.point(0.0, 0.0)[:2] == pytest.approx(np.array([0.944, 1.144]))
    assert roof.up[1] < 0.0


def test_the_door_s_hole_goes_through_the_wall():
    placed = door_hole(plain())
    assert placed.outer[0] == pytest.approx(np.array([0.12, 0.0, 0.03]))
    assert placed.inner[2] == pytest.approx(np.array([0.82, 0.022, 0.55]))
    assert area_vector(placed.outer) == pytest.approx(0.70 * 0.52 * placed.normal)


def test_rafters_take_strips_of_the_roof_where_they_start():
    taken = strips(plain())
    assert [(strip.start, strip.end) for strip in taken] == [
        pytest.approx((0.944 - at - 0.045, 0.944 - at)) for at in (0.03, 0.47, 0.91)
    ]
    spans = free_spans(plain(), "roof")
    assert sum(end - start for start, end in spans) == pytest.approx(1.104 - 3 * 0.045)


@pytest.mark.parametrize(("from_left", "crossed"), [(0.036, set()), (0.0, {2}), (0.2, {1}), (0.6, {0})])
def test_a_window_over_a_rafter_is_found_and_one_between_two_is_not(from_left, crossed):
    project = plain()
    window = project.openings["first_window"]
    wide = replace(window.size, width=0.39)
    placed = replace(window, place=replace(window.place, from_left=from_left), size=wide)
    found = crossings(replace(project, openings={"first_window": placed}))
    assert {crossing.number for crossing in found} == crossed
    assert all(0.0 < crossing.overlap <= 0.045 + 1e-9 for crossing in found)


def test_members_along_the_eaves_are_counted_up_the_slope():
    project = plain()
    purlins = replace(project.members["rafters"], along=Along.EAVES)
    (first, *_) = strips(replace(project, members={"purlins": purlins}))
    assert first.runs_along is False
    assert first.start == pytest.approx(0.03)
    studs = replace(purlins, along=Along.UPRIGHT)
    assert strips(replace(project, members={"studs": studs})) == ()


def test_a_double_pitch_has_its_rafters_counted_from_the_front_on_both_sides():
    taken = strips(with_roof(RoofForm.DOUBLE_PITCH, Side.FRONT, 0.9, 0.9, 1.2))
    by_face = {name: [s for s in taken if s.face == name] for name in ("roof_left", "roof_right")}
    assert by_face["roof_right"][0].start == pytest.approx(0.03)
    assert by_face["roof_left"][0].end == pytest.approx(1.144 - 0.03)
