"""Closed forms behind a round hole."""

import numpy as np
import pytest
from scipy.integrate import quad

from hutwright.laws.aperture import circular_aperture_field, circular_aperture_field_kirchhoff
from hutwright.laws.permittivity import LIGHT_SPEED

L1 = LIGHT_SPEED / 1575.42e6


@pytest.mark.recalled("Osterberg and Smith 1961; fact sheet: 1.821066, 0.697134 and 1.519689")
def test_the_field_on_the_axis_is_the_listed_one():
    found = [abs(circular_aperture_field(a, z, L1)) for a, z in ((0.3, 0.5), (0.15, 0.5), (0.3, 0.3))]
    assert found == pytest.approx([1.821066, 0.697134, 1.519689], abs=2e-6)


def test_both_forms_are_their_integrals():
    a, z, k = 0.25, 0.4, 2.0 * np.pi / L1

    def first(rho):
        r = np.hypot(rho, z)
        return z / r * (1.0 / r - 1j * k) * np.exp(1j * k * r) / r * rho

    def second(rho):
        r = np.hypot(rho, z)
        return -1j * k * np.exp(1j * k * r) / r * rho

    one, two = (quad(each, 0.0, a, complex_func=True)[0] for each in (first, second))
    assert circular_aperture_field(a, z, L1) == pytest.approx(one, abs=1e-9)
    assert circular_aperture_field_kirchhoff(a, z, L1) == pytest.approx((one + two) / 2.0, abs=1e-9)


def test_a_hole_of_no_size_lets_nothing_through():
    assert circular_aperture_field(0.0, 0.5, L1) == pytest.approx(0.0)
    assert circular_aperture_field_kirchhoff(0.0, 0.5, L1) == pytest.approx(0.0)
