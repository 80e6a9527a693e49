"""The trade as a whole: keys, cautions, huts in which little or nothing is heard, and what moves nothing."""

from __future__ import annotations

from dataclasses import replace
from math import isnan

import pytest

from hutwright import memo
from hutwright.assessment import assess, case_of
from hutwright.checks.check import Concern
from hutwright.checks.judging import judge
from hutwright.checks.roster import ROSTER
from hutwright.checks.verdict import Status
from hutwright.model.paths import replaced
from hutwright.model.watched import Book
from hutwright.plant.sky import field, inside
from hutwright.trades.sky import TRADE
from tests.described import orchard, sports_field
from tests.judged import asked as asked_of
from tests.patience import patience
from tests.trades.sky.judged import EVERY, HIDDEN, KNOWN, STEEL_HUT, checks, recompute, verdicts

KEYS = [question.key for question in TRADE.questions]
BAD: dict[str, dict[str, object]] = {
    "an antenna outside": {"machine.antenna.up": "0.95 m"},
    "a sky that is all hidden": HIDDEN,
    "a hut all of steel": {**STEEL_HUT, "openings": None},
    "a receiver that wants more than there is": {"machine.receiver.threshold": "60 dB-Hz"},
    "one system": {"machine.receiver.systems": ["GLONASS"]},
    "a double pitch": {
        "hut.roof": {"form": "double_pitch", "ridge": "0.95 m", "build_up": "roof", "overhang": "0.08 m"},
        "hut.inside.back": "0.76 m",
        "openings": None,
        "allow": None,
    },
    "the south pole": {"site.place.latitude": "-90 deg"},
}


def test_every_key_of_the_trade_stands_in_the_roster_and_concerns_function():
    assert sorted(KEYS) == sorted(key for key in ROSTER if key.startswith("sky."))
    assert {question.concern for question in TRADE.questions} == {Concern.FUNCTION}


@pytest.mark.parametrize("key", KEYS)
def test_the_orchard_is_asked_it_and_its_working_recomputes(key):
    assert checks(orchard(), key)


@pytest.mark.parametrize("name", BAD)
def test_a_bad_case_is_answered_and_its_working_recomputes(name):
    described = orchard(BAD[name])
    for key in EVERY:
        for found in checks(described, key).values():
            assert isnan(found.value) == (name == "an antenna outside")
            assert isnan(found.value) == (found.doubt is None)
            if found.doubt is not None:
                assert found.doubt.low <= found.value <= found.doubt.high


def test_an_antenna_outside_the_hut_leaves_all_undecided_and_says_why():
    found = verdicts(orchard(BAD["an antenna outside"]), "sky.ready_shut")[""]
    assert found.status is Status.UNDECIDED
    assert "machine.antenna" in found.check.working[-1].words


def test_what_is_not_described_is_not_asked():
    assert len(assess(sports_field(), (TRADE,)).not_asked) == len(KEYS)
    no_roof_antenna = orchard({"roof_antenna": None})
    waiting = {each.question.key for each in assess(no_roof_antenna, (TRADE,)).not_asked}
    assert waiting == {"sky.shared", "sky.corrections"}
    assert not any(question.ask(sports_field().project) for question in TRADE.questions)


def test_warns_of_constellations_as_planned_of_metal_walls_and_of_coated_panes():
    said = TRADE.cautions(orchard().project)
    assert [any(word in each for each in said) for word in ("as planned", "5 to 8 dB", "film")] == [
        True,
        False,
        True,
    ]
    assert any("5 to 8 dB" in each for each in TRADE.cautions(orchard(STEEL_HUT).project))
    assert TRADE.cautions(sports_field().project) == ()


def test_a_watched_project_is_answered_alike_and_no_integral_runs_for_a_moved_receiver(monkeypatch):
    project = orchard(KNOWN).project
    watched = Book().watch(project)
    for question in TRADE.questions:
        for plain, kept in zip(question.ask(project), question.ask(watched), strict=True):
            assert (plain.value, plain.limit, plain.working) == (kept.value, kept.limit, kept.working)
    monkeypatch.setattr(inside, "unit_sums", None)
    moved = replaced(project, {("machine", "receiver", "overhead"): 10.0**4.3})
    assert all(question.ask(moved) for question in TRADE.questions)


def test_a_question_asked_again_with_another_level_costs_little():
    project = orchard().project
    for question in TRADE.questions:
        question.ask(project)
    with patience(60.0):  # nine questions at five levels
        for step in range(5):
            moved = replaced(project, {("machine", "receiver", "overhead"): 10.0 ** (4.3 + 0.08 * step)})
            for question in TRADE.questions:
                question.ask(moved)


def test_an_unsure_place_of_the_antenna_takes_few_field_tables(monkeypatch):
    asked = []
    real = field.unit_sums

    def counted(skin, antenna, *rest, **named):
        asked.append(tuple(antenna.places[0]))
        return real(skin, antenna, *rest, **named)

    monkeypatch.setattr(inside, "unit_sums", counted)
    monkeypatch.setattr(inside, "PATCH", 6.0)  # cells that are quickly summed
    unsure = {"machine.antenna.up": "0.24..0.32 m", "machine.antenna.ahead": "-0.14..-0.06 m"}
    case = case_of(orchard({**KNOWN, **unsure})).within(TRADE.reads)
    with memo.forgetting():
        for key in ("sky.satellites", "sky.dilution", "sky.ready_wet"):
            judge(asked_of(key), case)
    # as described, at either end of each alone, and the four corners; some of them for several questions
    assert len(set(asked)) <= 9


def test_an_unknown_level_is_what_to_measure_first():
    found = assess(orchard(), (TRADE,))
    assert found.measurement is not None
    assert found.measurement.datum.path == ("machine", "receiver", "overhead")
    for verdict in found.verdicts:
        recompute(verdict.worst)


def test_a_hut_without_a_door_is_answered_but_for_the_open_one():
    project = replace(orchard().project, door=None, linkage=None, drive=None)
    asked = {question.key for question in TRADE.questions if question.ask(project)}
    assert asked == set(KEYS) - {"sky.ready_open"}
