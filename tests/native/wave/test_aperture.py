"""A hole in a metal plate on the grid against the closed form behind it."""

import math

import numpy as np
import pytest
from scipy.special import fresnel

from hutwright.laws.aperture import circular_aperture_field
from hutwright.plant.sky.coverings import L1
from hutwright.plant.sky.lattice import LAYERS, Lattice, pulses, wave_numbers
from hutwright.plant.sky.matter import Hole, Sheet, matter, planes
from tests.native.wave.grids import SIDE, WAVELENGTH, currents, fields_at

BESIDE = 4  # cells from the hole to the rim; the plate goes on through the rim


def behind(hole, distance, widest, side=SIDE):
    """Field on the axis behind a hole that a plane wave meets squarely, over that with no plate.

    By reciprocity, from what a dipole there sends into the hole: twice the wave's magnetic field is the
    current on a closed plate.
    """
    rim = LAYERS
    wide, depth = 2 * math.ceil(widest / 2.0 / side) + 2 * (BESIDE + rim) + 1, round(distance / side)
    corner = -side * (wide - 1) / 2
    grid = Lattice(
        (corner, corner, -side * (depth + BESIDE + rim)),
        side,
        (wide, wide, depth + 2 * (BESIDE + rim) + 1),
        ((rim, rim),) * 3,
        L1,
    )
    met = matter(grid, (), [Sheet(planes((0.0, 0.0, 1.0, 0.0)), (True,), (hole,))])
    middle = (wide - 1) // 2
    nodes = np.array([-1, 0]) + (BESIDE + rim) * grid.strides[2] + middle * grid.strides[1] + middle
    source = currents(0, nodes, [0.5, 0.5], pulses(grid.turn))
    plane = np.arange(wide * wide) + (depth + BESIDE + rim) * grid.strides[2]
    sent, _ = fields_at(grid, met, source, "Ex", plane, most=2000, left=1e-6)
    k = float(wave_numbers(grid.turn, np.array([[0.0, 0.0, 1.0]]))[0])
    return 2.0 * math.cos(k / 2.0) * abs(sent.sum() / source.currents(grid.turn).sum())


def strip(low, height, width):
    corner = np.array([-width / 2, low, 0.0])
    return Hole(corner, np.array([1.0, 0.0, 0.0]), np.array([0.0, 1.0, 0.0]), (width, height))


def disc(radius, strips=200):
    """A round hole put together from strips."""
    step = 2.0 * radius / strips
    lows = -radius + step * np.arange(strips)
    return tuple(strip(low, step, 2.0 * math.sqrt(radius**2 - (low + step / 2) ** 2)) for low in lows)


def decibels(ratio):
    return 20.0 * math.log10(ratio)


@pytest.mark.recalled("Osterberg and Smith 1961, the first Rayleigh-Sommerfeld form; confirmed by quadrature")
@pytest.mark.parametrize(("radius", "distance"), [(0.20, 0.60), (0.25, 0.80), (0.30, 0.50)])
def test_a_round_hole_lets_through_what_the_closed_form_says(radius, distance):
    exact = abs(circular_aperture_field(radius, distance, WAVELENGTH))
    assert decibels(behind(disc(radius), distance, 2.0 * radius) / exact) == pytest.approx(0.0, abs=1.0)


@pytest.mark.slow
@pytest.mark.recalled("the Fresnel form of a square hole, far from it; Abramowitz and Stegun, section 7.3")
@pytest.mark.parametrize(("cells", "side"), [(9, SIDE), (14, SIDE), (19, SIDE), (19, SIDE / 2)])
def test_a_square_hole_does_so_far_on_its_axis(cells, side):
    width, distance = cells * SIDE + (side - SIDE), 1.20
    sine, cosine = fresnel(width / 2.0 * math.sqrt(2.0 / (WAVELENGTH * distance)))
    exact = 2.0 * (sine**2 + cosine**2)
    hole = (strip(-width / 2, width, width),)
    assert decibels(behind(hole, distance, width, side) / exact) == pytest.approx(0.0, abs=1.0)
