"""Current while moving."""

import pytest

from hutwright.checks.verdict import Status
from tests.described import orchard
from tests.trades.drive.judged import SHUT_LOAD, check, field, levers, pencil, verdicts

KEY = "drive.current"


def test_agrees_with_a_pencil():
    found = check(pencil(), KEY)
    assert found.value == pytest.approx(0.6 + 1.6 / 180.0 * SHUT_LOAD, rel=1e-9)
    assert found.limit == 2.2


def test_never_draws_more_than_held_fast():
    found = check(pencil({"door.leaf.mass": "5000 kg"}), KEY)
    assert found.value == pytest.approx(24.0 / (24.0 * 30.0 / (140.0 * 2.2 - 110.0 * 0.6)), rel=1e-9)


def test_cold_grease_asks_for_more_than_the_warmest_day():
    steps = {each.symbol: each.result.value for each in check(orchard(), KEY).working}
    assert steps["I_cold"] > steps["I_warm"] > steps["I_20"]


def test_a_stronger_slower_drive_draws_less():
    hard = field({"site.wind.working": "22 m/s"})
    assert verdicts(hard, KEY)[""].status is not Status.HOLDS
    assert any("of the family" in words for words in levers(hard, KEY))
