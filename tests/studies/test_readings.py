"""What readings say: known values found again, and what cannot be told apart said."""

from dataclasses import replace

import numpy as np
import pytest

from hutwright.description.build import rebuild
from hutwright.description.described import Origin
from hutwright.errors import RequestError
from hutwright.evidence.sky_readings import AS_DESCRIBED, SkyReading
from hutwright.plant.sky.readiness import DAY_OF, SHUT, heard, room_db
from hutwright.studies.readings import fit_readings
from hutwright.studies.readings_likelihood import (
    COUNT_SCATTER,
    LEVEL_SCATTER_DB,
    WETNESSES,
    expected,
    profile,
)
from hutwright.studies.sky_prediction import lacking, levels_of_a_day
from tests.described import orchard
from tests.studies.skies import (
    CLOSED,
    HUT,
    KINDS,
    NO_ROOF,
    OVERHEAD_DB,
    PROJECT,
    SYSTEMS,
    WITH_DOOR,
    levels,
    real_orbits,
    simulated,
)

TRUE_DB, WETNESS, BIAS = 38.0, 0.45, 1.5
EACH = 12  # readings of each of four kinds, so 48 in all


@pytest.fixture(scope="module")
def fits():
    """Fits of 48 readings each: with counts alone and with signals too, by chance anew each time."""
    return {
        (seed, signals): fit_readings(
            PROJECT,
            simulated(EACH, seed, TRUE_DB, WETNESS, BIAS, signals=signals),
            real_orbits(),
        )
        for seed in range(2)
        for signals in (False, True)
    }


def test_finds_the_values_again_that_48_readings_were_made_with_within_three_standard_errors(fits):
    for fit in fits.values():
        assert abs(fit.threshold_db.value - TRUE_DB) < 3.0 * fit.threshold_db.error
        assert abs(fit.wetness.value - WETNESS) < 3.0 * fit.wetness.error
        assert abs(fit.bias.value - BIAS) < 3.0 * fit.bias.error
        assert fit.at_moments == fit.readings == 4 * EACH


def test_48_readings_say_more_than_one(fits):
    for fit in fits.values():
        assert fit.threshold_db.bounded
        assert fit.threshold_db.error < LEVEL_SCATTER_DB
        assert fit.bias.error < COUNT_SCATTER
        assert 0.4 < fit.misfit < 1.8


def test_signals_part_the_threshold_from_the_level_overhead(fits):
    for (_, signals), fit in fits.items():
        told = any("overhead cannot be told apart" in each for each in fit.doubts)
        assert told is not signals
        assert (fit.overhead_db is not None) is signals
        if fit.overhead_db is not None:
            assert abs(fit.overhead_db.value - OVERHEAD_DB) < 3.0 * fit.overhead_db.error


def test_the_threshold_goes_with_the_level_overhead_where_only_counts_are_known():
    readings = simulated(4, 5, TRUE_DB, WETNESS, BIAS, signals=False)
    louder = orchard({"machine.parked.error": "0 mm", "machine.receiver.overhead": "48 dB-Hz"}).project
    here, there = (fit_readings(each, readings, real_orbits()) for each in (PROJECT, louder))
    assert there.threshold_db.value - here.threshold_db.value == pytest.approx(48.0 - OVERHEAD_DB)
    assert there.bias.value == pytest.approx(here.bias.value)


def test_the_changes_can_be_taken_over_and_count_as_measured(fits):
    fit = fits[0, True]
    assert fit.overhead_db is not None
    built = rebuild(HUT, fit.changes)
    for name, fitted in (("threshold", fit.threshold_db), ("overhead", fit.overhead_db)):
        datum = built.values["machine", "receiver", name]
        assert datum.origin is Origin.MEASURED
        assert "48 readings in sky.csv, 2025-01-0" in datum.note
        assert datum.low is not None
        assert datum.high is not None
        ends = (10.0 * np.log10(datum.low), 10.0 * np.log10(datum.high))
        assert ends == pytest.approx((fitted.low, fitted.high), abs=0.051)
    assert HUT.values["machine", "receiver", "threshold"].origin is Origin.GIVEN


def test_walls_are_called_wet_only_where_the_readings_leave_no_doubt():
    for wetness, word in ((1.0, "wet"), (0.0, "dry"), (0.5, None)):
        readings = simulated(40, 3, TRUE_DB, wetness, 0.0, signals=True)
        fit = fit_readings(PROJECT, readings, real_orbits())
        assert fit.changes.get(("hut", "walls", "moisture")) == word


def test_one_kind_of_reading_cannot_tell_the_bias_from_the_threshold_and_says_so():
    alike = [each for each in simulated(12, 2, TRUE_DB, 0.0, 0.0, signals=False) if each.opened == NO_ROOF]
    fit = fit_readings(PROJECT, alike, real_orbits())
    assert any("same things open" in each for each in fit.doubts)
    assert not (fit.threshold_db.bounded and fit.bias.bounded and fit.wetness.bounded)
    assert ("measured", "machine.receiver.threshold") not in fit.changes or fit.threshold_db.bounded


