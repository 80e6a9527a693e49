"""Heat of one opening and closing."""

import math

import pytest

from tests.described import orchard
from tests.trades.drive.judged import FREE_FALL, check, field, levers, pencil, verdicts

KEY = "drive.warming"


def test_agrees_with_a_pencil():
    smooth = pencil({"door.seal": {"force": "0 N", "over": "10 mm"}, "drive.stall.endurance": "10 s"})
    load = 0.1 * 20.0 * FREE_FALL
    speed, current = 0.140 - 0.030 / 180.0 * load, 0.6 + 1.6 / 180.0 * load
    heat = 2 * current**2 * 0.82 / speed
    assert check(smooth, KEY).value == pytest.approx(heat / (8.8**2 * 10.0), rel=1e-6)


def test_a_stall_has_no_end():
    assert math.isinf(check(orchard(), KEY).value)


def test_a_tougher_winding_mends_it():
    weak = field({"drive.stall.endurance": "0.3 s"})
    assert verdicts(weak, KEY)[""].margin < 0.0
    assert "a drive with a tougher winding" in levers(weak, KEY)
