"""Fuses against the current of a start."""

import math

import numpy as np
import pytest

from hutwright.plant.start import motor_start
from tests.described import orchard
from tests.judged import check, levers, verdict

KEY = "wiring.fuse_inrush"
QUICK = "glass 5x20 quick F, IEC 60127-2 sheet 2"
SMALL = {"drive.rating.current": "1 A", "drive.no_load.current": "0.4 A", "electronics.logic": None}


def test_the_limit_is_the_heat_of_the_start_over_its_peak_squared():
    described = orchard({"electronics.logic": None, "drive.motor.inductance": "0.001 mH"})
    found = check(described, KEY, "main")
    start = motor_start(described.project, described.project.site.air.coldest)
    assert start is not None
    times = np.linspace(0.0, start.duration, 40_001)
    heat = float(np.trapezoid(start.current(times) ** 2, times))
    assert found.limit == pytest.approx(heat / start.loop.stall_current**2, rel=5e-3)


def test_inductance_hardly_changes_the_heat_of_a_start():
    described = orchard({"electronics.logic": None, "drive.motor.inductance": "2 mH"})
    start = motor_start(described.project, described.project.site.air.coldest)
    assert start is not None
    times = np.linspace(0.0, start.duration, 40_001)
    heat = float(np.trapezoid(start.current(times) ** 2, times))
    limit = check(described, KEY, "main").limit * start.loop.stall_current**2
    assert limit == pytest.approx(heat, rel=0.05)


@pytest.mark.published(
    "IEC 60127-2, sheet 2: at 4 times the rating not before 10 ms, at 2.75 times not before 50 ms"
)
def test_a_quick_glass_fuse_may_blow_at_a_start():
    described = orchard({**SMALL, "fuses.main.kind": QUICK, "fuses.main.rating": "1.25 A"})
    found = check(described, KEY, "main")
    multiple = found.working[0].result.value / 1.25
    assert 2.75 < multiple < 4.0
    assert found.value == pytest.approx(0.010 * (4.0 / multiple) ** 2, rel=1e-9)
    assert verdict(described, KEY, "main").status.value == "misses"


def test_a_larger_or_a_slower_fuse_mends_it():
    described = orchard({**SMALL, "fuses.main.kind": QUICK, "fuses.main.rating": "1.25 A"})
    found = levers(described, KEY, "main")
    assert set(found) == {"another kind of main"}  # glass cannot break what this battery pushes
    blade = orchard({**SMALL, "fuses.main.rating": "1 A", "drive.motor.time_constant": "80 ms"})
    assert "another rating of main" in levers(blade, KEY, "main")


def test_what_lasts_beyond_an_hour_lasts_for_ever():
    assert check(orchard({"fuses.main.rating": "10 A"}), KEY, "main").value == 3600.0


def test_a_motor_too_weak_to_start_is_unknown():
    weak = {"drive.rating.current": "5.5 A", "drive.stall.current": "6 A"}
    assert math.isnan(check(orchard(weak), KEY, "main").value)


def test_the_logic_on_the_same_fuse_counts():
    alone, both = check(orchard({"electronics.logic": None}), KEY, "main"), check(orchard(), KEY, "main")
    more = both.working[0].result.value - alone.working[0].result.value
    assert more == pytest.approx(0.075, rel=1e-9)


def test_a_rating_that_is_not_made_is_unknown():
    assert math.isnan(check(orchard({"fuses.main.rating": "45 A"}), KEY, "main").value)
