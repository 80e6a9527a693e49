"""How antennas hear from each elevation."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.laws.antenna_pattern import cardioid, helix, isotropic

ALL = (cardioid, helix, isotropic)


def db_at(pattern, elevation_deg):
    return 20.0 * np.log10(pattern(np.sin(np.radians(elevation_deg))))


@pytest.mark.practice("small patches 4 to 7 dB and helices 3 to 4 dB down at 10 deg over the zenith")
def test_low_satellites_are_heard_less_as_is_common():
    assert -7.0 <= db_at(cardioid, 10.0) <= -4.0
    assert -4.0 <= db_at(helix, 10.0) <= -3.0


@given(st.floats(-1.0, 1.0), st.floats(0.0, 1.0))
def test_a_higher_satellite_is_heard_no_less(sine, share):
    higher = sine + share * (1.0 - sine)
    for pattern in ALL:
        assert 0.0 <= float(pattern(sine)) <= float(pattern(higher)) + 1e-12
        assert float(pattern(1.0)) == pytest.approx(1.0)
