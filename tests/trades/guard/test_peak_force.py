"""Greatest force of the closing edge, by pencil, and what must hold of it."""

from __future__ import annotations

from dataclasses import replace
from math import sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hutwright.checks.verdict import Status
from hutwright.model.door import DoorKind
from hutwright.plant.conditions import coldest_calm, nominal, warmest_calm
from hutwright.plant.swing import contact
from hutwright.plant.travel import place_at_gap
from hutwright.sources import Standing
from tests.described import orchard
from tests.layout.doors import plain, with_kind
from tests.trades.guard.judged import BARE, check, checks, levers, sports_field, verdict

INSTRUMENT = 500e3  # EN 12453, annex C [N/m]


def test_agrees_with_a_pencil():
    found = check(sports_field(BARE).project, "guard.peak_force", "gap_300")
    # listing: 24 V, 0.14 m/s at 0.6 A, 0.11 m/s at 2.2 A and 180 N
    resistance = 24.0 * (0.14 - 0.11) / (2.2 * 0.14 - 0.6 * 0.11)
    constant = (24.0 - 0.6 * resistance) / 0.14
    per_ampere = 180.0 / (2.2 - 0.6)
    friction = 0.10 * 6.0 * 9.80665
    running = 0.6 + friction / per_ampere
    speed = (24.0 - resistance * running) / constant
    stall = per_ampere * (24.0 / resistance - 0.6) - friction
    series = 1.0 / (1.0 / 500e3 + 1.0 / 60e3)
    trip = min((3.4 - running) * per_ampere + speed * series * (0.030 + 0.015), stall)
    rotor = 0.5 * (0.020 * constant**2 / resistance) * speed**2
    driven = sqrt(trip**2 + 2.0 * series * per_ampere / constant * rotor)
    impact = speed * sqrt(500e3 * 6.0)
    assert found.value == pytest.approx(max(max(impact, driven) / 0.92, (impact + driven) / 0.97), rel=1e-9)
    assert found.limit == 400.0


@pytest.mark.published("EN 12453:2017+A1:2021, annexes A and C: 400 N at 50, 300 and 500 mm")
def test_is_asked_at_the_gaps_of_the_force_test_and_held_to_its_limit():
    found = checks(replace(plain(), limits={}), "guard.peak_force")
    assert list(found) == ["gap_50", "gap_300", "gap_500"]
    assert {each.limit for each in found.values()} == {400.0}
    assert {each.limit_from.standing for each in found.values()} == {Standing.SECOND_HAND}


def test_a_leaf_that_goes_up_and_down_rests_on_a_limit_from_memory_and_says_so():
    lift = replace(with_kind(DoorKind.LIFT, opens=0.4), drive=plain().drive)
    found = checks(lift, "guard.peak_force")
    assert list(found) == ["gap_50", "gap_300"]  # its travel has no gap of 500 mm
    assert {each.limit_from.standing for each in found.values() if each.limit == 400.0} <= {Standing.RECALLED}


def test_the_builder_s_own_limit_counts_at_every_gap():
    assert {each.limit for each in checks(plain(), "guard.peak_force").values()} == {100.0}


@pytest.mark.parametrize("project", [orchard().project, sports_field().project], ids=["orchard", "sports"])
def test_is_the_upper_end_of_the_range_in_the_worst_of_three_weathers(project):
    for gap, subject in ((0.05, "gap_50"), (0.3, "gap_300"), (0.5, "gap_500")):
        place = place_at_gap(project, gap)
        assert place is not None
        ends = [
            contact(project, place, weather(project), obstacle=INSTRUMENT).peak.greatest
            for weather in (nominal, coldest_calm, warmest_calm)
        ]
        assert check(project, "guard.peak_force", subject).value == pytest.approx(max(ends), rel=1e-12)


def test_the_working_shows_the_least_and_the_usual_force_too():
    found = check(plain(), "guard.peak_force", "gap_300")
    results = {step.symbol: step.result.value for step in found.working}
    assert results["F_least"] < results["F_usual"] < results["F_peak"] == found.value


@pytest.mark.practice("a soft edge lowers the peak force of a hard leaf")
def test_a_soft_edge_lowers_the_force_as_long_as_it_is_not_pressed_flat():
    hard = check(sports_field(BARE).project, "guard.peak_force", "gap_300")
    deep = {"kind": "soft", "stiffness": "5 N/mm", "depth": "200 mm"}
    shallow = {"kind": "soft", "stiffness": "5 N/mm", "depth": "5 mm"}
    soft = check(sports_field({**BARE, "door.edge": deep}).project, "guard.peak_force", "gap_300")
    flat = check(sports_field({**BARE, "door.edge": shallow}).project, "guard.peak_force", "gap_300")
    assert soft.value < hard.value
    assert flat.value == pytest.approx(hard.value)
    assert any(step.symbol == "F_flat" for step in flat.working)


@settings(max_examples=25)
@given(st.floats(0.3, 0.99), st.floats(1.01, 1.5))
def test_a_leaf_run_quicker_never_presses_less(share: float, more: float):
    def force(duty: float) -> float:
        speed = {"normal": min(duty, 1.0), "last": 0.1, "last_over": "0 mm"}
        return check(
            sports_field({**BARE, "controller.speed": speed}).project, "guard.peak_force", "gap_300"
        ).value

    assert force(share * more) >= force(share) - 1e-9


def test_the_orchard_misses_the_builder_s_limit_and_a_soft_edge_with_a_slow_stretch_keeps_it():
    found = verdict(orchard(), "guard.peak_force", "gap_300")
    assert found.status is Status.MISSES
    assert "a soft closing edge and a slow last stretch" in levers(orchard(), "guard.peak_force", "gap_300")


def test_a_slow_stretch_is_offered_that_holds():
    option = levers(sports_field(), "guard.peak_force", "gap_300")["a slow last stretch"].option
    assert option is not None
    assert ("controller", "speed", "last_over") in option.changes
