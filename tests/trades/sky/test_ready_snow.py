"""Share of the day ready to start in a thaw."""

from __future__ import annotations

import pytest

from hutwright.plant.sky.readiness import THAW, ready_share
from tests.described import orchard
from tests.trades.sky.judged import KNOWN, check, checks

KEY = "sky.ready_snow"


def test_is_the_share_in_its_own_state_against_the_start_rule():
    found = check(orchard(KNOWN), KEY)
    assert found.value == pytest.approx(ready_share(orchard(KNOWN).project, THAW))
    assert found.limit == 0.95
    steps = {step.symbol: step.result.value for step in found.working}
    assert steps["t_least"] <= steps["t"] <= steps["t_most"]


def test_a_thaw_leaves_less_than_dry_weather_and_more_than_rain():
    found = {key: check(orchard(KNOWN), f"sky.ready_{key}").value for key in ("wet", "snow", "shut")}
    assert found["wet"] < found["snow"] < found["shut"]


def test_is_not_asked_where_no_snow_falls():
    assert checks(orchard({"site.snow.ground": "0 kPa"}), KEY) == {}
