"""The grid's own plane waves, the antenna on it, and the box that brings the near to the far."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.errors import RequestError
from hutwright.laws.antenna_pattern import cardioid
from hutwright.laws.permittivity import LIGHT_SPEED
from hutwright.plant.sky.coverings import L1
from hutwright.plant.sky.lattice import (
    COURANT,
    crossed_dipoles,
    heard_alone,
    lattice,
    plane_waves,
    wave_numbers,
)
from hutwright.plant.sky.near_to_far import box_nodes, side_by_side, transform_box
from tests.plant.sky.skies import spread_sky

ALL_ROUND = spread_sky(500, -89.0)


def a_grid(side=0.02, extent=0.2):
    return lattice(np.zeros(3), np.full(3, extent), side, L1)


def test_its_plane_waves_are_solutions_of_its_equations():
    turn = a_grid().turn
    waves = plane_waves(turn, ALL_ROUND)
    across, swing = 2.0 * np.sin(waves.vectors / 2.0), 2.0 * np.sin(turn / 2.0) / COURANT
    np.testing.assert_allclose(np.cross(across, waves.electric), swing * waves.magnetic, atol=1e-12)
    np.testing.assert_allclose(np.cross(across, waves.magnetic), -swing * waves.electric, atol=1e-12)


@pytest.mark.parametrize(("side", "most"), [(0.02, 0.008), (0.01, 0.002)])
def test_its_wavelength_is_right_in_the_mean_and_nearly_so_in_every_direction(side, most):
    ratio = wave_numbers(a_grid(side).turn, ALL_ROUND) * LIGHT_SPEED / (2.0 * np.pi * side * L1)
    assert ratio.mean() == pytest.approx(1.0, abs=1e-3)
    assert np.abs(ratio - 1.0).max() <= most


def test_a_wave_from_the_zenith_turns_to_the_right():
    (field,) = plane_waves(a_grid().turn, np.array([[0.0, 0.0, 1.0]])).electric
    # It runs down. Turning to the right along its way is clockwise seen from below: from x to -y.
    assert field[1] / field[0] == pytest.approx(-1j)


def test_the_crossed_dipoles_hear_as_a_small_patch_does():
    grid = a_grid()
    source = crossed_dipoles(grid, np.array([0.105, 0.093, 0.111]))
    heard = np.abs(heard_alone(grid, source, plane_waves(grid.turn, ALL_ROUND)))
    want = cardioid(ALL_ROUND[:, 2])
    assert np.abs(heard / heard.max() - want).max() <= 0.05  # each is as wide as a cell
    other = np.abs(heard_alone(grid, source, plane_waves(grid.turn, ALL_ROUND, left=True)))
    assert np.abs(other / heard.max() - (1.0 - want)).max() <= 0.05


@given(
    st.tuples(*[st.floats(0.0, 0.2)] * 3),
    st.sampled_from([0.02, 0.0125, 0.01]),
)
def test_the_antenna_is_shared_out_about_its_very_place(place, side):
    grid = a_grid(side)
    source = crossed_dipoles(grid, np.array(place))
    x, y, z = grid.nodes
    at = np.stack(np.unravel_index(source.node, (z, y, x))[::-1], axis=-1)
    for component, weight in ((0, source.cosine), (1, source.sine)):
        own = source.component == component
        middle = at[own] + 0.5 * (np.arange(3) == component)
        np.testing.assert_allclose(weight[own].sum(), 1.0, rtol=1e-6)
        where = np.asarray(grid.start) + side * (weight[own, None] * middle).sum(axis=0)
        np.testing.assert_allclose(where, place, atol=1e-7)


def test_a_grid_has_room_for_its_box_and_its_rim_and_puts_a_node_where_it_is_asked_to():
    low, high = np.array([0.013, -0.2, 0.0]), np.array([0.4, 0.31, 0.205])
    grid = lattice(low, high, 0.02, L1, shift=np.array([0.007, 0.003, 0.111]))
    assert (grid.cells(low) >= 12 - 1e-9).all()
    assert (grid.cells(high) <= np.array(grid.nodes) - 13 + 1e-9).all()
    node = grid.cells(np.array([0.007, 0.003, 0.111]))
    np.testing.assert_allclose(node, np.rint(node), atol=1e-9)


def test_a_side_of_the_box_is_told_from_the_next():
    grid = a_grid()
    sides = transform_box(grid)
    nodes = box_nodes(grid, sides)
    parts = side_by_side(sides, [each.astype(complex) for each in nodes])
    assert len(sides) == 12
    for side, part in zip(sides, parts, strict=True):
        np.testing.assert_array_equal(part.electric.real, side.nodes(grid.strides))
        np.testing.assert_array_equal(part.magnetic.real, side.nodes(grid.strides, magnetic=True))


@pytest.mark.parametrize("side", [0.0, -0.01, 0.03, float("nan")])
def test_cells_too_coarse_for_the_wave_are_refused(side):
    with pytest.raises(RequestError, match="too coarse for a wave of 190 mm; use 27 mm or less"):
        a_grid(side)


def test_more_cells_than_fit_are_refused():
    with pytest.raises(RequestError, match="use larger cells"):
        a_grid(0.002, 2.0)
