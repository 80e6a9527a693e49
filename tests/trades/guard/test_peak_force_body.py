"""Greatest force of the closing edge on a hand."""

from __future__ import annotations

import pytest

from hutwright.model.paths import replaced
from hutwright.plant.conditions import coldest_calm, nominal, warmest_calm
from hutwright.plant.swing import contact
from hutwright.plant.travel import place_at_gap
from tests.described import orchard
from tests.layout.doors import plain
from tests.trades.guard.judged import check, checks, levers, sports_field

KEY = "guard.peak_force_body"


@pytest.mark.published("ISO/TS 15066:2016, annex A, tables A.2 and A.3: hand 140 N, passing twice that")
def test_a_hand_is_as_stiff_and_stands_as_much_as_the_table_says():
    found = check(plain(), KEY)
    assert found.limit == 280.0
    obstacle = next(step.numbers["k_obs"].value for step in found.working if "k_obs" in step.numbers)
    assert obstacle == 75e3


@pytest.mark.parametrize("project", [orchard().project, sports_field().project], ids=["orchard", "sports"])
def test_is_the_worst_of_the_gaps_that_a_hand_gets_into(project):
    forces = []
    for gap in (0.05, 0.2):
        place = place_at_gap(project, gap)
        assert place is not None
        for weather in (nominal, coldest_calm, warmest_calm):
            forces.append(contact(project, place, weather(project), obstacle=75e3).peak.greatest)
    assert check(project, KEY).value == pytest.approx(max(forces), rel=1e-12)


def test_says_that_no_figures_are_known_for_children_where_they_come_near():
    assert "children" in check(plain(), KEY).meaning
    alone = replaced(plain(), {("site", "reach"): ()})
    assert "children" not in check(alone, KEY).meaning


def test_is_not_asked_where_the_travel_has_no_gap_for_a_hand():
    assert checks(replaced(plain(), {("door", "open_angle"): 0.05}), KEY) == {}


def test_a_soft_edge_and_a_slower_leaf_help_the_orchard():
    working = levers(orchard(), KEY)
    assert {"a soft closing edge", "a slower leaf"} <= set(working)
