"""A value that differs from part to part."""

import math

import pytest

from hutwright.catalogue.spread import Spread


@pytest.mark.parametrize(
    "values",
    [(2.0, 1.0, 3.0), (1.0, 3.0, 2.0), (math.nan, 1.0, 2.0), (0.0, 1.0, math.inf), (0.0, math.nan, 1.0)],
)
def test_refuses_bounds_out_of_order_or_without_end(values):
    with pytest.raises(ValueError, match="low <= nominal <= high"):
        Spread(*values)


def test_a_single_value_is_a_spread_of_none():
    assert Spread(1.0, 1.0, 1.0).low == Spread(1.0, 1.0, 1.0).high
