"""The real binary in the simulated door's loop, against the native controller in the very same loop."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from hutwright.native import engine
from hutwright.native.board_plan import BoardPlan, config_text
from hutwright.native.engine import sealed
from hutwright.native.records import Record
from hutwright.native.scenario import Event, obstacle, press, scenario
from hutwright.native.words import Commands, Counter, EventKind, Eyes, Mode
from tests.board.machine import Machine, firmware
from tests.native.doors import hinged, pressing, settings_for, sliding

TICK = 1e-3
PLAN = BoardPlan()


SCENARIOS: dict[str, tuple[Callable[[], Record], list[Event], dict[str, Any]]] = {
    "opens": (hinged, [*press(0.1)], {"duration": 12.0, "settle": 0.3}),
    "shuts": (hinged, [*press(0.1)], {"duration": 12.0, "settle": 0.3, "start_open": True}),
    "shuts_on_something_stiff": (
        hinged, [*press(0.1), obstacle(0.0, face=0.3, stiffness=25000.0)],
        {"duration": 12.0, "settle": 0.5, "start_open": True},
    ),
    "shuts_on_something_that_presses_its_edge": (
        hinged, [*press(0.1), *pressing(hinged(), 0.1, face=0.3, stiffness=25000.0)],
        {"duration": 12.0, "settle": 0.5, "start_open": True},
    ),
    "shuts_on_something_soft": (
        sliding, [*press(0.1), obstacle(0.0, face=0.2, stiffness=2500.0)],
        {"duration": 12.0, "settle": 0.5, "start_open": True},
    ),
    "opens_against_something": (
        sliding, [*press(0.1), obstacle(0.0, face=0.3, stiffness=8000.0, opening=True)],
        {"duration": 12.0, "settle": 0.5},
    ),
    "loses_its_sensor": (
        hinged, [*press(0.1), Event(EventKind.SENSOR_FAULT, 1.5, 2.0, 0.0)],
        {"duration": 8.0, "settle": 0.3, "start_open": True},
    ),
}  # fmt: skip
EVERYDAY = {"shuts_on_something_stiff", "shuts_on_something_that_presses_its_edge"}


@pytest.fixture(scope="module")
def with_edge(require_tool):
    return firmware(require_tool("avr-gcc"), config_text(BoardPlan(edge=True)))


@pytest.mark.parametrize(
    "name",
    [pytest.param(each, marks=() if each in EVERYDAY else pytest.mark.slow) for each in SCENARIOS],
)
def test_it_does_what_the_native_controller_does_within_two_ticks_and_three_percent(
    binary, with_edge, tools, name
):
    make, events, rest = SCENARIOS[name]
    door = make()
    # The board's converter, also for the native controller.
    door["sensor_step"], door["supply_step"] = PLAN.current_per_count, PLAN.supply_per_count
    settings = settings_for(door).copy()
    settings["commands"] = Commands.BUTTON | Commands.LINE
    edge = "edge" in name
    settings["eyes"] = int(settings["eyes"]) | (Eyes.EDGE if edge else 0)
    settings = sealed(settings)
    scene = scenario(events, **rest)
    native = engine.run(door, settings, scene, rows=False).result
    with Machine(with_edge if edge else binary, settings, tools) as board:
        board.lib.machine_echo(board.at, 400, 9000)
        board.run(350)
        board.say("hello")
        board.run(25)
        board.beside()
        played = board.play(door, settings, scene)
        compared = board.compared()
    assert compared.died == 0
    assert (compared.different, compared.first) == (0, -1)
    assert compared.ticks > 1000
    for end in ("end_mode", "end_why", "end_fault", "broken"):
        assert played[end] == native[end], end
    for moment in ("trip_time", "back_time", "open_time", "close_time", "contact_time"):
        assert played[moment] == pytest.approx(native[moment], abs=2.5 * TICK), moment
    assert played["peak_force"] == pytest.approx(native["peak_force"], rel=0.03)
    assert played["peak_seen"] == pytest.approx(native["peak_seen"], rel=0.03)
    assert played["peak_current"] == pytest.approx(native["peak_current"], rel=0.03)
    if edge:
        assert native["counters"][Counter.EDGE] == played["counters"][Counter.EDGE] == 1
        assert 0.0 < played["trip_time"] - played["contact_time"] <= 2.5 * TICK
        assert played["back_time"] - played["contact_time"] < 0.3
        assert native["end_mode"] == Mode.OPEN
    elif "something" in name:
        assert native["trip_time"] > 0.0
        assert native["peak_force"] > 20.0
    if name == "loses_its_sensor":
        assert native["end_mode"] == Mode.FAULT
