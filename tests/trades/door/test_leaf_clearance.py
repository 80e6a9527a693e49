"""Room round the leaf: on its seat, into the wall, into the ground, and with every lever pulled."""

from __future__ import annotations

import pytest

from hutwright.checks.verdict import Status
from tests.trades.door.judged import calm, check, checks, field, levers, verdict

KEY = "door.leaf_clearance"


def test_a_leaf_that_only_lies_on_its_seat_has_nothing_to_spare_and_needs_nothing():
    found = checks(calm(), KEY)
    assert found["hut"].value == 0.0
    assert verdict(calm(), KEY, "hut").status is Status.HOLDS
    # The leaf's low edge is at 10 mm, the slab below it stands out at 0; it only rises.
    assert found["ground"].value == pytest.approx(0.01, abs=1e-3)


def test_a_hinge_below_the_leafs_top_presses_that_into_the_wall():
    """The leaf's top turns into the wall above the hole, which it overlaps by 20 mm; so far it must shift."""
    low = calm({"door.hinge.z": "0.51 m", "door.open_angle": "30 deg"})
    found = verdict(low, KEY, "hut")
    assert found.status is Status.MISSES
    assert found.check.value == pytest.approx(-0.02, abs=1e-9)
    pulled = levers(low, KEY, "hut")
    assert "set the hinge line to z =" in pulled


def test_a_leaf_that_lies_down_onto_a_high_lane_goes_through_it():
    ramp = calm(
        {
            "door.kind": "bottom_hinged",
            "door.hinge": {"y": "-8 mm", "z": "0.01 m", "friction": "0.4 N m"},
            "door.open_angle": "100 deg",
        }
    )
    found = verdict(ramp, KEY, "ground")
    assert found.status is Status.MISSES
    pulled = levers(ramp, KEY, "ground")
    assert "open the leaf no farther than" in pulled


def test_a_lift_leaf_that_meets_the_overhanging_roof_misses():
    lift = field({"door.kind": "lift", "door.track.travel": "0.6 m", "door.track.way": None})
    found = verdict(lift, KEY, "hut")
    assert found.status is Status.MISSES
    assert "roof" in found.check.working[0].words


def test_a_sliding_leaf_along_the_wall_touches_nothing_more():
    assert check(field(), KEY, "hut").value == 0.0
    assert check(field(), KEY, "ground").value == 0.0
