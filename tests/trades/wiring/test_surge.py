"""How much cable outside the hut has no arrester at its ends."""

from __future__ import annotations

import pytest

from hutwright.checks.verdict import Status
from tests.described import orchard
from tests.judged import check, levers, verdict, verdicts

KEY = "wiring.surge"


def test_asks_about_every_cable_that_leaves_the_hut():
    assert set(verdicts(orchard(), KEY)) == {"feed"}
    assert set(verdicts(orchard({"cables.motor.route": "buried"}), KEY)) == {"feed", "motor"}
    assert verdicts(orchard({"cables.feed.route": "inside"}), KEY) == {}


@pytest.mark.practice("arresters on cables over 10 m outside")
def test_a_short_cable_may_do_without():
    assert verdict(orchard(), KEY, "feed").status is Status.HOLDS
    assert verdict(orchard({"cables.feed.length": "10.5 m"}), KEY, "feed").status is Status.MISSES


def test_a_cable_with_arresters_has_no_unprotected_length():
    found = check(orchard({"cables.feed.length": "80 m", "cables.feed.arrester": True}), KEY, "feed")
    assert found.value == 0.0


def test_every_lever_keeps_its_word():
    found = levers(orchard({"cables.feed.length": "80 m"}), KEY, "feed")
    assert "surge arresters for the feed cable" in found
    assert found["shorten the feed cable to"].needed == pytest.approx(10.0, rel=1e-6)


def test_says_what_else_to_keep_in_mind():
    meaning = check(orchard(), KEY, "feed").meaning
    assert "mains" in meaning
    assert "local code" in meaning
