"""Speed that is left under load."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hutwright.checks.lever import Pick
from tests.described import orchard
from tests.trades.drive.judged import SHUT_LOAD, check, levers, pencil

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
