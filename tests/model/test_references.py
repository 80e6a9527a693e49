from __future__ import annotations

from dataclasses import replace
from math import hypot

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.description.build import build
from hutwright.description.overlay import whole
from hutwright.description.reading import parse_sheet
from hutwright.layout.faces import outer_faces
from hutwright.model.hut import Face, RoofForm, Side
from hutwright.model.paths import Keys, replaced
from hutwright.model.references import contradictions, face_size, nodes, wall_thickness
from tests.description.malformed.cases import BASE
from tests.layout.doors import huts

PROJECT = build(whole(parse_sheet(BASE, "hut.toml"))).project
WIDTH, DEPTH = 0.90 + 2 * 0.022, 1.10 + 2 * 0.022  # outside, as the description says


def fields_of(changes):
    return [error.field for error in contradictions(replaced(PROJECT, changes))]


def test_a_sound_project_contradicts_itself_nowhere():
    assert contradictions(PROJECT) == ()
    assert nodes(PROJECT) == ("battery", "five", "bridge", "drive")
    assert wall_thickness(PROJECT) == pytest.approx(0.022)
    assert wall_thickness(replace(PROJECT, hut=None)) == 0.0


@pytest.mark.parametrize(
    ("changes", "blamed"),
    [
        ({("hut", "walls", "build_up"): "x"}, ["hut.walls.build_up"]),
        (
            {("hut", "roof", "build_up"): "x", ("door", "leaf", "build_up"): "y"},
            ["hut.roof.build_up", "door.leaf.build_up"],
        ),
        ({("build_ups", "roof"): ()}, ["build_ups.roof"]),
        ({("door", "opening", "left"): 0.5}, ["door.opening.width"]),
        ({("door", "opening", "sill"): 0.5}, ["door.opening.height"]),
        (
            {("machine", "parked", "x"): -0.1, ("machine", "parked", "y"): 2.0},
            ["machine.parked.x", "machine.parked.y"],
        ),
        ({("members", "rafters", "at"): (-0.2, 0.4)}, ["members.rafters.at.0"]),
        ({("openings", "vent", "place", "face"): Face.ROOF_RIGHT}, ["openings.vent.place.face"]),
        ({("cables", "feed", "fuse"): "x"}, ["cables.feed.fuse"]),
        (
            {("cables", "feed", "from"): "x", ("cables", "motor", "to"): "y"},
            ["cables.feed.from", "cables.motor.to"],
        ),
        ({("regulators", "five", "fed_by"): None}, ["regulators.five.fed_by"]),
        ({("regulators", "five", "fed_by"): "drive"}, ["regulators.five.fed_by"]),
        ({("electronics", "logic", "fed_by"): "battery"}, ["electronics.logic.fed_by"]),
        ({("cables", "feed", "from"): "five"}, ["cables.feed.from"]),
        ({("cables", "motor", "to"): "five"}, ["regulators.five.fed_by"]),
    ],
)
def test_each_contradiction_is_blamed_once_where_it_is_written(changes, blamed):
    assert fields_of(changes) == blamed


@given(st.floats(0.0, 1.0), st.floats(0.01, 1.0))
def test_a_hole_is_inside_the_wall_exactly_where_its_sides_are(left, width):
    leaf = max(width, 0.74)
    changes = {
        ("door", "opening", "left"): left,
        ("door", "opening", "width"): width,
        ("door", "leaf", "width"): leaf,
    }
    assert fields_of(changes) == ([] if left + width <= WIDTH + 1e-9 else ["door.opening.width"])


def test_a_lid_that_ends_flush_with_the_wall_is_inside_it():
    assert fields_of({("door", "opening", "left"): WIDTH - 0.70}) == []


