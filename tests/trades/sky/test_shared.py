"""Satellites that machine and roof antenna share."""

from __future__ import annotations

from tests.described import orchard
from tests.trades.sky.judged import KNOWN, check, levers

KEY = "sky.shared"
BLIND = {"roof_antenna.skyline": [["0 deg", "35 deg"]]}


def test_there_are_no_more_than_either_hears():
    found = check(orchard(KNOWN), KEY)
    assert found.value <= check(orchard(KNOWN), "sky.satellites").value
    assert found.value <= found.working[0].result.value


def test_a_roof_antenna_behind_trees_costs_them_and_moving_it_brings_them_back():
    blind = orchard({**KNOWN, **BLIND, "machine.start_rule.satellites": 9})
    assert check(blind, KEY).value < check(orchard(KNOWN), KEY).value
    lever = levers(blind, KEY)["another place for the roof antenna"]
    assert lever.option is not None
    assert lever.option.changes == {("roof_antenna", "skyline"): []}
