"""Where every satellite stands over a day."""

import dataclasses

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hutwright.catalogue.constellations import GLONASS
from hutwright.errors import RequestError
from hutwright.laws.dilution import dilutions
from hutwright.laws.geodesy import earth_fixed, look_angles
from hutwright.laws.gnss_time import DAY, SIDEREAL_DAY, gps_seconds
from hutwright.laws.orbit import EARTH_TURNING, GALILEO_GRAVITY, OrbitElements, orbit_position
from hutwright.model.machine import SatelliteSystem
from hutwright.model.orbits import ElementOrbits, Orbits, Satellite, StateOrbits
from hutwright.model.site import Place
from hutwright.plant.sky.satellites import STALE, moments, planned_orbits, sky_over
from tests.published.orbits import GLONASS_SEEN

ALL = tuple(SatelliteSystem)
START = float(gps_seconds(2026, 6, 1))


def place(latitude, longitude=11.0, elevation=0.0):
    """A place by degrees."""
    return Place(latitude=np.radians(latitude), longitude=np.radians(longitude), elevation=elevation)


def planned_positions(row, epochs):
    """Places of a planned constellation in the turning frame, moments x slots x 3."""
    return orbit_position(row.elements(), np.asarray(epochs)[:, None] - row.epoch)


def as_states(row, epochs):
    """A planned constellation as the states that its satellites would send at the given moments."""
    places = planned_positions(row, epochs)
    speeds = (planned_positions(row, epochs + 0.5) - planned_positions(row, epochs - 0.5)) / 1.0
    names = [Satellite(row.system, f"R{int(slot.name):02d}") for slot in row.slots]
    count = len(epochs)
    return StateOrbits(
        satellites=tuple(names * count),
        epochs=np.repeat(epochs, len(names)),
        positions=places.reshape(-1, 3),
        velocities=speeds.reshape(-1, 3),
        accelerations=np.zeros((count * len(names), 3)),
        healthy=np.ones(count * len(names), dtype=bool),
    )


def orbits(*, elements=(), states=()):
    """Orbits from files, in groups."""
    return Orbits(origin="made here", nominal=False, elements=tuple(elements), states=tuple(states))


def single(epoch, *, healthy=True, node=0.0, name="G07"):
    """One record of one satellite."""
    values = OrbitElements(*(np.array([each]) for each in (26_560e3, 0.01, 0.96, node, -8e-9, 0.3, 0.7)))
    return ElementOrbits(
        satellites=(Satellite("GPS", name),),
        elements=OrbitElements(*(np.atleast_1d(np.asarray(each, dtype=float)) for each in values)),
        epochs=np.array([epoch]),
        healthy=np.array([healthy]),
        geostationary=np.array([False]),
    )


def test_a_day_is_one_turn_of_the_earth_in_equal_steps():
    day = moments(START)
    assert len(day) == 288
    assert day[0] == START
    np.testing.assert_allclose(np.diff(day), 300.0)
    assert day[-1] < START + SIDEREAL_DAY <= day[-1] + 300.0


@pytest.mark.parametrize(("span", "step"), [(0.0, 300.0), (1e9, 1.0), (np.nan, 300.0), (86_164.0, 0.1)])
def test_refuses_days_of_no_or_too_many_moments(span, step):
    with pytest.raises(RequestError, match="ask for a shorter span"):
        moments(START, span=span, step=step)


def test_four_systems_over_a_day_are_one_array():
    sky = sky_over(place(51.2), planned_orbits(ALL, expanded=True), moments(START))
    assert sky.azimuth.shape == sky.elevation.shape == sky.age.shape == (288, 99)
    assert np.isfinite(sky.elevation).all()
    assert sky.nominal
    assert sky.of([SatelliteSystem.GPS]).sum() == 27
    assert len(set(sky.clocks.tolist())) == 4


def test_each_direction_is_that_of_one_satellite_at_one_moment():
    epochs = moments(START, span=3_600.0)
    sky = sky_over(place(51.2, elevation=200.0), planned_orbits([SatelliteSystem.GLONASS]), epochs)
    points = planned_positions(GLONASS, epochs)
    for slot in (0, 13):
        column = sky.satellites.index(Satellite("GLONASS", GLONASS.slots[slot].name))
        wanted = look_angles(points[7, slot], np.radians(51.2), np.radians(11.0), 200.0)
        assert sky.azimuth[7, column] == pytest.approx(float(wanted.azimuth))
        assert sky.elevation[7, column] == pytest.approx(float(wanted.elevation))


@pytest.mark.practice(
    "31 to 35 satellites of four systems above 5 deg on average at 45 to 67 N, half below 30 deg"
)
@pytest.mark.parametrize("latitude", [45.0, 51.2, 60.0, 67.0])
def test_as_many_satellites_are_up_as_receivers_show(latitude):
    sky = sky_over(place(latitude), planned_orbits(ALL), moments(START))
    up = sky.above(np.radians(5.0))
    assert 31.0 <= up.sum(axis=1).mean() <= 36.0
    low = up & (sky.elevation < np.radians(30.0))
    assert 0.45 <= low.sum() / up.sum() <= 0.55


