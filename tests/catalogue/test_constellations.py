"""The constellations as planned."""

import numpy as np
import pytest

from hutwright.catalogue.constellations import (
    BEIDOU,
    CONSTELLATIONS,
    GALILEO,
    GLONASS,
    GPS_24,
    GPS_27,
    NOMINAL,
)
from hutwright.laws.gnss_time import DAY, SIDEREAL_DAY, gps_from_utc, gps_seconds
from hutwright.laws.orbit import orbit_position
from hutwright.laws.sidereal import greenwich_sidereal_angle
from hutwright.model.machine import SatelliteSystem
from tests.published.orbits import GALILEO_IN_SLOTS


def angles(constellation, slot, epoch):
    """Longitude of the node and argument of latitude of a slot, deg."""
    elements = constellation.elements()
    number = [each.name for each in constellation.slots].index(slot)
    elapsed = epoch - constellation.epoch
    node = elements.node[number] + (elements.node_rate - elements.earth_turning) * elapsed
    free = np.sqrt(elements.gravity / elements.semi_major_axis[number] ** 3)
    latitude = elements.mean_anomaly[number] + (free + elements.motion_added) * elapsed
    return np.degrees(node) % 360.0, np.degrees(latitude) % 360.0


def off(one, other):
    """Difference of two angles, deg."""
    return (one - other + 180.0) % 360.0 - 180.0


def test_every_system_of_a_receiver_has_its_constellation():
    assert set(NOMINAL) == {system.value for system in SatelliteSystem}
    assert all(CONSTELLATIONS[row.name] is row for row in NOMINAL.values())


@pytest.mark.parametrize(
    ("row", "count"), [(GPS_24, 24), (GPS_27, 27), (GALILEO, 24), (GLONASS, 24), (BEIDOU, 24)]
)
def test_each_has_its_slots_once_and_says_where_they_come_from(row, count):
    assert len({slot.name for slot in row.slots}) == count
    assert row.sources


@pytest.mark.published(
    "GPS SPS Performance Standard 2001, tables 3-1 and A-2-1: slot D3 at 92.847 and 35.156 deg"
)
def test_slot_d3_stands_where_the_standard_has_it_and_not_the_textbook():
    epoch = float(gps_from_utc(gps_seconds(1993, 7, 1)))
    node, latitude = angles(GPS_24, "D3", epoch)
    assert latitude == pytest.approx(35.156, abs=1e-6)
    assert off(node + np.degrees(greenwich_sidereal_angle(epoch)), 92.847) == pytest.approx(0.0, abs=0.01)


@pytest.mark.published(
    "Galileo reference constellation: slot A01 at 2016-11-21 00:00 UTC, 317.632 and 180.153 deg"
)
def test_galileo_slot_a1_comes_where_the_formula_is_printed_to_bring_it():
    epoch = float(gps_from_utc(gps_seconds(2016, 11, 21)))
    node, latitude = angles(GALILEO, "A1", epoch)
    # Leap seconds since 2010 (2 of them) move it by 0.014 deg; the printed formula counts days of UTC.
    assert off(latitude, 180.153) == pytest.approx(0.0, abs=0.02)
    # The node against the stars; the equinox itself has moved by 0.09 deg since 2010.
    assert off(node + np.degrees(greenwich_sidereal_angle(epoch)), 317.632) == pytest.approx(0.0, abs=0.1)


@pytest.mark.published(
    "IGS multi-GNSS broadcast files of 2020-05-15, 2023-03-14 (angles derived); IGS MGEX status page (slots)"
)
@pytest.mark.parametrize("real", GALILEO_IN_SLOTS, ids=lambda real: f"{real.satellite}-{real.slot}")
def test_real_galileo_satellites_stand_in_their_slots(real):
    node, latitude = angles(GALILEO, real.slot, real.epoch)
    assert off(node, real.node) == pytest.approx(0.0, abs=0.6)  # as 14 satellites did on 2021-04-28
    assert off(latitude, real.latitude) == pytest.approx(0.0, abs=2.0)


@pytest.mark.parametrize("row", CONSTELLATIONS.values(), ids=lambda row: row.name)
def test_tracks_repeat_over_the_ground(row):
    elements = row.elements()
    turns = row.days * 2 * np.pi / (elements.earth_turning - row.node_rate)
    start, end = (orbit_position(elements, elapsed) for elapsed in (0.0, turns))
    np.testing.assert_allclose(start, end, atol=1.0)
    assert turns == pytest.approx(row.days * SIDEREAL_DAY, rel=2e-4)


@pytest.mark.published("GLONASS orbits of a public page: 11 h 15 min; Galileo 14 h 04 min 42 s")
@pytest.mark.parametrize(
    ("row", "hours", "within"), [(GLONASS, 11.25, 0.02), (GALILEO, 14 + 4.7 / 60, 0.005)]
)
def test_one_turn_takes_as_long_as_printed(row, hours, within):
    rate = 2 * np.pi * row.orbits / row.days / SIDEREAL_DAY
    assert 2 * np.pi / rate / 3600.0 == pytest.approx(hours, abs=within)


@pytest.mark.parametrize("row", CONSTELLATIONS.values(), ids=lambda row: row.name)
def test_the_repeating_rate_is_that_of_the_radius_but_for_the_bulge(row):
    elements = row.elements()
    free = np.sqrt(elements.gravity / row.semi_major_axis**3)
    assert abs(elements.motion_added) < 3e-4 * free
    assert abs(row.node_rate) * DAY < np.radians(0.06)


@pytest.mark.parametrize("row", [GALILEO, GLONASS, BEIDOU], ids=lambda row: row.name)
def test_planes_lie_120_deg_apart_and_shift_by_15_deg(row):
    # Measured planes of GLONASS and BeiDou-3 keep to the plan within 2 deg.
    nodes = [row.slots[8 * plane].node_deg for plane in range(3)]
    shift = [row.slots[8 * plane].latitude_deg % 45.0 for plane in range(3)]
    for plane in (1, 2):
        assert off(nodes[plane] - nodes[0], 120.0 * plane) == pytest.approx(0.0, abs=2.0)
        assert (shift[plane] - shift[0] - 15.0 * plane + 22.5) % 45.0 - 22.5 == pytest.approx(0.0, abs=2.0)
