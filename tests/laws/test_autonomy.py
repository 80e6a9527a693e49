"""How long a battery carries a load."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.laws.autonomy import autonomy_time, cold_capacity_factor


def test_eighteen_ampere_hours_half_used_carry_fifty_milliamperes_for_a_week():
    assert autonomy_time(18.0 * 3600.0, 0.05, 0.5) / 3600.0 == pytest.approx(180.0, rel=1e-12)


def test_without_load_it_lasts_for_ever_and_the_unknown_stays_unknown():
    assert autonomy_time(3600.0, 0.0, 0.5) == math.inf
    assert math.isnan(autonomy_time(math.nan, 0.0, 0.5))
    assert math.isnan(autonomy_time(3600.0, math.nan, 0.5))
    assert math.isnan(cold_capacity_factor(math.nan, 0.008))


@pytest.mark.practice("a lead-acid battery has 60 to 80 per cent of its capacity left at -10 to -15 degC")
@pytest.mark.parametrize("coefficient", [0.006, 0.008, 0.010])
def test_lead_keeps_most_of_its_capacity_in_a_hard_frost(coefficient):
    assert 0.60 <= cold_capacity_factor(260.65, coefficient) <= 0.80


@given(st.floats(200.0, 330.0), st.floats(0.0, 30.0), st.floats(0.0, 0.02))
def test_warmth_never_costs_capacity_and_the_share_stays_between_none_and_all(temperature, rise, coefficient):
    cold = cold_capacity_factor(temperature, coefficient)
    assert 0.0 <= cold <= cold_capacity_factor(temperature + rise, coefficient) <= 1.0
