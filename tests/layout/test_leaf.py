"""The leaf over its travel: rigid, outwards, mirror-true, and clear of the hut."""

from __future__ import annotations

from dataclasses import replace
from math import pi

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from hutwright.errors import RequestError
from hutwright.layout.clear_opening import clear_for_machine, clear_opening, leaf_shadow
from hutwright.layout.leaf import (
    closing_gap,
    edge_radius,
    edge_travel,
    full_travel,
    hinge_of,
    hinge_side_gap,
    hole,
    leading_edge,
    leaf_pose,
    leaf_solid,
    leaf_velocity,
    shut_leaf,
    track_of,
    travel_at_gap,
    travel_of_edge,
)
from hutwright.layout.solid import sweep
from hutwright.layout.solids import door_wall, surroundings, walls
from hutwright.model.door import DoorKind, SlideWay
from tests.described import described
from tests.layout.doors import (
    HINGED,
    THICK,
    door_of,
    doors,
    hinged_doors,
    mirrored,
    plain,
    shares,
    with_kind,
    with_lane,
)

points = st.lists(st.tuples(*[st.floats(-1.0, 1.0)] * 3), min_size=2, max_size=4)


@given(doors, shares, points)
def test_moving_the_leaf_keeps_every_length_and_handedness(project, share, some):
    shut = np.array(some)
    pose = leaf_pose(project, share * full_travel(project))
    moved = pose.apply(shut)
    apart = np.linalg.norm(shut[:, None] - shut[None], axis=-1)
    assert np.linalg.norm(moved[:, None] - moved[None], axis=-1) == pytest.approx(apart, abs=1e-12)
    assert np.linalg.det(pose.turn) == pytest.approx(1.0)


@given(doors)
def test_the_shut_leaf_lies_on_the_wall_outside_with_its_middle_over_the_hole(project):
    leaf, door = leaf_solid(project), door_of(project)
    assert (leaf.corners[:, 1].min(), leaf.corners[:, 1].max()) == pytest.approx((-THICK, 0.0))
    middle = leaf.corners.mean(axis=0)
    assert middle[0] == pytest.approx(door.opening.left + door.opening.width / 2)
    assert middle[2] == pytest.approx(door.opening.sill + door.opening.height / 2)


# Where the middle of the closing edge is after a quarter turn, from the hinge's place along x and z.
@pytest.mark.parametrize(
    ("kind", "axis", "place"),
    [
        (DoorKind.TOP_HINGED, 2, 0.57),
        (DoorKind.BOTTOM_HINGED, 2, 0.01),
        (DoorKind.LEFT_HINGED, 0, 0.10),
        (DoorKind.RIGHT_HINGED, 0, 0.84),
    ],
)
def test_every_hinged_leaf_swings_out_and_stands_square_to_the_wall_after_a_quarter_turn(kind, axis, place):
    project = with_kind(kind, opens=pi / 2, y=0.0)
    edge = leading_edge(project, pi / 2)
    size = door_of(project).leaf.height if axis == 2 else door_of(project).leaf.width
    assert edge[:, 1] == pytest.approx(-size)
    assert edge[:, axis] == pytest.approx(place)


@pytest.mark.parametrize(("way", "sign"), [(SlideWay.LEFT, -1.0), (SlideWay.RIGHT, 1.0)])
def test_a_sliding_leaf_goes_its_way_and_a_lift_leaf_goes_up(way, sign):
    slide = with_kind(DoorKind.SLIDING, opens=0.7, way=way)
    assert leaf_pose(slide, 0.3).apply([0.0, 0.0, 0.0]) == pytest.approx(np.array([sign * 0.3, 0.0, 0.0]))
    assert sign * leading_edge(slide)[0, 0] == pytest.approx(sign * (0.10 if sign > 0 else 0.84))
    lift = with_kind(DoorKind.LIFT, opens=0.5)
    assert leaf_pose(lift, 0.3).apply([0.0, 0.0, 0.0]) == pytest.approx(np.array([0.0, 0.0, 0.3]))


def test_a_track_that_leans_takes_the_leaf_uphill():
    project = with_kind(DoorKind.SLIDING, opens=0.7)
    door = door_of(project)
    leaning = replace(project, door=replace(door, track=replace(track_of(door), tilt=0.1)))
    assert leaf_pose(leaning, 0.5).shift == pytest.approx(0.5 * np.array([-np.cos(0.1), 0.0, np.sin(0.1)]))


