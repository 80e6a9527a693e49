"""Sheets for roof windows."""

from itertools import pairwise

import pytest

from hutwright.catalogue.roof_windows import REBATE, SHEETS


@pytest.mark.practice("sheets for shed windows are sold in sides of whole 100 mm, 300 to 700 mm")
def test_sheets_are_of_sizes_on_sale_the_smallest_first():
    for each in SHEETS:
        for side in (each.width, each.length):
            assert 0.3 <= side <= 0.7
            assert round(1e3 * side) % 100 == 0
        assert each.width <= each.length
    assert all(one.width * one.length < other.width * other.length for one, other in pairwise(SHEETS))


@pytest.mark.practice("sheets of plastic lie at least 20 mm deep in their frame")
def test_the_frame_takes_the_depth_that_a_sheet_needs_on_every_side():
    assert REBATE >= 0.020
    for each in SHEETS:
        assert each.clear == pytest.approx((each.width - 0.040, each.length - 0.040))
