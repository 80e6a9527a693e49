"""How strongly a satellite is heard under an open sky."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.laws.antenna_pattern import cardioid, helix, isotropic
from hutwright.laws.open_sky import ZENITH_DENSITY_DB, link_density_db, open_sky_density_db

L1 = 1575.42e6


@pytest.mark.published("course page 'GNSS link and receiver-noise analysis': -158.2 dBW over -203.6 dBW/Hz")
@pytest.mark.parametrize(("gain_db", "distance"), [(11.8, 20_180e3), (13.8, 25_150e3), (15.1, 21_410e3)])
def test_the_link_budget_of_the_course_gives_its_density(gain_db, distance):
    spread_db = 20 * math.log10(distance / 20_180e3)
    wanted = -158.2 + 203.6 + (gain_db - 11.8) - spread_db
    assert link_density_db(16.5, gain_db, distance, L1, 4.0, 316.0) == pytest.approx(wanted, abs=0.1)


@pytest.mark.published(
    "glossary of satellite navigation and two receiver manuals: 45-50 at the zenith, 35-45 low"
)
@pytest.mark.parametrize("pattern", [cardioid, helix])
def test_an_open_sky_is_heard_as_the_manuals_have_it(pattern):
    low, high = open_sky_density_db(pattern(np.sin(np.radians([5.0, 90.0]))))
    assert 35.0 <= low <= 45.0
    assert 45.0 <= high <= 50.0


@pytest.mark.published(
    "course page 'GNSS link and receiver-noise analysis': -158.2 dBW over -203.6 dBW/Hz at the zenith"
)
def test_the_zenith_is_that_of_a_link_budget():
    budget = link_density_db(16.5, 11.8, 20_180e3, L1, 4.0, 316.0)
    assert pytest.approx(budget, abs=2.0) == ZENITH_DENSITY_DB  # the law's mean error


@given(st.floats(0.0, 1.57), st.floats(0.0, 1.57))
def test_higher_up_is_never_weaker(one, other):
    low, high = sorted((one, other))
    for pattern in (cardioid, helix, isotropic):
        assert open_sky_density_db(pattern(np.sin(low))) <= open_sky_density_db(pattern(np.sin(high))) + 1e-9


def test_nothing_is_heard_through_a_null():
    assert open_sky_density_db(0.0) == -math.inf


@pytest.mark.parametrize(
    "place", [(0.0, L1, 300.0), (2e7, 0.0, 300.0), (2e7, L1, -1.0), (math.nan, L1, 300.0)]
)
def test_says_nothing_of_impossible_links(place):
    distance, frequency, temperature = place
    assert math.isnan(link_density_db(16.5, 11.8, distance, frequency, 4.0, temperature))
