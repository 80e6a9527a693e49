"""Force of the drive held fast."""

import pytest

from tests.described import orchard
from tests.trades.drive.judged import SHUT_LOAD, check, field, levers, pencil, verdicts

KEY = "drive.stall_force"


def test_agrees_with_a_pencil():
    found = check(pencil(), KEY)
    assert found.value == pytest.approx(180.0 * 140.0 / 30.0, rel=1e-9)  # where the line meets standstill
    assert found.limit == pytest.approx(1.5 * SHUT_LOAD, rel=1e-9)


def test_a_heavier_leaf_asks_for_more():
    light, heavy = (check(pencil({"door.leaf.mass": each}), KEY) for each in ("20 kg", "40 kg"))
    assert heavy.limit - light.limit == pytest.approx(1.5 * 0.1 * 20.0 * 9.80665, rel=1e-9)
    assert heavy.value == light.value


def test_half_the_duty_presses_less_than_half():
    whole = check(orchard({"controller.speed": {"normal": 1.0, "last": 1.0, "last_over": "80 mm"}}), KEY)
    assert check(orchard(), KEY).value < whole.value / 2


def test_a_toothed_belt_with_a_strong_motor_has_enough():
    assert verdicts(field(), KEY)[""].margin > 0.0


def test_its_levers_keep_their_word():
    found = levers(orchard({"controller.speed": {"normal": 1.0, "last": 1.0, "last_over": "80 mm"}}), KEY)
    assert "another bridge" in found
