"""What recorded moves say of drive, supply and load, on simulated doors whose truth is known."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from hutwright.bench.plant import sim_door
from hutwright.bench.traced import commanded_move, switched_move
from hutwright.description.build import build
from hutwright.description.described import Origin
from hutwright.description.overlay import whole
from hutwright.description.reading import parse_sheet
from hutwright.description.writing import edit
from hutwright.errors import RequestError
from hutwright.evidence.trace import Way
from hutwright.laws.motor_constants import Run, Slope, constants_from_travel, summed
from hutwright.native import engine
from hutwright.native.records import Record
from hutwright.plant.conditions import nominal
from hutwright.plant.mechanism import rod_force
from hutwright.plant.motor import current_under, drive_constants
from hutwright.plant.travel import travel
from hutwright.studies.identify import Identified, identify, offered
from tests.described import ORCHARD
from tests.evidence.rows import thinned
from tests.plant.doors import demo

NAMES = ["orchard", "sports_field"]


@cache
def found(name: str, *, seed: int = 3, every: int = 1, placed: bool = True) -> Identified:
    """What an opening and a closing at a switch say."""
    project = demo(name)
    traces = [switched_move(project, nominal(project), way=way, seed=seed, every=every) for way in Way]
    if not placed:
        traces = [replace(each, place=None) for each in traces]
    return identify(project, traces)


def off(slope: Slope, truth: float) -> float:
    """How far a value is off, as a share."""
    return slope.value / truth - 1.0


@pytest.mark.parametrize("name", NAMES)
def test_opening_and_closing_give_resistance_constant_and_supply(name):
    door, seen = sim_door(demo(name), nominal(demo(name))), found(name, every=2)
    assert not seen.by_start
    assert off(seen.resistance, float(door["resistance"])) == pytest.approx(0.0, abs=0.05)
    assert off(seen.constant, float(door["constant"])) == pytest.approx(0.0, abs=0.02)
    assert off(seen.source, float(door["source_resistance"])) == pytest.approx(0.0, abs=0.05)


@pytest.mark.parametrize("name", NAMES)
def test_a_quick_inrush_and_the_stroke_give_both_without_a_position(name):
    project = demo(name)
    door, seen = sim_door(project, nominal(project)), found(name, placed=False)
    assert seen.by_start
    loop = float(door["resistance"] + door["series_resistance"])
    assert (seen.resistance.value - float(door["resistance"])) / loop == pytest.approx(0.0, abs=0.015)
    # the drive's own switch ends a move a little before the end of the described stroke
    early = 1.0 - min(float(door["switch_open"]) / engine.rod(door, float(door["full"]))[0], 1.0)
    assert off(seen.constant, float(door["constant"])) == pytest.approx(0.0, abs=0.015 + early)


@pytest.mark.parametrize("name", NAMES)
def test_friction_and_gravity_are_those_of_the_plant(name):
    project = demo(name)
    conditions, over = nominal(project), travel(project)
    seen = found(name, every=2).loads
    assert seen is not None
    share = (over.rod_length - over.rod_length[0]) / (over.rod_length[-1] - over.rod_length[0])
    opening, closing = (
        np.interp(
            np.linspace(0.2, 0.8, 50),
            share,
            current_under(project, rod_force(project, conditions, opening=way), conditions),
        ).mean()
        for way in (True, False)
    )
    assert seen.friction.value == pytest.approx(0.5 * (opening + closing), rel=0.05)
    assert seen.gravity.value == pytest.approx(0.5 * (opening - closing), abs=0.05 * seen.friction.value)


@pytest.mark.parametrize("every", [2, 20])
def test_a_move_under_the_controller_serves_where_its_duty_is_known(every):
    project = demo("orchard")
    played = [commanded_move(project, nominal(project), way=way, every=every) for way in Way]
    seen = identify(project, played)
    assert seen.left_out == ()
    door = sim_door(project, nominal(project))
    assert off(seen.resistance, float(door["resistance"])) == pytest.approx(0.0, abs=0.05)
    assert off(seen.constant, float(door["constant"])) == pytest.approx(0.0, abs=0.02)


@pytest.mark.parametrize("every", [2, 20])
def test_where_the_duty_is_not_known_the_rows_of_ramp_and_slow_stretch_are_left_out_and_told(every):
    project = demo("orchard")
    played = [
        replace(commanded_move(project, nominal(project), way=way, every=every), duty=None) for way in Way
    ]
    seen = identify(project, played)
    door = sim_door(project, nominal(project))
    assert off(seen.resistance, float(door["resistance"])) == pytest.approx(0.0, abs=0.05)
    assert off(seen.constant, float(door["constant"])) == pytest.approx(0.0, abs=0.02)
    assert len(seen.left_out) == 2
    assert "in which the voltage still rose, because nobody recorded the duty" in seen.left_out[0]
    assert "where it is slow" in seen.left_out[1]


def test_ramps_without_duty_and_place_tell_nothing_and_the_refusal_says_why():
    project = demo("orchard")
    played = [
        replace(commanded_move(project, nominal(project), way=way, every=2), duty=None, place=None)
        for way in Way
    ]
    with pytest.raises(RequestError, match="neither duty nor position_mm"):
        identify(project, played)


def test_a_place_that_the_controller_reckoned_is_no_evidence_and_the_refusal_says_so():
    project = demo("orchard")
    played = [
        replace(commanded_move(project, nominal(project), way=way, every=20), reckoned=True) for way in Way
    ]
    with pytest.raises(RequestError, match="because the controller reckoned it from voltage"):
        identify(project, played)
    # among quick starts it does not stand in the way, and the loads are still told by place
    quick = [replace(switched_move(project, nominal(project), way=way), reckoned=True) for way in Way]
    seen = identify(project, quick)
    assert seen.by_start
    assert seen.loads is not None
    assert len(seen.left_out) == 2


def test_one_way_alone_is_refused_unless_it_was_recorded_as_quick_starts():
    project = demo("orchard")
    trace = switched_move(project, nominal(project), way=Way.OPENING)
    with pytest.raises(RequestError, match="1 usable moves, all of them opening; wanted some of both ways"):
        identify(project, [trace])
    seen = identify(project, [], starts=[trace])
    door = sim_door(project, nominal(project))
    assert (seen.by_start, seen.loads) == (True, None)
    loop = float(door["resistance"] + door["series_resistance"])
    assert (seen.resistance.value - float(door["resistance"])) / loop == pytest.approx(0.0, abs=0.015)


def test_a_resistance_below_zero_is_refused_with_what_to_look_at():
    project = demo("orchard")
    # a clamp that shows ten times the current makes all of the loop a tenth, less than bridge and cable have
    traces = [switched_move(project, nominal(project), way=way, every=2) for way in Way]
    with pytest.raises(RequestError, match=r"resistance of -0\.\d+ ohm follows.*wanted one above zero"):
        identify(project, [replace(each, current=10.0 * each.current) for each in traces])


def test_steady_moves_against_the_same_load_do_not_tell_the_two_apart():
    time = np.linspace(0.0, 8.0, 801)
    rng = np.random.default_rng(1)
    runs = [
        Run(
            time,
            np.full(801, 12.0),
            1.0 + 0.02 * rng.standard_normal(801),
            summed(time, np.full(801, 10.0 / 350.0)),
        )
        for _ in range(2)
    ]
    seen = constants_from_travel(runs, 0.0)
    assert np.isnan(seen.resistance)
    assert np.isnan(seen.constant)


def test_moves_without_the_supply_are_refused():
    project = demo("orchard")
    trace = replace(switched_move(project, nominal(project), way=Way.OPENING, every=5), supply=None)
    with pytest.raises(RequestError, match="supply_V"):
        identify(project, [trace])


def test_slow_rows_without_a_position_are_refused():
    with pytest.raises(RequestError, match="500 rows"):
        found("orchard", every=20, placed=False)


def test_what_is_offered_is_written_as_measured_and_gives_the_same_drive():
    project, seen = demo("orchard"), found("orchard", every=2)
    changes = offered(project, seen)
    text = edit(ORCHARD.read_text(encoding="utf-8"), changes)
    again = build(whole(parse_sheet(text, "hut.toml")))
    assert len([path for path in changes if path.startswith("measured")]) == 3
    for path in changes:
        if not path.startswith("measured"):
            datum = again.values[tuple(path.split("."))]
            assert datum.origin is Origin.MEASURED
            assert datum.note == "from 2 recorded moves"
            assert datum.unsure
    truth, written = drive_constants(project), drive_constants(again.project)
    assert written.resistance == pytest.approx(truth.resistance, rel=0.05)
    assert written.constant == pytest.approx(truth.constant, rel=0.02)


def test_what_is_too_unsure_is_not_offered():
    seen = found("orchard", every=2)
    vague = replace(seen, resistance=Slope(2.0, 1.0), source=Slope(0.1, 0.5))
    assert offered(demo("orchard"), vague) == {}


def inside(seen: Identified, door: Record) -> np.ndarray:
    """Whether resistance, constant and supply lie within 1.96 standard errors of the truth."""
    return np.array(
        [
            abs(slope.value - float(door[key])) <= 1.96 * slope.error
            for slope, key in (
                (seen.resistance, "resistance"),
                (seen.constant, "constant"),
                (seen.source, "source_resistance"),
            )
        ]
    )


DRAWS = 200
LEAST = 0.95 - 3.0 * np.sqrt(0.95 * 0.05 / DRAWS)  # 95 % less three standard errors of such a share


@pytest.mark.slow
@pytest.mark.parametrize("name", NAMES)
def test_standard_errors_cover_the_truth_over_200_draws(name):
    project = demo(name)
    door = sim_door(project, nominal(project))
    placed, quick = np.zeros(3), np.zeros(3)
    for seed in range(DRAWS):
        whole = [switched_move(project, nominal(project), way=way, seed=seed) for way in Way]
        placed += inside(identify(project, [thinned(each, 2) for each in whole]), door)
        quick += inside(identify(project, [replace(each, place=None) for each in whole]), door)
    assert (placed / DRAWS >= LEAST).all(), placed
    assert (quick / DRAWS >= LEAST).all(), quick


@pytest.mark.slow
def test_standard_errors_cover_the_truth_over_200_draws_with_a_recorded_duty():
    project = demo("orchard")
    door = sim_door(project, nominal(project))
    covered = np.zeros(3)
    for seed in range(DRAWS):
        moves = [commanded_move(project, nominal(project), way=way, seed=seed, every=5) for way in Way]
        covered += inside(identify(project, moves), door)
    assert (covered / DRAWS >= LEAST).all(), covered
