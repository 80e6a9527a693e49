"""Share of the day ready to start in rain."""

from __future__ import annotations

import pytest

from hutwright.checks.verdict import Status
from hutwright.plant.sky.readiness import RAIN, ready_share
from tests.described import orchard
from tests.trades.sky.judged import KNOWN, check, levers, verdict

KEY = "sky.ready_wet"


def test_is_the_share_in_its_own_state_against_the_start_rule():
    found = check(orchard(KNOWN), KEY)
    assert found.value == pytest.approx(ready_share(orchard(KNOWN).project, RAIN))
    assert found.limit == 0.95
    steps = {step.symbol: step.result.value for step in found.working}
    assert steps["t_least"] <= steps["t"] <= steps["t_most"]


def test_rain_leaves_less_than_dry_weather():
    assert check(orchard(KNOWN), KEY).value < check(orchard(KNOWN), "sky.ready_shut").value


def test_cladding_that_keeps_the_walls_dry_helps():
    rule = {"satellites": 6, "pdop": 6.0, "share_of_day": "50 %"}
    wet = orchard({**KNOWN, "machine.start_rule": rule, "roof_antenna": None})
    assert verdict(wet, KEY).status is Status.UNDECIDED
    lever = levers(wet, KEY)["walls that stay dry"]
    assert lever.option is not None
    assert list(lever.option.changes) == [("build_ups", "wall")]
