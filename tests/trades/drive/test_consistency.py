"""A listing against itself."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hutwright.plant.motor import drive_constants
from tests.described import orchard
from tests.trades.drive.judged import check, levers

KEY = "drive.consistency"


def test_agrees_with_a_pencil():
    rotor = (30.0 * 2.6 - 22.0 * 0.8) / 1.8 / 1000.0  # m/s without friction
    found = check(orchard(), KEY, "efficiency")
    assert found.value == pytest.approx(300.0 * rotor / (12.0 * 1.8), rel=1e-9)
    assert found.value == pytest.approx(drive_constants(orchard().project).efficiency, rel=1e-9)


def test_the_stall_of_an_honest_listing_lies_on_its_line():
    line = (30.0 * 2.6 - 22.0 * 0.8) / 8.0
    assert check(orchard(), KEY, "stall").value == pytest.approx(line / 7.5, rel=1e-9)


def test_a_listing_that_promises_more_work_than_it_takes_is_found():
    boast = orchard({"drive.rating.force": "900 N"})
    found = check(boast, KEY, "efficiency")
    assert found.margin < 0.0
    dial = levers(boast, KEY, "efficiency")["count on a rated force of no more than"]
    assert dial.needed == pytest.approx(900.0 / found.value, rel=1e-6)


def test_a_stall_current_far_off_the_line_is_found():
    strange = orchard({"drive.stall.current": "20 A"})
    found = levers(strange, KEY, "stall")
    dial = found["measure the stall current; the other numbers agree with it from"]
    assert dial.needed is not None
    assert dial.needed < 20.0


def test_two_points_that_are_one_make_no_line():
    assert math.isnan(check(orchard({"drive.no_load.speed": "22 mm/s"}), KEY, "stall").value)
    assert math.isnan(check(orchard({"drive.no_load.current": "2.6 A"}), KEY, "efficiency").value)


@settings(max_examples=25, deadline=None)
@given(st.floats(0.5, 3.0))
def test_gearing_changes_nothing_about_it(gear):
    changes = {
        "drive.rating.force": f"{300.0 * gear:.9f} N",
        "drive.rating.speed": f"{22.0 / gear:.9f} mm/s",
        "drive.no_load.speed": f"{30.0 / gear:.9f} mm/s",
    }
    for subject in ("efficiency", "stall"):
        geared, plain = (check(each, KEY, subject).value for each in (orchard(changes), orchard()))
        assert geared == pytest.approx(plain, rel=1e-6)
