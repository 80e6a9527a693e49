"""The interval of a share: the formula by another hand, and what it promises."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binom, binomtest

from hutwright.laws.share_interval import share_interval

COUNTS = st.integers(1, 2000).flatmap(lambda of: st.tuples(st.integers(0, of), st.just(of)))


@given(COUNTS)
def test_agrees_with_an_independent_implementation(counts):
    met, of = counts
    low, high = share_interval(met, of)
    other = binomtest(met, of).proportion_ci(0.95, method="wilson")
    assert low == pytest.approx(other.low, abs=1e-12)
    assert high == pytest.approx(other.high, abs=1e-12)


@given(COUNTS)
def test_holds_the_share_that_was_counted_and_stays_between_none_and_all(counts):
    met, of = counts
    low, high = share_interval(met, of)
    assert 0.0 <= low <= met / of + 1e-12
    assert met / of - 1e-12 <= high <= 1.0


@given(COUNTS)
def test_looks_the_same_from_the_other_side(counts):
    met, of = counts
    low, high = share_interval(met, of)
    other = share_interval(of - met, of)
    assert (1.0 - other.high, 1.0 - other.low) == pytest.approx((low, high), abs=1e-12)


@pytest.mark.parametrize("of", [20, 100, 400])
def test_covers_the_true_share_as_often_as_stated(of):
    shares = [number / 200 for number in range(1, 200)]
    covered = []
    for share in shares:
        inside = [met for met in range(of + 1) if (ends := share_interval(met, of)).low <= share <= ends.high]
        covered.append(float(np.sum(binom.pmf(inside, of, share))))
    assert min(covered) > 0.83
    assert sum(covered) / len(covered) == pytest.approx(0.95, abs=0.01)


@pytest.mark.parametrize(("met", "of"), [(-1, 3), (4, 3), (0, 0)])
def test_refuses_counts_that_contradict_each_other(met, of):
    with pytest.raises(ValueError, match="give a count"):
        share_interval(met, of)


def test_narrows_with_the_root_of_the_number_of_tries():
    widths = [share_interval(of // 2, of) for of in (400, 1600)]
    ratio = (widths[0].high - widths[0].low) / (widths[1].high - widths[1].low)
    assert math.isclose(ratio, 2.0, rel_tol=0.01)
