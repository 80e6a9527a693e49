"""What the drive must hold in a gale, by pencil and with every lever pulled."""

from __future__ import annotations

import pytest

from hutwright.checks.verdict import Status
from hutwright.plant.holding import holding
from tests.trades.door.judged import calm, check, checks, field, levers, verdict

KEY = "door.holding"


def test_the_open_leaf_is_held_as_a_signboard():
    """1.8 times the peak pressure on 0.4144 m2, a quarter of the height off its middle, over the arm."""
    project = calm().project
    opened = check(calm(), KEY, "opened")
    peak = opened.working[0].result.value
    wind = 1.8 * peak * 0.74 * 0.56
    moment = opened.working[1].numbers["M_in"].value
    assert 0.25 * 0.56 <= moment / wind <= 0.75 * 0.56
    assert opened.value == pytest.approx(holding(project).opened, rel=1e-12)
    assert check(calm(), KEY, "shut").value == pytest.approx(holding(project).shut, rel=1e-12)


def test_a_drive_that_holds_too_little_misses_and_what_it_must_hold_is_named():
    weak = calm({"drive.holding": "300 N"})
    assert verdict(weak, KEY, "opened").status is Status.MISSES
    pulled = levers(weak, KEY, "opened")
    holds = pulled["take a drive, or add a stay, that holds without current at least"]
    assert holds.needed == pytest.approx(check(weak, KEY, "opened").value, rel=1e-6)


def test_nothing_moves_a_sliding_leaf_along_its_level_track():
    assert {each.value for each in checks(field(), KEY).values()} == {0.0}


def test_a_leaning_track_is_held_against_its_own_weight():
    tilted = field({"door.track.tilt": "10 deg", "door.leaf.mass": "4 kg", "door.leaf.fittings": "2 kg"})
    found = check(tilted, KEY, "opened")
    assert found.value == pytest.approx(6.0 * 9.80665 * 0.17364817766693033, rel=1e-9)
