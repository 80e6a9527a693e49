"""How long a drive held fast is fed."""

import math

import pytest

from tests.described import orchard
from tests.judged import check, levers, verdicts

KEY = "wiring.fuse_stall"
SURE = {"drive.stall.endurance": "15 s"}


def test_a_fuse_that_may_never_open_leaves_it_to_the_run_time_cap():
    found = check(orchard({"controller.longest_run.opening": "18 s"}), KEY, "main")
    assert found.value == 18.0  # the longer of the two
    assert check(orchard({"controller": None}), KEY, "main").value == math.inf


def test_the_stall_current_is_that_of_the_warmest_day():
    found = check(orchard({"supplies.battery.voltage": "12 V"}), KEY, "main")
    winding = 12.0 / 7.5 * (234.5 + 36.0) / (234.5 + 20.0)
    cables = 2 * 7.8 * 0.026 * (1.0 + 0.004 * 16.0)
    stall = (12.0 - 1.4) / (0.080 + cables + 1.15 / 2 + winding)
    assert found.working[0].result.value == pytest.approx(stall, rel=1e-3)


@pytest.mark.published("ISO 8820-3, type C: at most 5 s at 200 %")
def test_a_fuse_far_below_the_stall_current_opens_before_the_cap():
    small = {"fuses.main.rating": "1 A", "drive.rating.current": "0.7 A", "drive.no_load.current": "0.3 A"}
    found = check(orchard(small), KEY, "main")
    stall = found.working[0].result.value
    assert found.value == pytest.approx(5.0 * (2.0 / stall) ** 2, rel=1e-9)


def test_a_shorter_cap_mends_it_but_never_cuts_a_move_short():
    # 300 mm at 22 mm/s is 13.6 s: no cap below 14 s is offered, whatever the winding stands.
    option = levers(orchard(SURE), KEY, "main")["shorter run-time caps"].option
    assert option is not None
    assert option.changes == {("controller", "longest_run", way): "15 s" for way in ("opening", "closing")}
    assert levers(orchard({"drive.stall.endurance": "10 s"}), KEY, "main") == {}


def test_a_cap_mends_a_hut_without_a_described_controller():
    option = levers(orchard({**SURE, "controller": None}), KEY, "main")["shorter run-time caps"].option
    assert option is not None
    assert option.changes["controller", "longest_run", "closing"] == "15 s"


def test_a_smaller_fuse_mends_it_where_stall_is_far_above_running():
    weak = {
        **SURE,
        "drive.rating.current": "0.5 A",
        "drive.no_load.current": "0.2 A",
        "drive.stall.current": "7.5 A",
    }
    option = levers(orchard(weak), KEY, "main")["another rating of main"].option
    assert option is not None
    assert option.changes["fuses", "main", "rating"] == "1 A"


def test_each_fuse_in_the_motors_way_is_asked():
    second = {
        "fuses.lead.kind": "blade, ISO 8820-3 type C",
        "fuses.lead.rating": "4 A",
        "cables.motor.fuse": "lead",
    }
    assert set(verdicts(orchard(second), KEY)) == {"main", "lead"}
    assert verdicts(orchard({"cables.feed.fuse": None}), KEY) == {}
