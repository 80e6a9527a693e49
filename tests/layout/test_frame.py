"""The hut's sizes, and true, magnetic and local directions kept apart."""

from __future__ import annotations

from dataclasses import replace
from math import pi, radians

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.errors import RequestError
from hutwright.layout.frame import (
    DescribedAzimuth,
    LocalDirections,
    TrueAzimuth,
    TrueDirections,
    direction_from_local,
    direction_to_local,
    facing,
    frame,
    magnetic_azimuth,
    slope_length,
    true_azimuth,
    true_skyline,
    wall_thickness,
)
from hutwright.model.hut import RoofForm, Side
from hutwright.model.project import Project
from hutwright.model.site import NorthKind
from tests.layout.doors import plain, with_roof

turns = st.floats(0.0, 2 * pi, exclude_max=True)


def north(kind: NorthKind, declination: float) -> Project:
    project = plain()
    return replace(
        project,
        site=replace(project.site, north=replace(project.site.north, kind=kind, declination=declination)),
    )


def test_outer_sizes_are_the_inner_ones_and_two_walls():
    sizes = frame(plain())
    assert (sizes.width, sizes.depth) == pytest.approx((0.944, 1.144))
    assert sizes.roof == pytest.approx(0.0186)


def test_the_roof_passes_through_the_clear_heights_at_the_inner_faces():
    sizes = frame(plain())
    assert float(sizes.underside(0.3, 0.022)) == pytest.approx(0.76)
    assert float(sizes.underside(0.3, 1.122)) == pytest.approx(0.64)
    assert np.tan(sizes.pitch) == pytest.approx(0.12 / 1.10)
    assert slope_length(sizes) == pytest.approx((1.144 + 0.16) * np.hypot(1.0, 0.12 / 1.10))


@pytest.mark.parametrize(("side", "left", "right"), [(Side.LEFT, 1.0, 0.7), (Side.RIGHT, 0.7, 1.0)])
def test_a_roof_high_at_one_side_takes_the_larger_height_there(side, left, right):
    sizes = frame(with_roof(RoofForm.MONO_PITCH, side, 0.7, 1.0))
    assert float(sizes.underside(0.022, 0.5)) == pytest.approx(left)
    assert float(sizes.underside(0.922, 0.5)) == pytest.approx(right)


def test_a_ridge_stands_over_the_middle():
    sizes = frame(with_roof(RoofForm.DOUBLE_PITCH, Side.FRONT, 0.9, 0.9, 1.2))
    assert sizes.ridge == pytest.approx(0.472)
    assert float(sizes.underside(0.472, 0.5)) == pytest.approx(1.2)
    assert float(sizes.underside(0.022, 0.5)) == pytest.approx(0.9)
    assert slope_length(sizes) == pytest.approx((0.472 + 0.08) * np.hypot(1.0, 0.3 / 0.45))


def test_a_compass_reading_gets_the_declination_and_a_true_azimuth_does_not():
    east = radians(4.1)
    read = DescribedAzimuth(radians(175.0))
    assert true_azimuth(north(NorthKind.MAGNETIC, east), read) == pytest.approx(radians(179.1))
    assert true_azimuth(north(NorthKind.TRUE, east), read) == pytest.approx(radians(175.0))
    assert facing(plain()) == pytest.approx(radians(179.1))


@given(turns, st.floats(-0.5, 0.5))
def test_a_compass_shows_what_the_builder_read_from_it(azimuth, declination):
    project = north(NorthKind.MAGNETIC, declination)
    shown = magnetic_azimuth(project, true_azimuth(project, DescribedAzimuth(azimuth)))
    assert np.cos(shown - azimuth) == pytest.approx(1.0)


def test_a_skyline_is_turned_to_true_north_and_sorted():
    project = north(NorthKind.MAGNETIC, radians(10.0))
    turned = true_skyline(project, ((radians(355.0), 0.1), (radians(90.0), 0.2)))
    assert np.degrees(turned) == pytest.approx(np.array([[5.0, np.degrees(0.1)], [100.0, np.degrees(0.2)]]))


def test_the_door_wall_looks_along_minus_y_and_the_right_hand_is_a_quarter_turn_back():
    project = plain()
    front = facing(project)
    azimuths = np.array([front, front + pi, front - pi / 2, front])
    found = direction_to_local(project, TrueDirections(azimuths, np.array([0.0, 0.0, 0.0, pi / 2]))).vectors
    assert found == pytest.approx(np.array([(0, -1, 0), (0, 1, 0), (1, 0, 0), (0, 0, 1)]), abs=1e-12)


@given(st.lists(st.tuples(turns, st.floats(-1.5, 1.5)), min_size=1, max_size=5))
def test_directions_come_back_from_the_hut_s_frame(pairs):
    project = plain()
    azimuth, elevation = np.array(pairs).T
    local = direction_to_local(project, TrueDirections(azimuth, elevation))
    assert np.linalg.norm(local.vectors, axis=-1) == pytest.approx(1.0)
    back = direction_from_local(project, LocalDirections(3.0 * local.vectors))
    assert np.cos(back.azimuth - azimuth) == pytest.approx(1.0)
    assert back.elevation == pytest.approx(elevation, abs=1e-9)


def test_says_what_to_describe_where_there_is_no_hut():
    project = replace(plain(), hut=None)
    assert wall_thickness(project) == 0.0
    with pytest.raises(RequestError, match=r"describe \[hut\]"):
        frame(project)
    assert magnetic_azimuth(project, TrueAzimuth(0.1)) == pytest.approx((0.1 - radians(4.1)) % (2 * pi))
