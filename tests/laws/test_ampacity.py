"""Current capacity in warm air."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.laws.ampacity import ambient_factor
from tests.published.conductors import AIR_FACTORS, AIR_ROW


@pytest.mark.published("IEC 60364-5-52, factors for air temperature, PVC, as quoted in a machine manual")
@pytest.mark.parametrize(("degc", "factor"), AIR_FACTORS)
def test_agrees_with_the_printed_factors(degc, factor):
    assert ambient_factor(degc + 273.15) == pytest.approx(factor, abs=0.01)


@pytest.mark.published("IEC 60364-5-52, method B2, 4 mm2, three loaded, as quoted in a machine manual")
@pytest.mark.parametrize(("degc", "amperes"), AIR_ROW)
def test_agrees_with_a_printed_row_of_capacities(degc, amperes):
    # 0.5 A: the row is rounded, partly down
    assert 27.0 * ambient_factor(degc + 273.15) == pytest.approx(amperes, abs=0.55)


@given(st.floats(233.0, 400.0), st.floats(0.0, 50.0))
def test_never_rises_with_the_air(ambient, rise):
    assert 0.0 <= ambient_factor(ambient + rise) <= ambient_factor(ambient)


def test_nothing_is_left_where_the_air_is_as_hot_as_the_insulation_may_be():
    assert ambient_factor(343.15) == 0.0
    assert ambient_factor(360.0) == 0.0
    assert math.isnan(ambient_factor(math.nan))
