"""Intervals of shares and percentiles, against a library's and by their own law."""

from __future__ import annotations

from math import inf, isinf

import numpy as np
import pytest
from scipy.stats import binom, binomtest

from tools.populations.figures import percentile, share_ends


@pytest.mark.published(
    "Clopper and Pearson, Biometrika 26 (1934) 404-413, as scipy.stats.binomtest computes it"
)
@pytest.mark.parametrize(("met", "of"), [(0, 1), (0, 300), (1, 20), (7, 40), (19, 20), (20, 20), (211, 2400)])
def test_a_share_has_the_interval_of_clopper_and_pearson(met, of):
    known = binomtest(met, of).proportion_ci(0.95, method="exact")
    assert share_ends(met, of) == pytest.approx((known.low, known.high), abs=1e-9)


@pytest.mark.recalled(
    "the second and ninth of ten bound the median at 97.9 %: the usual table of the sign test"
)
def test_of_ten_values_the_second_and_the_ninth_bound_the_median():
    found = percentile([float(each) for each in range(1, 11)], 0.5)
    assert (found.low, found.high) == (2.0, 9.0)


@pytest.mark.parametrize("share", [0.05, 0.5, 0.95])
@pytest.mark.parametrize("number", [8, 30, 96, 400])
def test_a_percentile_lies_between_its_order_statistics_at_95_percent(number, share):
    found = percentile([float(each) for each in range(1, number + 1)], share)
    low = 0 if isinf(found.low) else int(found.low)
    high = number + 1 if isinf(found.high) else int(found.high)
    # value low <= percentile < value high where low..high-1 values lie below it
    below, above = binom.cdf(low - 1, number, share), binom.sf(high - 1, number, share)
    assert below <= 0.025 + 1e-12
    assert above <= 0.025 + 1e-12
    # and no order statistic nearer to the middle would do
    assert binom.cdf(low, number, share) > 0.025
    assert binom.sf(high - 2, number, share) > 0.025


def test_what_never_came_counts_as_infinite():
    found = percentile([1.0, 2.0, inf, inf], 0.95)
    assert found.value == inf
    assert found.low == pytest.approx(2.0) or isinf(found.low)
    assert np.isnan(percentile([], 0.5).value)
