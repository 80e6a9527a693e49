"""The demos' own firmware, as the verb writes it, on the simulated chip: pins, scales, settings."""

from __future__ import annotations

import pytest

from hutwright.native import avr_build
from hutwright.native.board_plan import CONTACTS
from hutwright.native.records import SETTINGS
from hutwright.native.words import Eye, Mode
from hutwright.outputs.firmware import ELF, LINES, write_firmware
from hutwright.studies.firmware_plan import FirmwarePlan, firmware_plan
from tests.board import machine
from tests.described import orchard, sports_field
from tests.native.boards.test_hosted import parsed

pytestmark = pytest.mark.slow
SPOKEN = 150  # longer than a line takes at 57600 bits a second, and the store after it [ms]


class Wired(machine.Machine):
    """A board that is wired as its own plan says."""

    def __init__(self, plan: FirmwarePlan, made, tools) -> None:
        self.plan = plan
        super().__init__(made, None, tools)

    def contact(self, name: str, made: int) -> None:
        """What the builder's contact does: made is pressed, reached, broken beam."""
        if name in self.plan.fitted:
            port, bit = self.plan.board.pins[name]
            opens = name in self.plan.board.open_contacts
            self.lib.machine_pin(self.at, port.encode(), bit, made if opens else 1 - made)

    def analogue(self, current: float = 0.0, supply: float = 12.7, celsius: float = 20.0) -> None:
        """The three sensors as they are wired [A, V, degC], in volts at the pin of a 5 V converter."""
        electronics = self.plan.described.project.electronics
        assert electronics is not None
        assert electronics.current_sensor is not None
        upper, lower = self.plan.divider
        zero = 2.5 if electronics.current_sensor.kind.startswith("Hall") else 0.0
        volts = {
            "CURRENT": zero + current * electronics.current_sensor.sensitivity,
            "SUPPLY": supply * lower / (upper + lower),
            "TEMPERATURE": 0.5 + 0.01 * celsius,
        }
        for name, value in volts.items():
            self.lib.machine_counts(self.at, self.plan.channels[name], round(value / 5.0 * 1024))

    def level(self, name: str) -> int:
        """What an output shows."""
        port, bit = self.plan.board.pins[name]
        return int(self.lib.machine_level(self.at, port.encode(), bit))

    def given(self, lines: bytes) -> list[int]:
        """Lines sent one after another, and what was answered."""
        answers = []
        for line in lines.splitlines(keepends=True):
            self.lines()
            self.send(line)
            self.run(SPOKEN)
            answers += [parsed(each)["r"] for each in self.lines() if each.startswith("A ")]
        return answers


@pytest.fixture(params=["orchard", "sports_field"])
def wired(request, require_tool, tmp_path):
    """Each demo's folder, written as the verb does, and its image on the chip with an empty store."""
    compiler = require_tool("avr-gcc")
    tools = machine.harness(require_tool("cc"))
    described = (
        orchard() if request.param == "orchard" else sports_field({"electronics.display.bus": "two-wire"})
    )
    plan = firmware_plan(described)
    made = write_firmware(plan, tmp_path / "out")
    with Wired(plan, avr_build.facts(tmp_path / "out" / ELF, compiler), tools) as board:
        board.analogue(supply=float(plan.settings["reference_mV"]) / 1e3)
        yield board, made.firmware.files[LINES]


def told_settings(board: Wired) -> bytes:
    """What the chip says that its first slot holds."""
    found = b""
    while len(found) < SETTINGS.itemsize:
        board.lines()
        board.say("tell", str(len(found)))
        board.run(SPOKEN)
        (line,) = (parsed(each) for each in board.lines() if each.startswith("S "))
        assert (line["o"], line["s"]) == (len(found), 0)
        found += b"".join(line[key].to_bytes(2, "little") for key in "abcdefghij")
    return found[: SETTINGS.itemsize]


def test_an_empty_board_moves_nothing_until_it_has_its_settings_and_then_obeys(wired):
    board, lines = wired
    board.run(300)
    assert board.outputs["mode"] == Mode.FAULT
    answers = board.given(lines)
    assert answers == [0] * len(lines.splitlines())
    board.run(300)
    assert board.settings.tobytes() == board.plan.settings.tobytes()
    assert board.outputs["mode"] == Mode.STOPPED
    assert board.level("ENABLE_A") == 0

    board.sequence = 100
    assert told_settings(board) == board.plan.settings.tobytes()
    board.say("open")
    board.run(60)
    assert board.outputs["mode"] == Mode.OPENING
    assert board.level("ENABLE_A") == 1
    if board.plan.board.paralleled:
        assert board.level("ENABLE_B") == 1
    assert board.outputs["fault"] == 0


def test_every_input_reads_what_its_wire_carries(wired):
    board, lines = wired
    board.given(lines)
    board.run(300)
    plan = board.plan.board
    for current, supply, celsius in ((0.0, 12.0, -10.0), (2.0, 13.0, 20.0), (4.0, 11.0, 40.0)):
        board.analogue(current, supply, celsius)
        board.run(3)
        read = board.inputs
        # half a count, and what is lost in the factor of 1/256
        assert read["current_mA"] == pytest.approx(1e3 * current, abs=500.0 * plan.current_per_count + 2)
        assert read["supply_mV"] == pytest.approx(1e3 * supply, abs=500.0 * plan.supply_per_count + 2)
        assert read["temperature_dC"] == pytest.approx(10.0 * celsius, abs=10.0 * plan.temperature_per_count)
    names = {"LIMIT_SHUT": "limit_shut", "LIMIT_OPEN": "limit_open", "BUTTON": "button", "RELAY": "relay",
             "SENSOR": "sensor"}  # fmt: skip
    for contact in (each for each in CONTACTS if each in board.plan.fitted):
        for made in (1, 0):
            board.contact(contact, made)
            board.run(2)
            read = board.inputs
            if contact in names:
                assert read[names[contact]] == made, contact
            else:
                wanted = Eye.SEES if made else Eye.CLEAR
                assert read[contact.lower()] == wanted, contact
