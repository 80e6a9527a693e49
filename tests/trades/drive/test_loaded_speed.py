"""Speed that is left under load."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hutwright.assessment import case_of
from hutwright.checks.lever import Pick
from hutwright.trades.drive import TRADE, drawing, running
from tests.described import orchard
from tests.trades.drive.judged import SHUT_LOAD, asked, check, field, levers, pencil

KEY = "drive.loaded_speed"


def test_agrees_with_a_pencil():
    found = check(pencil(), KEY)
    speed = 140.0 - 30.0 / 180.0 * SHUT_LOAD  # mm/s, on the listing's own straight line
    assert found.value == pytest.approx(speed / 110.0, rel=1e-9)
    assert "with the leaf shut, closing" in found.working[0].words


@pytest.mark.practice("speed times force is roughly constant within a family of drives")
def test_the_offered_drives_of_a_family_keep_speed_times_force():
    (gear,) = (each for each in check(orchard(), KEY).levers if "of the family" in each.words)
    assert isinstance(gear, Pick)
    for option in gear.options:
        force = float(str(option.changes["drive", "rating", "force"]).removesuffix(" N"))
        speed = float(str(option.changes["drive", "rating", "speed"]).removesuffix(" mm/s"))
        assert force * speed == pytest.approx(300.0 * 22.0, rel=0.01)


def test_a_drive_at_half_duty_behind_a_lossy_bridge_stalls_on_the_seal_in_the_cold():
    found = check(orchard(), KEY)
    assert found.value == 0.0
    assert "slow last stretch" in found.working[-1].words


def test_another_bridge_and_a_quicker_last_stretch_mend_it():
    found = levers(orchard(), KEY)
    option = found["another bridge with one thing more"].option
    assert option is not None
    assert ("controller", "speed", "last") in option.changes


def test_at_a_dead_centre_nothing_is_said_but_why():
    # the rod's pins and the hinge in one line, with the leaf shut
    dead = orchard({"linkage.foot": {"x": "0.47 m", "y": "-0.008 m", "z": "0.05 m"},
                    "linkage.head": {"x": "0.47 m", "y": "-0.008 m", "z": "0.35 m"}})  # fmt: skip
    found = check(dead, KEY)
    assert math.isnan(found.value)
    assert found.levers == ()
    assert "dead centre" in found.working[-1].words


@settings(max_examples=25, deadline=None)
@given(st.floats(0.0, 60.0), st.floats(0.0, 40.0))
def test_a_stiffer_seal_never_leaves_more(force, more):
    soft, stiff = (pencil({"door.seal.force": f"{each:.6f} N"}) for each in (force, force + more))
    assert check(stiff, KEY).value <= check(soft, KEY).value + 1e-12


@pytest.mark.parametrize("demo", [orchard, field])
def test_what_is_remembered_of_one_project_never_serves_another(demo):
    case = case_of(demo()).within(TRADE.reads)
    keys = (KEY, "drive.stall_force", "drive.current", "drive.duty", "drive.warming")

    def answers(project):
        return [each.value for key in keys for each in asked(key).ask(project)]

    moved = [case.moved({path: end}) for path, ends in case.ranges.items() for end in ends]
    after_each_other = [answers(project) for project in moved]
    for project, remembered in zip(moved, after_each_other, strict=True):
        for kept in (running._ways, running._days, running._moves, drawing._greatest):
            kept.cache_clear()
        assert answers(project) == remembered