@given(doors, shares, st.tuples(*[st.floats(-1.0, 1.0)] * 3))
def test_velocity_is_the_slope_of_the_way(project, share, point):
    at = share * full_travel(project)
    step = 1e-6
    slope = (leaf_pose(project, at + step).apply(point) - leaf_pose(project, at - step).apply(point)) / (
        2 * step
    )
    assert leaf_velocity(project, point, at) == pytest.approx(slope, abs=1e-8)


@given(hinged_doors, shares)
def test_the_closing_edge_goes_its_radius_times_the_angle(project, share):
    at = share * full_travel(project)
    corners = leaf_velocity(project, leading_edge(project)[0], at)
    assert np.linalg.norm(corners) == pytest.approx(
        edge_radius(project), rel=3e-3
    )  # inner face against outermost
    assert float(travel_of_edge(project, edge_travel(project, at))) == pytest.approx(at)


@given(
    st.builds(
        with_kind,
        st.sampled_from((DoorKind.LEFT_HINGED, DoorKind.RIGHT_HINGED)),
        opens=st.floats(0.2, pi),
        y=st.floats(-0.04, 0.0),
    )
)
def test_left_and_right_are_mirror_images(project):
    other = mirrored(project)
    travel = np.linspace(0.0, full_travel(project), 7)
    here, there = leaf_solid(project, travel), leaf_solid(other, travel)
    swapped = there.corners[:, [1, 0, 3, 2, 5, 4, 7, 6]] * (-1, 1, 1) + (0.944, 0, 0)
    assert swapped == pytest.approx(here.corners)
    assert closing_gap(other, travel) == pytest.approx(closing_gap(project, travel))
    assert hinge_side_gap(other, travel) == pytest.approx(hinge_side_gap(project, travel))
    for each in travel:
        one, two = clear_for_machine(project, each), clear_for_machine(other, each)
        assert (two.width, two.height, two.right, two.left) == pytest.approx(
            (one.width, one.height, one.left, one.right)
        )


# No point of a leaf that is hinged along its own edge reaches y > 0: up to a quarter turn where the hinge
# line lies between wall and outer face, and up to half a turn where it lies on the outer face or before it.
@given(doors)
def test_an_outward_leaf_never_passes_through_the_wall(project):
    assume(project.door.hinge is None or full_travel(project) <= pi / 2 or project.door.hinge.y <= -THICK)
    travel = np.linspace(0.0, full_travel(project), 31)
    for approach in sweep(leaf_solid(project, travel), travel, walls(project)):
        assert approach.distance >= -1e-9, approach


def test_a_leaf_that_stands_up_over_its_hinge_is_reported_to_go_through_the_wall():
    project = with_kind(DoorKind.TOP_HINGED, opens=1.4)
    door = door_of(project)
    low = replace(project, door=replace(door, hinge=replace(hinge_of(door), z=0.50)))
    travel = np.linspace(0.0, 1.4, 31)
    found = {a.name: a for a in sweep(leaf_solid(low, travel), travel, door_wall(low))}
    assert found["wall above the door"].distance < -0.01
    assert found["wall above the door"].travel > 0.0


def test_a_lift_leaf_that_rises_through_the_overhang_is_reported():
    project = with_kind(DoorKind.LIFT, opens=0.5)
    travel = np.linspace(0.0, 0.5, 26)
    found = {a.name: a.distance for a in sweep(leaf_solid(project, travel), travel, surroundings(project))}
    assert found["roof"] < -0.01


def test_a_leaf_that_swings_over_a_rising_lane_is_reported_to_hit_it():
    project = with_kind(DoorKind.LEFT_HINGED, opens=1.5)
    travel = np.linspace(0.0, 1.5, 31)
    level, steep = (
        {a.name: a.distance for a in sweep(leaf_solid(p, travel), travel, surroundings(p))}["lane"]
        for p in (with_lane(project, 0.0), with_lane(project, 0.1))
    )
    assert level == pytest.approx(0.025)
    assert steep < -0.01


