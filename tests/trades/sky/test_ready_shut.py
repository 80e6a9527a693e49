"""Share of the day ready to start with the door shut."""

from __future__ import annotations

import pytest

from hutwright.checks.verdict import Status
from hutwright.plant.sky.readiness import SHUT, ready_share
from tests.described import orchard
from tests.trades.sky.judged import EASY, KNOWN, check, verdict

KEY = "sky.ready_shut"


def test_is_the_share_in_its_own_state_against_the_start_rule():
    found = check(orchard(KNOWN), KEY)
    assert found.value == pytest.approx(ready_share(orchard(KNOWN).project, SHUT))
    assert found.limit == 0.95
    steps = {step.symbol: step.result.value for step in found.working}
    assert steps["t_least"] <= steps["t"] <= steps["t_most"]


def test_an_easy_rule_holds_and_a_hard_one_misses():
    assert verdict(orchard({**KNOWN, **EASY}), KEY).status is Status.HOLDS
    hard = orchard({**KNOWN, "machine.start_rule.satellites": 25})
    assert verdict(hard, KEY).status is Status.MISSES
