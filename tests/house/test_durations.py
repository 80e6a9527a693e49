"""The everyday tests take five minutes at most: how that is reckoned and judged."""

from __future__ import annotations

import pytest

from tests.house.budget import EVERYDAY_SECONDS, LIMIT_VARIABLE, Spent, fault_of, limit


def test_five_minutes_are_allowed_and_no_more():
    assert EVERYDAY_SECONDS == 5 * 60
    assert fault_of(300.0, allowed=EVERYDAY_SECONDS) is None
    assert "took 300.2 s; at most 300.0 s" in (fault_of(300.2, allowed=EVERYDAY_SECONDS) or "")


def test_a_session_of_everyday_tests_counts_from_start_to_end():
    spent = Spent(began=100.0, workers=2)
    spent.add(3.0, slow=False)
    assert spent.everyday_seconds(now=160.0) == pytest.approx(60.0)


def test_beside_slow_tests_the_everyday_ones_count_with_their_share_of_the_workers():
    spent = Spent(began=0.0, workers=2)
    for seconds, slow in [(0.5, False), (100.0, True), (200.0, False), (401.5, False)]:
        spent.add(seconds, slow=slow)
    assert spent.everyday_seconds(now=500.0) == pytest.approx(301.0)
    assert fault_of(spent.everyday_seconds(now=500.0), allowed=EVERYDAY_SECONDS) is not None


def test_slow_tests_do_not_count():
    spent = Spent(began=0.0, workers=1)
    spent.add(1000.0, slow=True)
    assert fault_of(spent.everyday_seconds(now=2000.0), allowed=EVERYDAY_SECONDS) is None


@pytest.mark.parametrize(("text", "seconds"), [("10", 10.0), ("9999", 300.0)])
def test_the_environment_can_only_make_the_limit_smaller(monkeypatch, text, seconds):
    monkeypatch.setenv(LIMIT_VARIABLE, text)
    assert limit() == pytest.approx(seconds)
