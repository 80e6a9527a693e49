"""Whether the sky explains failures: only with real orbits, enough incidents, and a difference that shows."""

from dataclasses import replace

import pytest

from hutwright.studies.incidents import Explains, explain
from tests.studies.skies import PROJECT, real_orbits, starts


def test_failures_that_follow_the_sky_are_explained_by_it():
    found = explain(PROJECT, starts(60, 1, 1.0), real_orbits())
    assert found.verdict is Explains.YES
    assert found.strength == "very strong"
    assert found.count_started is not None
    assert found.count_failed is not None
    assert found.count_started > found.count_failed
    assert found.used == found.given == 60


def test_the_rise_is_found_again_to_a_factor_of_two():
    found = explain(PROJECT, starts(300, 2, 0.8), real_orbits())
    assert found.per_satellite == pytest.approx(0.8, rel=0.5)


@pytest.mark.parametrize("seed", range(6))
def test_failures_by_chance_are_never_strongly_explained_by_the_sky(seed):
    found = explain(PROJECT, starts(100, seed, 0.0), real_orbits())
    assert found.verdict is not Explains.YES or found.strength == "fair"
    assert found.balance is not None
    assert found.log_ratio is not None
    assert found.log_ratio >= 0.0


def test_many_failures_by_chance_speak_against_the_sky():
    found = explain(PROJECT, starts(200, 4, 0.0), real_orbits())
    assert found.verdict is Explains.NO
    assert found.strength in ("strong", "very strong")


def test_failures_under_a_good_sky_are_not_laid_on_it():
    turned = [replace(each, started=not each.started) for each in starts(60, 1, 1.0)]
    found = explain(PROJECT, turned, real_orbits())
    assert found.verdict is Explains.NO
    assert found.log_ratio == 0.0


@pytest.mark.parametrize(
    ("incidents", "orbits", "told"),
    [
        (starts(40, 1, 1.0), None, "no real orbits"),
        (starts(40, 1, 1.0), replace(real_orbits(), nominal=True), "no real orbits"),
        (starts(8, 1, 1.0), real_orbits(), "too few incidents"),
        ([replace(each, started=True) for each in starts(40, 1, 1.0)], real_orbits(), "of which 0 did not"),
        (
            [replace(each, started=False) for each in starts(40, 1, 1.0)],
            real_orbits(),
            "write down the starts",
        ),
        (
            [replace(each, epoch=each.epoch + 60 * 86_400.0) for each in starts(40, 1, 1.0)],
            real_orbits(),
            "more than 30 days away",
        ),
        (
            starts(40, 1, 1.0),
            replace(real_orbits(), elements=real_orbits().elements[:1]),
            "orbits of BeiDou, GLONASS, Galileo",
        ),
        (
            [replace(each, epoch=starts(1, 1, 1.0)[0].epoch) for each in starts(40, 1, 1.0)],
            real_orbits(),
            "much the same every time",
        ),
    ],
    ids=["none", "planned", "few", "no failure", "no start", "old", "one system", "same sky"],
)
def test_without_what_it_takes_it_is_undecided_and_says_why(incidents, orbits, told):
    found = explain(PROJECT, incidents, orbits)
    assert found.verdict is Explains.UNDECIDED
    assert found.strength == ""
    assert any(told in reason for reason in found.reasons), found.reasons
    assert found.log_ratio is None


def test_a_weak_difference_is_left_open():
    verdicts = {explain(PROJECT, starts(14, seed, 0.25), real_orbits()).verdict for seed in range(3)}
    assert Explains.UNDECIDED in verdicts
