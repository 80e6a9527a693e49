"""What is left behind shared resistances."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.laws.shared_dip import node_voltage

shares = st.lists(st.tuples(st.floats(0.0, 2.0), st.floats(0.0, 20.0)), max_size=5)


def test_without_a_way_all_is_left():
    assert node_voltage(12.0, []) == 12.0


def test_a_divider_agrees_with_ohms_law():
    # 12 V over 1 ohm of feed and 5 ohm of load: 2 A, 10 V left
    assert node_voltage(12.0, [(1.0, 2.0)]) == pytest.approx(10.0, rel=1e-12)


@given(shares, st.floats(0.0, 2.0), st.floats(0.0, 20.0))
def test_another_piece_takes_its_own_drop(way, resistance, current):
    before = node_voltage(12.0, way)
    assert node_voltage(12.0, [*way, (resistance, current)]) == pytest.approx(before - resistance * current)


def test_an_unknown_piece_leaves_an_unknown_voltage():
    assert math.isnan(node_voltage(12.0, [(math.nan, 1.0)]))