@pytest.mark.published("precise orbits of 2021-04-28 (CODE, IGS MGEX): GLONASS from 48 N, 11 E above 10 deg")
def test_planned_glonass_is_seen_like_the_real_one_that_day():
    hours = np.array(list(GLONASS_SEEN))
    sky = sky_over(
        place(48.0), planned_orbits([SatelliteSystem.GLONASS]), gps_seconds(2021, 4, 28, 3600.0 * hours)
    )
    seen = sky.above(np.radians(10.0)).sum(axis=1)
    np.testing.assert_allclose(seen, list(GLONASS_SEEN.values()), atol=1)  # one stands at the edge


@given(st.floats(-66.0, 66.0), st.floats(-180.0, 180.0))
@settings(max_examples=10)
def test_planned_gps_comes_back_each_sidereal_day_and_mirrored_nowhere_else(latitude, longitude):
    gps = planned_orbits([SatelliteSystem.GPS])
    here = place(latitude, longitude)
    turn = 2 * np.pi / (EARTH_TURNING - np.radians(-4.4874e-7))
    today, tomorrow = (sky_over(here, gps, START + np.array([0.0, 7_000.0]) + off) for off in (0.0, turn))
    np.testing.assert_allclose(today.elevation, tomorrow.elevation, atol=1e-6)


@given(st.floats(-80.0, 80.0), st.floats(-3.0, 3.0), st.floats(0.0, 6.28))
def test_the_mirror_image_of_the_sky_belongs_to_the_mirror_image_of_the_place(latitude, node, mean):
    one, other = (
        dataclasses.replace(
            single(START),
            elements=single(START).elements._replace(
                inclination=np.array([side * 0.96]), node=np.array([node]), mean_anomaly=np.array([mean])
            ),
        )
        for side in (1, -1)
    )
    north = sky_over(place(latitude), orbits(elements=[one]), np.array([START]))
    south = sky_over(place(-latitude), orbits(elements=[other]), np.array([START]))
    assert north.elevation[0, 0] == pytest.approx(south.elevation[0, 0], abs=1e-9)
    assert np.cos(north.azimuth[0, 0]) == pytest.approx(-np.cos(south.azimuth[0, 0]), abs=1e-6)


def test_the_nearest_record_counts_and_its_age_is_kept():
    first, second = single(START, node=0.0), single(START + 7_200.0, node=1.0)
    both = ElementOrbits(
        satellites=first.satellites + second.satellites,
        elements=OrbitElements(
            *(np.concatenate(pair) for pair in zip(first.elements, second.elements, strict=True))
        ),
        epochs=np.concatenate([first.epochs, second.epochs]),
        healthy=np.array([True, True]),
        geostationary=np.array([False, False]),
    )
    epochs = START + np.array([-600.0, 3_000.0, 4_000.0, 9_000.0])
    sky = sky_over(place(50.0), orbits(elements=[both]), epochs)
    assert sky.age[:, 0].tolist() == [600.0, 3_000.0, 3_200.0, 1_800.0]
    for moment, record in ((1, first), (2, second)):
        alone = sky_over(place(50.0), orbits(elements=[record]), epochs[moment : moment + 1])
        assert sky.azimuth[moment, 0] == pytest.approx(alone.azimuth[0, 0])
    # as two files that both know the satellite
    apart = sky_over(place(50.0), orbits(elements=[first, second]), epochs)
    np.testing.assert_allclose(apart.elevation, sky.elevation)


def test_a_sick_satellite_or_one_of_an_old_record_is_not_there():
    epochs = START + np.array([0.0, STALE - 1.0, STALE + 1.0])
    well = sky_over(place(50.0), orbits(elements=[single(START)]), epochs)
    assert np.isfinite(well.elevation[:, 0]).tolist() == [True, True, False]
    assert not well.above(-np.pi)[2, 0]
    sick = sky_over(place(50.0), orbits(elements=[single(START, healthy=False)]), epochs)
    assert np.isnan(sick.elevation).all()


def test_a_geostationary_satellite_stands_still_in_the_sky():
    axis = (GALILEO_GRAVITY / EARTH_TURNING**2) ** (1 / 3)
    tilt = np.radians(5.0)
    group = dataclasses.replace(
        single(START, name="C03"),
        elements=OrbitElements(
            *(np.array([each]) for each in (axis, 0.0, tilt, np.pi, 0.0, 0.0, np.pi + 0.35, GALILEO_GRAVITY)),
            *(np.zeros(1) for _ in range(9)),
        )._replace(earth_turning=np.array([EARTH_TURNING])),
        geostationary=np.array([True]),
    )
    sky = sky_over(place(50.0, 20.0), orbits(elements=[group]), moments(START))
    assert np.ptp(sky.azimuth) < 1e-5
    assert np.ptp(sky.elevation) < 1e-5
    wanted = look_angles(earth_fixed(0.0, 0.35, axis - 6_378_137.0), np.radians(50.0), np.radians(20.0), 0.0)
    assert sky.elevation[0, 0] == pytest.approx(float(wanted.elevation), abs=2e-3)  # cos 5 deg in longitude


