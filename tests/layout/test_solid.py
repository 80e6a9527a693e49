"""Distances between convex solids, against an optimiser and a hull that know nothing of separating axes."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linprog, lsq_linear
from scipy.spatial import ConvexHull
from scipy.spatial.transform import Rotation

from hutwright.layout.solid import Solid, box, flat_separation, rod, separation, solid, sweep

places = st.tuples(*[st.floats(-1.5, 1.5)] * 3)
sizes = st.tuples(*[st.floats(0.1, 1.0)] * 3)
turns = st.tuples(*[st.floats(-3.0, 3.0)] * 3)


def turned_box(size, place, turn) -> Solid:
    shut = box("box", -np.array(size) / 2, np.array(size) / 2)
    return shut.moved(Rotation.from_rotvec(turn).apply(shut.corners) + np.array(place))


boxes = st.builds(turned_box, sizes, places, turns)


def distance_by_least_squares(a: Solid, b: Solid) -> float:
    """Least distance of points a0 + U u and b0 + V v with u and v in 0..1."""
    edges = [solid_.corners[[1, 3, 4]] - solid_.corners[0] for solid_ in (a, b)]
    matrix = np.concatenate([edges[0].T, -edges[1].T], axis=1)
    found = lsq_linear(matrix, b.corners[0] - a.corners[0], (0.0, 1.0), method="bvls", tol=1e-14)
    return float(np.linalg.norm(found.fun))


def overlap_by_linear_programme(a: Solid, b: Solid) -> bool:
    """Whether some mean of a's corners is a mean of b's."""
    equal = np.concatenate([a.corners.T, -b.corners.T], axis=1)
    ones = np.kron(np.eye(2), np.ones(8))
    found = linprog(np.zeros(16), A_eq=np.vstack([equal, ones]), b_eq=[0, 0, 0, 1, 1], bounds=(0, None))
    return bool(found.status == 0)


def depth_by_hull(a: Solid, b: Solid) -> float:
    """How far the origin lies inside the hull of all differences of corners."""
    hull = ConvexHull((a.corners[:, None] - b.corners[None]).reshape(-1, 3), qhull_options="QJ")
    return float(-hull.equations[:, 3].max())


@settings(max_examples=150)
@given(boxes, boxes)
def test_agrees_with_an_optimiser_apart_and_with_a_hull_inside(a, b):
    found = float(separation(a, b))
    assert float(separation(b, a)) == pytest.approx(found, abs=1e-9)
    if found > 1e-6:
        assert not overlap_by_linear_programme(a, b)
        assert distance_by_least_squares(a, b) == pytest.approx(found, abs=1e-6)
    elif found < -1e-6:
        assert overlap_by_linear_programme(a, b)
        assert depth_by_hull(a, b) == pytest.approx(-found, abs=1e-6)


@given(boxes, boxes, turns, places)
def test_does_not_change_where_both_are_turned_and_shifted_together(a, b, turn, place):
    together = [
        each.moved(Rotation.from_rotvec(turn).apply(each.corners) + np.array(place)) for each in (a, b)
    ]
    assert float(separation(*together)) == pytest.approx(float(separation(a, b)), abs=1e-9)


@given(boxes, places, places, st.floats(0.0, 0.3))
def test_a_rod_is_as_far_as_its_middle_line_less_its_radius(body, start, end, radius):
    thin, thick = (float(separation(rod("rod", start, end, r), body)) for r in (0.0, radius))
    assert thick == pytest.approx(thin - radius)
    line = np.linspace(start, end, 200)
    nearest = min(distance_by_least_squares(turned_box((1e-9,) * 3, p, (0, 0, 0)), body) for p in line[::20])
    assert max(thin, 0.0) <= nearest + 1e-6


def test_two_rods_that_cross_touch_and_two_beside_each_other_keep_their_distance():
    one = rod("a", (0, 0, 0), (1, 0, 0), 0.1)
    assert float(separation(one, rod("b", (0.5, -1, 0), (0.5, 1, 0), 0.1))) == pytest.approx(-0.2)
    assert float(separation(one, rod("c", (0, 1, 0), (1, 1, 0), 0.2))) == pytest.approx(0.7)
    assert float(separation(one, rod("d", (3, 0, 0), (4, 0, 0), 0.0))) == pytest.approx(1.9)


def test_many_poses_at_once_are_the_same_as_one_by_one():
    rng = np.random.default_rng(7)
    shut = box("a", (0, 0, 0), (0.4, 0.3, 0.2))
    poses = Rotation.from_rotvec(rng.normal(size=(9, 3))).as_matrix()
    many = shut.moved(np.einsum("mij,nj->mni", poses, shut.corners) + rng.normal(size=(9, 1, 3)) * 0.4)
    other = box("b", (0.1, 0.1, 0.1), (0.3, 0.9, 0.4))
    single = [float(separation(shut.moved(corners), other)) for corners in many.corners]
    assert separation(many, other) == pytest.approx(np.array(single))
    (nearest,) = sweep(many, np.arange(9.0), [other])
    assert nearest.distance == pytest.approx(min(single))
    assert nearest.travel == np.argmin(single)


def test_a_wedge_may_have_corners_that_fall_together():
    wedge = solid(
        "wedge", [(0, 0, 0), (1, 0, 0), (1, 1, 0), (0, 1, 0), (0, 0, 0), (1, 0, 1), (1, 1, 1), (0, 1, 0)]
    )
    above = box("box", (0.0, 0.0, 1.0), (0.2, 1.0, 1.2))
    assert float(separation(wedge, above)) == pytest.approx(0.8 / np.sqrt(2))
    assert float(separation(wedge, box("box", (0.4, 0.2, 0.0), (0.5, 0.3, 0.1)))) < 0.0


def test_refuses_corners_that_are_no_numbers():
    with pytest.raises(ValueError, match="not all numbers"):
        box("box", (0, 0, float("nan")), (1, 1, 1))


@given(st.tuples(*[st.floats(-1, 1)] * 2), st.floats(0, 3), st.floats(0.1, 1), st.floats(0.1, 1))
def test_flat_shapes_are_as_far_apart_as_long_prisms_over_them(place, turn, width, height):
    square = np.array([(0, 0), (0.5, 0), (0.5, 0.5), (0, 0.5)])
    c, s = np.cos(turn), np.sin(turn)
    other = square * (width, height) @ np.array([[c, s], [-s, c]]) + place
    prisms = [solid("p", [(*xy, z) for z in (-9.0, 9.0) for xy in shape]) for shape in (square, other)]
    assert float(flat_separation(square, other)) == pytest.approx(float(separation(*prisms)), abs=1e-9)
