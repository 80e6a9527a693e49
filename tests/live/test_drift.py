"""The chart of a door: it keeps quiet about a steady one, hears a drift, and says what it looks like."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy import stats

from hutwright.evidence.trace import Way
from hutwright.laws.run_length import ewma_run_length
from hutwright.live.drift import CUT, LEAST_MOVES, RUN_LENGTH, WEIGHT, Chart, Drift, edge, hints, normal_score
from tests.evidence.test_logbook import A_MOVE


def steady(number: int, seed: int = 1, **more):
    """Moves of a door that stays as it is."""
    draw = np.random.default_rng(seed)
    return [
        replace(
            A_MOVE,
            peak_residual=float(draw.normal(0.2, 0.03)),
            least_supply=float(draw.normal(12.0, 0.02)),
            peak_place=float(draw.uniform(0.2, 1.0)),
            **more,
        )
        for _ in range(number)
    ]


def told_of(moves) -> list[str]:
    """All that a drift's watcher says of some moves."""
    drift, told = Drift(), []
    for move in moves:
        standing = drift.take(move)
        if standing is not None:
            told += drift.news(move.way, standing)
    return told


@pytest.mark.parametrize("freedom", [9, 12, 30, 300])
def test_a_score_is_within_what_its_docstring_states(freedom):
    scores = np.linspace(-3.0, 3.0, 61)
    students = stats.t.ppf(stats.norm.cdf(scores), freedom)
    found = [normal_score(float(each), freedom) for each in students]
    assert np.allclose(found, scores, atol=0.02)


def test_the_limits_are_those_of_the_stated_run_length():
    limits = edge() / (WEIGHT / (2.0 - WEIGHT)) ** 0.5
    assert ewma_run_length(WEIGHT, limits) == pytest.approx(RUN_LENGTH, rel=1e-4)


def test_nothing_is_scored_before_there_are_moves_to_compare_with():
    chart = Chart()
    standings = [chart.take(0.2 + 0.01 * (number % 3)) for number in range(LEAST_MOVES + 1)]
    assert all(each.score == 0.0 for each in standings[:-1])
    assert standings[-1].score != 0.0
    assert [each.left for each in standings] == [*range(LEAST_MOVES, -1, -1)]


def test_peaks_that_never_differ_are_no_drift():
    chart = Chart()
    assert not any(chart.take(0.25).drifts for _ in range(50))


def test_the_chart_does_not_depend_on_the_doors_own_mean_and_scatter():
    peaks = np.random.default_rng(2).normal(size=60)
    one, other = Chart(), Chart()
    for peak in peaks:
        first, second = one.take(0.2 + 0.03 * float(peak)), other.take(1.5 + 0.2 * float(peak))
        assert first.mean == pytest.approx(second.mean, abs=1e-9)


def test_one_odd_move_says_nothing_of_a_drift():
    odd = [replace(steady(1)[0], peak_residual=5.0)]
    assert told_of([*steady(60), *odd, *steady(30, 2)]) == []


def test_moves_that_did_not_arrive_or_were_not_heard_whole_are_left_out():
    assert told_of([*steady(40), *[replace(m, peak_residual=3.0, reached=False) for m in steady(40)]]) == []
    assert told_of([*steady(40), *[replace(m, peak_residual=3.0, whole=False) for m in steady(40)]]) == []


def drifted(**more):
    """A steady door whose latest moves take more."""
    return [replace(move, peak_residual=move.peak_residual + 0.06, **more) for move in steady(60, 5)]


def test_a_drift_is_said_once_with_its_run_length():
    told = told_of([*steady(100), *drifted()])
    assert len([each for each in told if "the door drifts" in each]) == 1
    assert "once in 1000 moves or more on average" in told[0]


def test_a_peak_at_one_place_looks_like_a_hinge_and_like_nothing_else():
    told = told_of([*steady(100), *drifted(peak_place=0.61)])
    assert [each for each in told if "looks like" in each] == [each for each in told if "hinge" in each] != []


def test_a_lower_supply_looks_like_a_battery():
    told = told_of([*steady(100), *drifted(least_supply=11.2)])
    assert any("battery" in each and "11.2 V" in each and "12.0 V before" in each for each in told)


def test_peaks_near_shut_in_frost_look_like_ice_and_not_like_a_hinge():
    told = " ".join(told_of([*steady(100), *drifted(peak_place=0.03, temperature=268.0)]))
    assert "ice at the seal" in told
    assert "hinge" not in told


def test_a_drift_of_no_known_kind_says_so():
    draw = np.random.default_rng(9)
    latest = [replace(move, peak_place=float(draw.uniform(0.1, 1.0))) for move in drifted()]
    assert [each.like for each in hints([*steady(50), *latest])] == ["nothing that is known here"]


def test_ways_are_charted_apart():
    closing = [replace(move, way=Way.CLOSING, peak_residual=move.peak_residual + 2.0) for move in steady(60)]
    mixed = [move for pair in zip(steady(60), closing, strict=True) for move in pair]
    assert told_of(mixed) == []


def run_lengths(draw, runs: int, most: int) -> np.ndarray:
    """Scored moves until the chart speaks; the chart itself, one run beside the other."""
    lengths = np.zeros(runs)
    for run in range(runs):
        chart, peaks = Chart(), draw(most)
        for number, peak in enumerate(peaks):
            if chart.take(float(peak)).drifts:
                lengths[run] = number + 1 - LEAST_MOVES
                break
        else:
            raise AssertionError("a run was longer than was played")
    return lengths


@pytest.mark.slow
def test_the_watchs_chart_runs_as_long_as_the_law_says_for_normal_peaks():
    draw = np.random.default_rng(11)
    lengths = run_lengths(lambda most: draw.normal(0.3, 0.05, most), 1000, 20_000)
    error = lengths.std(ddof=1) / len(lengths) ** 0.5
    # cutting the scores lengthens a run by 2 %: what lies beyond three weighs 1.5 % of the scatter
    assert lengths.mean() == pytest.approx(RUN_LENGTH, abs=3.0 * error + 0.03 * RUN_LENGTH)


@pytest.mark.slow
def test_the_watchs_chart_speaks_no_sooner_than_stated_for_peaks_of_a_law_of_maxima():
    draw = np.random.default_rng(12)
    lengths = run_lengths(lambda most: draw.gumbel(0.3, 0.05, most), 1000, 30_000)
    assert lengths.mean() > RUN_LENGTH
    assert CUT == 3.0
