"""Average run lengths: printed tables, and what any chart must do."""

from __future__ import annotations

from math import exp

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hutwright.laws.run_length import (
    cusum_run_length,
    cusum_run_length_both,
    ewma_limits_for,
    ewma_run_length,
)

SHIFTS = (0.0, 0.25, 0.5, 0.75, 1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0)
LUCAS_CROSIER = (168, 74.2, 26.6, 13.3, 8.38, 4.75, 3.34, 2.62, 2.19, 1.71, 1.31)
MONTGOMERY = (465, 139, 38.0, 17.0, 10.4, 5.75, 4.01, 3.11, 2.57, 2.01, 1.69)
VANCE = {-0.125: 400.28, 0.0: 124.66, 0.125: 59.30, 0.25: 36.71, 0.5: 20.37, 0.75: 14.06, 1.0: 10.75}


@pytest.mark.published(
    "Lucas and Crosier, Technometrics 24 (1982), table 1, as a reference library quotes it"
)
@pytest.mark.parametrize(("shift", "printed"), list(zip(SHIFTS, LUCAS_CROSIER, strict=True)))
def test_two_sums_of_limit_four_run_as_long_as_the_table_says(shift, printed):
    assert cusum_run_length_both(0.5, 4.0, shift) == pytest.approx(printed, rel=0.005)


@pytest.mark.recalled("Montgomery's table for limit 5; our own earlier solution agrees to five digits")
@pytest.mark.parametrize(("shift", "printed"), list(zip(SHIFTS, MONTGOMERY, strict=True)))
def test_two_sums_of_limit_five_run_as_long_as_the_table_says(shift, printed):
    assert cusum_run_length_both(0.5, 5.0, shift) == pytest.approx(printed, rel=0.005)


@pytest.mark.published("Vance, J. Qual. Tech. 18 (1986) 189-193, as a reference library quotes it")
@pytest.mark.parametrize(("shift", "printed"), list(VANCE.items()))
def test_a_sum_without_reference_runs_as_long_as_the_table_says(shift, printed):
    assert cusum_run_length(0.0, 10.0, shift) == pytest.approx(printed, abs=0.0051)


@pytest.mark.published("Vance 1986, mean -0.25: the printed 2071.51 and the exact solution differ by 0.06")
def test_the_longest_of_that_table_is_within_a_hundredth_of_a_percent():
    assert cusum_run_length(0.0, 10.0, -0.25) == pytest.approx(2071.51, rel=1e-4)


@pytest.mark.published("high-precision values of a reference library's manual page for cumulative sums")
def test_a_high_precision_value_is_met_with_and_without_a_head_start():
    assert cusum_run_length(0.25, 8.0, 2.5) == pytest.approx(4.1500836225, rel=1e-6)
    assert cusum_run_length(0.25, 8.0, 2.5, head_start=0.1) == pytest.approx(4.1061588131, rel=1e-6)


@pytest.mark.published("Brook and Evans, Biometrika 59 (1972), as a reference library quotes it")
def test_a_sum_of_limit_three_runs_as_long_as_printed():
    assert cusum_run_length(0.5, 3.0) == pytest.approx(117.59, abs=0.01)
    assert cusum_run_length(0.5, 3.0, 1.5) == pytest.approx(3.75, abs=0.0051)


@pytest.mark.published("high-precision value of a reference library's manual page for exponential means")
def test_an_exponential_mean_meets_a_high_precision_value():
    assert ewma_run_length(0.25, 3.0, 1.0) == pytest.approx(11.154267016, abs=1e-8)


@pytest.mark.published("Crowder, Technometrics 29 (1987), and Lucas and Saccucci, Technometrics 32 (1990)")
@pytest.mark.parametrize(
    ("weight", "limits", "shift", "printed"),
    [
        (0.5, 2.0, 0.0, 26.45), (0.5, 2.0, 1.0, 4.91), (0.5, 2.0, 2.0, 1.94),
        (0.03, 2.437, 0.0, 500), (0.03, 2.437, 1.0, 12.6), (0.03, 2.437, 2.0, 5.99),
        (0.5, 3.071, 0.0, 500), (0.5, 3.071, 1.0, 17.5), (0.5, 3.071, 2.0, 3.63),
    ],
)  # fmt: skip
def test_an_exponential_mean_runs_as_long_as_printed(weight, limits, shift, printed):
    assert ewma_run_length(weight, limits, shift) == pytest.approx(printed, rel=0.005)


