"""Almanacs and navigation files, read back."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.errors import RequestError
from hutwright.evidence.orbits.reading import parse_orbits, read_all_orbits, read_orbits
from hutwright.evidence.side_file import EvidenceError
from hutwright.laws.gnss_time import WEEK, gps_from_utc, gps_seconds
from hutwright.laws.orbit import EARTH_TURNING
from hutwright.model.orbits import Satellite
from tests.evidence.orbits.made import (
    FIELDS,
    PLAIN,
    STATES,
    record_2,
    record_3,
    rinex_2,
    rinex_3,
    sem,
    yuma,
)
from tests.published.orbits import YUMA_SAMPLE

NEAR = float(gps_seconds(2021, 4, 28))
ORBITS = st.fixed_dictionaries(
    {
        "eccentricity": st.floats(0.0, 0.03),
        "second": st.integers(0, 604_799).map(float),
        "tilt": st.floats(0.9, 1.0),
        "node_rate": st.floats(-1e-8, 0.0),
        "root_axis": st.floats(5150.0, 5160.0),
        "node": st.floats(-3.14, 3.14),
        "perigee": st.floats(-3.14, 3.14),
        "mean_anomaly": st.floats(-3.14, 3.14),
    }
)


def elements(orbits, record=0):
    """Elements and epoch of one record."""
    group = orbits.elements[0]
    return {name: value[record] for name, value in group.elements._asdict().items()}, group.epochs[record]


def agrees(found, epoch, wanted, whole_week):
    """Holds what was read to what was written, to the digits that the form has."""
    assert found["semi_major_axis"] == pytest.approx(wanted["root_axis"] ** 2, abs=0.02)
    assert found["eccentricity"] == pytest.approx(wanted["eccentricity"], abs=1e-11)
    assert found["inclination"] == pytest.approx(wanted["tilt"], abs=1e-9)
    assert found["node_rate"] == pytest.approx(wanted["node_rate"], abs=1e-17)
    assert found["perigee"] == pytest.approx(wanted["perigee"], abs=1e-8)
    assert found["mean_anomaly"] == pytest.approx(wanted["mean_anomaly"], abs=1e-9)
    assert found["node"] == pytest.approx(wanted["node"] - EARTH_TURNING * wanted["second"], abs=1e-8)
    assert epoch == whole_week * WEEK + wanted["second"]


@pytest.mark.published("definition of a YUMA almanac on a public page of orbital data: PRN-01 of week 755")
def test_reads_the_published_sample_record():
    text = yuma(YUMA_SAMPLE)
    found, epoch = elements(parse_orbits(text, "sample.alm", 755 * WEEK))
    agrees(found, epoch, YUMA_SAMPLE, 755)


@pytest.mark.published(
    "definition of a SEM almanac on a public page of orbital data; PRN-01 of week 755 in that form"
)
def test_reads_the_same_record_in_the_other_form():
    found, epoch = elements(parse_orbits(sem(YUMA_SAMPLE), "sample.al3", 755 * WEEK))
    agrees(found, epoch, YUMA_SAMPLE, 755)


@given(ORBITS)
def test_an_almanac_comes_back_from_either_form(orbit):
    for text in (yuma(orbit), sem(orbit)):
        found, epoch = elements(parse_orbits(text, "a", NEAR))
        agrees(found, epoch, orbit, 1024 * 2 + 121)


@pytest.mark.published("public sample files: labels and number styles of YUMA almanacs")
@pytest.mark.parametrize(
    ("written", "met"),
    [
        ("Right Ascen at Week(rad):", "Right Ascen at TOA(rad):"),
        ("SQRT(A)  (m 1/2):", "SQRT(A)  (m^1/2):"),
        ("4.2000000000E-03", "0.4200000000E-002"),
        ("********\nID", "***GPSIC****\nID"),
        ("******** Week", "**** Week "),
        ("for PRN-07", "for SV-07"),
        ("\n", "\r\n"),
        ("ID:  ", "ID:\t"),
    ],
)
def test_reads_the_labels_and_numbers_that_publishers_write(tmp_path, written, met):
    text = yuma({})
    assert written in text
    file = tmp_path / "a.alm"
    file.write_bytes(text.replace(written, met).encode())
    found, epoch = elements(read_orbits(file, "a.alm", NEAR))
    agrees(found, epoch, PLAIN, 2169)


@pytest.mark.parametrize(("near", "week"), [(2155, 2169), (1150, 1145), (100, 121), (3200, 3193)])
def test_takes_the_turn_of_the_week_number_that_is_nearest(near, week):
    _, epoch = elements(parse_orbits(yuma({}), "a", near * WEEK))
    assert epoch == week * WEEK + PLAIN["second"]


def test_a_sick_satellite_is_known_as_such():
    for text in (yuma({}, {"number": 8, "health": 63}), sem({}, {"number": 8, "health": 63})):
        group = parse_orbits(text, "a", NEAR).elements[0]
        assert list(group.healthy) == [True, False]
        assert group.satellites == (Satellite("GPS", "G07"), Satellite("GPS", "G08"))


@pytest.mark.parametrize("text", [rinex_3(record_3()), rinex_2(record_2())], ids=["edition 3", "edition 2"])
def test_reads_every_field_of_a_broadcast_ephemeris(text):
    found, epoch = elements(parse_orbits(text, "a.rnx", NEAR))
    names = {
        "radius_sine": (1, 1), "motion_added": (1, 2), "mean_anomaly": (1, 3), "latitude_cosine": (2, 0),
        "eccentricity": (2, 1), "latitude_sine": (2, 2), "inclination_cosine": (3, 1),
        "inclination_sine": (3, 3), "inclination": (4, 0), "radius_cosine": (4, 1), "perigee": (4, 2),
        "node_rate": (4, 3), "inclination_rate": (5, 0),
    }  # fmt: skip
    for name, place in names.items():
        assert found[name] == pytest.approx(FIELDS[place], rel=1e-11), name
    assert found["semi_major_axis"] == pytest.approx(5153.75**2)
    assert epoch == 2155 * WEEK + 323_984.0


def test_beidou_time_runs_behind_and_galileo_time_does_not():
    texts = [rinex_3(record_3(name)) for name in ("G07", "E07", "C27")]
    gps, galileo, beidou = (elements(parse_orbits(text, "a", NEAR))[1] for text in texts)
    assert galileo == gps
    assert beidou == gps + 14.0


def test_an_ephemeris_of_the_turn_of_the_week_falls_in_the_right_one():
    saturday = record_3(moment=(2021, 5, 1, 23, 59, 44), fields={(3, 0): 0.0})
    _, epoch = elements(parse_orbits(rinex_3(saturday), "a", NEAR))
    assert epoch == 2156 * WEEK


@pytest.mark.parametrize(
    "text",
    [
        rinex_3(record_3("R01")),
        rinex_3(record_3("R01", lines=5)),
        rinex_2(record_2(1, state=True), kind="G"),
    ],
    ids=["edition 3", "edition 3.05", "edition 2"],
)
def test_reads_glonass_in_utc_and_kilometres(text):
    group = parse_orbits(text, "a", NEAR).states[0]
    assert group.satellites == (Satellite("GLONASS", "R01"),)
    assert group.epochs[0] == gps_from_utc(gps_seconds(2021, 4, 28, 18 * 3600.0))
    np.testing.assert_allclose(group.positions[0], [1e3 * STATES[n, 0] for n in (1, 2, 3)])
    np.testing.assert_allclose(group.velocities[0], [1e3 * STATES[n, 1] for n in (1, 2, 3)])
    np.testing.assert_allclose(group.accelerations[0], [1e3 * STATES[n, 2] for n in (1, 2, 3)])


def test_a_high_beidou_satellite_over_the_equator_is_told_from_an_inclined_one():
    high = {(2, 3): 6493.3}
    still = record_3("C01", fields=high | {(4, 0): 0.09})
    leaning = record_3("C08", fields=high | {(4, 0): 0.96})
    group = parse_orbits(rinex_3(still, leaning), "a", NEAR).elements[0]
    assert list(group.geostationary) == [True, False]


@pytest.mark.parametrize(
    ("name", "health", "usable"),
    [("G07", 0.0, True), ("G07", 63.0, False), ("E07", 0.0, True), ("E07", 5.0, False), ("E07", 56.0, True)],
)
def test_hears_what_a_satellite_says_of_its_health(name, health, usable):
    group = parse_orbits(rinex_3(record_3(name, fields={(6, 1): health})), "a", NEAR).elements[0]
    assert bool(group.healthy[0]) is usable


def test_leaves_out_other_systems_and_reads_on():
    text = rinex_3(record_3("J02"), record_3("S23"), record_3("I05"), record_3("G07"))
    assert parse_orbits(text, "a", NEAR).satellites == (Satellite("GPS", "G07"),)


def test_a_last_century_year_is_one():
    _, epoch = elements(parse_orbits(rinex_2(record_2(moment=(99, 8, 25, 18, 0, 0.0))), "a", NEAR))
    assert epoch == 1024 * WEEK + 323_984.0


def test_several_files_are_taken_together_and_all_their_faults_told(tmp_path):
    (tmp_path / "a.alm").write_text(yuma({}))
    (tmp_path / "b.rnx").write_text(rinex_3(record_3("R01")))
    files = [(tmp_path / name, name) for name in ("a.alm", "b.rnx")]
    orbits = read_all_orbits(files, NEAR)
    assert orbits.satellites == (Satellite("GLONASS", "R01"), Satellite("GPS", "G07"))
    assert not orbits.nominal
    (tmp_path / "a.alm").write_text(yuma({"eccentricity": 0.9}))
    (tmp_path / "b.rnx").write_text(rinex_3(record_3("R01", fields={(3, 0): 0.0})))
    with pytest.raises(EvidenceError) as caught:
        read_all_orbits(files, NEAR)
    assert [(fault.file, fault.line) for fault in caught.value.faults] == [("a.alm", 4), ("b.rnx", 3)]


def test_no_file_at_all_is_no_question():
    with pytest.raises(RequestError, match="0 files"):
        read_all_orbits([], NEAR)
