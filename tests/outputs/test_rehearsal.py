"""A rehearsal in words: what was expected, what was not met, what would help, what it rests on."""

from __future__ import annotations

import math

import pytest

from hutwright.bench.scenario import Bound, Family, Quantity
from hutwright.bench.scenarios import SCENARIOS, chosen
from hutwright.bench.settings import core_settings, sealed
from hutwright.checks.check import Sense
from hutwright.native.words import Broken
from hutwright.outputs.cautions import STANDING
from hutwright.outputs.rehearsal import (
    BROKEN,
    CLAIM,
    LEARNT,
    PHRASES,
    PLAIN,
    bound_text,
    broken_text,
    rehearsal_text,
    scenarios_text,
    value_text,
)
from hutwright.sources import Source, Standing
from hutwright.studies.rehearse import Rehearsed, rehearse_described
from hutwright.studies.trials import trials
from tests.described import orchard, sports_field

SOME = ("free.mild", "free.iced", "obstacle.stiff_300", "obstacle.extremes_300", "obstacle.hand_50")
BOOK = Source("a book", "p. 3", Standing.READ)


@pytest.fixture(scope="module")
def found() -> Rehearsed:
    return rehearse_described(sports_field(), chosen(SOME))


@pytest.fixture(scope="module")
def text(found) -> str:
    return rehearsal_text(found)


def flat(text: str) -> str:
    """The text without its line breaks."""
    return " ".join(text.split())


def test_it_counts_what_was_met(found, text):
    number = len(found.rehearsal.performances)
    missed = len(found.rehearsal.not_met)
    assert text.startswith(
        f"Sports-field hut: {number} scenarios rehearsed: {number - missed} met, {missed} not met"
    )


def test_every_scenario_says_what_was_expected_of_it(found, text):
    for each in found.rehearsal.performances:
        assert f"[{each.scenario.key}]" in flat(text)
        assert f"expected: {each.expected.words}" in flat(text)


def test_a_contact_shows_force_times_and_how_it_ended(text):
    line = next(line for line in text.splitlines() if "Closing on the test's instrument" in line)
    assert line.split()[:2] == ["not", "met"]
    assert " N " in line
    assert line.count(" ms") == 3
    assert line.endswith("open")


def test_of_several_runs_the_worst_is_named(text):
    assert "the worst of 4 runs:" in text


def test_what_was_not_met_says_by_how_much_and_where_the_limit_is_from(found, text):
    told = flat(text.split("\nNot met\n")[1])
    for each in found.findings:
        for reading in each.performance.worst.judgement.readings:
            if not reading.kept:
                assert value_text(reading.value, reading.bound) in told
                assert reading.bound.source.document in told


def test_levers_say_the_new_value_and_their_harm(found, text):
    told = flat(text.split("\nNot met\n")[1])
    assert "fit a pressure-sensitive edge that reverses the leaf: time above 150 N" in told
    for each in found.findings:
        for tried in each.working[:1]:
            assert tried.option.words in told
    assert "no other scenario is harmed" in told


def test_where_no_lever_is_enough_the_nearest_are_told():
    told = flat(rehearsal_text(rehearse_described(orchard(), chosen(["free.iced"]))))
    assert "none alone is enough; the nearest:" in told


def test_with_settings_of_a_file_it_says_which_and_what_is_not_as_described():
    described, only = sports_field(), chosen(["free.mild"])
    other = core_settings(described.project).copy()
    plain = rehearse_described(described, only, flashed=sealed(other))
    told = flat(rehearsal_text(plain))
    assert f"with the settings {int(sealed(other)['checksum']):04X} of the file" in told
    assert "what is not learnt is as described" in told
    assert PLAIN in told
    other["closing"]["profile_mA"] = 100
    other["opening_cap_ms"] += 1
    other["trained_low_dC"] += 1
    told = flat(rehearsal_text(rehearse_described(described, only, flashed=sealed(other))))
    assert "of the file; otherwise than described: opening_cap_ms" in told
    assert LEARNT in told


def test_it_says_what_it_rests_on_and_what_to_be_careful_with(text):
    for sentence in (*CLAIM, PLAIN, *STANDING):
        assert sentence in flat(text)
    assert "No hardware was measured" in flat(text)


@pytest.mark.parametrize("width", [40, 60, 80, 100, 200])
def test_it_fits_the_screen(found, width):
    printed = rehearsal_text(found, width=width)
    assert max(map(len, printed.splitlines())) <= min(width, 100)
    assert all(f"[{each.scenario.key}]" in flat(printed) for each in found.rehearsal.performances)


def test_runs_with_values_drawn_anew_say_how_many_and_how_sure():
    described = orchard()
    scenarios = chosen(["free.mild", "obstacle.stiff_300"])
    often = trials(described, 4, seed=3, scenarios=scenarios)
    told = flat(rehearsal_text(rehearse_described(described, scenarios), often))
    assert "4 runs, " in told
    assert "seed 3" in told
    assert "4 of 4 met (51..100 %)" in told
    assert "0 of 4 met (0..49 %)" in told
    assert "in the middle" in told


def test_the_list_names_every_scenario_and_says_which_do_not_arise():
    told = scenarios_text(SCENARIOS, ["free.mild"], width=100)
    assert all(f"{scenario.key}: " in flat(told) for scenario in SCENARIOS)
    assert "free.mild: Open and shut on a mild day\n" in told
    assert all(family.value in told for family in Family)


def test_every_quantity_and_every_promise_has_its_words():
    assert set(PHRASES) == set(Quantity)
    assert set(BROKEN) == set(Broken)
    assert broken_text(Broken.STOP | Broken.VETO).count(" and ") == 1


@pytest.mark.parametrize(
    ("quantity", "limit", "sense", "words"),
    [
        (Quantity.PEAK, 400.0, Sense.AT_MOST, "peak force at most 400 N"),
        (Quantity.TRIPS, 0.0, Sense.AT_MOST, "no reversals"),
        (Quantity.TRIPS, 2.0, Sense.AT_LEAST, "reversals at least 2"),
        (Quantity.PLACE, 0.02, Sense.AT_MOST, "at most 2 % of the travel short of open"),
        (Quantity.SPEED, 1e-3, Sense.AT_MOST, "at rest in the end"),
    ],
)
def test_a_bound_reads_as_a_sentence_would_say_it(quantity, limit, sense, words):
    assert bound_text(Bound(quantity=quantity, limit=limit, sense=sense, source=BOOK)) == words


def test_what_never_came_is_said_in_words():
    bound = Bound(quantity=Quantity.REVERSAL, limit=2.0, source=BOOK)
    assert value_text(math.inf, bound) == "never"
    assert value_text(math.nan, bound) == "the leaf touched nothing"
