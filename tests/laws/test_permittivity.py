"""Permittivity of building materials."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.laws.permittivity import (
    conductivity_of_fit,
    mixed_permittivity,
    permittivity_of_fit,
    permittivity_of_loss_tangent,
)

# Conductivity at 9 GHz, printed to five or six figures [S/m]
PRINTED = [
    (0.0462, 0.7822, 0.25766),
    (0.0238, 0.16, 0.033826),
    (0.0085, 0.9395, 0.066978),
    (0.0047, 1.0718, 0.049528),
    (0.0036, 1.3394, 0.068299),
]


@pytest.mark.published("public function page for ITU-R P.2040-3: conductivities at 9 GHz")
@pytest.mark.parametrize(("c", "d", "printed"), PRINTED)
def test_the_conductivity_at_9_ghz_is_the_printed_one(c, d, printed):
    assert float(conductivity_of_fit(9e9, c, d)) == pytest.approx(printed, rel=2e-4)


@given(st.floats(1e9, 6e9), st.floats(1.0, 10.0), st.floats(0.0, 1.0), st.floats(0.0, 2.0))
def test_a_loss_is_a_positive_imaginary_part(frequency, a, c, d):
    found = complex(permittivity_of_fit(frequency, a, 0.0, c, d))
    assert found.real == pytest.approx(a)
    assert found.imag >= 0.0


def test_17_98_is_the_factor_between_conductivity_and_loss():
    # The recommendation prints eta'' = 17.98 sigma / f, f in GHz.
    assert complex(permittivity_of_fit(2e9, 1.0, 0.0, 1.0, 0.0)).imag == pytest.approx(17.98 / 2.0, rel=1e-3)


@given(st.floats(1.0, 10.0), st.floats(0.0, 1.0))
def test_mixing_runs_from_air_to_the_solid(real, loss):
    solid = permittivity_of_loss_tangent(real, loss)
    assert mixed_permittivity(solid, 0.0) == pytest.approx(1.0)
    assert mixed_permittivity(solid, 1.0) == pytest.approx(solid)
    assert 1.0 <= mixed_permittivity(complex(real), 0.5).real <= real + 1e-9
