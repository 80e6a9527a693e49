"""The stroke against what the rod must span, by pencil and with every lever pulled."""

from __future__ import annotations

from math import cos, hypot, radians, sin

import pytest

from hutwright.checks.verdict import Status
from tests.trades.door.judged import calm, check, checks, field, levers, verdict

KEY = "door.linkage_reach"


def open_length(degrees: float) -> float:
    """Rod of the orchard's door at an angle: its head turns about (y, z) = (-8, 570) mm."""
    y, z, q = 0.03 + 0.008, 0.35 - 0.57, radians(degrees)
    return hypot(-0.008 + y * cos(q) + z * sin(q) - 0.46, 0.57 - y * sin(q) + z * cos(q) - 0.27)


def test_agrees_with_a_pencil():
    found = check(calm(), KEY)
    spare_in = hypot(0.43, 0.08) - 0.425
    spare_out = 0.425 + 0.300 - open_length(82.0)
    assert found.value == pytest.approx(min(spare_in, spare_out), abs=1e-12)
    assert "open" in found.working[0].words
    assert "shut" in found.working[1].words


def test_a_rod_that_is_longest_on_the_way_is_measured_there():
    """The head swings past the line through hinge and foot: there the rod is longest, at its dead centre."""
    foot = {"x": "0.47 m", "y": "0.25 m", "z": "0.60 m"}
    passing = {"linkage.foot": foot, "door.open_angle": "120 deg"}
    found = check(calm(passing), KEY)
    reach = hypot(0.25 + 0.008, 0.60 - 0.57) + hypot(0.03 + 0.008, 0.35 - 0.57)
    assert found.working[0].numbers["L_greatest"].value == pytest.approx(reach, abs=1e-9)
    assert "from shut" in found.working[0].words


@pytest.mark.parametrize("stroke", ["200 mm", "250 mm"])
def test_a_stroke_that_is_too_short_misses_and_a_longer_one_is_named(stroke):
    short = calm({"drive.length.stroke": stroke})
    assert verdict(short, KEY).status is Status.MISSES
    pulled = levers(short, KEY)
    longer = pulled["take a drive with a stroke of"]
    assert longer.needed == pytest.approx(open_length(82.0) - 0.425 + 0.002, abs=1e-9)
    assert longer.option is not None
    assert longer.option.changes[("drive", "length", "stroke")] == "0.3 m"


def test_a_drive_that_is_too_long_misses_and_another_place_of_its_pin_serves():
    long = calm({"drive.length.shortest": "0.46 m"})
    assert verdict(long, KEY).status is Status.MISSES
    pulled = levers(long, KEY)
    assert any(lever.path[:2] in (("linkage", "foot"), ("linkage", "head")) for lever in pulled.values())
    assert "take a drive (or an eye) that measures, drawn in, between its pins" in pulled


def test_a_belt_that_runs_less_far_than_the_leaf_misses():
    belt = field({"drive.length": {"shortest": "0.10 m", "stroke": "0.80 m"}})
    assert check(belt, KEY).value == pytest.approx(0.80 - 0.82)
    assert "take a drive with a stroke of" in levers(belt, KEY)


def test_does_not_arise_for_a_drive_of_no_described_length():
    assert checks(field(), KEY) == {}
