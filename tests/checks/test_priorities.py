"""What to do first does no harm."""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from hutwright.assessment import case_of
from hutwright.checks.judging import Case
from hutwright.checks.priorities import MOST_ACTIONS, harmed
from hutwright.description.build import rebuild
from hutwright.model.paths import Keys
from tests.answered import demo, quick


def harm_of(changes: dict[Keys, object]) -> set[str]:
    def changed(each: Mapping[Keys, object]) -> Case:
        return case_of(rebuild(demo("orchard"), each))

    return set(harmed(quick("orchard").verdicts, changed, changes))


@pytest.mark.slow
def test_a_higher_trip_is_told_to_press_longer():
    """The drive stands before its current gets there, and presses until the run-time cap."""
    assert "guard.duration.gap_300" in harm_of({("controller", "detection", "trip"): "4.5 A"})


def test_a_trip_below_the_running_current_is_told_to_turn_back_with_nothing_in_the_way():
    assert "drive.trip_room" in harm_of({("controller", "detection", "trip"): "1.6 A"})


def test_a_release_harms_nothing():
    assert harm_of({("door", "release"): {"kind": "pull pin", "force": "40 N"}}) == set()


def test_a_thicker_cable_is_told_to_make_the_leaf_quicker():
    assert "guard.kinetic_energy" in harm_of({("cables", "feed", "core"): "2.5 mm2 class 5"})


def test_a_change_that_cannot_be_built_harms_nothing_because_it_is_never_offered():
    assert harm_of({("cables", "feed", "to"): "battery"}) == set()


def test_no_action_that_is_proposed_first_makes_another_check_worse():
    actions = quick("orchard").actions
    assert 1 <= len(actions) <= MOST_ACTIONS
    for action in actions:
        option = action.lever.option
        assert option is not None
        assert harm_of(dict(option.changes)) == set()


def test_a_lever_of_the_controllers_that_harms_says_so_where_it_stands():
    verdicts = quick("orchard").verdicts
    warned = [lever for verdict in verdicts for lever in verdict.levers if lever.worsens]
    assert warned
    keys = {verdict.key for verdict in verdicts}
    assert all(set(lever.worsens) <= keys for lever in warned)
