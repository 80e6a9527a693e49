"""What each fuse stands before."""

import math

import pytest

from hutwright.plant.protection import (
    cables_behind,
    drive_fuses,
    guarded,
    logic_draw,
    running_current,
    short_circuit,
    unguarded_starts,
)
from tests.described import orchard

COLD = 255.15


def test_a_fuse_guards_all_cables_up_to_the_next_fuse():
    one = orchard().project
    assert set(guarded(one, "main")) == {"feed", "motor"}
    two = orchard(
        {
            "fuses.lead.kind": "blade, ISO 8820-3 type C",
            "fuses.lead.rating": "3 A",
            "cables.motor.fuse": "lead",
        }
    )
    assert guarded(two.project, "main") == ("feed",)
    assert guarded(two.project, "lead") == ("motor",)
    assert drive_fuses(two.project) == ("lead", "main")


def test_a_regulator_ends_what_a_fuse_guards():
    changes = {
        "cables.up": {
            "from": "battery",
            "to": "logic_own",
            "core": "0.75 mm2 class 5",
            "length": "1 m",
            "fuse": "main",
        },
        "cables.on": {"from": "logic_own", "to": "second", "core": "0.5 mm2 class 5", "length": "1 m"},
        "regulators.logic_own.kind": "linear 9 V 1 A",
        "regulators.second.kind": "linear 5 V 0.5 A",
    }
    project = orchard(changes).project
    assert cables_behind(project, "up") == ("up",)
    assert short_circuit(project, "on", COLD) is None


def test_a_cable_that_leaves_a_battery_without_a_fuse_is_found():
    assert unguarded_starts(orchard().project) == ()
    assert unguarded_starts(orchard({"cables.feed.fuse": None}).project) == ("feed",)


def test_a_short_circuit_at_the_end_of_the_lead_runs_through_both_cables():
    project = orchard(
        {"supplies.battery.voltage": "12.0 V", "supplies.battery.resistance": "50 mohm"}
    ).project
    short = short_circuit(project, "motor", 293.15)
    assert short is not None
    # (6 m + 1.8 m), there and back, of 26.0 ohm/km.
    assert short.current == pytest.approx(12.0 / (0.050 + 2 * 7.8 * 0.026), rel=1e-12)
    assert short.behind_fuse(0.010) == pytest.approx(200.0, rel=1e-12)
    assert short.most == math.inf


@pytest.mark.practice("a power supply gives up to 1.5 times its rating before it limits or shuts down")
def test_a_power_supply_limits_its_own_short_circuit():
    project = orchard(
        {"supplies.battery.kind": "mains power supply", "supplies.battery.rating": "4 A"}
    ).project
    short = short_circuit(project, "feed", COLD)
    assert short is not None
    assert (short.current, short.behind_fuse(0.010)) == (6.0, 6.0)


def test_the_feed_carries_the_motor_and_the_logic_and_the_lead_the_motor_alone():
    project = orchard().project
    logic = logic_draw(project)
    assert logic is not None
    assert logic[1] > 0.070  # the load, and what the regulator takes for itself
    assert running_current(project, ("motor",)) == 2.6
    assert running_current(project, ("feed", "motor")) == pytest.approx(2.6 + logic[1], rel=1e-12)
