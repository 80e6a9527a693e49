"""Layers of protection beside reversing on current."""

from __future__ import annotations

import pytest

from hutwright.checks.verdict import Status
from tests.described import orchard
from tests.trades.guard.judged import check, levers, quickly, sports_field, verdict

KEY = "guard.layers"
ADULTS = {"site.reach": ["adults"]}


def stand(project) -> float:
    found = check(project, KEY)
    return next(step.result.value for step in found.working if step.symbol == "layers")


@pytest.mark.published("UL 325, since January 2016: two independent means, not twice the same type")
def test_adults_want_one_layer_beside_the_current_and_children_two():
    assert check(orchard({**ADULTS, "controller.layers": []}).project, KEY).value == 1.0
    assert check(orchard({**ADULTS, "controller.layers": ["beam"]}).project, KEY).value == 0.0
    assert check(orchard({"controller.layers": ["beam"]}).project, KEY).value == 1.0


def test_a_beam_that_is_the_present_sensor_counts_once():
    assert stand(sports_field().project) == 2.0  # soft edge and beam
    assert verdict(sports_field(), KEY).status is Status.HOLDS


def test_a_soft_edge_counts_where_the_door_has_one_and_not_where_it_is_only_listed():
    listed = check(orchard({"controller.layers": ["soft edge"]}).project, KEY)
    assert stand(orchard({"controller.layers": ["soft edge"]}).project) == 0.0
    assert any("listed, but door.edge is hard" in step.words for step in listed.working)
    soft = {"kind": "soft", "stiffness": "12 N/mm", "depth": "25 mm"}
    assert stand(orchard({"door.edge": soft, "controller.layers": []}).project) == 1.0


def test_a_present_sensor_that_is_not_there_counts_for_nothing():
    bare = {"electronics.present_sensor": None, "pins.present": None}
    assert stand(orchard(bare).project) == 0.0


def test_tells_in_newtons_what_a_soft_edge_and_a_slower_leaf_would_take_off():
    working = {step.symbol: step for step in check(orchard().project, KEY).working}
    now = quickly(orchard().project, "guard.peak_force")["gap_300"].value
    assert working["soft_takes_off"].numbers["F_now"].value == now
    assert working["soft_takes_off"].result.value > 0.0
    assert working["slow_takes_off"].result.value > 0.0
    assert "soft_takes_off" not in {step.symbol for step in check(sports_field().project, KEY).working}


def test_one_more_layer_is_enough_for_the_orchard():
    lever = levers(orchard(), KEY)["one more layer of protection"]
    assert lever.option is not None
