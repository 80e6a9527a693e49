"""What doubt of readings makes of a result, against theory."""

import math
from statistics import NormalDist

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hutwright.laws.propagation import COVERED, DRAWS, Doubt, propagated

NORMAL = NormalDist().inv_cdf(0.5 + COVERED / 2.0)
# Three standard errors of a quantile that cuts off 5 %, in standard deviations of a normal result.
NEAR = 3.0 * math.sqrt(0.05 * 0.95 / DRAWS) / NormalDist().pdf(NORMAL)


def total(a, b, c, d):
    return a + b + c + d


@pytest.mark.recalled("JCGM 101:2008, 9.2.2: four normal quantities of deviation 1 add up to deviation 2")
def test_four_normal_readings_add_up_as_theory_says():
    found = propagated(total, dict.fromkeys("abcd", 0.0), dict.fromkeys("abcd", Doubt(spread=1.0)))
    assert found.value == 0.0
    assert found.high == pytest.approx(2.0 * NORMAL, abs=2.0 * NEAR)
    assert found.low == pytest.approx(-2.0 * NORMAL, abs=2.0 * NEAR)


@pytest.mark.recalled("sum of four rectangles: the law of Irwin and Hall, F(x) = x^4 / 24 up to 1")
def test_four_rectangular_readings_add_up_as_theory_says():
    found = propagated(total, dict.fromkeys("abcd", 0.0), dict.fromkeys("abcd", Doubt(within=1.0)))

    def below(x):
        """Probability of a sum of four of U(-1, 1) below x, from that of U(0, 1)."""
        y = (x + 4.0) / 2.0
        return sum((-1) ** k * math.comb(4, k) * max(0.0, y - k) ** 4 for k in range(5)) / 24.0

    near = 3.0 * math.sqrt(0.05 * 0.95 / DRAWS)
    assert below(found.low) == pytest.approx(0.05, abs=near)
    assert below(found.high) == pytest.approx(0.95, abs=near)


@given(st.floats(0.5, 20.0), st.floats(0.001, 0.05), st.floats(0.5, 20.0), st.floats(0.001, 0.05))
@settings(max_examples=20)
def test_small_doubts_of_a_product_add_up_as_shares(one, share, other, more):
    doubts = {"a": Doubt(spread=share * one), "b": Doubt(spread=more * other)}
    found = propagated(lambda a, b: a * b, {"a": one, "b": other}, doubts)
    half = NORMAL * math.hypot(share, more)
    assert (found.high - found.low) / 2.0 / found.value == pytest.approx(half, rel=0.05)
    assert found.low <= found.value <= found.high


def test_exact_readings_have_no_range_and_every_run_is_the_same():
    assert propagated(lambda a: 2.0 * a, {"a": 3.0}, {}) == (6.0, 6.0, 6.0)
    one, other = (propagated(lambda x: 1.0 / x, {"x": 1.0}, {"x": Doubt(0.1)}) for _ in range(2))
    assert one == other


def test_a_law_without_a_result_has_no_range():
    found = propagated(lambda a: np.where(a > 0.0, 1.0 / a, np.nan), {"a": 0.01}, {"a": Doubt(1.0)})
    assert math.isnan(found.low)
    assert math.isnan(found.high)
