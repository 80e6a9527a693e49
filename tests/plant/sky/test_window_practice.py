"""Common practice with roof windows, over a grid of sites: see the handbook's page."""

from __future__ import annotations

import numpy as np
import pytest

from tools.window_practice import ENOUGH, PAGE, SAYINGS, SEASONS, grid, page, shares

pytestmark = pytest.mark.slow


@pytest.mark.practice(
    "a closed metal roof leaves too little, one small window changes little, a second makes it workable"
)
def test_over_a_grid_of_sites_every_window_helps_and_the_second_helps_more(record_property):
    for words, share in zip(SAYINGS, shares(grid()), strict=True):
        record_property(words, f"{share:.0%} of {len(grid())} sites")
    for season in SEASONS:
        closed, one, two = np.array([each.counts for each in grid() if each.season is season]).T
        assert (closed <= one).all()
        assert (one <= two).all()
        assert (two - one).mean() > (one - closed).mean()
        assert np.mean(closed < ENOUGH) > np.mean(one < ENOUGH) > np.mean(two < ENOUGH)


def test_what_takes_from_the_sky_takes_from_every_count_of_the_grid():
    found = {(each.season, each.skyline_deg, each.threshold_db): np.array(each.counts) for each in grid()}
    for (season, skyline, threshold), counts in found.items():
        for (other, higher, stricter), fewer in found.items():
            if other is season and higher >= skyline and stricter >= threshold:
                assert (fewer <= counts + 1e-9).all()
        assert (found[SEASONS[1], skyline, threshold] <= found[SEASONS[0], skyline, threshold]).all()


def test_the_page_of_the_practice_is_current():
    assert PAGE.read_text(encoding="utf-8") == page(), "run `make handbook`"
