"""Boards and metal on the grid's edges."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hutwright.plant.sky.coverings import L1
from hutwright.plant.sky.lattice import COURANT, Lattice
from hutwright.plant.sky.matter import Board, Hole, Sheet, between, matter, planes

SIDE = 0.02
LOW, HIGH = np.zeros(3), np.full(3, 0.2)
UP = np.array([0.0, 0.0, 1.0])
PERMITTIVITY = 3.0 + 0.4j


def a_grid():
    return Lattice((-0.04,) * 3, SIDE, (15, 15, 15), ((0, 0),) * 3, L1)


def level(low, thick, holes=()):
    rows = planes(*between(0, 0.0, 0.2), *between(1, 0.0, 0.2), *between(2, low, low + thick))
    return Board(rows, np.array([0, 0, low]), np.array([0.2, 0.2, low + thick]), UP, PERMITTIVITY, holes)


def found(grid, component, *boards, sheets=()):
    """The permittivity that an edge's keep and gain stand for, (z, y, x)."""
    return of_edges(grid, component, matter(grid, boards, sheets))


def of_edges(grid, component, met):
    """The same of matter that stands."""
    shape = grid.nodes[::-1]
    keep, gain = (np.asarray(each[component], dtype=float).reshape(shape) for each in (met.keep, met.gain))
    lossy = COURANT / np.where(gain > 0.0, gain, np.nan)  # permittivity and loss; keep tells them apart
    real = lossy * (1.0 + keep) / 2.0
    return real + 1j * (lossy - real) / math.tan(grid.turn / 2.0)


@settings(max_examples=20)
@given(st.floats(0.05, 0.12), st.floats(0.0005, 0.06))
def test_a_board_keeps_what_it_does_as_a_whole_wherever_it_lies(low, thick):
    grid = a_grid()
    middle = grid.nodes[0] // 2
    met = matter(grid, [level(low, thick)])
    along, across = (of_edges(grid, each, met)[1:-1, middle, middle] for each in (0, 2))
    assert SIDE * (along - 1.0).sum() == pytest.approx((PERMITTIVITY - 1.0) * thick, rel=1e-4, abs=1e-7)
    assert SIDE * (1.0 / across - 1.0).sum() == pytest.approx(
        (1.0 / PERMITTIVITY - 1.0) * thick, rel=1e-4, abs=1e-7
    )


def test_a_slanted_board_is_as_thick_as_it_is():
    grid = a_grid()
    tilt, thick = 0.3, 0.022
    normal = np.array([0.0, -math.sin(tilt), math.cos(tilt)])
    rows = planes((*normal, 0.08 + thick), (*-normal, -0.08), *between(0, 0.0, 0.2), *between(1, 0.0, 0.2))
    board = Board(rows, LOW, HIGH, normal, PERMITTIVITY)
    middle = grid.nodes[0] // 2
    along = found(grid, 0, board)[1:-1, middle, middle]
    want = (PERMITTIVITY - 1.0) * thick / math.cos(tilt)
    assert SIDE * (along - 1.0).sum() == pytest.approx(want, rel=1e-4)


def test_a_hole_takes_its_share_out_of_a_board_and_a_screen_leaves_some():
    grid, unit = a_grid(), np.eye(3)
    x, y = (int(each) for each in np.rint(grid.cells(np.array([0.1, 0.1, 0.0])))[:2])
    holes = [Hole(np.array([0.05, 0.06, 0.1]), unit[0], unit[1], (0.10, 0.09), left) for left in (0.0, 0.3)]
    for hole in holes:
        cut = found(grid, 0, level(0.08, 0.022, (hole,)))[1:-1, y, x]
        assert SIDE * (cut - 1.0).sum() == pytest.approx(hole.left * (PERMITTIVITY - 1.0) * 0.022, abs=1e-6)


def closed(low, high, metal=True):
    rows = [row for axis in range(3) for row in between(axis, low[axis], high[axis])]
    return planes(*rows), (metal,) * 6, ((),) * 6


def reached(grid, met, start):
    """Cells that are reached from one without passing a face whose four edges are metal."""
    free = [np.asarray(each).reshape(grid.nodes[::-1]) != 0.0 for each in met.gain]
    shut = []
    for axis in range(3):
        a, b = (each for each in range(3) if each != axis)
        one, other = free[a], free[b]
        shut.append(~(one | np.roll(one, -1, axis=2 - b) | other | np.roll(other, -1, axis=2 - a)))
    found = np.zeros(grid.nodes[::-1], dtype=bool)
    found[start] = True
    while True:
        more = found.copy()
        for axis in range(3):
            more |= np.roll(found & ~np.roll(shut[axis], -1, axis=2 - axis), 1, axis=2 - axis)
            more |= np.roll(found & ~shut[axis], -1, axis=2 - axis)
        if (more == found).all():
            return found
        found = more


def test_metal_round_a_slanted_box_lets_nothing_out_and_a_hole_does():
    grid = a_grid()
    rows, metal, holes = closed((0.03, 0.045, 0.02), (0.17, 0.15, 0.16))
    slanted = np.concatenate([rows, planes((0.3, 0.5, 1.0, 0.2))])
    middle = (*(each // 2 for each in grid.nodes[::-1]),)
    tight = Sheet(slanted, (*metal, True), (*holes, ()))
    inside = reached(grid, matter(grid, (), [tight]), middle)
    assert 50 < inside.sum() < 500
    unit = np.eye(3)
    hole = Hole(np.array([0.17, 0.07, 0.06]), unit[1], unit[2], (0.05, 0.05))
    (number,) = np.flatnonzero((rows == np.array([1.0, 0, 0, 0.17])).all(axis=1))
    leaky = Sheet(slanted, (*metal, True), tuple((hole,) if each == number else () for each in range(7)))
    assert reached(grid, matter(grid, (), [leaky]), middle).sum() > 5 * inside.sum()


def test_a_sheet_and_a_hole_in_it_end_half_a_cell_before_their_rims():
    grid = a_grid()
    unit = np.eye(3)
    hole = Hole(np.array([0.07, 0.05, 0.1]), unit[0], unit[1], (0.06, 0.10))
    rim = planes(*between(0, 0.01, 0.19), *between(1, 0.01, 0.19))
    sheet = Sheet(planes((0, 0, 1, 0.1)), (True,), ((hole,),), rim)
    free = matter(grid, (), [sheet]).gain[0].reshape(grid.nodes[::-1]) != 0.0
    z, y, x = (int(each) for each in np.rint(grid.cells(np.zeros(3)))[::-1])
    lines = free[z + 5, y : y + 11, x : x + 10]  # the edges along x from node to node, for y from 0 to 0.2
    assert lines[5].tolist() == [True, False, False, True, True, True, True, False, False, True]
    assert lines[:, 1].tolist() == [True, *(False for _ in range(9)), True]
