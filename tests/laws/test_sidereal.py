"""How far the Earth has turned."""

import numpy as np
import pytest

from hutwright.laws.gnss_time import DAY, SIDEREAL_DAY, gps_from_utc, gps_seconds
from hutwright.laws.sidereal import greenwich_sidereal_angle


@pytest.mark.published(
    "GPS SPS Performance Standard 2001, table 3-1: 18 h 36 min 14.4 s at 1993-07-01 00:00 UTC"
)
def test_greenwich_stands_as_printed_at_the_epoch_of_the_gps_slots():
    angle = np.degrees(greenwich_sidereal_angle(gps_from_utc(gps_seconds(1993, 7, 1))))
    assert angle == pytest.approx((18 + 36 / 60 + 14.4 / 3600) * 15.0, abs=0.01)


@pytest.mark.published(
    "precise orbits of 2021-04-28: Greenwich angle 171.977 deg at 21:00 GPS time (derived)"
)
def test_greenwich_stands_where_another_calculation_has_it():
    angle = np.degrees(greenwich_sidereal_angle(gps_seconds(2021, 4, 28, 21 * 3600.0)))
    assert angle == pytest.approx(171.977, abs=0.01)


def test_one_sidereal_day_is_one_turn():
    start = float(gps_seconds(2026, 3, 1))
    turned = greenwich_sidereal_angle(start + SIDEREAL_DAY) - greenwich_sidereal_angle(start)
    assert np.sin(turned) == pytest.approx(0.0, abs=1e-7)
    later = greenwich_sidereal_angle(start + 10.0 * DAY)
    assert np.degrees(later - greenwich_sidereal_angle(start)) % 360.0 == pytest.approx(9.856, abs=0.001)
