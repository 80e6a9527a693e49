"""The door stays where it is when the power comes back; anything else misses."""

from __future__ import annotations

import pytest

from hutwright.checks.verdict import Status
from tests.trades.door.judged import calm, levers, verdict

KEY = "door.power_return"


def test_a_door_that_stays_holds():
    assert verdict(calm(), KEY).status is Status.HOLDS


@pytest.mark.parametrize("does", ["close", "open"])
def test_a_door_that_moves_by_itself_misses_and_is_told_to_stay(does):
    moving = calm({"controller.after_power_return": does})
    found = verdict(moving, KEY)
    assert found.status is Status.MISSES
    assert does in found.check.working[0].words
    lever = levers(moving, KEY)["what happens then"]
    assert lever.option is not None
    assert lever.option.changes == {("controller", "after_power_return"): "stay"}
