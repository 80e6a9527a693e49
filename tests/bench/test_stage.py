"""The stage: weather and supply at their ends, ways to command, places, and whose settings are flashed."""

from __future__ import annotations

import numpy as np
import pytest

from hutwright.bench.rehearsal import rehearse
from hutwright.bench.scenario import Quantity
from hutwright.bench.scenarios import chosen
from hutwright.bench.stage import LISTENS, Stage
from hutwright.errors import RequestError
from hutwright.native.scenario import Event
from hutwright.native.words import EventKind, Word
from hutwright.studies.rehearse import stage_of, supply_ends
from tests.described import described, orchard, sports_field
from tests.outputs.made import TEXT


def events(prepared):
    """The events of a run, in their order."""
    return prepared.events["events"][: int(prepared.events["events_used"])]


def test_the_ends_of_the_supply_are_those_of_the_description():
    assert supply_ends(orchard()) == (11.8, 13.6)
    assert supply_ends(orchard({"supplies.battery.voltage": "12.5 V"})) is None


def test_the_extremes_are_cold_and_warm_at_both_ends_of_the_supply():
    stage = stage_of(orchard())
    days = stage.extremes()
    assert len(days) == 4
    assert {day.voltage for day in days} == {11.8, 13.6}
    air = orchard().project.site.air
    assert {day.conditions.temperature for day in days} == {air.coldest, air.warmest}
    assert len(stage_of(orchard({"supplies.battery.voltage": "12.5 V"})).extremes()) == 2


def test_a_days_supply_reaches_the_door():
    stage = stage_of(orchard())
    day = stage.at_supply(stage.mild(), highest=True)
    assert stage.play((), day=day, duration=1.0).door["voltage"] == 13.6


def test_the_wind_of_a_day_blows_unless_the_scenario_says_how():
    stage = stage_of(orchard())
    kinds = [int(event["kind"]) for event in events(stage.play((), day=stage.iced(), duration=1.0))]
    assert EventKind.GUST in kinds
    own = Event(EventKind.GUST, time=0.5, a=0.3)
    played = events(stage.play((own,), day=stage.iced(), duration=1.0))
    assert [event["a"] for event in played if event["kind"] == EventKind.GUST] == [0.3]


def test_a_run_never_ends_before_the_controller_has_heard_the_last_command():
    stage = stage_of(orchard())
    last = events(stage.play(stage.ask(Word.OPEN, 4.0), duration=9.0))[-1]
    assert last["time"] >= 4.0 + LISTENS
    assert last["a"] == Word.NOTHING


def test_a_pressure_edge_speaks_where_it_is_fitted():
    soft = {"controller.layers": ["present sensor", "pressure edge"]}
    plain, fitted = (
        rehearse(stage_of(orchard(changes)), chosen(["obstacle.stiff_300"])).performances[0].worst
        for changes in ({}, soft)
    )
    assert fitted.value(Quantity.REVERSAL) < 0.1 * plain.value(Quantity.REVERSAL)
    assert fitted.value(Quantity.PEAK) < plain.value(Quantity.PEAK)


def test_an_obstacle_stands_where_the_gap_is():
    stage = stage_of(sports_field())
    way = stage.edge_way(0.3)
    assert way is not None
    take = rehearse(stage, chosen(["obstacle.stiff_300"])).performances[0].worst
    assert take.touched
    assert take.result["contact_speed"] > 0.0
    assert stage.edge_way(30.0) is None


def test_settings_that_were_flashed_before_stay_as_they_are():
    flashed = stage_of(orchard()).settings
    other = orchard({"controller.detection.trip": "2.7 A"})
    stage = Stage(other.project, None, flashed)
    np.testing.assert_array_equal(stage.settings, flashed)
    assert int(stage_of(other).settings["closing"]["trip_mA"]) == 2700


def test_a_folder_without_a_door_has_no_stage():
    with pytest.raises(RequestError, match="describe"):
        stage_of(described(TEXT))
