"""Age of the roof antenna's corrections at the machine."""

from __future__ import annotations

import pytest

from hutwright.assessment import assess
from hutwright.checks.verdict import Status
from hutwright.errors import HutwrightError
from hutwright.trades.sky import TRADE
from tests.described import orchard
from tests.trades.sky.judged import check, checks, levers, verdict

KEY = "sky.corrections"
WAY = {"every": "1 s", "delay": "0.5 s", "gap": "8 s", "oldest": "30 s"}
SETTLED = {"roof_antenna.corrections": WAY}


def test_the_age_is_all_that_passes_until_the_next_one_arrives():
    found = check(orchard(SETTLED), KEY)
    assert found.value == pytest.approx(9.5)
    assert found.limit == 30.0
    assert verdict(orchard(SETTLED), KEY).status is Status.HOLDS


@pytest.mark.parametrize("link", ["radio", "wireless network", "cellular"])
def test_it_names_the_way_that_is_described(link):
    found = check(orchard({**SETTLED, "roof_antenna.link": link}), KEY)
    assert f"by {link}" in found.working[-1].words


def test_a_gap_longer_than_the_receiver_bears_misses_and_the_longest_one_that_holds_is_named():
    late = orchard({"roof_antenna.corrections": {**WAY, "gap": "45 s"}})
    assert verdict(late, KEY).status is Status.MISSES
    (lever,) = levers(late, KEY).values()
    assert lever.needed == pytest.approx(28.5)
    assert lever.option is not None
    assert lever.option.changes == {("roof_antenna", "corrections", "gap"): "28 s"}


def test_a_receiver_whose_limit_is_not_known_leaves_it_open():
    guessed = orchard({"roof_antenna.corrections": {"gap": "20 s"}})
    found = verdict(guessed, KEY)
    assert found.status is Status.UNDECIDED
    assert [".".join(each.path) for each in found.influences if each.settles] == [
        "roof_antenna.corrections.oldest"
    ]


def test_what_is_not_described_is_asked_for():
    bare = orchard({"roof_antenna.corrections": None})
    assert checks(bare, KEY) == {}
    (lacking,) = (each.lacking for each in assess(bare, (TRADE,)).not_asked)
    assert lacking == (("roof_antenna", "corrections"),)


@pytest.mark.parametrize("wrong", [{"gap": "-1 s"}, {"oldest": "0 s"}, {"every": "0 s"}, {"gap": "1 m"}])
def test_times_that_mean_nothing_are_refused(wrong):
    with pytest.raises(HutwrightError, match=f"roof_antenna.corrections.{next(iter(wrong))}"):
        orchard({"roof_antenna.corrections": {**WAY, **wrong}})
