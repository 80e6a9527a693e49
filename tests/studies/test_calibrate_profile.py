"""The current that is right for a free leaf, learnt from invented moves whose truth is known."""

from __future__ import annotations

import numpy as np
import pytest

from hutwright.evidence.trace import Trace, Way
from hutwright.native.records import BINS
from hutwright.studies.calibrate_heard import Heard
from hutwright.studies.calibrate_profile import Profile, Told, maxima_of, out_of_fold, profile_of, sums_of

TOLD = Told(temperature=290.0, supply=12.0, start_step=0.05, blind=0.3, after=0.04, slow=0.3)
STEP, LONG = 0.004, 6.0
NOISE = 0.005


def _move(
    rng: np.random.Generator, *, kelvin: float, volts: float, sag: float = 0.0, bump: float = 0.0
) -> Heard:
    """A closing whose current rises by 1 A, 10 mA a kelvin and 50 mA a volt, and may sag its supply."""
    time = np.arange(0.0, LONG, STEP)
    place = 1.0 - time / LONG
    current = 1.0 + time / LONG + 0.01 * (kelvin - 290.0) + 0.05 * (volts - 12.0)
    current = current + NOISE * rng.standard_normal(len(time))
    current[(time > 3.0) & (time < 3.2)] += bump
    supply = volts - sag * current
    trace = Trace(
        cycle=1, way=Way.CLOSING, time=time, current=current, supply=supply, place=place, temperature=kelvin
    )
    return Heard(trace, time, current, place, supply, STEP)


def _moves(number: int = 40, *, sag: float = 0.0, volts: tuple[float, float] = (11.0, 13.0)) -> list[Heard]:
    rng = np.random.default_rng(3)
    return [
        _move(rng, kelvin=float(rng.uniform(280, 300)), volts=float(rng.uniform(*volts)), sag=sag)
        for _ in range(number)
    ]


def test_slopes_with_temperature_and_supply_are_found_from_move_to_move():
    profile = profile_of([sums_of(each, TOLD) for each in _moves()], TOLD)
    # noise of 5 mA over 1400 rows and 40 moves leaves far less than these
    assert profile.per_kelvin == pytest.approx(0.01, abs=2e-4)
    assert profile.per_volt == pytest.approx(0.05, abs=2e-3)
    middles = (np.arange(BINS) + 0.5) / BINS
    # a straight truth is met by straight lines; beyond the last bins' middles the profile is flat
    assert np.abs(profile.bins - (2.0 - middles))[1:-2] == pytest.approx(0.0, abs=0.01)


def test_the_sag_within_a_move_is_not_learnt_as_a_slope():
    """Else an obstacle that makes the supply sag would explain itself away."""
    same = _moves(sag=0.3, volts=(12.0, 12.05))
    assert profile_of([sums_of(each, TOLD) for each in same], TOLD).per_volt == 0.0


def test_a_known_slope_is_kept():
    sums = [sums_of(each, TOLD) for each in _moves(3)]
    assert profile_of(sums, TOLD, (0.01, 0.05)).per_kelvin == 0.01


def test_a_bump_counts_in_both_branches_only_if_it_lasts_as_long_as_the_detector_waits():
    moves = _moves(12)
    profile = profile_of([sums_of(each, TOLD) for each in moves], TOLD)
    bumped = _move(np.random.default_rng(9), kelvin=290.0, volts=12.0, bump=0.5)

    def everything(move: Heard) -> np.ndarray:
        return np.ones(len(move.time), dtype=np.bool_)

    most = maxima_of([bumped, moves[0]], [profile, profile], TOLD, everything)
    # the noise makes the least of ten rows some deviations less
    assert most.residual[0] == pytest.approx(0.5, abs=6 * NOISE)
    # the slow mean of 128 ms earlier may have seen 72 ms of the bump
    assert 0.5 * np.exp(-0.072 / 0.3) - 6 * NOISE < most.rise[0] < 0.5 + 6 * NOISE
    assert most.residual[1] < 4 * NOISE
    patient = Told(290.0, 12.0, 0.05, 0.3, 0.25, 0.3)
    assert maxima_of([bumped], [profile], patient, everything).residual[0] < 4 * NOISE


def test_maxima_out_of_fold_are_greater_than_those_of_moves_that_taught_the_profile():
    moves = _moves(20)
    sums = [sums_of(each, TOLD) for each in moves]
    inside = maxima_of(moves, [profile_of(sums, TOLD)] * 20, TOLD, lambda move: move.time > 0.0)
    outside = out_of_fold(moves, sums, TOLD, lambda move: move.time > 0.0)
    assert outside.residual.mean() > inside.residual.mean()


def test_rows_further_apart_than_a_millisecond_never_tell_less_than_the_core_would_hear():
    """What the core hears for as long as it waits, 1 ms apart, is in the maximum of rows 2 or 4 ms apart."""
    rng = np.random.default_rng(11)
    patient = Told(290.0, 12.0, 0.05, 0.0, 0.030, 0.3)

    def everything(move: Heard) -> np.ndarray:
        return np.ones(len(move.time), dtype=np.bool_)

    def most(values: np.ndarray, step: int, first: int) -> float:
        current = values[first::step]
        time = np.arange(first, len(values), step).astype(np.float64) * 1e-3
        place = np.linspace(0.0, 1.0, len(time))
        trace = Trace(cycle=1, way=Way.OPENING, time=time, current=current, place=place)
        move = Heard(trace, time, current, place, None, 1e-3 * step)
        flat = Profile(np.zeros(BINS), np.zeros(8), 0.0, 0.0, 290.0, 12.0)
        return float(maxima_of([move], [flat], patient, everything).residual[0])

    for _ in range(100):
        values = np.zeros(400)
        begin, long = int(rng.integers(100, 200)), int(rng.integers(25, 40))
        rising, falling = (float(each) for each in rng.uniform(0.1, 1.5, 2))
        values[begin : begin + long] = np.linspace(rising, falling, long)
        core = most(values, 1, 0)
        for step in (2, 4):
            for first in range(step):
                assert most(values, step, first) >= core - 1e-12