def siegmund(limit: float, shift: float) -> float:
    """His approximation for one sum with a reference of a half."""
    drift, far = shift - 0.5, limit + 1.166
    return (exp(-2.0 * drift * far) + 2.0 * drift * far - 1.0) / (2.0 * drift**2)


@pytest.mark.recalled("Siegmund 1985, with 469.1 for two sums of limit 5 and 3.89 at two deviations")
def test_exact_run_lengths_lie_where_an_approximation_by_other_means_puts_them():
    assert 0.5 * siegmund(5.0, 0.0) == pytest.approx(469.1, rel=0.001)
    assert siegmund(5.0, 2.0) == pytest.approx(3.89, rel=0.001)
    for limit in (4.0, 5.0):
        # it is known to be within 1 % near the steady state and some 4 % short for a shift of two
        for shift, off in ((0.0, 0.01), (0.25, 0.01), (0.75, 0.01), (1.0, 0.01), (2.0, 0.04)):
            assert cusum_run_length(0.5, limit, shift) == pytest.approx(siegmund(limit, shift), rel=off)
    assert cusum_run_length_both(0.5, 5.0) == pytest.approx(0.5 * siegmund(5.0, 0.0), rel=0.01)


@settings(max_examples=5)
@given(st.floats(0.05, 1.0), st.floats(20.0, 5000.0))
def test_limits_that_were_sought_give_the_run_length_that_was_wanted(weight, wanted):
    assert ewma_run_length(weight, ewma_limits_for(weight, wanted)) == pytest.approx(wanted, rel=1e-4)


@settings(max_examples=10)
@given(st.floats(0.0, 1.0), st.floats(1.0, 8.0), st.floats(0.0, 3.0))
def test_a_greater_shift_is_heard_sooner_and_a_head_start_hears_sooner_still(reference, limit, shift):
    there = cusum_run_length(reference, limit, shift)
    assert 1.0 <= cusum_run_length(reference, limit, shift + 0.2) < there
    assert cusum_run_length(reference, limit, shift, head_start=0.5 * limit) < there


@pytest.mark.parametrize(("limit", "head"), [(0.0, 0.0), (-1.0, 0.0), (4.0, 5.0), (float("nan"), 0.0)])
def test_sums_that_cannot_be_are_refused(limit, head):
    with pytest.raises(ValueError, match="above zero"):
        cusum_run_length(0.5, limit, head_start=head)


@pytest.mark.parametrize(("weight", "limits"), [(0.0, 3.0), (1.1, 3.0), (0.2, 0.0)])
def test_means_that_cannot_be_are_refused(weight, limits):
    with pytest.raises(ValueError, match="give a weight"):
        ewma_run_length(weight, limits)


@pytest.mark.parametrize("wanted", [1.0, 1e7])
def test_run_lengths_that_cannot_be_sought_are_refused(wanted):
    with pytest.raises(ValueError, match="give one"):
        ewma_limits_for(0.2, wanted)


@pytest.mark.slow
def test_twenty_thousand_played_runs_agree_with_the_sum_within_three_standard_errors():
    draw, runs = np.random.default_rng(7), 20_000
    sums, alive, lengths = np.zeros(runs), np.ones(runs, bool), np.zeros(runs)
    while alive.any():
        sums[alive] = np.maximum(0.0, sums[alive] + draw.standard_normal(int(alive.sum())) - 0.5)
        lengths[alive] += 1.0
        alive &= sums <= 4.0
    error = lengths.std(ddof=1) / runs**0.5
    assert abs(lengths.mean() - cusum_run_length(0.5, 4.0)) < 3.0 * error
