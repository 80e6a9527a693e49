"""What share of the motor's current the sensor sees while the door moves slowly."""

from __future__ import annotations

import pytest

from hutwright.checks.verdict import Status
from tests.described import orchard
from tests.judged import check, levers, verdict

KEY = "wiring.sensor_place"
WRONG = {"electronics.current_sensor.place": "supply lead"}


def test_sees_everything_in_the_motors_lead():
    assert check(orchard(), KEY).value == 1.0


@pytest.mark.parametrize("duty", [0.3, 0.5, 1.0])
def test_sees_only_the_duty_in_the_supplys_lead(duty):
    assert check(orchard({**WRONG, "controller.speed.last": duty}), KEY).value == pytest.approx(duty)


def test_a_door_that_never_slows_down_may_have_it_in_either_lead():
    assert verdict(orchard({**WRONG, "controller.speed.last": 1.0}), KEY).margin >= 0.0


def test_every_lever_keeps_its_word():
    assert verdict(orchard(WRONG), KEY).status is Status.MISSES
    found = levers(orchard(WRONG), KEY)
    assert set(found) == {"the sensor in the motor's lead"}


def test_a_shunt_makes_way_for_a_sensor_of_both_directions():
    shunt = orchard({**WRONG, "electronics.current_sensor.kind": "shunt 10 mohm, gain 20"})
    option = levers(shunt, KEY)["the sensor in the motor's lead"].option
    assert option is not None
    assert option.changes[("electronics", "current_sensor", "kind")] == "Hall 30 A"
