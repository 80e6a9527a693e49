"""A rehearsal again and again: the same for a seed whoever works, counted honestly, ended when asked."""

from __future__ import annotations

import math
import threading
from concurrent.futures import ProcessPoolExecutor, ThreadPoolExecutor
from multiprocessing import get_context

import pytest

from hutwright.assessment import case_of
from hutwright.bench.scenario import Quantity
from hutwright.bench.scenarios import chosen
from hutwright.errors import RequestError
from hutwright.studies.trials import drawn, trials
from tests.described import orchard, sports_field

SOME = ("free.mild", "obstacle.stiff_300")
RUNS = 6


@pytest.fixture(scope="module")
def made():
    return trials(orchard(), RUNS, seed=7, scenarios=chosen(SOME))


def numbers(found):
    """All that came of it, as numbers."""
    return [
        (share.scenario.key, share.met, share.runs, spread.bound.quantity, spread.median, spread.worst)
        for share in found.shares
        for spread in share.spreads
    ]


def test_the_same_seed_gives_the_same_whoever_works(made):
    for workers in (1, 3):
        with ThreadPoolExecutor(workers) as threads:
            again = trials(orchard(), RUNS, seed=7, scenarios=chosen(SOME), executor=threads)
        assert numbers(again) == numbers(made)


@pytest.mark.slow
def test_processes_give_the_same_too(made):
    with ProcessPoolExecutor(2, mp_context=get_context("spawn")) as processes:
        again = trials(orchard(), RUNS, seed=7, scenarios=chosen(SOME), executor=processes)
    assert numbers(again) == numbers(made)


def test_another_seed_gives_other_numbers(made):
    assert numbers(trials(orchard(), RUNS, seed=8, scenarios=chosen(SOME))) != numbers(made)


def test_more_runs_begin_with_the_same_ones():
    ranges = case_of(orchard()).ranges
    first = [next(drawn(ranges, 7, index)) for index in range(3)]
    again = [next(drawn(ranges, 7, index)) for index in range(5)]
    assert again[:3] == first
    assert again[3] not in first


def test_every_value_is_drawn_within_its_ends_and_evenly():
    ranges = case_of(orchard()).ranges
    low, high = ranges[("linkage", "mount_stiffness")]
    number = 400
    shares = []
    for index in range(number):
        point = next(drawn(ranges, 1, index))
        assert all(ends[0] <= point[path] <= ends[1] for path, ends in ranges.items())
        shares.append((point[("linkage", "mount_stiffness")] - low) / (high - low))
    # even chance: mean 1/2, deviation of the mean 1 / sqrt(12 n); three of those are allowed
    assert sum(shares) / number == pytest.approx(0.5, abs=3.0 / math.sqrt(12 * number))


def test_shares_are_counts_of_runs_with_an_interval_round_them(made):
    assert made.runs == made.wanted == RUNS
    assert ("linkage", "mount_stiffness") in made.drawn
    for share in made.shares:
        assert 0 <= share.met <= share.runs == RUNS
        assert share.interval.low <= share.met / share.runs <= share.interval.high
    assert {share.scenario.key: share.met for share in made.shares}["obstacle.stiff_300"] == 0


def test_the_median_is_no_worse_than_the_worst(made):
    (peak,) = [
        spread for share in made.shares for spread in share.spreads if spread.bound.quantity is Quantity.PEAK
    ]
    assert 0.0 < peak.median < peak.worst


def test_a_description_without_ranges_gives_the_same_run_but_for_the_noise():
    sure = sports_field()
    found = trials(sure, 2, scenarios=chosen(["free.mild"]))
    assert found.drawn == tuple(sorted(case_of(sure).ranges))


def test_stopped_early_it_counts_what_was_made():
    flag, told = threading.Event(), []

    def tell(done: int, of: int) -> None:
        told.append((done, of))
        if done >= 2:
            flag.set()

    found = trials(orchard(), 50, seed=7, scenarios=chosen(["free.mild"]), progress=tell, cancel=flag)
    assert found.runs == 2
    assert found.wanted == 50
    assert told[-1] == (2, 50)
    with ThreadPoolExecutor(2) as threads:
        fewer = trials(orchard(), 50, seed=7, scenarios=chosen(["free.mild"]), executor=threads, cancel=flag)
    assert fewer.runs < 50


def test_no_run_at_all_is_refused():
    with pytest.raises(RequestError, match="1 or more"):
        trials(orchard(), 0)
