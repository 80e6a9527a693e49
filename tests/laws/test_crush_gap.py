"""Gaps that close on body parts, and openings that one reaches through."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.catalogue.body_gaps import BODY_GAPS, LEAST_GAPS
from hutwright.laws.crush_gap import (
    FINGER_ENTERS,
    FINGER_SAFE,
    OpeningShape,
    finger_fits,
    gap_closes_on,
    gap_passes,
    parts_passed,
    reach_distance,
)
from tests.published.doors import REACH_MM

GAPS = st.floats(0.0, 1.0)


@pytest.mark.published(
    "ISO 13854:2017, least gaps: finger 25, hand 100, arm 120, body 500 mm; two lists agree"
)
@pytest.mark.parametrize(
    ("part", "least"), [("finger", 0.025), ("hand", 0.100), ("arm", 0.120), ("body", 0.500)]
)
def test_a_gap_passes_through_a_part_exactly_at_the_printed_value(part, least):
    assert part in parts_passed(least, least - 1e-6, LEAST_GAPS)
    assert part not in parts_passed(least - 1e-6, 0.0, LEAST_GAPS)
    assert part not in parts_passed(1.0, least, LEAST_GAPS)


def test_a_wide_gap_that_shuts_passes_through_all_of_them_widest_first():
    passed = parts_passed(0.6, 0.0, LEAST_GAPS)
    assert set(passed) == set(BODY_GAPS)
    assert passed[0] == "body"
    assert passed[-1] == "finger"


@pytest.mark.published("DGUV 208-022 table 2 after ISO 13857: slots, squares, circles, least distances")
@pytest.mark.parametrize(("size", "slot", "square", "circle"), REACH_MM)
def test_the_distance_behind_an_opening_is_the_printed_one(size, slot, square, circle):
    found = [reach_distance(size / 1000.0, shape) * 1000.0 for shape in OpeningShape]
    assert found == pytest.approx([slot, square, circle], rel=1e-9)


@pytest.mark.published(
    "DGUV 208-022 table 2 after ISO 13857: a slot of 65 mm stops the thumb, 200 mm suffice"
)
def test_a_short_slot_stops_the_thumb():
    assert reach_distance(0.035, OpeningShape.SLOT, length=0.065) == 0.200
    assert reach_distance(0.035, OpeningShape.SLOT, length=0.066) == 0.850
    assert reach_distance(0.008, OpeningShape.SLOT, length=0.065) == 0.020


@pytest.mark.published("49 CFR 571.118, S5: obstacles from 4 mm; ISO 13854:2017: fingers are safe at 25 mm")
def test_a_finger_fits_between_4_and_25_mm():
    assert (FINGER_ENTERS, FINGER_SAFE) == (0.004, 0.025)
    assert [finger_fits(gap) for gap in (0.004, 0.0041, 0.0249, 0.025)] == [False, True, True, False]


@given(GAPS, GAPS, st.floats(0.01, 0.6), st.floats(0.001, 0.2))
def test_what_a_gap_passes_through_it_can_close_on(start, end, least, entry):
    if gap_passes(start, end, least) and entry < least:
        assert gap_closes_on(start, end, least, entry)


@given(GAPS, st.floats(0.0, 1.0), st.floats(0.01, 0.6), st.floats(0.001, 0.2))
def test_a_gap_that_grows_or_stays_closes_on_nobody(start, more, least, entry):
    assert not gap_passes(start, start + more, least)
    assert not gap_closes_on(start, start + more, least, entry)


@given(st.floats(1e-4, 0.12), st.floats(1e-4, 0.12), st.sampled_from(OpeningShape))
def test_a_wider_opening_never_lets_a_hazard_come_nearer(one, other, shape):
    narrow, wide = sorted((one, other))
    assert reach_distance(narrow, shape) <= reach_distance(wide, shape)
    assert reach_distance(wide, OpeningShape.CIRCLE) <= reach_distance(wide, OpeningShape.SLOT)


@pytest.mark.parametrize("size", [0.0, -0.01, 0.121, math.nan, math.inf])
def test_says_nothing_of_openings_beyond_the_table(size):
    assert math.isnan(reach_distance(size, OpeningShape.SQUARE))
