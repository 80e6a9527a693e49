"""The force at which the leaf is turned back."""

from __future__ import annotations

import pytest

from hutwright.sources import Standing
from tests.layout.doors import plain
from tests.trades.guard.judged import BARE, check, levers, sports_field

KEY = "guard.reversal_force"
# Slow leaf, low trip: the force comes near the limit, where the trip can be turned.
GENTLE = {
    **BARE,
    "controller.speed": {"normal": 0.3, "last": 0.3, "last_over": "0 mm"},
    "controller.detection": {
        "trip": "1.7 A",
        "after": "10 ms",
        "filter": "5 ms",
        "blind_after_start": "0.3 s",
    },
    "drive.rating.current": "1.0 A",
    "drive.rating.force": "45 N",
    "drive.rating.speed": "130 mm/s",
    "linkage.mount_stiffness": "20 N/mm",
}


@pytest.mark.published("49 CFR 571.118, S5: 100 N for obstacles of 4 to 200 mm")
def test_is_held_to_the_rule_for_windows_that_close_by_themselves():
    found = check(plain(), KEY)
    assert found.limit == 100.0
    assert found.limit_from.standing is Standing.READ


def test_agrees_with_a_pencil():
    found = check(sports_field(BARE).project, KEY)
    resistance = 24.0 * (0.14 - 0.11) / (2.2 * 0.14 - 0.6 * 0.11)
    constant = (24.0 - 0.6 * resistance) / 0.14
    friction = 0.10 * 6.0 * 9.80665
    running = 0.6 + friction / 112.5
    speed = (24.0 - resistance * running) / constant
    series = 1.0 / (1.0 / 75e3 + 1.0 / 60e3)
    stall = 112.5 * (24.0 / resistance - 0.6) - friction
    assert found.value == pytest.approx(
        min((3.4 - running) * 112.5 + speed * series * 0.045, stall), rel=1e-9
    )


def test_a_lower_trip_lands_on_the_limit():
    working = levers(sports_field(GENTLE), KEY)
    assert working["reverse at no more than"].needed is not None


def test_says_where_the_drive_stands_before_its_current_reaches_the_trip():
    slow = {**BARE, "controller.speed": {"normal": 0.2, "last": 0.2, "last_over": "0 mm"}}
    found = check(sports_field(slow).project, KEY)
    assert "never reaches the trip" in found.working[-1].words
