"""The time that closing takes, with its slow last stretch, by pencil and with every lever pulled."""

from __future__ import annotations

import pytest

from hutwright.checks.verdict import Status
from tests.trades.door.judged import check, field, levers, verdict

KEY = "door.closing_time"
FREE = {
    "site.air": {"coldest": "20 degC", "warmest": "20 degC"},
    "site.wind.working": "0 m/s",
    "door.track.friction": "0 %",
    "door.seal.force": "0 N",
    "drive.cold_friction": 1.0,
    "supplies.club_house.voltage": "24 V",
    "supplies.club_house.resistance": "0.001 ohm",
    "cables.field.length": "0.1 m",
    "cables.motor.length": "0.1 m",
    "electronics.bridge.offset": "0 V",
    "electronics.bridge.resistance": "0 ohm",
    "drive.motor.resistance": "2 ohm",
    "limits": None,
}


def test_agrees_with_a_pencil_over_both_stretches():
    """700 mm at 0.9 and 120 mm at 0.35 of full duty; free run at 24 V, 2 ohm and 0.6 A is 140 mm/s."""
    constant = (24.0 - 2.0 * 0.6) / 0.140
    quick, slow = ((24.0 * duty - 2.0 * 0.6) / constant for duty in (0.9, 0.35))
    wanted = 0.700 / quick + 0.120 / slow
    # The supply's and the cables' milliohms are left out of the pencil.
    assert check(field(FREE), KEY).value == pytest.approx(wanted, rel=2e-3)


def test_a_cap_that_is_too_short_misses_and_every_lever_keeps_its_word():
    cut = field({"controller.longest_run.closing": "9 s"})
    assert verdict(cut, KEY).status is Status.MISSES
    pulled = levers(cut, KEY)
    assert "let a run shut for at most" in pulled


def test_a_last_stretch_that_is_too_slow_to_move_names_the_duty_that_moves_it():
    weak = field({"controller.speed.last": 0.06})
    assert verdict(weak, KEY).status in (Status.MISSES, Status.UNDECIDED)
    assert "let the last stretch before shut run at a duty of" in levers(weak, KEY)