def test_readings_without_a_time_are_held_against_a_whole_day_and_say_less():
    timed = simulated(EACH, 0, TRUE_DB, WETNESS, BIAS, signals=False)
    untimed = [replace(each, epoch=None) for each in timed]
    sharp, blunt = fit_readings(PROJECT, timed, real_orbits()), fit_readings(PROJECT, untimed, real_orbits())
    assert blunt.at_moments == 0
    assert any("whole day" in each for each in blunt.doubts)
    assert blunt.bias.error > sharp.bias.error
    assert abs(blunt.threshold_db.value - TRUE_DB) < 3.0 * blunt.threshold_db.error


def test_readings_that_the_model_cannot_have_made_are_called_so():
    odd = [
        SkyReading(number, None, opened, 30 if number % 2 else 0, None)
        for number, opened in enumerate(KINDS * 4)
    ]
    fit = fit_readings(PROJECT, odd)
    assert fit.misfit > 5.0
    assert any("scatter more" in each for each in fit.doubts)


def test_the_answer_does_not_depend_on_the_order_of_the_readings():
    readings = simulated(4, 1, TRUE_DB, WETNESS, BIAS, signals=True)
    there, back = (fit_readings(PROJECT, each, real_orbits()) for each in (readings, readings[::-1]))
    assert there.threshold_db.value == pytest.approx(back.threshold_db.value, abs=1e-9)
    assert there.wetness.low == pytest.approx(back.wetness.low, abs=1e-9)


def test_too_few_or_too_many_readings_are_refused():
    one = SkyReading(2, None, AS_DESCRIBED, 9, None)
    with pytest.raises(RequestError, match="roof off"):
        fit_readings(PROJECT, [one, one])
    with pytest.raises(RequestError, match="3000 readings"):
        fit_readings(PROJECT, [one] * 3_000)


# ---- what should be seen ----------------------------------------------------------------------------------


def test_more_is_heard_with_more_open_and_less_with_wet_walls():
    counts = {}
    for opened in (CLOSED, AS_DESCRIBED, NO_ROOF):
        there = levels_of_a_day(PROJECT, opened)
        counts[opened] = expected(there, 7.0, 0.0)[0].mean()
        assert expected(there, 7.0, 1.0)[0].mean() < counts[opened]
    assert counts[CLOSED] < counts[AS_DESCRIBED] < counts[NO_ROOF]


def test_without_a_threshold_all_that_is_in_view_counts():
    _, there = levels(WITH_DOOR, 5, 0)
    counts, _ = expected(there, 100.0, 0.5)
    assert counts == pytest.approx(np.bincount(there.moment, minlength=5), abs=1e-6)


def test_the_roof_antenna_shares_no_more_than_there_is():
    _, there = levels(AS_DESCRIBED, 5, 0)
    both = there.both()
    assert 0 < len(both.dry) <= len(there.dry)
    assert both.shared.all()


def test_orbits_that_lack_a_system_or_lie_too_far_away_are_found_out():
    orbits = real_orbits()
    near, far = DAY_OF + 86_400.0, DAY_OF + 40 * 86_400.0
    assert lacking(PROJECT, orbits, [near, far]) == ((), SYSTEMS)
    only = replace(orbits, elements=orbits.elements[:1])
    ((*missing,),) = lacking(PROJECT, only, [near])
    assert len(missing) == 3
    assert lacking(PROJECT, None, [near]) == (SYSTEMS,)
    assert lacking(PROJECT, replace(orbits, nominal=True), [near]) == (SYSTEMS,)


def test_a_day_has_as_many_satellites_as_readiness_counts():
    planned = levels_of_a_day(PROJECT, AS_DESCRIBED)
    strong = float(np.sum(planned.dry >= -room_db(PROJECT))) / planned.moments
    every_half_hour = heard(PROJECT, SHUT).counts[::6]
    assert strong == pytest.approx(float(every_half_hour.mean()), abs=0.05)


# ---- intervals --------------------------------------------------------------------------------------------


def test_the_interval_of_a_parabola_is_that_of_a_normal_error():
    values = np.linspace(-3.0, 5.0, 81)
    found = profile(values, (values - 1.03) ** 2 / 0.5**2 + 7.0, (-3.0, 5.0))
    assert found.value == pytest.approx(1.03)
    assert found.error == pytest.approx(0.5, abs=0.01)
    assert (found.low, found.high) == pytest.approx((1.03 - 0.98, 1.03 + 0.98), abs=0.02)
    assert found.bounded


def test_an_interval_that_reaches_what_is_possible_says_so():
    values = np.linspace(*WETNESSES, 21)
    found = profile(values, 30.0 * values**2, WETNESSES)
    assert (found.value, found.low) == (0.0, 0.0)
    assert not found.bounded
