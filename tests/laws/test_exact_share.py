"""The greatest share that a count allows."""

from __future__ import annotations

from math import sqrt

import numpy as np
import pytest
from scipy import stats

from hutwright.laws.exact_share import clean_tries_for, greatest_share


@pytest.mark.published("scipy 1.17, beta.ppf: the interval of Clopper and Pearson 1934")
@pytest.mark.parametrize(("met", "of"), [(0, 10), (1, 30), (3, 200), (29, 30), (40, 1000)])
@pytest.mark.parametrize("confidence", [0.8, 0.95, 0.99])
def test_the_upper_end_is_that_of_a_reference_library(met, of, confidence):
    assert greatest_share(met, of, confidence) == pytest.approx(
        stats.beta.ppf(confidence, met + 1, of - met), rel=1e-9
    )


@pytest.mark.recalled("the rule of the maximum, 1 - 0.05^(1/n): 95, 49, 30, 15 per 1000, and 2995 clean runs")
def test_the_greatest_of_clean_runs_supports_what_is_known():
    assert [round(1000 * greatest_share(0, number, 0.95)) for number in (30, 60, 100, 200)] == [
        95,
        49,
        30,
        15,
    ]
    assert clean_tries_for(0.001, 0.95) == 2995


def test_the_greatest_of_two_detectors_in_one_run_is_bounded_as_counting_says():
    rng, number, tries, held = np.random.default_rng(1), 40, 1500, 0
    bound = greatest_share(1, number, 0.95)
    for _ in range(tries):
        greatest = rng.random((number, 2)).max(axis=0)
        held += 1.0 - greatest.prod() <= bound
    # exact for a run of its own; four standard deviations of a count, and it may hold more often
    assert held / tries > 0.95 - 4 * sqrt(0.95 * 0.05 / tries)


def test_all_of_all_leaves_any_share():
    assert greatest_share(5, 5, 0.95) == 1.0


@pytest.mark.parametrize(("met", "of", "confidence"), [(1, 0, 0.95), (3, 2, 0.95), (0, 5, 1.0)])
def test_counts_that_contradict_each_other_are_refused(met, of, confidence):
    with pytest.raises(ValueError, match="give from 0 to all tries"):
        greatest_share(met, of, confidence)


def test_a_share_that_is_none_is_refused():
    with pytest.raises(ValueError, match="give both between 0 and 1"):
        clean_tries_for(0.0, 0.95)
