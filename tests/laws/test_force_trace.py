"""Force over time at a closing edge."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.laws.force_trace import (
    CRUSH_GAP,
    INSTRUMENT_STIFFNESS,
    LASTING_FORCE,
    LASTING_TIME,
    REST_FORCE,
    REST_TIME,
    TEST_GAPS,
    TraceFigures,
    contact_time,
    force_from,
    keeps_limits,
    peak_limit,
    time_above,
    trace_figures,
)

# Given: 380 N peak, below 150 N at 0.6 s, 10 N at 4 s, gap 300 mm.
TIMES = [0.0, 0.1, 0.58, 0.62, 4.0, 6.0]
FORCES = [0.0, 380.0, 160.0, 140.0, 10.0, 10.0]
PRINTED = "EN 12453:2017+A1:2021, annex A, as reported by a trade federation and two other pages"


@pytest.mark.published(PRINTED)
def test_a_trace_that_keeps_all_three_limits_passes():
    figures = trace_figures(TIMES, FORCES)
    assert figures.peak == 380.0
    assert figures.lasting == pytest.approx(0.6 - 0.1 * 150.0 / 380.0, abs=1e-9)
    assert figures.rest == 10.0
    assert keeps_limits(figures, peak_limit(0.300, vertical=False))


@pytest.mark.published(PRINTED)
@pytest.mark.parametrize(
    "forces",
    [
        [0.0, 401.0, 160.0, 140.0, 10.0, 10.0],
        [0.0, 380.0, 160.0, 160.0, 10.0, 10.0],
        [0.0, 380.0, 160.0, 140.0, 30.0, 26.0],
    ],
)
def test_a_trace_that_breaks_any_one_limit_fails(forces):
    assert not keeps_limits(trace_figures(TIMES, forces), peak_limit(0.300, vertical=False))


@pytest.mark.published("EN 12453:2017+A1:2021, annex A, diagram in a gate-drive manual: 400, 1400, 150, 25 N")
def test_the_limits_are_the_printed_ones():
    assert [peak_limit(gap, vertical=False) for gap in (0.05, 0.3, 0.5, 0.501)] == [
        400.0,
        400.0,
        400.0,
        1400.0,
    ]
    assert (LASTING_FORCE, LASTING_TIME, REST_FORCE, REST_TIME, CRUSH_GAP) == (150.0, 0.75, 25.0, 5.0, 0.5)


@pytest.mark.published("EN 12453 annex C and EN 12445, as installers describe it: 500 N/mm, 50, 300, 500 mm")
def test_the_instrument_and_its_gaps_are_the_printed_ones():
    assert INSTRUMENT_STIFFNESS == 500e3
    assert TEST_GAPS == (0.05, 0.3, 0.5)


@pytest.mark.recalled("EN 12453, leaf moving up and down: 400 N in every gap; one supplier's page agrees")
def test_a_lifting_leaf_has_the_lower_limit_everywhere():
    assert [peak_limit(gap, vertical=True) for gap in (0.05, 0.5, 2.0)] == [400.0, 400.0, 400.0]


def test_a_leaf_that_stops_and_does_not_give_way_fails_for_ever():
    figures = trace_figures([0.0, 0.2, 6.0], [0.0, 200.0, 200.0])
    assert figures.lasting == math.inf
    assert not keeps_limits(figures, 400.0)


def test_a_trace_that_ends_too_early_is_not_passed():
    figures = trace_figures([0.0, 0.1, 1.0, 2.0], [0.0, 100.0, 0.0, 0.0])
    assert math.isnan(figures.rest)
    assert not keeps_limits(figures, 400.0)


def test_the_clock_starts_at_the_contact_wherever_it_lies_in_the_trace():
    times = [0.0, 10.0, *(10.0 + each for each in TIMES[1:])]
    forces = [0.0, 0.0, *FORCES[1:]]
    assert contact_time(times, forces) == 10.0
    assert trace_figures(times, forces) == pytest.approx(trace_figures(TIMES, FORCES), abs=1e-9)


def test_a_force_that_comes_back_counts_through():
    times = [0.0, 1.0, 2.0, 3.0, 4.0]
    assert time_above(times, [0.0, 200.0, 0.0, 200.0, 0.0], 100.0) == pytest.approx(3.0)


def test_without_a_contact_nothing_is_broken():
    figures = trace_figures([0.0, 1.0], [0.0, 0.0])
    assert figures == TraceFigures(0.0, 0.0, 0.0)
    assert math.isnan(contact_time([0.0, 1.0], [0.0, 0.0]))


@given(st.floats(10.0, 1000.0), st.floats(0.05, 2.0), st.floats(0.05, 0.95))
def test_a_triangle_is_above_a_level_for_the_share_that_is_left(peak, lasts, share):
    times = np.array([0.0, 0.3 * lasts, lasts, lasts + 6.0])
    above = time_above(times, [0.0, peak, 0.0, 0.0], share * peak)
    assert above == pytest.approx((1.0 - share) * lasts, rel=1e-9)


@given(st.floats(0.0, 4.0), st.floats(0.0, 100.0))
def test_the_greatest_force_from_a_moment_on_never_grows_with_the_moment(moment, level):
    times, forces = [0.0, 1.0, 2.0, 5.0], [level, 100.0, 40.0, 0.0]
    assert force_from(times, forces, moment) >= force_from(times, forces, moment + 1.0)
    assert force_from(times, forces, 2.0) == 40.0
    assert force_from(times, forces, 5.0) == 0.0


@pytest.mark.parametrize("moment", [-0.1, 6.1, math.nan])
def test_says_nothing_of_a_moment_outside_the_trace(moment):
    assert math.isnan(force_from(TIMES, FORCES, moment))


@pytest.mark.parametrize(
    ("times", "forces", "words"),
    [
        ([0.0], [0.0], "two rows of one length"),
        ([0.0, 1.0], [0.0], "two rows of one length"),
        ([0.0, 0.0], [0.0, 1.0], "rising times"),
        ([0.0, math.nan], [0.0, 1.0], "rising times"),
        ([0.0, 1.0], [0.0, math.inf], "finite forces"),
    ],
)
def test_refuses_what_is_no_trace(times, forces, words):
    for law in (contact_time, trace_figures):
        with pytest.raises(ValueError, match=words):
            law(times, forces)
    for level_law in (time_above, force_from):
        with pytest.raises(ValueError, match=words):
            level_law(times, forces, 1.0)


@pytest.mark.parametrize("gap", [0.0, -0.1, math.nan])
def test_an_impossible_gap_has_no_limit(gap):
    assert math.isnan(peak_limit(gap, vertical=False))


def test_nothing_known_is_never_a_pass():
    assert not keeps_limits(TraceFigures(math.nan, 0.0, 0.0), 400.0)
    assert not keeps_limits(TraceFigures(0.0, 0.0, 0.0), math.nan)
