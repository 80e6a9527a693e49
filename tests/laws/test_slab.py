"""What flat layers let through."""

import cmath
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.laws.permittivity import LIGHT_SPEED, permittivity_of_fit
from hutwright.laws.slab import slab

L1 = LIGHT_SPEED / 1575.42e6
CONCRETE = (5.24, 0.0, 0.0462, 0.7822)
BRICK = (3.91, 0.0, 0.0238, 0.16)
TOOL = "frozen values of sionna-rt 2.2.0 with the materials of ITU-R P.2040-4"
real_parts = st.floats(1.05, 12.0)
cosines = st.floats(0.05, 1.0)
thicknesses = st.floats(1e-3, 0.3)


def loss_db(ratio):
    return -20.0 * math.log10(abs(complex(ratio)))


def of(fit, frequency):
    return complex(permittivity_of_fit(frequency, *fit))


@pytest.mark.published(TOOL + ": brick 0.20 m, 2.437 GHz, normal, 5.836 dB")
def test_brick_loses_the_frozen_value():
    wall = slab(1.0, [of(BRICK, 2.437e9)], [0.20], LIGHT_SPEED / 2.437e9)
    assert loss_db(wall.te) == pytest.approx(5.836, abs=0.001)


@pytest.mark.published(TOOL + ": concrete 0.20 m, 5.5 GHz, normal, 26.471 dB")
def test_concrete_loses_the_frozen_value():
    wall = slab(1.0, [of(CONCRETE, 5.5e9)], [0.20], LIGHT_SPEED / 5.5e9)
    assert loss_db(wall.te) == pytest.approx(26.471, abs=0.001)


@pytest.mark.published(TOOL + ": concrete 0.20 m, 2.437 GHz, 45 deg, TE 16.459 and TM 14.493 dB")
def test_a_slanting_wave_loses_the_frozen_values():
    wall = slab(math.sqrt(0.5), [of(CONCRETE, 2.437e9)], [0.20], LIGHT_SPEED / 2.437e9)
    assert [loss_db(wall.te), loss_db(wall.tm)] == pytest.approx([16.459, 14.493], abs=0.001)


def transferred(cosine, permittivities, thicknesses, wavelength, *, magnetic):
    """Transmission by the product of each layer's matrix of tangential fields, the textbook's other way."""
    sine2, k = 1.0 - cosine**2, 2.0 * math.pi / wavelength
    whole = np.eye(2, dtype=complex)
    for eps, d in zip(permittivities, thicknesses, strict=True):
        root = cmath.sqrt(eps - sine2)
        y, q = (root / eps if magnetic else root), k * d * root
        whole = whole @ np.array(
            [[cmath.cos(q), -1j * cmath.sin(q) / y], [-1j * y * cmath.sin(q), cmath.cos(q)]]
        )
    (a, b), (c, d2) = whole
    return 2.0 / (a + b * cosine + c / cosine + d2) * cmath.exp(-1j * k * sum(thicknesses) * cosine)


@given(
    st.lists(st.tuples(real_parts, st.floats(0.0, 2.0), st.floats(1e-3, 0.05)), min_size=1, max_size=4),
    cosines,
)
def test_the_recursion_and_the_matrices_agree_on_any_stack(layers, cosine):
    eps, d = [complex(real, loss) for real, loss, _ in layers], [each for *_, each in layers]
    found = slab(cosine, eps, d, L1)
    for ours, magnetic in ((found.te, False), (found.tm, True)):
        assert complex(ours) == pytest.approx(
            transferred(cosine, eps, d, L1, magnetic=magnetic), rel=1e-7, abs=1e-9
        )


@given(real_parts, st.floats(0.0, 5.0), thicknesses, cosines)
def test_one_layer_is_the_conjugate_of_the_recommendations_formula(real, loss, d, cosine):
    eta, k = complex(real, -loss), 2.0 * math.pi / L1
    root = cmath.sqrt(eta - (1.0 - cosine**2))
    r, turned = (cosine - root) / (cosine + root), cmath.exp(-1j * k * d * root)
    theirs = (1.0 - r * r) * turned / (1.0 - r * r * turned * turned)
    ours = complex(slab(cosine, [eta.conjugate()], [d], L1).te) * cmath.exp(1j * k * d * cosine)
    assert ours == pytest.approx(theirs.conjugate(), rel=1e-7, abs=1e-9)


@given(st.lists(st.tuples(real_parts, thicknesses), min_size=1, max_size=4), cosines)
def test_nothing_is_lost_without_loss(layers, cosine):
    found = slab(cosine, [complex(real) for real, _ in layers], [d for _, d in layers], L1)
    for through, back in ((found.te, found.te_back), (found.tm, found.tm_back)):
        assert abs(through) ** 2 + abs(back) ** 2 == pytest.approx(1.0, abs=1e-9)


@given(real_parts, cosines, st.integers(1, 5))
def test_a_slab_of_half_waves_lets_all_through(real, cosine, halves):
    d = halves * L1 / 2.0 / math.sqrt(real - (1.0 - cosine**2))
    found = slab(cosine, [complex(real)], [d], L1)
    assert [abs(found.te), abs(found.tm)] == pytest.approx([1.0, 1.0], abs=1e-9)


@given(real_parts, st.floats(0.0, 3.0), thicknesses)
def test_polarisations_agree_at_square_incidence_and_a_layer_of_air_is_nothing(real, loss, d):
    found = slab(1.0, [complex(real, loss)], [d], L1)
    assert complex(found.te) == pytest.approx(complex(found.tm), rel=1e-9, abs=1e-12)
    assert complex(found.circular) == pytest.approx(complex(found.te), rel=1e-9, abs=1e-12)
    assert complex(slab(0.4, [1.0], [d], L1).circular) == pytest.approx(1.0, abs=1e-9)


@given(st.floats(1.5, 4.0), st.floats(1e-3, 0.01), cosines)
def test_a_slab_delays_the_phase(real, d, cosine):
    # Thin: less than a quarter wave in it. With exp(-i w t), later is a greater angle.
    assert cmath.phase(complex(slab(cosine, [complex(real)], [d], L1).te)) > 0.0


@given(st.lists(st.tuples(real_parts, st.floats(0.0, 3.0), thicknesses), min_size=2, max_size=3), cosines)
def test_a_wall_lets_as_much_through_from_either_side(layers, cosine):
    eps, d = [complex(real, loss) for real, loss, _ in layers], [each for *_, each in layers]
    there, back = slab(cosine, eps, d, L1), slab(cosine, eps[::-1], d[::-1], L1)
    assert complex(there.te) == pytest.approx(complex(back.te), rel=1e-6, abs=1e-12)
    assert complex(there.tm) == pytest.approx(complex(back.tm), rel=1e-6, abs=1e-12)


def test_metal_of_any_thickness_lets_nothing_through_and_does_not_overflow():
    metal = complex(permittivity_of_fit(1575.42e6, 1.0, 0.0, 1e7, 0.0))
    for d in (1e-4, 1e-3, 1.0):
        found = slab(np.array([0.0, 0.01, 0.5, 1.0]), [metal, 2.0], [d, 0.02], L1)
        assert np.abs(found.circular).max() < 1e-6
        assert np.isfinite(found.te_back).all()
