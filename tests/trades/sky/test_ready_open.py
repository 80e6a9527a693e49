"""Share of the day ready to start with the door open."""

from __future__ import annotations

import pytest

from hutwright.plant.sky.readiness import OPEN, ready_share
from tests.described import orchard
from tests.trades.sky.judged import KNOWN, check

KEY = "sky.ready_open"


def test_is_the_share_in_its_own_state_against_the_start_rule():
    found = check(orchard(KNOWN), KEY)
    assert found.value == pytest.approx(ready_share(orchard(KNOWN).project, OPEN))
    assert found.limit == 0.95
    steps = {step.symbol: step.result.value for step in found.working}
    assert steps["t_least"] <= steps["t"] <= steps["t_most"]


def test_an_open_door_leaves_more_than_a_shut_one():
    assert check(orchard(KNOWN), KEY).value > check(orchard(KNOWN), "sky.ready_shut").value
