"""Every length of a drawing follows from the description."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given

from hutwright.layout.lengths import lengths
from hutwright.model.door import DoorKind
from hutwright.model.hut import RoofForm, Side
from tests.layout.doors import doors, huts, plain, with_kind, with_roof


def test_the_orchard_s_lengths_are_those_of_a_hand_drawing():
    found = lengths(plain())
    by_hand = {
        "hut.outer_width": 0.90 + 0.044,
        "hut.outer_depth": 1.10 + 0.044,
        "roof.slope_length": (1.144 + 0.16) / np.cos(np.arctan(0.12 / 1.10)),
        "hut.wall_height_front_left": 0.76 + 0.022 * 0.12 / 1.10,
        "door.hole_right": 0.944 - 0.82,
        "door.overlap_low": 0.02,
        "linkage.rod_shut": np.hypot(0.43, 0.08),
        "members.rafters.spacing.0": 0.44,
        "machine.nose_to_door": 0.62 - 0.36,
        "roof.width": 0.944 + 0.16,
        "openings.first_window.from_right": 0.944 - 0.40,
        "openings.first_window.from_high_edge": 1.144 * np.hypot(1.10, 0.12) / 1.10 - 0.85,
        "drive.longest": 0.725,
        "lane.rise": 0.05,
    }
    assert {name: found[name] for name in by_hand} == pytest.approx(by_hand)


@given(huts)
def test_parts_add_up_to_the_whole(project):
    found = lengths(project)
    assert found["hut.outer_width"] == pytest.approx(
        found["hut.inner_width"] + 2 * found["hut.wall_thickness"]
    )
    assert found["door.hole_left"] + found["door.hole_width"] + found["door.hole_right"] == pytest.approx(
        found["hut.outer_width"]
    )
    assert found["hut.greatest_height"] > max(v for k, v in found.items() if k.startswith("hut.wall_height"))


@given(doors)
def test_every_length_is_a_number(project):
    assert all(np.isfinite(value) for value in lengths(project).values())


def test_a_double_pitch_names_its_ridge_and_a_hinge_its_line():
    assert lengths(with_roof(RoofForm.DOUBLE_PITCH, Side.FRONT, 0.9, 0.9, 1.2))[
        "hut.ridge_height_inside"
    ] == (pytest.approx(1.2))
    found = lengths(plain())
    assert (found["door.hinge_y"], found["door.hinge_z"]) == pytest.approx((-0.008, 0.57))
    assert found["door.edge_travel"] == pytest.approx(found["door.edge_radius"] * np.radians(82.0))
    slide = lengths(with_kind(DoorKind.SLIDING, opens=0.7))
    assert slide["door.travel"] == pytest.approx(0.7)


def test_what_is_not_described_has_no_length():
    bare = replace(
        plain(), hut=None, machine=None, dock=None, door=None, linkage=None, members={}, openings={}
    )
    assert not lengths(bare)