def test_states_every_half_hour_give_the_orbit_they_were_taken_from():
    sent = START + np.arange(-1.0, 13.0) * 1_800.0
    epochs = moments(START, span=20_000.0, step=200.0)
    sky = sky_over(place(51.2), orbits(states=[as_states(GLONASS, sent)]), epochs)
    wanted = look_angles(planned_positions(GLONASS, epochs), np.radians(51.2), np.radians(11.0), 0.0)
    np.testing.assert_allclose(sky.elevation, wanted.elevation, atol=1e-5)
    assert sky.age.max() <= 900.0


@pytest.mark.parametrize("away", [-3.0, 3.0])
def test_one_state_of_days_ago_still_shows_where_to_look(away):
    epochs = START + away * DAY + np.arange(0.0, 86_000.0, 4_300.0)
    sky = sky_over(place(51.2), orbits(states=[as_states(GLONASS, np.array([START]))]), epochs)
    wanted = look_angles(planned_positions(GLONASS, epochs), np.radians(51.2), np.radians(11.0), 0.0)
    # A circle taken for the true motion brings the bulge's wave of 2 km into the period: 0.2 deg a day.
    assert np.degrees(np.abs(sky.elevation - wanted.elevation)).max() < 0.2 * (abs(away) + 2.0)


def test_files_of_elements_and_of_states_are_one_sky():
    mixed = orbits(elements=[single(START)], states=[as_states(GLONASS, np.array([START]))])
    sky = sky_over(place(51.2), mixed, moments(START, span=900.0))
    assert [each.system_name for each in sky.satellites] == ["GLONASS"] * 24 + ["GPS"]
    assert np.isfinite(sky.elevation).all()


# ---- published availability ---------------------------------------------------------------------------

STEP_DEG = 6.0


@pytest.fixture(scope="module")
def gps_everywhere():
    """Position dilution of 24 planned GPS satellites over the globe and a day, by slots that are out."""
    gps = planned_orbits([SatelliteSystem.GPS])
    day = moments(START)
    outages = {"none": (), "one": ("A3",), "three": ("A2", "E3", "F2")}
    shares: dict[str, list[float]] = {name: [] for name in outages}
    seen: list[np.ndarray] = []
    weights: list[float] = []
    for latitude in np.arange(-90.0 + STEP_DEG / 2, 90.0, STEP_DEG):
        for longitude in np.arange(-180.0, 180.0, STEP_DEG):
            sky = sky_over(place(latitude, longitude), gps, day)
            weights.append(np.cos(np.radians(latitude)))
            up = sky.above(np.radians(5.0))
            seen.append(up.sum(axis=1))
            for name, out in outages.items():
                left = np.array([each.name not in out for each in sky.satellites])
                found = dilutions(sky.azimuth, sky.elevation, up & left).position
                shares[name].append(float(np.mean(found <= 6.0)))
    means = {name: 100.0 * np.average(values, weights=weights) for name, values in shares.items()}
    worst = {name: 100.0 * min(values) for name, values in shares.items()}
    return means, worst, np.average([each.mean() for each in seen], weights=weights), np.array(seen)


@pytest.mark.slow
@pytest.mark.published(
    "Understanding GPS, 2nd edition, chapter 7: 99.969 % with slot A3 out, 5 deg, PDOP of 6"
)
def test_gps_with_one_slot_out_is_as_available_as_printed(gps_everywhere):
    assert gps_everywhere[0]["one"] == pytest.approx(99.969, abs=0.02)


@pytest.mark.slow
@pytest.mark.published("Understanding GPS, 2nd edition, chapter 7: 99.197 % with A2, E3 and F2 out")
def test_gps_with_three_slots_out_is_as_available_as_printed(gps_everywhere):
    assert gps_everywhere[0]["three"] == pytest.approx(99.197, abs=0.15)


@pytest.mark.slow
@pytest.mark.recalled(
    "GPS SPS Performance Standard, 3.8: at least 98 % on average and 88 % at the worst place"
)
def test_gps_holds_its_promise_everywhere(gps_everywhere):
    means, worst, _, _ = gps_everywhere
    assert min(means.values()) >= 98.0
    assert min(worst.values()) >= 88.0


@pytest.mark.slow
def test_all_24_satellites_give_what_another_calculation_found(gps_everywhere):
    means, _, mean, seen = gps_everywhere
    assert means["none"] == pytest.approx(100.0, abs=0.005)
    assert mean == pytest.approx(8.13, abs=0.1)
    assert (seen.min(), seen.max()) == (5, 12)
