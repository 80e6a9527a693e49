"""The described hut as boards and sheets."""

import math

import numpy as np
import pytest

from hutwright.laws.permittivity import LIGHT_SPEED
from hutwright.laws.slab import slab
from hutwright.layout.frame import frame
from hutwright.layout.leaf import full_travel
from hutwright.layout.solids import roof, walls
from hutwright.plant.sky.body import Floor, body, film_loss
from hutwright.plant.sky.coverings import DRY, L1, WET, Cover, Weather
from hutwright.plant.sky.field import leaf_at
from tests.described import orchard, sports_field
from tests.plant.sky.skies import STEEL, metal_hut

TIMBER = {"build_ups.roof": ["22 mm softwood boards"]}


def held(board, points):
    """Whether points lie in a board, its holes left out."""
    found = (points @ board.planes[:, :3].T <= board.planes[:, 3] + 1e-9).all(axis=1)
    for hole in board.holes:
        found &= ~hole.holds(points)
    return found


def in_solid(solid, points):
    """Whether points lie in a convex solid of the layout."""
    found = np.ones(len(points), dtype=bool)
    for face in solid.faces:
        a, b, c = (solid.corners[each] for each in face[:3])
        found &= (points - a) @ np.cross(b - a, c - a) <= 1e-9
    return found


def everywhere(stands, number=60_000):
    return np.random.default_rng(3).uniform(stands.low - 0.02, stands.high + 0.02, (number, 3))


def cut_away(stands, points):
    """Whether points lie in or close to a hole of a board, seen square to it."""
    found = np.zeros(len(points), dtype=bool)
    for board in stands.boards:
        for hole in board.holes:
            found |= hole.holds(points, 0.03)
    return found


@pytest.mark.parametrize("made", [lambda: orchard(TIMBER), lambda: sports_field(TIMBER)])
def test_walls_and_roof_stand_where_the_layout_has_them(made):
    project = made().project
    stands = body(project, DRY, None)
    points = everywhere(stands)
    points = points[~cut_away(stands, points)]
    layout = sum(in_solid(each, points).astype(int) for each in (*walls(project), *roof(project)))
    boards = sum(held(each, points).astype(int) for each in stands.boards)
    assert boards.max() == 1
    assert (boards > 0).sum() > 1000
    np.testing.assert_array_equal(boards > 0, layout > 0)
    assert stands.sheets == ()


def test_a_window_has_its_pane_in_the_hole_and_nothing_else():
    project = orchard(TIMBER).project
    stands = body(project, DRY, None)
    (pane,) = [each for each in stands.boards if each.permittivity.real > 2.5]
    roof_boards = [each for each in stands.boards if abs(each.normal[2]) > 0.9 and each is not pane]
    (hole,) = roof_boards[0].holes
    middle = hole.corner + (hole.right * hole.size[0] + hole.up * hole.size[1]) / 2
    normal = np.cross(hole.right, hole.up)
    column = middle - normal * np.arange(-0.01, 0.03, 0.0005)[:, None]
    assert held(pane, column).sum() * 0.0005 == pytest.approx(0.005, abs=0.0006)  # 5 mm thick
    assert held(pane, column)[20:29].all()  # from the outer face down
    assert not any(held(each, column).any() for each in roof_boards)


def test_water_and_snow_lie_upon_the_pane_and_the_roof():
    project = orchard().project
    before = body(project, DRY, None)
    wet = body(project, Weather(panes=Cover(water=0.5e-3), roof=Cover(snow=0.1)), None)
    assert len(wet.boards) == len(before.boards) + 2
    water = max(wet.boards, key=lambda each: each.permittivity.real)
    assert water.permittivity.real > 70
    assert wet.high[2] == pytest.approx(before.high[2] + 0.1 * frame(project).slopes[0].stretch, abs=1e-9)


def test_wet_walls_are_soaked_and_what_steel_covers_is_not():
    boards = body(orchard().project, WET, None).boards
    upright = [each.permittivity for each in boards if abs(each.normal[2]) < 0.1]
    assert upright == pytest.approx([6 + 1.2j] * 4)
    plywood = [each for each in boards if each.permittivity.real == 2.71]
    assert len(plywood) == 1


def test_the_leaf_stands_where_the_door_has_it():
    project = orchard().project
    for share in (0.0, 0.4, 1.0):
        leaf = leaf_at(project, share * full_travel(project))
        board = body(project, DRY, leaf).boards[-1]
        middle = leaf.corner + (leaf.right + leaf.up) / 2
        away = np.array([-0.0074, 0.0074, -0.0076, 0.0076])[:, None] * leaf.normal
        assert held(board, middle + away).tolist() == [True, True, False, False]  # 15 mm thick


def test_a_steel_hut_is_a_hull_a_roof_and_the_door_is_shut_in_it():
    project = metal_hut()
    shut = body(project, DRY, leaf_at(project, 0.0))
    ajar = body(project, DRY, leaf_at(project, full_travel(project)))
    assert shut.metal_walls
    assert [sum(map(len, each.holes)) for each in shut.sheets] == [0, 1]
    assert [sum(map(len, each.holes)) for each in ajar.sheets] == [1, 1, 0]
    assert ajar.sheets[0].metal == (True, True, True, True, False, True)  # walls, roof, under the floor
    below = [each for each in shut.boards if each.high[2] <= 0.0]
    assert len(shut.boards) - len(below) == 1  # the pane
    assert [round(each.high[2], 2) for each in below] == [0.0, -0.02, -0.04, -0.06, -0.08]


def test_nothing_lies_under_a_timber_hut_but_where_it_is_asked_for():
    project = orchard(TIMBER).project
    assert body(project, DRY, None).low[2] == 0.0
    assert body(project, DRY, None, floor=Floor.DARK).low[2] == pytest.approx(-0.10)


def test_a_steel_leaf_before_a_timber_wall_is_a_sheet_of_its_own():
    project = orchard({"build_ups.leaf": STEEL}).project
    stands = body(project, DRY, leaf_at(project, 0.0))
    assert not stands.metal_walls
    assert len(stands.sheets) == 2


@pytest.mark.parametrize("loss_db", [20.0, 30.0, 35.0])
def test_a_film_costs_what_it_is_said_to(loss_db):
    thin = 1e-5
    through = slab(1.0, [1j * film_loss(loss_db, thin, L1)], [thin], LIGHT_SPEED / L1).te
    assert -20.0 * math.log10(abs(complex(through))) == pytest.approx(loss_db, abs=0.1)
