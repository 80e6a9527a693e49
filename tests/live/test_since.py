"""Cycles counted on after a calibration."""

from __future__ import annotations

from itertools import count

import pytest

from hutwright.evidence.logbook import Move
from hutwright.evidence.trace import Way
from hutwright.live.since import LEARNT_AT, Claim, Since
from hutwright.native.words import Why

OWN, OTHER = 0x1234, 0x4321


def moved(cycle: int, way: Way, *, settings: int = OWN, reached: bool = True, whole: bool = True,
          why: Why = Why.LIMIT) -> Move:  # fmt: skip
    return Move(
        at=0.0, cycle=cycle, way=way, duration=9.0, mean_current=1.0, peak_residual=0.1, peak_place=0.5,
        rest_supply=12.5, least_supply=12.1, temperature=290.0, reached=reached, whole=whole, why=why,
        settings=settings, file="",
    )  # fmt: skip


def cycles(since: Since, number: int, first: int = 1, **values) -> None:
    for cycle in range(first, first + number):
        for way in Way:
            since.take(moved(cycle, way, **values))


@pytest.mark.recalled("none in n supports 1 - 0.05^(1/n) at 95 %: Clopper and Pearson 1934, for none seen")
@pytest.mark.parametrize("number", [10, 60, 300])
def test_none_in_so_many_cycles_supports_what_the_formula_says(number):
    since = Since(OWN)
    cycles(since, number)
    assert since.claim == Claim(number, 0)
    assert since.claim.at_most == pytest.approx(1.0 - 0.05 ** (1.0 / number), rel=1e-9)
    assert f"0 in {number} cycles with these settings" in since.claim.words
    assert f"at most {1000 * (1.0 - 0.05 ** (1.0 / number)):.0f} of 1000 cycles (95 %" in since.claim.words


@pytest.mark.parametrize("why", [Why.RESIDUAL, Why.RISE, Why.BACKSTOP])
def test_a_cycle_that_was_turned_back_on_the_current_counts_against(why):
    since = Since(OWN)
    cycles(since, 19)
    since.take(moved(20, Way.OPENING))
    since.take(moved(20, Way.CLOSING, reached=False, why=why))
    since.take(moved(21, Way.OPENING))  # the reversal's own opening; its closing is still to come
    assert since.claim == Claim(20, 1)
    since.take(moved(22, Way.OPENING, reached=False, why=why))  # turned back before any closing
    assert since.claim == Claim(21, 2)
    assert since.claim.at_most > 1.0 - 0.05 ** (1.0 / 21)


def test_a_cycle_that_somebody_stopped_counts_neither_way():
    since = Since(OWN)
    cycles(since, 5)
    since.take(moved(6, Way.OPENING))
    since.take(moved(6, Way.CLOSING, reached=False, why=Why.STOP))
    assert since.claim == Claim(5, 0)
    assert since.clean == 5


def test_only_cycles_with_the_same_settings_are_counted_but_all_clean_ones_are_to_learn_from():
    since = Since(OWN)
    cycles(since, 8, settings=OTHER)
    assert since.claim == Claim(0, 0)
    assert since.claim.at_most == 1.0
    assert "no cycle was watched" in since.claim.words
    cycles(since, 4, first=9)
    cycles(since, 1, first=13, whole=False)
    assert since.claim == Claim(5, 0)
    assert since.clean == 12


def test_calibrating_is_offered_once_at_each_number():
    since, numbers = Since(OWN), count(1)
    offers = {}
    for _ in range(120):
        cycles(since, 1, first=next(numbers))
        if (told := since.offer()) is not None:
            offers[since.clean] = told
    assert list(offers) == [each for each in LEARNT_AT if each <= 120]
    assert offers[30].startswith("30 clean cycles are recorded by now: `hutwright calibrate` with the folder")
