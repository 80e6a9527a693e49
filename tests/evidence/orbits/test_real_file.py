"""A real broadcast file, where there is one: HUTWRIGHT_SHARED_DATA names the folder that holds it.

It is an IGS broadcast file of GPS, brdc1180.21n (28 April 2021), and not part of this project.
"""

import os
from pathlib import Path

import numpy as np
import pytest

from hutwright.evidence.orbits.reading import read_orbits
from hutwright.laws.dilution import dilutions
from hutwright.laws.gnss_time import gps_seconds
from hutwright.laws.orbit import OrbitElements, orbit_position
from hutwright.model.orbits import Satellite
from hutwright.model.site import Place
from hutwright.plant.sky.satellites import sky_over
from tests.published.orbits import G06_PLACE, GPS_DILUTION, GPS_FITTED, GPS_SEEN

FOLDER = os.environ.get("HUTWRIGHT_SHARED_DATA", "")
FILE = Path(FOLDER or ".") / "brdc1180.21n"
pytestmark = pytest.mark.skipif(
    not FOLDER or not FILE.is_file(), reason="HUTWRIGHT_SHARED_DATA names no folder with brdc1180.21n"
)
NOON = float(gps_seconds(2021, 4, 28, 43_200.0))


@pytest.fixture(scope="module")
def orbits():
    """What the file says."""
    return read_orbits(FILE, "brdc1180.21n", NOON)


def test_every_record_of_the_file_is_read(orbits):
    (group,) = orbits.elements
    assert len(group.satellites) == 105
    assert set(GPS_FITTED) <= {each.name for each in orbits.satellites}


@pytest.mark.published("precise orbit of 2021-04-28 (CODE, IGS MGEX): G06 at 18:00:00 GPS time")
def test_g06_stands_within_5_m_of_its_precise_orbit(orbits):
    (group,) = orbits.elements
    moment = float(gps_seconds(2021, 4, 28, 64_800.0))
    numbers = [n for n, each in enumerate(group.satellites) if each == Satellite("GPS", "G06")]
    nearest = min(numbers, key=lambda n: abs(group.epochs[n] - moment))
    elements = OrbitElements(*(np.asarray(each)[nearest] for each in group.elements))
    place = orbit_position(elements, moment - group.epochs[nearest])
    assert np.linalg.norm(place - np.array(G06_PLACE)) < 5.0


@pytest.mark.published(
    "precise orbits of 2021-04-28 (CODE, IGS MGEX): GPS from 48 N, 11 E above 10 deg (derived)"
)
def test_gps_is_seen_as_precise_orbits_have_it(orbits):
    hours = np.array(list(GPS_DILUTION))
    place = Place(latitude=np.radians(48.0), longitude=np.radians(11.0), elevation=0.0)
    sky = sky_over(place, orbits, gps_seconds(2021, 4, 28, 3600.0 * hours))
    known = np.array([each.name in GPS_FITTED for each in sky.satellites])  # the orbits leave one out: G11
    heard = sky.above(np.radians(10.0)) & known
    assert heard.sum(axis=1).tolist() == [9, 9, 9]
    found = dilutions(sky.azimuth, sky.elevation, heard).position
    np.testing.assert_allclose(found, list(GPS_DILUTION.values()), atol=0.001)
    for name, (azimuth, elevation) in GPS_SEEN.items():
        column = sky.satellites.index(Satellite("GPS", name))
        assert np.degrees(sky.azimuth[1, column]) == pytest.approx(azimuth, abs=0.06)
        assert np.degrees(sky.elevation[1, column]) == pytest.approx(elevation, abs=0.06)
