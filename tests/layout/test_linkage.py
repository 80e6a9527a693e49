"""The rod between its pins: it closes, its arm is its slope, and lengths lead back to travels."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from hutwright.errors import ModelError, RequestError
from hutwright.layout.leaf import full_travel, leaf_pose
from hutwright.layout.linkage import (
    arm,
    dead_centres,
    drive_solid,
    foot_pin,
    head_pin,
    monotone_travel,
    reach,
    rod_length,
    travel_at_rod_length,
)
from hutwright.layout.solid import separation
from hutwright.layout.solids import machine_at
from hutwright.model.door import DoorKind, LinkageKind
from hutwright.model.drive import RodLength
from tests.layout.doors import door_of, mirrored, plain, rods, shares, with_kind, with_pins


def with_drive(project, shortest, stroke):
    assert project.drive is not None
    return replace(project, drive=replace(project.drive, length=RodLength(shortest=shortest, stroke=stroke)))


@given(rods, shares)
def test_the_linkage_closes(project, share):
    at = share * full_travel(project)
    head = leaf_pose(project, at).apply(head_pin(project))
    assert np.linalg.norm(head - foot_pin(project)) == pytest.approx(float(rod_length(project, at)))


@given(rods, shares)
def test_the_arm_is_the_slope_of_the_rod_s_length(project, share):
    at, step = share * full_travel(project), 1e-6
    assume(rod_length(project, at) > 0.01)
    slope = (rod_length(project, at + step) - rod_length(project, at - step)) / (2 * step)
    assert float(arm(project, at)) == pytest.approx(float(slope), abs=1e-7)


@given(rods)
def test_the_arms_add_up_to_the_change_of_length(project):
    travel = np.linspace(0.0, full_travel(project), 2001)
    change = np.trapezoid(arm(project, travel), travel)
    whole = rod_length(project, travel)
    assert float(change) == pytest.approx(float(whole[-1] - whole[0]), abs=1e-5)


@given(rods, st.lists(shares, min_size=1, max_size=6))
def test_angle_and_rod_length_lead_to_each_other_up_to_the_first_dead_centre(project, some):
    end = monotone_travel(project)
    assume(abs(float(rod_length(project, end) - rod_length(project, 0.0))) > 1e-3)
    lengths = rod_length(project, end * np.array(some))
    back = travel_at_rod_length(project, lengths)
    assert rod_length(project, back) == pytest.approx(lengths, abs=1e-9)
    inside = np.array(some) * end
    sure = np.abs(arm(project, inside)) > 1e-3
    assert back[sure] == pytest.approx(inside[sure], abs=1e-6)


def test_a_length_that_the_rod_never_has_is_no_number():
    project = plain()
    assert np.isnan(travel_at_rod_length(project, [0.2, 0.9])).all()
    assert travel_at_rod_length(project, rod_length(project, 0.0)) == pytest.approx(0.0, abs=1e-9)


def test_the_arm_of_a_pin_straight_below_the_hinge_is_by_hand():
    # Hinge at y = 0, z = 0.57; head 0.3 m below it on the leaf, foot 0.4 m behind the head: the rod is level.
    project = with_pins(with_kind(DoorKind.TOP_HINGED, y=0.0), (0.47, 0.4, 0.27), (0.47, 0.0, 0.27))
    assert float(rod_length(project, 0.0)) == pytest.approx(0.4)
    assert float(arm(project, 0.0)) == pytest.approx(0.3)  # pushes the leaf open: the rod grows
    pull = with_pins(with_kind(DoorKind.TOP_HINGED, y=0.0), (0.47, -0.4, 0.27), (0.47, 0.0, 0.27))
    assert float(arm(pull, 0.0)) == pytest.approx(-0.3)


@pytest.mark.parametrize("turn", [0.0, 0.3, 1.0, 1.5])
def test_the_rod_is_the_third_side_of_a_triangle_at_the_hinge(turn):
    project = with_pins(
        with_kind(DoorKind.TOP_HINGED, opens=1.5, y=0.0), (0.47, 0.4, 0.57), (0.47, 0.0, 0.27)
    )
    # Sides 0.4 m (hinge to foot) and 0.3 m (hinge to head), a right angle between them when shut.
    third = np.sqrt(0.4**2 + 0.3**2 - 2 * 0.4 * 0.3 * np.cos(np.pi / 2 + turn))
    assert float(rod_length(project, turn)) == pytest.approx(third)


@given(rods)
def test_mirror_images_have_the_same_rod(project):
    assume(door_of(project).kind in (DoorKind.LEFT_HINGED, DoorKind.RIGHT_HINGED))
    travel = np.linspace(0.0, full_travel(project), 9)
    other = mirrored(project)
    assert rod_length(other, travel) == pytest.approx(rod_length(project, travel))
    assert arm(other, travel) == pytest.approx(arm(project, travel))
    assert dead_centres(other) == pytest.approx(dead_centres(project), abs=1e-6)


def test_a_dead_centre_within_the_travel_is_found_where_pins_and_hinge_are_in_line():
    # Foot level with the hinge and 0.4 m before it: after a quarter turn the head lies between the two.
    project = with_pins(
        with_kind(DoorKind.TOP_HINGED, opens=2.0, y=0.0), (0.47, -0.4, 0.57), (0.47, 0.0, 0.27)
    )
    assert dead_centres(project) == pytest.approx((np.pi / 2,))
    assert monotone_travel(project) == pytest.approx(np.pi / 2)
    assert dead_centres(plain()) == ()


def test_a_head_pin_on_the_hinge_line_is_dead_all_over():
    project = with_pins(with_kind(DoorKind.TOP_HINGED, y=0.0), (0.47, 0.4, 0.27), (0.47, 0.0, 0.57))
    assert dead_centres(project) == (0.0,)
    assert arm(project, np.linspace(0, 1.4, 5)) == pytest.approx(0.0, abs=1e-12)


def test_a_stroke_that_suffices_reaches_the_whole_travel():
    found = reach(plain())
    assert found.whole
    assert (found.first, found.last) == pytest.approx((0.0, np.radians(82.0)))
    assert found.shut == pytest.approx(np.hypot(0.43, 0.08))


def test_a_stroke_that_is_too_short_says_how_far_the_leaf_gets():
    project = with_drive(plain(), 0.425, 0.20)
    found = reach(project)
    assert not found.whole
    assert found.too_short == pytest.approx(found.greatest - 0.625)
    assert found.first == 0.0
    assert found.last is not None
    assert float(rod_length(project, found.last)) == pytest.approx(0.625)


def test_a_drive_that_is_too_long_when_drawn_in_cannot_shut():
    project = with_drive(plain(), 0.50, 0.30)
    found = reach(project)
    assert found.too_long == pytest.approx(0.50 - np.hypot(0.43, 0.08))
    assert found.first is not None
    assert float(rod_length(project, found.first)) == pytest.approx(0.50)
    assert reach(with_drive(plain(), 1.5, 0.1)).first is None


def test_a_direct_drive_goes_with_the_leaf():
    project = with_kind(DoorKind.SLIDING, opens=0.7)
    travel = np.linspace(0.0, 0.7, 5)
    assert arm(project, travel) == pytest.approx(np.ones(5))
    assert rod_length(project, travel) == pytest.approx(travel)
    assert reach(project).whole
    assert drive_solid(project) is None
    assert travel_at_rod_length(project, [0.3]) == pytest.approx([0.3])


def test_a_direct_pull_on_a_hinged_leaf_is_refused():
    project = plain()
    assert project.linkage is not None
    direct = replace(project, linkage=replace(project.linkage, kind=LinkageKind.DIRECT))
    with pytest.raises(ModelError, match=r"linkage\.kind"):
        arm(direct, 0.0)
    with pytest.raises(RequestError, match=r"describe \[linkage\]"):
        arm(replace(project, linkage=None), 0.0)
    with pytest.raises(RequestError, match=r"drive\.length"):
        reach(replace(project, drive=None))


def test_the_drive_s_body_is_as_near_as_its_pins_line_less_half_its_thickness():
    project = with_pins(plain(), (0.47, 0.46, 0.40), (0.47, 0.03, 0.45))
    body = drive_solid(project, np.array([0.0, 0.5]))
    assert body is not None
    assert project.drive is not None
    distances = separation(body, machine_at(project))
    assert distances.shape == (2,)
    # The line's nearest point over the machine (top 0.29 m) is the foot, 0.11 m above.
    assert distances[0] == pytest.approx(0.11 - project.drive.body / 2)