@given(doors, shares)
def test_the_closing_gap_is_none_when_shut_and_is_found_again_by_its_width(project, share):
    assert float(closing_gap(project, 0.0)) == pytest.approx(0.0, abs=1e-12)
    widest = float(closing_gap(project, np.linspace(0.0, full_travel(project), 200)).max())
    assume(share * widest > 1e-3)
    at = travel_at_gap(project, share * widest)
    assert at is not None
    assert float(closing_gap(project, at)) == pytest.approx(share * widest, abs=1e-9)
    assert travel_at_gap(project, widest + 0.01) is None


def test_a_top_hinged_leaf_s_gap_is_the_chord_from_its_edge_to_the_sill():
    project = with_kind(DoorKind.TOP_HINGED, opens=1.5, y=0.0)
    # Inner edge 0.56 m under the hinge, sill 0.54 m under it: by hand at a right angle less nothing.
    edge = 0.56 * np.array([-np.sin(1.2), -np.cos(1.2)])
    assert float(closing_gap(project, 1.2)) == pytest.approx(np.hypot(edge[0], edge[1] + 0.54))


def test_the_gap_at_the_hinge_opens_like_a_wedge_on_top_of_what_is_described():
    project = with_kind(DoorKind.TOP_HINGED, opens=1.4, y=0.0)
    assert hinge_side_gap(project, [0.0, 0.5, 1.2]) == pytest.approx(
        0.003 + 0.02 * np.sin([0.0, 0.5, 1.2])  # the hole's edge lies 20 mm from the hinge line
    )
    slide = with_kind(DoorKind.SLIDING, opens=0.7)
    assert hinge_side_gap(slide, [0.0, 0.7]) == pytest.approx([0.003, 0.003])


def test_the_leaf_where_it_hangs_takes_from_the_hole():
    project = plain()
    shut = clear_for_machine(project, 0.0)
    assert (shut.width, shut.height) == (0.0, 0.0)
    at = clear_for_machine(project, 1.2)
    lowest = 0.57 - 0.56 * np.cos(1.2) - 0.008 * np.sin(1.2)  # of the inner edge, 8 mm behind the hinge line
    assert at.height == pytest.approx(lowest - 0.03)
    assert clear_opening(project, 1.2, width=0.5, height=at.height + 0.001, middle=0.47).width == 0.0
    assert clear_opening(project, 1.2, width=0.5, height=at.height - 0.001, middle=0.47).width == 0.70


def test_a_side_hinged_leaf_takes_width_and_leaves_height():
    project = with_kind(DoorKind.LEFT_HINGED, opens=pi / 2, y=0.0)
    half = clear_opening(project, pi / 3, width=0.3, height=0.3, middle=0.65)
    assert half.width == pytest.approx(0.82 - 0.10 - 0.74 * np.cos(pi / 3))
    assert half.height == 0.52
    assert half.left == pytest.approx(0.5 - (0.10 + 0.74 * 0.5))
    wide = clear_opening(project, pi / 2, width=0.3, height=0.3, middle=0.65)
    assert wide.width == pytest.approx(0.70)


def test_seen_from_the_front_the_leaf_covers_its_hole():
    project = plain()
    leaf, free = shut_leaf(project), hole(project)
    assert leaf_shadow(project, 0.0) == leaf
    assert leaf.left < free.left < free.right < leaf.right


DOOR_ONLY = """
format = 1
[build_ups]
leaf = ["15 mm plywood"]
[door]
kind = "right_hinged"
opening = { left = "0.12 m", sill = "0.03 m", width = "0.70 m", height = "0.52 m" }
leaf = { width = "0.74 m", height = "0.56 m", build_up = "leaf" }
hinge = { x = "0.84 m", y = "-8 mm" }
open_angle = "90 deg"
"""


def test_a_folder_that_describes_only_a_door_has_its_geometry():
    project = described(DOOR_ONLY).project
    assert leaf_solid(project, np.linspace(0, 1, 5)).corners.shape == (5, 8, 3)
    assert surroundings(project) == ()
    assert travel_at_gap(project, 0.05) is not None


def test_says_which_part_a_door_of_that_kind_lacks():
    for kind in HINGED:
        with pytest.raises(RequestError, match="has no track"):
            track_of(door_of(with_kind(kind)))
    with pytest.raises(RequestError, match="has no hinge"):
        hinge_of(door_of(with_kind(DoorKind.LIFT)))