@pytest.mark.parametrize(
    ("face", "size"),
    [
        (Face.FRONT, (WIDTH, 0.76 + 0.022 * 0.12 / 1.10)),
        (Face.BACK, (WIDTH, 0.64 - 0.022 * 0.12 / 1.10)),
        (Face.LEFT, (DEPTH, 0.76 + 0.022 * 0.12 / 1.10)),
        (Face.ROOF, (WIDTH, DEPTH * hypot(1.10, 0.12) / 1.10)),
    ],
)
def test_faces_are_measured_from_outside_and_along_the_slope_without_the_overhang(face, size):
    assert PROJECT.hut is not None
    assert face_size(face, PROJECT.hut, 0.022) == pytest.approx(size)


def test_each_half_of_a_double_pitch_runs_from_the_eaves_to_the_ridge():
    changes: dict[Keys, object] = {
        ("hut", "roof", "form"): RoofForm.DOUBLE_PITCH,
        ("hut", "roof", "ridge"): 0.76 + 0.45,
    }
    hut = replaced(PROJECT, changes).hut
    assert hut is not None
    assert face_size(Face.ROOF_LEFT, hut, 0.022) == pytest.approx((DEPTH, WIDTH / 2 * 2**0.5))
    assert fields_of(changes) == ["openings.window.place.face"]


@given(huts)
def test_the_faces_of_every_hut_are_as_large_as_the_layout_builds_them(project):
    assert project.hut is not None
    for built in outer_faces(project):
        assert face_size(Face(built.name), project.hut, 0.022) == pytest.approx(built.extent)


@pytest.mark.parametrize(
    ("face", "left", "fits"),
    [(Face.LEFT, 0.80, True), (Face.LEFT, 0.05, False), (Face.RIGHT, 0.05, True), (Face.RIGHT, 0.80, False)],
)
def test_a_high_opening_in_a_sloping_wall_fits_at_its_high_end_only(face, left, fits):
    window = PROJECT.openings["window"]
    place = replace(window.place, face=face, from_left=left, from_low_edge=0.40)
    size = replace(window.size, width=0.20, length=0.32)
    moved = replace(PROJECT, openings={"window": replace(window, place=place, size=size)})
    assert [each.field for each in contradictions(moved)] == (
        [] if fits else ["openings.window.place.from_low_edge"]
    )


def test_rafters_of_a_deep_double_pitch_are_counted_along_its_eaves():
    deep: dict[Keys, object] = {
        ("hut", "roof", "form"): RoofForm.DOUBLE_PITCH,
        ("hut", "roof", "ridge"): 0.9,
        ("hut", "inside", "depth"): 2.0,
        ("openings",): {},
    }
    rafters = replace(next(iter(PROJECT.members.values())), at=(0.0, 1.0, 2.0))
    assert fields_of({**deep, ("members",): {"rafters": rafters}}) == []
    far = replace(rafters, at=(0.0, 1.0, 2.2))
    assert fields_of({**deep, ("members",): {"rafters": far}}) == ["members.rafters.at.2"]


def ring(count):
    """Regulators of which each is fed by the one before, the first by the last."""
    five = PROJECT.regulators["five"]
    return {f"r{n}": replace(five, fed_by=f"r{(n - 1) % count}") for n in range(count)}


@given(st.integers(2, 40))
def test_a_ring_of_regulators_is_told_once_however_long_it_is(count):
    changed = replace(PROJECT, regulators={**PROJECT.regulators, **ring(count)})
    (error,) = contradictions(changed)
    assert error.field == "regulators.r0.fed_by"
    assert error.read.startswith("a loop: r0 <- ")
    assert len(error.read) < 120


@given(st.integers(1, 40))
def test_a_long_row_of_regulators_is_no_ring(count):
    row = {**ring(count), "r0": PROJECT.regulators["five"]}
    assert contradictions(replace(PROJECT, regulators={**PROJECT.regulators, **row})) == ()


def test_a_name_is_one_node_only():
    battery = PROJECT.supplies["battery"]
    doubled = replace(PROJECT, supplies={**PROJECT.supplies, "five": battery})
    assert [error.field for error in contradictions(doubled)] == ["regulators.five"]


def test_the_roof_of_a_hut_that_is_level_may_call_any_side_high():
    for side in Side:
        assert fields_of({("hut", "inside", "back"): 0.76, ("hut", "roof", "high"): side}) == []
