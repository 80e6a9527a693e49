"""From a description to a board: pins, scales, settings, and what is asked for or refused."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright.bench.settings import core_settings
from hutwright.errors import HutwrightError, RequestError
from hutwright.native.board_plan import PINS, TIED
from hutwright.studies.firmware_plan import (
    DIVIDER_ROOM,
    LAMP,
    UPPER_RESISTORS,
    FirmwarePlan,
    divider_of,
    firmware_plan,
)
from hutwright.trades.wiring.pin_map import assigned
from tests.described import orchard, sports_field

TWO_WIRE = {"electronics.display.bus": "two-wire"}


def refused(described) -> str:
    """What is said against it."""
    with pytest.raises(HutwrightError) as caught:
        firmware_plan(described)
    return str(caught.value)


@pytest.fixture(scope="module")
def hatch() -> FirmwarePlan:
    return firmware_plan(orchard())


@pytest.fixture(scope="module")
def slider() -> FirmwarePlan:
    return firmware_plan(sports_field(TWO_WIRE))


def test_the_settings_are_those_of_the_rehearsal(hatch):
    assert hatch.settings.tobytes() == core_settings(orchard().project).tobytes()


def test_pins_are_those_that_the_wiring_page_prints(hatch, slider):
    for plan, lines in (
        (hatch, {"bridge.enable": "ENABLE_A", "commands.button": "BUTTON", "present.echo": "ECHO"}),
        (slider, {"limits.open": "LIMIT_OPEN", "limits.shut": "LIMIT_SHUT", "present.echo": "BEAM"}),
    ):
        printed = assigned(plan.described.project)
        assert printed is not None
        for function, line in lines.items():
            port, bit = plan.board.pins[line]
            assert printed.pins[function] == f"P{port}{bit}"


def test_no_two_lines_that_are_wired_share_a_pin_and_none_takes_a_tied_one(hatch, slider):
    for plan in (hatch, slider):
        inputs = {("C", channel) for channel in plan.channels.values()}
        wired = [plan.board.pins[name] for name in plan.fitted]
        assert len(set(wired)) == len(wired)
        assert not set(wired) & (TIED | inputs)
        assert set(plan.board.pins) == set(PINS)


def test_nothing_but_what_a_loader_may_blink_at_sits_on_the_boards_lamp(hatch, slider):
    for plan in (hatch, slider):
        for name in ("BUTTON", "RELAY", "SENSOR", "MAY_LEAVE", "ENABLE_A"):
            assert plan.board.pins[name] != LAMP


def test_a_paralleled_bridge_gets_a_second_enable(hatch, slider):
    assert hatch.board.paralleled
    assert "ENABLE_B" in hatch.fitted
    assert not slider.board.paralleled
    assert "ENABLE_B" not in slider.fitted


def test_the_scales_are_those_of_sensor_and_divider(hatch, slider):
    # 5 V over 1024 counts at 100 mV/A; a shunt of 10 mohm with gain 20 shows 200 mV/A
    assert hatch.board.current_per_count == pytest.approx(5.0 / 1024 / 0.100)
    assert hatch.board.current_zero == 512
    assert slider.board.current_per_count == pytest.approx(5.0 / 1024 / 0.200)
    assert slider.board.current_zero == 0
    assert hatch.board.supply_per_count == pytest.approx(5.0 / 1024 * 3.7)


def test_a_measured_full_scale_scales_everything(hatch):
    plan = firmware_plan(orchard({"electronics.board.reference": "4.9 V"}))
    ratio = 4.9 / 5.0
    assert plan.board.current_per_count == pytest.approx(hatch.board.current_per_count * ratio)
    assert plan.board.supply_per_count == pytest.approx(hatch.board.supply_per_count * ratio)
    assert plan.board.current_zero == round(512 / ratio)


def test_beam_and_edge_open_their_contact_so_that_a_broken_wire_is_seen(slider):
    assert slider.board.beam
    assert slider.board.open_contacts == ("BEAM",)
    edged = firmware_plan(orchard({"controller.layers": ["present sensor", "pressure edge"]}))
    assert edged.board.edge
    assert edged.board.open_contacts == ("EDGE",)


@given(st.floats(min_value=4.0, max_value=60.0))
def test_the_divider_leaves_room_and_is_no_larger_than_needed(highest):
    upper, lower = divider_of(highest, 5.0)
    assert 5.0 * (upper + lower) / lower >= DIVIDER_ROOM * highest
    smaller = [each for each in UPPER_RESISTORS if each < upper]
    assert not smaller or 5.0 * (smaller[-1] + lower) / lower < DIVIDER_ROOM * highest


def test_a_supply_that_no_divider_brings_down_is_refused():
    with pytest.raises(RequestError, match="at most 64 V"):
        divider_of(70.0, 5.0)


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ({"electronics.board": None}, "add board = { kind ="),
        ({"electronics.current_sensor": None}, "add current_sensor = { kind ="),
        ({"pins.bridge.enable": None}, 'add enable = "free" to bridge in [pins]'),
        ({"pins.sense.supply": None}, 'add supply = "free" to sense in [pins]'),
        ({"pins.sense.temperature": None}, 'add temperature = "free" to sense in [pins]'),
        ({"controller": None}, "controller"),
    ],
)
def test_what_is_not_described_is_asked_for_with_the_key_to_add(changes, told):
    assert told in refused(orchard(changes))


def test_all_that_is_lacking_is_asked_for_at_once():
    said = refused(orchard({"pins.bridge.enable": None, "pins.sense.supply": None})).splitlines()
    assert len(said) == 2


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ({"pins.bridge.open": "PB2", "pins.bridge.close": "PB1"}, "pins.bridge.open: read PB2; wanted PB1"),
        ({"electronics.current_sensor.sensitivity": "1 mV/A"}, "beyond what the board can scale"),
        ({"pins.present.echo": "PC5"}, "kept for display.clock"),
        ({"pins.present.echo": "PB1"}, "given to bridge.open already"),
        ({"electronics.board.reference": "1.1 V"}, "electronics.board.reference: read 1.1 V"),
        (
            {"door.opening.width": "3.2 m", "door.leaf.width": "3.3 m", "hut.inside.width": "3.6 m"},
            "looks across at most",
        ),
    ],
)
def test_what_the_board_cannot_do_is_refused_with_what_it_can(changes, told):
    assert told in refused(orchard(changes))


def test_a_display_on_a_parallel_bus_is_refused():
    assert "wanted 'two-wire'" in refused(sports_field())


def test_a_beam_that_is_only_called_a_present_sensor_is_refused():
    said = refused(sports_field(TWO_WIRE | {"controller.layers": ["present sensor", "soft edge"]}))
    assert 'add "beam" to the layers' in said


def test_settings_that_the_core_refuses_are_refused_with_its_reason():
    assert "controller.longest_run.opening" in refused(orchard({"controller.longest_run.opening": "90 s"}))
