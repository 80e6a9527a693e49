"""Snow on the roof and before the door."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.catalogue.snow import SNOW_KINDS
from hutwright.laws.snow import (
    EXPOSURE_FACTORS,
    SIDE_PRESSURE_RATIO,
    drift_force,
    drift_pressure,
    roof_shape_coefficient,
    roof_snow_load,
)


@pytest.mark.published("Steel Buildings in Europe, single-storey buildings, part 3, appendix A: 0.52 kN/m2")
def test_a_low_roof_carries_the_printed_load():
    shape = roof_shape_coefficient(math.radians(5.7))
    assert shape == 0.8
    assert roof_snow_load(650.0, shape, EXPOSURE_FACTORS["normal"]) == pytest.approx(520.0, rel=1e-9)


@pytest.mark.published("public transcription of EN 1991-1-3 with an example: 0.85 gives 0.68 kN/m2")
def test_a_second_roof_carries_the_printed_load():
    assert roof_snow_load(850.0, roof_shape_coefficient(0.3), 1.0) == pytest.approx(680.0, rel=1e-9)


@pytest.mark.published("EN 1991-1-3:2003, tables 5.1 and 5.2, as transcribed on a public page")
def test_shape_and_exposure_are_the_printed_ones():
    shapes = [roof_shape_coefficient(math.radians(deg)) for deg in (0.0, 30.0, 45.0, 60.0, 75.0)]
    assert shapes == pytest.approx([0.8, 0.8, 0.4, 0.0, 0.0], abs=1e-12)
    assert dict(EXPOSURE_FACTORS) == {"windswept": 0.8, "normal": 1.0, "sheltered": 1.2}
    assert roof_shape_coefficient(math.radians(60.0), snow_guard=True) == 0.8


@pytest.mark.published("EN 1991-1-3:2003, annex E, as in public code: 1, 2, 2.5 to 3.5 and 4 kN/m3")
def test_the_weights_of_snow_are_the_printed_ones():
    weights = [SNOW_KINDS[name].unit_weight.nominal for name in ("fresh", "settled", "wet")]
    assert weights == [1000.0, 2000.0, 4000.0]
    assert (SNOW_KINDS["old"].unit_weight.low, SNOW_KINDS["old"].unit_weight.high) == (2500.0, 3500.0)


@given(st.floats(0.0, math.pi / 2.0), st.floats(0.0, math.pi / 2.0))
def test_a_steeper_roof_carries_no_more(one, other):
    low, high = sorted((one, other))
    assert 0.0 <= roof_shape_coefficient(high) <= roof_shape_coefficient(low) <= 0.8


@given(st.floats(500.0, 5000.0), st.floats(0.0, 1.0), st.floats(0.1, 2.0), st.floats(0.3, 3.0))
def test_the_force_of_a_drift_is_the_sum_of_its_pressures(weight, depth, width, ratio):
    count = 200
    step = depth / count
    strips = (drift_pressure(weight, depth - (k + 0.5) * step, ratio) * step * width for k in range(count))
    assert drift_force(weight, depth, width, ratio) == pytest.approx(sum(strips), rel=1e-9, abs=1e-12)


@pytest.mark.practice("a hand's depth of settled snow can be pushed aside by a person, 0.4 m of it hardly")
def test_a_drift_pushes_back_by_what_people_know_of_it():
    least, usual, greatest = SIDE_PRESSURE_RATIO
    assert least < usual < greatest
    shallow = drift_force(2000.0, 0.10, 0.8, greatest)
    deep = drift_force(2000.0, 0.40, 0.8, greatest)
    assert shallow < 100.0
    assert deep > 300.0


@pytest.mark.parametrize("pitch", [-0.1, 2.0, math.nan])
def test_an_impossible_roof_has_no_coefficient(pitch):
    assert math.isnan(roof_shape_coefficient(pitch))
    assert math.isnan(roof_shape_coefficient(pitch, snow_guard=True))
