"""Dilution of the position inside."""

from __future__ import annotations

from hutwright.checks.verdict import Status
from hutwright.plant.sky.readiness import SHUT, at_share, dilution
from tests.described import orchard
from tests.trades.sky.judged import HIDDEN, KNOWN, check, verdict

KEY = "sky.dilution"


def test_is_what_is_kept_in_the_share_of_the_day_that_the_rule_names():
    project = orchard(KNOWN).project
    assert check(project, KEY).value == at_share(dilution(project, SHUT), 0.95)
    half = orchard({**KNOWN, "machine.start_rule.share_of_day": "50 %"}).project
    assert check(half, KEY).value < check(project, KEY).value


def test_is_worse_than_under_the_open_sky():
    steps = check(orchard(KNOWN), KEY).working
    assert steps[0].result.value < steps[-1].result.value


def test_no_position_at_all_is_a_number_that_misses():
    assert check(orchard({**KNOWN, **HIDDEN}), KEY).value == 99.0
    assert verdict(orchard({**KNOWN, **HIDDEN}), KEY).status is Status.MISSES
