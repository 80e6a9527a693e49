"""The wind's pressure near the ground."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.laws.wind import (
    TERRAINS,
    basic_velocity_pressure,
    exposure_factor,
    peak_velocity_pressure,
    roughness_factor,
    terrain_factor,
    turbulence_intensity,
)
from tests.published.wind import PITCHED_ROOF, PORTAL_FRAME, SIGNBOARD, TOWER, TOWN

TERRAIN_NAMES = st.sampled_from(sorted(TERRAINS))


def agrees(example, *, within):
    """Holds every figure an example prints to half its last digit, and its pressure to a share."""
    ground = TERRAINS[example.terrain]
    place = (*ground, example.height)
    mean = roughness_factor(*place)
    for printed, digits, here in (
        (example.terrain_factor, 3, terrain_factor(ground.roughness_length)),
        (example.turbulence, 3, turbulence_intensity(*place)),
        (example.basic_pressure, -1, basic_velocity_pressure(example.basic_speed)),
    ):
        assert printed is None or printed == pytest.approx(here, abs=0.51 * 10.0**-digits)
    if example.roughness_factor is not None:
        assert mean == pytest.approx(example.roughness_factor, rel=0.002)  # printed from a rounded k_r
    if example.exposure_factor is not None:
        assert exposure_factor(*place) == pytest.approx(example.exposure_factor, rel=0.006)  # rounded c_r
    if example.mean_speed is not None:
        assert mean * example.basic_speed == pytest.approx(example.mean_speed, rel=0.001)
    peak = peak_velocity_pressure(example.basic_speed, *place)
    assert peak == pytest.approx(example.peak_pressure, rel=within)


@pytest.mark.published("Steel Buildings in Europe, single-storey buildings, part 3, appendix B: 659 Pa")
def test_a_portal_frame_in_a_village_gets_the_printed_pressure():
    agrees(PORTAL_FRAME, within=0.006)


@pytest.mark.published("Access Steel SX016a, as quoted in public code: 26 m/s, category II, 7.3 m, 911 Pa")
def test_a_pitched_roof_in_the_fields_gets_the_printed_pressure():
    agrees(PITCHED_ROOF, within=0.001)


@pytest.mark.published("public worked example, category IV, 9 m, reckoned at 10 m: 0.497 kPa")
def test_a_house_in_town_gets_the_printed_pressure_of_the_least_height():
    agrees(TOWN, within=0.001)


@pytest.mark.published("public worked example, category 0, 77.36 m: 1.658 kPa")
def test_a_tower_on_the_coast_gets_the_printed_pressure():
    agrees(TOWER, within=0.001)


@pytest.mark.published("public worked example of a signboard, EN 1991-1-4 7.4.3: category I, 5 m, 1.61 kPa")
def test_a_signboard_by_open_water_gets_the_printed_pressure():
    agrees(SIGNBOARD, within=0.004)


@given(TERRAIN_NAMES, st.floats(0.0, 200.0), st.floats(0.0, 200.0))
def test_higher_up_the_wind_presses_no_less_and_is_no_gustier(name, one, other):
    low, high = sorted((one, other))
    ground = TERRAINS[name]
    assert peak_velocity_pressure(25.0, *ground, low) <= peak_velocity_pressure(25.0, *ground, high)
    assert turbulence_intensity(*ground, low) >= turbulence_intensity(*ground, high)


@given(TERRAIN_NAMES, st.floats(0.0, 1.0))
def test_below_the_least_height_nothing_changes(name, share):
    ground = TERRAINS[name]
    assert exposure_factor(*ground, share * ground.least_height) == exposure_factor(
        *ground, ground.least_height
    )


@given(TERRAIN_NAMES, st.floats(0.0, 200.0), st.floats(1.0, 40.0))
def test_twice_the_speed_is_four_times_the_pressure(name, height, speed):
    ground = TERRAINS[name]
    once = peak_velocity_pressure(speed, *ground, height)
    assert peak_velocity_pressure(2.0 * speed, *ground, height) == pytest.approx(4.0 * once, rel=1e-12)


def test_rougher_ground_shelters_a_hut():
    pressures = [peak_velocity_pressure(26.0, *TERRAINS[name], 1.2) for name in ("II", "III")]
    assert [round(each) for each in pressures] == [601, 541]


@pytest.mark.parametrize("height", [-1.0, 200.1, math.nan, math.inf])
def test_says_nothing_outside_its_heights(height):
    assert math.isnan(peak_velocity_pressure(25.0, 0.05, 2.0, height))
    assert math.isnan(turbulence_intensity(0.05, 2.0, height))


def test_says_nothing_of_impossible_ground_or_wind():
    assert math.isnan(terrain_factor(0.0))
    assert math.isnan(terrain_factor(math.nan))
    assert math.isnan(roughness_factor(2.0, 1.0, 10.0))
    assert math.isnan(basic_velocity_pressure(-1.0))
    assert math.isnan(basic_velocity_pressure(math.inf))
