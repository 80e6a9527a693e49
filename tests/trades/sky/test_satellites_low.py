"""Satellites heard inside in the bad hours."""

from __future__ import annotations

import numpy as np

from hutwright.plant.sky.readiness import SHUT, heard
from tests.described import orchard
from tests.trades.sky.judged import EASY, KNOWN, check, levers

MEAN, LOW = "sky.satellites", "sky.satellites_low"


def test_a_twentieth_of_the_day_has_fewer_and_the_rest_has_not():
    counts = heard(orchard(KNOWN).project, SHUT).counts
    low = check(orchard(KNOWN), LOW).value
    assert np.mean(counts < low) < 0.05 <= np.mean(counts <= low)


def test_no_more_are_heard_in_the_bad_hours_than_on_average():
    assert check(orchard(KNOWN), LOW).value < check(orchard(KNOWN), MEAN).value


def test_where_it_holds_nothing_is_offered():
    assert levers(orchard({**KNOWN, **EASY}), LOW) == {}
