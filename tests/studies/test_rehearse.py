"""Findings of a rehearsal: every lever really pulled, its word kept, its harm seen."""

from __future__ import annotations

import threading

import pytest

from hutwright.bench.rehearsal import rehearse
from hutwright.bench.scenarios import chosen
from hutwright.bench.settings import core_settings, sealed
from hutwright.description.build import build
from hutwright.description.changes import changed
from hutwright.errors import HutwrightError
from hutwright.native.engine import refusal
from hutwright.native.words import Refusal
from hutwright.studies.door_levers import levers_of
from hutwright.studies.rehearse import (
    ENOUGH_WORK,
    Rehearsed,
    rehearse_described,
    stage_of,
    with_learnt,
)
from tests.described import orchard, sports_field

SOME = ("free.mild", "free.coldest", "obstacle.stiff_300", "obstacle.hand_50", "machine.eye_fails")


@pytest.fixture(scope="module")
def found() -> Rehearsed:
    return rehearse_described(sports_field(), chosen(SOME))


def finding(found: Rehearsed, key: str):
    """The finding about one scenario."""
    return next(each for each in found.findings if each.performance.scenario.key == key)


def test_what_is_met_is_no_finding(found):
    missed = {each.scenario.key for each in found.rehearsal.not_met}
    assert {each.performance.scenario.key for each in found.findings} == missed
    assert found.short


def test_a_lever_keeps_what_was_learnt_and_takes_the_rest_from_the_description():
    base = core_settings(orchard().project)
    learnt = base.copy()
    learnt["closing"]["profile_mA"] = 321
    learnt["trained_low_dC"] = 7
    learnt["opening_cap_ms"] = 4321
    found = with_learnt(base, sealed(learnt))
    assert set(found["closing"]["profile_mA"].tolist()) == {321}
    assert (found["trained_low_dC"], found["opening_cap_ms"]) == (7, base["opening_cap_ms"])
    assert refusal(found) is Refusal.GOOD
    assert with_learnt(base, base).tobytes() == base.tobytes()


def test_a_lever_keeps_its_word_on_the_description_built_anew(found):
    for each in found.findings:
        assert each.tried
        for tried in each.tried[:6]:
            again = build(changed(found.described.merged, tried.option.changes))
            (performance,) = rehearse(stage_of(again), chosen([each.performance.scenario.key])).performances
            assert performance.met is tried.holds, tried.option.words
            for value in tried.values:
                assert performance.worst_of(value.bound.quantity) == pytest.approx(
                    value.value, rel=1e-9, nan_ok=True
                )


def test_only_bounds_that_were_missed_are_told_again(found):
    for each in found.findings:
        missed = {
            reading.bound.quantity
            for take in each.performance.takes
            for reading in take.judgement.readings
            if not reading.kept
        }
        assert all({value.bound.quantity for value in tried.values} == missed for tried in each.tried)


def test_a_soft_edge_that_reverses_helps_and_harms_nothing(found):
    tried = finding(found, "obstacle.stiff_300").working
    assert any("pressure-sensitive edge" in each.option.words and not each.harms for each in tried)
    assert sum(not each.harms for each in tried) <= ENOUGH_WORK


def test_a_lever_that_breaks_another_scenario_says_which(found):
    lower = [
        each
        for each in finding(found, "obstacle.hand_50").tried
        if each.option.words == "reverse at no more than 2.2 A"
    ]
    assert lower
    assert lower[0].holds
    assert lower[0].harms == ("machine.eye_fails",)
    harmed = build(changed(found.described.merged, lower[0].option.changes))
    assert rehearse(stage_of(harmed), chosen(["machine.eye_fails"])).not_met


def test_levers_without_harm_come_first_and_those_that_work_before_those_that_do_not(found):
    for each in found.findings:
        marks = [(not tried.holds, bool(tried.harms)) for tried in each.tried]
        assert marks == sorted(marks)


def test_where_nothing_helps_that_is_the_answer():
    found = rehearse_described(orchard(), chosen(["free.iced"]))
    (missed,) = found.findings
    assert missed.tried
    assert missed.working == ()


def test_no_two_levers_are_the_same_thing():
    for described in (orchard(), sports_field()):
        levers = levers_of(described.project)
        changes = [tuple(sorted(each.option.changes.items(), key=str)) for each in levers]
        assert len(changes) == len({repr(each) for each in changes})
        assert [each.effort for each in levers] == sorted(each.effort for each in levers)


def test_a_lever_that_makes_no_description_is_left_out(monkeypatch):
    from hutwright.studies import rehearse as study

    def impossible(*_):
        raise HutwrightError("cannot be")

    monkeypatch.setattr(study, "rebuild", impossible)
    (missed,) = rehearse_described(sports_field(), chosen(["obstacle.stiff_300"])).findings
    assert missed.tried == ()


def test_once_stopped_no_lever_is_tried():
    flag = threading.Event()

    def stop_at_the_end(done: int, of: int) -> None:
        if done == of:
            flag.set()

    found = rehearse_described(
        sports_field(), chosen(["obstacle.stiff_300"]), progress=stop_at_the_end, cancel=flag
    )
    assert all(each.tried == () for each in found.findings)


def test_the_answer_is_the_same_with_more_hands():
    from concurrent.futures import ThreadPoolExecutor

    alone = rehearse_described(sports_field(), chosen(["obstacle.stiff_300"]))
    with ThreadPoolExecutor(2) as threads:
        other = rehearse_described(sports_field(), chosen(["obstacle.stiff_300"]), executor=threads)
    told = [
        [(each.option.words, each.holds, each.values) for each in one.findings[0].tried]
        for one in (alone, other)
    ]
    assert told[0] == told[1]


def test_what_does_not_help_the_milder_one_is_not_tried_on_the_harder():
    found = rehearse_described(sports_field(), chosen(["obstacle.stiff_300", "obstacle.extremes_300"]))
    mild, hard = found.findings
    helped = {each.option.words for each in mild.working}
    assert {each.option.words for each in hard.tried} <= helped
    assert hard.working
