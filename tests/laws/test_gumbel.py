"""The law of the greatest of many."""

from __future__ import annotations

from math import exp, log, sqrt

import numpy as np
import pytest
from scipy import stats

from hutwright.laws.gumbel import Gumbel, gumbel_fit, gumbel_goodness, gumbel_tolerance_factor


def _maxima(number: int, seed: int) -> np.ndarray:
    return np.random.default_rng(seed).gumbel(3.0, 0.7, number)


@pytest.mark.published("scipy 1.17, gumbel_r.fit, an independent search for the greatest likelihood")
@pytest.mark.parametrize("number", [5, 30, 200])
def test_the_fit_is_that_of_a_reference_library(number):
    maxima = _maxima(number, number)
    place, scale = stats.gumbel_r.fit(maxima)
    found = gumbel_fit(maxima)
    assert found.place == pytest.approx(place, rel=1e-4)
    assert found.scale == pytest.approx(scale, rel=1e-4)


@pytest.mark.published("scipy 1.17, anderson for gumbel_r, after Stephens 1977")
def test_the_distance_of_anderson_and_darling_is_that_of_a_reference_library():
    maxima = _maxima(50, 3)
    place, scale = stats.gumbel_r.fit(maxima)
    law = stats.gumbel_r(place, scale)
    ordered = np.sort(maxima)
    rank = np.arange(1, 51)
    plain = -50 - np.sum((2 * rank - 1) / 50 * (law.logcdf(ordered) + law.logsf(ordered[::-1])))
    assert gumbel_goodness(maxima).distance == pytest.approx(plain * (1 + 0.2 / sqrt(50)), rel=1e-3)


@pytest.mark.recalled(
    "Johnson, Kotz, Balakrishnan 1995, ch. 22: n times the variances 1.10867, 0.60793, 0.25702"
)
@pytest.mark.slow
def test_the_tolerance_factor_of_many_maxima_is_that_of_the_large_sample_theory():
    number, level = 2000, 0.9995
    y = -log(-log(level))
    spread = sqrt((1.10867 + 2 * 0.25702 * y + 0.60793 * y * y) / number)
    # the theory leaves out terms in 1/n; the factor's own accuracy is 1 %
    assert gumbel_tolerance_factor(number, level, 0.95) == pytest.approx(y + 1.645 * spread, rel=0.01)


@pytest.mark.published(
    "MIL-HDBK-17-1F, volume 1, section 8.3.4: formulas for its Weibull factors, as public texts quote them"
)
@pytest.mark.parametrize("number", [16, 20, 30, 50, 100, 200])
@pytest.mark.parametrize(
    ("level", "first", "second", "power", "third"),
    [(0.90, 3.803, 1.79, 0.516, 5.1), (0.99, 6.649, 2.55, 0.526, 4.76)],
)
def test_a_tolerance_factor_is_that_of_the_handbook_for_the_law_of_weibull(
    number, level, first, second, power, third
):
    # the logarithm of a Weibull strength, its sign turned, follows this law; the handbook counts the factor
    # from the fitted quantile, in scales over the root of the number
    count = number - 1 if level == 0.90 else number
    factor = first + exp(second - power * log(number) + third / count)
    printed = -log(-log(level)) + factor / sqrt(number)
    # 1 % is the law's own accuracy, 0.5 % that of the formulas from 16 on (recalled)
    assert gumbel_tolerance_factor(number, level, 0.95) == pytest.approx(printed, rel=0.015)


@pytest.mark.parametrize("number", [10, 60])
def test_the_bound_holds_as_often_as_it_says(number):
    rng, held, tries = np.random.default_rng(7), 0, 800
    factor = gumbel_tolerance_factor(number, 0.9995, 0.95)
    true = 3.0 - 0.7 * log(-log(0.9995))
    for _ in range(tries):
        place, scale = gumbel_fit(rng.gumbel(3.0, 0.7, number))
        held += place + factor * scale >= true
    # four standard deviations of a count
    assert abs(held / tries - 0.95) < 4 * sqrt(0.95 * 0.05 / tries)


def test_the_check_refuses_a_true_law_as_seldom_as_its_level_says():
    rng, tries = np.random.default_rng(8), 600
    refused = sum(gumbel_goodness(rng.gumbel(size=40)).chance < 0.05 for _ in range(tries))
    assert abs(refused / tries - 0.05) < 4 * sqrt(0.05 * 0.95 / tries)


def test_maxima_with_disturbed_moves_among_them_do_not_pass():
    maxima = np.concatenate([_maxima(57, 4), [9.0, 11.0, 12.0]])
    assert gumbel_goodness(maxima).chance < 0.05


def test_the_share_beyond_a_quantile_is_what_the_quantile_leaves():
    law = Gumbel(1.0, 0.2)
    assert law.beyond(law.quantile(0.9995)) == pytest.approx(0.0005, rel=1e-9)


@pytest.mark.parametrize("maxima", [[1.0, 2.0, 3.0, 4.0], [2.0] * 10])
def test_too_few_maxima_or_all_alike_are_refused(maxima):
    with pytest.raises(ValueError, match="5 or more maxima that differ"):
        gumbel_fit(maxima)


def test_a_factor_for_what_cannot_be_is_refused():
    with pytest.raises(ValueError, match="wanted 5 or more"):
        gumbel_tolerance_factor(3, 0.9995, 0.95)
