"""Boards and panes on the grid against the slab law, in metal guides that make the law exact."""

import math

import numpy as np
import pytest

from hutwright.laws.slab import slab
from tests.native.wave.grids import SIDE, WAVELENGTH, Guide, across

DRY, WET, PANE, WATER = 1.99 + 0.087j, 6.0 + 1.2j, 2.76 * (1 + 0.006j), 79.0 + 6.0j
OFFSETS = (0.0, 0.25, 0.5, 0.75)  # of the board from a node, in cells


def worst(guide, permittivity, thickness, offsets=OFFSETS):
    """The greatest error of what comes through, in decibels and degrees, wherever the board lies."""
    law = slab(guide.cosine, [permittivity], [thickness], WAVELENGTH)
    want = complex(law.te if guide.te else law.tm)
    empty, side = guide.field(), guide.grid.side
    errors = []
    for offset in offsets:
        low = (round(0.3 / side) + offset) * side
        got = guide.field(across(guide.width, low, low + thickness, permittivity)) / empty
        errors.append(got / want)
    return (
        max(abs(20.0 * math.log10(abs(each))) for each in errors),
        max(abs(math.degrees(np.angle(each))) for each in errors),
    )


@pytest.mark.published("ITU-R P.2040-3, section 2.2.2.2, equations (43a), (43b), (44)")
@pytest.mark.parametrize(("width", "te"), [(0.14, True), (0.20, False)])
def test_a_lossless_board_that_fits_no_cell_lets_through_what_the_slab_law_says(width, te):
    loss, phase = worst(Guide(width, te=te), 2.0 + 0j, 0.022, offsets=(0.0, 0.5))
    assert loss <= 0.15
    assert phase <= 2.0


@pytest.mark.slow
@pytest.mark.published("ITU-R P.2040-3, section 2.2.2.2, equations (43a), (43b), (44)")
@pytest.mark.parametrize(
    ("permittivity", "thickness", "side", "most_db", "most_deg"),
    [
        (DRY, 0.022, SIDE, 0.15, 2.0),
        (DRY, 0.022, SIDE / 2, 0.05, 0.5),
        (PANE, 0.005, SIDE, 0.03, 0.6),
        (WATER, 0.0005, SIDE, 0.15, 1.5),
        (WET, 0.022, SIDE, 2.5, 20.0),  # under four cells to the wavelength in it
        (WET, 0.022, SIDE / 2, 0.4, 4.0),
    ],
)
@pytest.mark.parametrize(("width", "te"), [(0.14, True), (0.16, False)])
def test_boards_and_panes_cost_what_the_handbook_says(
    width, te, permittivity, thickness, side, most_db, most_deg
):
    loss, phase = worst(Guide(width, te=te, side=side), permittivity, thickness)
    assert loss <= most_db
    assert phase <= most_deg
