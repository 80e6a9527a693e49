"""Satellites that a window adds."""

from __future__ import annotations

import pytest

from hutwright.plant.sky.inside import State
from hutwright.plant.sky.readiness import SHUT, heard
from tests.described import orchard
from tests.plant.sky.test_readiness import SECOND
from tests.trades.sky.judged import KNOWN, check, checks, levers

KEY = "sky.opening_gain"


def test_is_the_count_with_the_window_less_that_without_it():
    project = orchard(KNOWN).project
    without = State(closed=frozenset(["first_window"]))
    gain = heard(project, SHUT).counts.mean() - heard(project, without).counts.mean()
    assert check(project, KEY, "first_window").value == pytest.approx(gain, abs=0.5)


def test_each_window_is_asked_about_and_no_vent():
    assert set(checks(orchard({**KNOWN, **SECOND}), KEY)) == {"first_window", "second_window"}
    assert checks(orchard({**KNOWN, "openings.first_window": None, "allow": None}), KEY) == {}


@pytest.mark.practice("a first small window changes less than a reading scatters, the second more")
def test_a_second_window_over_the_antenna_adds_more_than_the_first():
    both = checks(orchard({**KNOWN, **SECOND}), KEY)
    assert both["second_window"].value > both["first_window"].value
    assert both["second_window"].margin > 0.0


def test_a_window_far_from_the_antenna_is_better_over_it():
    size = {"openings.first_window.size": {"width": "0.30 m", "length": "0.20 m"}}
    far = orchard({**KNOWN, **size, "openings.first_window.place.from_low_edge": "0.90 m"})
    assert check(far, KEY, "first_window").margin < 0.0
    assert "another place along the slope" in levers(far, KEY, "first_window")
