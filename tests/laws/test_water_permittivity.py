"""Water and snow on a pane."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.laws.permittivity import LIGHT_SPEED
from hutwright.laws.slab import slab
from hutwright.laws.water_permittivity import (
    dry_snow_permittivity,
    water_permittivity,
    wet_snow_permittivity,
)


def loss_db(eps, thickness, frequency):
    return -20.0 * math.log10(abs(complex(slab(1.0, [eps], [thickness], LIGHT_SPEED / frequency).te)))


@pytest.mark.published("public code of ITU-R P.840-9: static permittivity 87.5655 at 273.75 K")
def test_cold_water_has_the_printed_static_permittivity():
    assert complex(water_permittivity(1e6, 273.75)).real == pytest.approx(87.5655, rel=1e-5)


@pytest.mark.recalled("handbook values of pure water at 25 degC and 2.45 GHz: 77 and 9.5 to 10")
def test_water_at_room_temperature_is_what_ovens_heat():
    found = complex(water_permittivity(2.45e9, 298.15))
    assert found.real == pytest.approx(77.0, rel=0.02)
    assert found.imag == pytest.approx(9.5, rel=0.08)


@pytest.mark.parametrize(
    ("thickness", "losses"),
    [(0.5e-3, (2.4, 4.3, 8.6)), (1e-3, (5.3, 8.0, 12.5)), (2e-3, (9.5, 12.1, 14.3))],
)
def test_a_film_costs_what_the_second_calculation_says(thickness, losses):
    for frequency, loss in zip((1.575e9, 2.45e9, 5.5e9), losses, strict=True):
        assert loss_db(complex(water_permittivity(frequency)), thickness, frequency) == pytest.approx(
            loss, abs=0.1
        )


@pytest.mark.published(
    "paper on reception through snow, GPS Solutions 2007: no tracking through 1 to 2 mm of water"
)
def test_a_film_of_two_millimetres_costs_more_than_a_receiver_can_spare():
    # From 45 dB-Hz at the zenith to the 35 dB-Hz or so that a start needs.
    assert 8.0 < loss_db(complex(water_permittivity(1.575e9)), 2e-3, 1.575e9) < 12.0


@pytest.mark.parametrize(("wetness", "losses"), [(0.05, (1.5, 2.7, 9.2)), (0.10, (2.5, 5.2, 19.5))])
def test_wet_snow_costs_what_the_second_calculation_says(wetness, losses):
    for frequency, loss in zip((1.575e9, 2.45e9, 5.5e9), losses, strict=True):
        found = loss_db(wet_snow_permittivity(frequency, 300.0, wetness), 0.10, frequency)
        assert found == pytest.approx(loss, abs=0.3)


def test_dry_snow_costs_next_to_nothing():
    for density in (50.0, 100.0, 200.0):
        assert loss_db(dry_snow_permittivity(density), 0.10, 1.575e9) <= 0.1 + 1e-9


@given(st.floats(50.0, 500.0), st.floats(0.0, 0.12))
def test_water_in_snow_adds_to_both_parts(density, wetness):
    wet = wet_snow_permittivity(3.5e9, density, wetness)
    wetter = wet_snow_permittivity(3.5e9, density, wetness + 0.01)
    assert wetter.real > wet.real
    assert wetter.imag > wet.imag >= 0.0
    assert dry_snow_permittivity(density) >= 1.0


def test_snow_that_cannot_be_is_no_number():
    assert math.isnan(wet_snow_permittivity(-1.0, 200.0, 0.05).real)
