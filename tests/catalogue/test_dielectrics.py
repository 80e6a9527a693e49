"""Radio constants of the catalogue's materials."""

import math

import pytest

from hutwright.catalogue.dielectrics import (
    COATED,
    DIELECTRICS,
    METALLISED_LOSS_DB,
    Confidence,
    dielectric,
)
from hutwright.catalogue.materials import MATERIALS
from hutwright.errors import RequestError
from hutwright.laws.permittivity import LIGHT_SPEED
from hutwright.laws.slab import slab

L1 = 1575.42e6


def loss_db(name, thickness, frequency=L1, *, wet=False):
    eps = dielectric(name).at(frequency, wet=wet)
    return -20.0 * math.log10(abs(complex(slab(1.0, [eps], [thickness], LIGHT_SPEED / frequency).te)))


def test_every_material_of_the_catalogue_has_its_radio_constants():
    assert DIELECTRICS.keys() == MATERIALS.keys()


@pytest.mark.parametrize("name", DIELECTRICS)
def test_every_row_absorbs_and_says_where_it_comes_from(name):
    row = dielectric(name)
    for wet in (False, True):
        for frequency in (1.2e9, L1, 2.45e9, 5.5e9):
            found = row.at(frequency, wet=wet)
            assert found.real >= 1.0
            assert found.imag > 0.0
    assert row.source.document
    assert (row.wet is None) is (row.wet_source is None)
    assert row.tight is False or row.wet is None


@pytest.mark.parametrize("name", DIELECTRICS)
def test_what_the_catalogue_calls_metal_stops_the_wave_and_nothing_else_does(name):
    stopped = loss_db(name, 0.5e-3) > 60.0
    assert stopped is MATERIALS[name].metal


def test_soaked_timber_is_an_assumption_of_low_confidence_and_loses_more():
    for name in ("softwood boards", "hardwood boards", "plywood", "oriented strand board", "chipboard"):
        row = dielectric(name)
        assert row.wet_confidence is Confidence.LOW
        assert row.wet_source is not None
        assert not row.wet_source.standing.firm
    assert loss_db("softwood boards", 22e-3, wet=True) > loss_db("softwood boards", 22e-3) + 1.0


@pytest.mark.published("university list of permittivities: acrylic glass 2.60 and 0.015 at 3 GHz")
def test_acrylic_glass_is_the_listed_one():
    found = dielectric("acrylic glass").at(3e9)
    assert (found.real, found.imag / found.real) == pytest.approx((2.60, 0.015))


@pytest.mark.published("university list of permittivities: polycarbonate 2.76 at 11 GHz")
def test_polycarbonate_is_the_listed_one_and_hardly_costs_anything():
    assert dielectric("polycarbonate").at(L1).real == pytest.approx(2.76)
    assert loss_db("polycarbonate", 6e-3) == pytest.approx(0.14, abs=0.02)
    assert loss_db("twin-wall polycarbonate", 10e-3) < 0.05


@pytest.mark.published("measured metallised panes, 2008 paper and others: 17 to 35 dB at 0.7 to 6 GHz")
def test_a_metallised_pane_costs_as_much_as_was_measured():
    low, usual, high = METALLISED_LOSS_DB
    assert 17.0 <= low <= usual <= high <= 35.0


@pytest.mark.parametrize("name", COATED)
def test_a_coated_pane_is_asked_for_instead_of_guessed(name):
    with pytest.raises(RequestError, match="metallised"):
        dielectric(name)


def test_an_unknown_material_is_refused_with_the_known_ones():
    with pytest.raises(RequestError, match="softwood boards"):
        dielectric("cheese")
