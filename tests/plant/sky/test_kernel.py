"""The integral's pieces on flat screens, where exact answers are known."""

from itertools import pairwise

import numpy as np
import pytest

from hutwright.laws.aperture import circular_aperture_field, circular_aperture_field_kirchhoff
from hutwright.laws.permittivity import LIGHT_SPEED
from hutwright.model.machine import AntennaPattern
from hutwright.plant.sky.kernel import Kernel, covered, kernel, phases
from tests.plant.sky.skies import db

L1 = LIGHT_SPEED / 1575.42e6
SIZE = L1 / 8.0
ZENITH = np.array([[0.0, 0.0, 1.0]])
DOWN = np.array([0.0, 0.0, -1.0])


def disc(radius, size):
    """Middles and areas of patches of a disc at z = 0, in rings."""
    rings = int(np.ceil(radius / size))
    edges = np.linspace(0.0, radius, rings + 1)
    places, areas = [], []
    for low, high in pairwise(edges):
        count = max(8, int(np.ceil(np.pi * (low + high) / size)))
        turn = 2.0 * np.pi * np.arange(count) / count
        rho = np.sqrt((low**2 + high**2) / 2.0)
        places.append(np.stack([rho * np.cos(turn), rho * np.sin(turn), 0.0 * turn], axis=-1))
        areas.append(np.full(count, np.pi * (high**2 - low**2) / count))
    return np.concatenate(places), np.concatenate(areas)


def rectangle(width, length, size):
    """Middles and areas of patches of a rectangle at z = 0."""
    counts = [int(np.ceil(each / size)) for each in (width, length)]
    x, y = ((np.arange(n) + 0.5) / n * d - d / 2.0 for n, d in zip(counts, (width, length), strict=True))
    places = np.stack([*(each.ravel() for each in np.meshgrid(x, y)), np.zeros(len(x) * len(y))], axis=-1)
    return places, np.full(len(places), width * length / len(places))


def behind(patches, point, toward=ZENITH):
    """The two parts of the field at a point below patches in a plane wave, over the open wave there."""
    places, areas = patches
    sent: Kernel = kernel(places, areas, DOWN, np.array([point]), L1, AntennaPattern.ISOTROPIC)
    wave = phases(places, toward, L1)
    open_wave = phases(np.array([point]), toward, L1)
    along = -(toward @ DOWN)
    return (wave @ sent.flat * along[:, None] / open_wave).ravel(), (wave @ sent.slanted / open_wave).ravel()


@pytest.mark.recalled("Osterberg and Smith 1961, field on the axis of a round hole")
@pytest.mark.parametrize(("radius", "distance"), [(0.30, 0.50), (0.15, 0.50), (0.30, 0.30), (0.45, 0.60)])
def test_a_round_hole_gives_the_closed_forms(radius, distance):
    flat, slanted = behind(disc(radius, SIZE), (0.0, 0.0, -distance))
    turn = np.exp(2j * np.pi / L1 * distance)
    # The part by the way to the point, doubled, is the first Rayleigh-Sommerfeld form.
    first = circular_aperture_field(radius, distance, L1) / turn
    kirchhoff = circular_aperture_field_kirchhoff(radius, distance, L1) / turn
    assert db(2.0 * slanted[0] / first) == pytest.approx(0.0, abs=0.1)
    assert db((flat + slanted)[0] / kirchhoff) == pytest.approx(0.0, abs=0.1)
    assert np.angle((flat + slanted)[0] / kirchhoff) == pytest.approx(0.0, abs=0.03)


@pytest.mark.recalled(
    "Goodman, Introduction to Fourier Optics: far on axis the field is area over wavelength and way"
)
def test_far_below_a_rectangular_hole_the_field_is_area_over_wavelength_and_distance():
    far = 60.0
    flat, slanted = behind(rectangle(0.30, 0.40, SIZE), (0.0, 0.0, -far))
    assert db((flat + slanted)[0] / (0.30 * 0.40 / (L1 * far))) == pytest.approx(0.0, abs=0.05)


def test_square_holes_keep_within_what_was_found_between_the_two_forms():
    for side, depth in ((0.6, 0.5), (0.3, 0.5), (0.4, 0.4)):
        flat, slanted = behind(rectangle(side, side, SIZE), (0.0, 0.0, -depth))
        assert abs(db(2.0 * slanted[0]) - db((flat + slanted)[0])) <= 0.35


def test_a_wave_is_later_at_what_lies_further_from_the_satellite():
    (ratio,) = phases(np.array([[0.0, 0.0, -L1 / 8.0]]), ZENITH, L1)
    assert np.angle(ratio[0]) == pytest.approx(np.pi / 4.0, abs=1e-6)


def test_the_share_of_a_footprint_adds_up_over_neighbouring_cells():
    places = np.linspace(0.0, 1.0, 101, dtype=np.float32)
    cells = [covered(places, (k / 10.0, (k + 1) / 10.0), 0.1) for k in range(-2, 12)]
    assert np.sum(cells, axis=0) == pytest.approx(np.ones(101), abs=1e-5)
    assert covered(np.array([0.45, 0.5, 0.55], dtype=np.float32), (0.0, 0.5), 0.1) == pytest.approx(
        [1.0, 0.5, 0.0], abs=1e-5
    )
