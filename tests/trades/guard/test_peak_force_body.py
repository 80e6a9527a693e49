"""Greatest force of the closing edge on a hand."""

from __future__ import annotations

import pytest

from hutwright.bench.contact import at_gap, contacts
from hutwright.model.paths import replaced
from hutwright.plant.conditions import coldest_calm, nominal, warmest_calm
from hutwright.plant.swing import contact
from tests.described import orchard
from tests.laws.test_contact_force import simulated as two_bodies
from tests.layout.doors import plain
from tests.trades.guard.judged import BARE, check, checks, levers, pencil_forces, quickly, sports_field, twin

KEY = "guard.peak_force_body"
REPEATED = 0.02  # sampling and filter of the controller move a trip by a millisecond or two: so much force


@pytest.mark.published("ISO/TS 15066:2016, annex A, tables A.2 and A.3: hand 140 N, passing twice that")
def test_a_hand_is_as_stiff_and_stands_as_much_as_the_table_says():
    found = check(plain(), KEY)
    assert found.limit == 280.0
    obstacle = next(step.numbers["k_obs"].value for step in found.working if "k_obs" in step.numbers)
    assert obstacle == 75e3


@pytest.mark.parametrize("project", [orchard().project, sports_field().project], ids=["orchard", "sports"])
def test_is_the_worst_of_the_gaps_that_a_hand_gets_into_and_of_three_weathers(project):
    forces, quick = [], []
    for gap in (0.05, 0.2):
        spot = at_gap(project, gap, obstacle=75e3)
        assert spot is not None
        for weather in (nominal, coldest_calm, warmest_calm):
            quick.append(contact(project, spot.place, weather(project), obstacle=75e3).peak.greatest)
            forces += [met.peak_seen for met in contacts(project, weather(project), (spot,))]
    assert quickly(project, KEY)[""].value == pytest.approx(max(quick), rel=1e-12)
    assert check(project, KEY).value >= (1.0 - REPEATED) * max(forces)


@pytest.mark.parametrize("project", [orchard().project, sports_field().project], ids=["orchard", "sports"])
def test_the_bench_lies_within_the_closed_form_s_range_or_the_working_says_that_it_does_not(project):
    found = check(project, KEY)
    results = {step.symbol: step.result.value for step in found.working}
    within = results["F_least"] <= results["F_peak"] <= results["F_most"]
    assert ("do not agree" in found.working[-1].words) is not within


def test_the_bench_agrees_with_another_simulation_of_two_bodies():
    smooth = sports_field({**BARE, "door.track.friction": "0.1 %"}).project
    (peak,), (reversed_,) = two_bodies(twin(75e3))
    assert reversed_
    assert check(smooth, KEY).value == pytest.approx(peak, rel=0.03)


def test_lies_between_what_trips_the_controller_and_all_that_leaf_and_drive_have():
    forces = pencil_forces(75e3)
    found = check(sports_field(BARE).project, KEY).value
    assert forces["above"] < found < (forces["impact"] + forces["driven"]) / 0.89


def test_says_that_no_figures_are_known_for_children_where_they_come_near():
    assert "children" in check(plain(), KEY).meaning
    alone = replaced(plain(), {("site", "reach"): ()})
    assert "children" not in check(alone, KEY).meaning


def test_is_not_asked_where_the_travel_has_no_gap_for_a_hand():
    assert checks(replaced(plain(), {("door", "open_angle"): 0.05}), KEY) == {}


def test_a_soft_edge_and_a_slower_leaf_help_the_orchard():
    working = levers(orchard(), KEY)
    assert {"a soft closing edge", "a slower leaf"} <= set(working)
