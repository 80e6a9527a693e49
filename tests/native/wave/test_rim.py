"""The absorbing rim, and what is left of the energy in the long run."""

import threading

import numpy as np
import pytest

from hutwright.errors import StoppedError
from hutwright.native.march import NOWHERE, march
from hutwright.plant.sky.coverings import L1
from hutwright.plant.sky.lattice import LAYERS, Lattice, crossed_dipoles, pulses
from hutwright.plant.sky.matter import Board, Sheet, between, matter, planes
from tests.native.wave.grids import SIDE, currents, fields_at, turn

INNER = 12


def cube(cells, rim=LAYERS):
    """A cube of so many cells inside its rim, its middle in the origin."""
    nodes = cells + 1 + 2 * rim
    start = -SIDE * (nodes - 1) / 2
    return Lattice((start,) * 3, SIDE, (nodes,) * 3, ((rim, rim),) * 3, L1)


def seen(grid, places):
    """Ex at places in cells from the middle, of a current along x there."""
    middle = np.array([(each - 1) // 2 for each in grid.nodes])
    nodes = (np.asarray(places) + middle) @ grid.strides
    source = currents(0, [int(middle @ grid.strides)], [1.0], pulses(grid.turn))
    return fields_at(grid, matter(grid), source, "Ex", nodes, most=2000, left=1e-9)[0]


def test_the_rim_throws_back_less_than_a_hundredth_of_the_field():
    end = INNER // 2
    line = np.arange(-end, end)
    # Along the middle of a face, along one of its edges, and from the middle outwards.
    places = (
        [(i, 0, end) for i in line] + [(i, end, end) for i in line] + [(0, i, 0) for i in range(2, end + 1)]
    )
    near, far = seen(cube(INNER), places), seen(cube(INNER + 40), places)
    thrown = np.abs(near - far) / np.abs(far)
    assert thrown.max() < 1e-2  # -40 dB
    assert np.abs(far).min() > 0.0


def cluttered(grid):
    """A wet board and a bent metal sheet that reach into the rim."""
    low, high = np.array(grid.start), -np.array(grid.start)
    wide = [*between(0, low[0], high[0]), *between(1, low[1], high[1])]
    rows = planes(*wide, *between(2, 0.031, 0.053))
    board = Board(
        rows, np.array([*low[:2], 0.031]), np.array([*high[:2], 0.053]), np.array([0, 0, 1.0]), 6 + 1.2j
    )
    bent = Sheet(planes((1.0, 0.2, 0.0, 0.06), (0.0, 0.3, -1.0, 0.07)), (True, True), ((), ()))
    return matter(grid, [board], [bent])


@pytest.mark.slow
def test_energy_fades_and_nothing_grows_in_twenty_thousand_steps():
    grid = cube(INNER)
    source = crossed_dipoles(grid, np.array([0.005, -0.011, 0.003]))
    done = march(grid, cluttered(grid), source, [NOWHERE] * 6, most=20_000, left=0.0)
    assert done.steps == 20_000
    assert done.left < 1e-8  # what is left stands still: charges, of the pulse's rounding


def test_a_closed_metal_box_keeps_its_energy():
    grid = Lattice((0.0, 0.0, 0.0), SIDE, (12, 11, 10), ((0, 0),) * 3, L1)
    source = crossed_dipoles(grid, np.array([0.11, 0.09, 0.08]))
    done = march(grid, matter(grid), source, [NOWHERE] * 6, most=3000, left=0.0)
    assert 0.3 < done.left <= 1.0  # electric and magnetic half a step apart: their sum swings


def test_a_lossy_box_loses_it():
    grid = Lattice((0.0, 0.0, 0.0), SIDE, (12, 11, 10), ((0, 0),) * 3, L1)
    rows = planes(*between(0, 0.0, 1.0), *between(1, 0.0, 1.0), *between(2, 0.05, 0.07))
    board = Board(rows, np.array([0, 0, 0.05]), np.array([0.22, 0.2, 0.07]), np.array([0, 0, 1.0]), 6 + 1.2j)
    source = crossed_dipoles(grid, np.array([0.11, 0.09, 0.12]))
    done = march(grid, matter(grid, [board]), source, [NOWHERE] * 6, most=6000, left=1e-4)
    assert done.left <= 1e-4
    assert done.steps < 6000


def test_tells_its_progress_and_stops_when_asked():
    grid, told, flag = cube(INNER), [], threading.Event()
    source = crossed_dipoles(grid, np.zeros(3))

    def progress(done, of):
        told.append((done, of))
        if done >= 100:
            flag.set()

    with pytest.raises(StoppedError):
        march(
            grid, matter(grid), source, [NOWHERE] * 6, most=100_000, left=0.0, progress=progress, cancel=flag
        )
    assert [done for done, _ in told] == sorted(done for done, _ in told)
    assert told[-1][0] >= 100
    assert {of for _, of in told} == {100_000}


@pytest.mark.parametrize("threads", [2, 3])
def test_does_not_depend_on_threads_nor_on_how_the_march_is_cut_up(threads):
    grid = cube(INNER)
    nodes = np.arange(0, grid.count, 17, dtype=np.int32)
    source = crossed_dipoles(grid, np.array([0.005, -0.011, 0.003]))
    once, again = (
        march(grid, cluttered(grid), source, [nodes] * 6, most=300, left=0.0, threads=each)
        for each in (1, threads)
    )
    assert once.steps == again.steps == 300
    for one, other in zip(once.fields, again.fields, strict=True):
        assert np.abs(one).max() > 0.0
        np.testing.assert_array_equal(one, other)


def test_the_wavelength_is_right_in_the_mean():
    from hutwright.plant.sky.lattice import wave_numbers
    from tests.plant.sky.skies import spread_sky

    wanted = 2.0 * np.pi * SIDE * L1 / 299_792_458.0
    assert wave_numbers(turn(), spread_sky(2000, -89.0)).mean() == pytest.approx(wanted, rel=1e-3)
