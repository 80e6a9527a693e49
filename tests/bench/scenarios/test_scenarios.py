"""Every scenario declares what must come of it, arises where it should, and can fail."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from hutwright import units
from hutwright.bench.rehearsal import Performance, Rehearsal, cast, rehearse
from hutwright.bench.scenario import Family, judge
from hutwright.bench.scenarios import SCENARIOS, chosen
from hutwright.bench.stage import Stage
from hutwright.errors import RequestError
from hutwright.native import engine
from hutwright.native.words import Broken, Fault, Mode
from hutwright.studies.rehearse import stage_of
from tests.bench.scenarios.spoiled import SPOILS
from tests.described import orchard, sports_field

KEYS = [scenario.key for scenario in SCENARIOS]
PREFIXES = {
    Family.FREE: "free",
    Family.OBSTACLE: "obstacle",
    Family.COMMAND: "command",
    Family.MACHINE: "machine",
    Family.SUPPLY: "supply",
    Family.ENDS: "ends",
    Family.SENSOR: "sensor",
    Family.DRIVE: "drive",
}


@pytest.fixture(scope="module")
def stages() -> dict[str, Stage]:
    return {"orchard": stage_of(orchard()), "sports_field": stage_of(sports_field())}


@pytest.fixture(scope="module")
def played(stages) -> dict[str, Rehearsal]:
    return {name: rehearse(stage) for name, stage in stages.items()}


def of(rehearsal: Rehearsal, key: str) -> Performance | None:
    """The scenario of that key, as it was played."""
    return next((each for each in rehearsal.performances if each.scenario.key == key), None)


def test_every_scenario_has_a_name_of_its_own_in_its_family():
    assert len(set(KEYS)) == len(KEYS)
    for scenario in SCENARIOS:
        family, _, name = scenario.key.partition(".")
        assert family == PREFIXES[scenario.family]
        assert name.replace("_", "").isalnum()
        assert name == name.lower()


@pytest.mark.parametrize(("demo", "at_least"), [("orchard", 30), ("sports_field", 28)])
def test_enough_scenarios_arise_in_each_demo(played, demo, at_least):
    assert len(played[demo].performances) >= at_least


def test_every_scenario_arises_somewhere(played):
    found = {each.scenario.key for one in played.values() for each in one.performances}
    assert set(KEYS) - found == set()


@pytest.mark.parametrize("scenario", SCENARIOS, ids=KEYS)
@pytest.mark.parametrize("demo", ["orchard", "sports_field"])
def test_what_is_expected_is_declared_before_anything_runs(stages, monkeypatch, demo, scenario):
    def run_too_early(*_, **__):
        raise AssertionError("ran before it was declared")

    for name in ("batch", "run", "free"):
        monkeypatch.setattr(engine, name, run_too_early)
    expected = scenario.expects(stages[demo])
    assert expected.words
    assert not expected.words.endswith(".")
    assert expected.modes
    assert expected.modes != set(Mode)
    assert expected.faults
    assert Fault.WELL in expected.faults or Mode.FAULT in expected.modes
    for bound in expected.bounds:
        assert np.isfinite(bound.limit)
        assert bound.limit >= 0.0
        assert bound.source.document
    assert len({bound.quantity for bound in expected.bounds}) == len(expected.bounds)


@pytest.mark.parametrize("scenario", SCENARIOS, ids=KEYS)
def test_what_a_scenario_tells_is_a_sentence(scenario):
    assert scenario.tells[0].isupper()
    assert scenario.tells.endswith(".")
    assert not scenario.title.endswith(".")


@pytest.mark.parametrize("key", KEYS)
def test_any_other_end_than_the_declared_ones_is_not_met(played, key):
    for rehearsal in played.values():
        performance = of(rehearsal, key)
        if performance is None or not performance.met:
            continue
        other = replace(performance.expected, modes=frozenset(Mode) - performance.expected.modes)
        for take in performance.takes:
            assert not judge(other, take.result, take.prepared.door).met


@pytest.mark.parametrize("key", KEYS)
def test_a_broken_promise_is_never_met(played, key):
    for rehearsal in played.values():
        performance = of(rehearsal, key)
        for take in () if performance is None else performance.takes:
            assert performance is not None
            result = take.result.copy()
            result["broken"] = Broken.DEAD_TIME
            assert not judge(performance.expected, result, take.prepared.door).met


@pytest.mark.parametrize("key", SPOILS)
def test_without_what_it_is_about_a_scenario_is_not_met(stages, played, key):
    spoil = SPOILS[key]
    performance = of(played[spoil.demo], key)
    assert performance is not None
    assert performance.met, "is not met as it stands; spoil it where it is"
    takes = [spoil.apply(take.prepared) for take in performance.takes]
    results = [engine.run(each.door, each.settings, each.events, rows=False).result for each in takes]
    judged = [
        judge(performance.expected, result, each.door) for each, result in zip(takes, results, strict=True)
    ]
    assert not all(each.met for each in judged)


def test_most_scenarios_are_spoiled_one_way_or_another():
    assert len(SPOILS) >= 45
    assert set(SPOILS) <= set(KEYS)


@pytest.mark.parametrize("demo", ["orchard", "sports_field"])
def test_no_command_ever_breaks_a_promise_in_a_demo(played, demo):
    broken = {
        each.scenario.key: take.judgement.broken
        for each in played[demo].performances
        for take in each.takes
        if take.judgement.broken
    }
    assert broken == {}


def test_where_nobody_can_command_the_door_nothing_is_played():
    stage = stage_of(orchard({"controller.commands": ["sensor"]}))
    ready, absent = cast(stage, SCENARIOS)
    assert {each.scenario.key for each in ready} <= {"free.held_open", "drive.bridge_at_rest"}
    assert len(ready) + len(absent) == len(SCENARIOS)


@pytest.mark.parametrize("way", ["button", "remote", "relay"])
def test_any_one_way_to_command_is_enough_to_play(way):
    stage = stage_of(sports_field({"controller.commands": [way]}))
    rehearsal = rehearse(stage, chosen(["free.mild", "obstacle.taken_away", "supply.sag_closing"]))
    assert len(rehearsal.performances) == 3
    assert rehearsal.not_met == ()


def test_a_gap_that_the_travel_does_not_have_makes_no_scenario():
    stage = stage_of(sports_field({"door.track.travel": "0.45 m", "door.leaf.width": "0.86 m"}))
    ready, _ = cast(stage, chosen(["obstacle"]))
    keys = {each.scenario.key for each in ready}
    assert "obstacle.stiff_300" in keys
    assert "obstacle.stiff_500" not in keys


def test_the_builders_own_stricter_limit_goes_first():
    (performance,) = rehearse(stage_of(orchard()), chosen(["obstacle.stiff_300"])).performances
    (peak,) = [each for each in performance.expected.bounds if each.quantity.dimension == units.FORCE][:1]
    assert peak.limit == 100.0
    assert "builder's own" in peak.source.document


def test_a_family_or_a_scenario_can_be_named():
    assert {scenario.family for scenario in chosen(["supply"])} == {Family.SUPPLY}
    assert [scenario.key for scenario in chosen(["free.mild", "ends.both_made"])] == [
        "free.mild",
        "ends.both_made",
    ]
    assert chosen([]) == SCENARIOS


def test_an_unknown_scenario_is_refused_with_the_nearest_name():
    with pytest.raises(RequestError, match=r'did you mean "obstacle\.stiff_300"'):
        chosen(["obstacle.stif_300"])
    with pytest.raises(RequestError, match="--list"):
        chosen(["zzzzzzzzzzzzzzz"])
