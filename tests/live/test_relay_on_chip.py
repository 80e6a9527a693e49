"""The relay with the board's real binary on a simulated chip, behind a pseudo-terminal, and a real broker."""

from __future__ import annotations

from pathlib import Path

import pytest

from hutwright.live.simulated_board import PlainLeaf, SimulatedBoard
from hutwright.native.board_plan import BoardPlan, config_text
from tests.board import machine
from tests.live.places import Listener, RealBroker, RunningRelay, made_hut, until
from tests.native.doors import hinged, settings_for

pytestmark = pytest.mark.slow
FREE, STANDING, SILENT = 9000, 1500, 0  # echoes of a doorway [us]


class Chip:
    """The chip with a leaf on it, its switches, its sensors and its doorway."""

    def __init__(self, board: machine.Machine) -> None:
        self.board, self.leaf = board, PlainLeaf()
        self.moved = 0  # milliseconds in which the bridge was on
        self.doorway(FREE)

    def doorway(self, echo_us: int) -> None:
        self.board.lib.machine_echo(self.board.at, 400, echo_us)

    def tick(self) -> None:
        said = self.board.outputs
        duty = (int(said["open_permille"]) - int(said["close_permille"])) / 1000.0
        felt = self.leaf.live(duty, enabled=bool(said["enable"]))
        self.moved += duty != 0.0
        self.board.contact("LIMIT_SHUT", int(felt.shut))
        self.board.contact("LIMIT_OPEN", int(felt.open))
        self.board.analogue(felt.current, felt.supply, felt.temperature)
        self.board.run()

    def hear(self, data: bytes) -> None:
        self.board.send(data)

    def said(self) -> bytes:
        to = self.board.ffi.new("uint8_t[65536]")
        return bytes(self.board.ffi.buffer(to, self.board.lib.machine_said(self.board.at, to, 65536)))


@pytest.fixture
def chip(require_tool):
    made = machine.firmware(require_tool("avr-gcc"), config_text(BoardPlan()))
    with machine.Machine(made, settings_for(hinged()), machine.harness(require_tool("cc"))) as board:
        yield Chip(board)


def test_open_wait_start_close_and_the_retained_state_on_the_real_firmware(chip, tmp_path, require_tool):
    broker = RealBroker(require_tool("mosquitto"), tmp_path)
    broker.start()
    hut = made_hut(tmp_path)
    with SimulatedBoard(chip) as board:
        relay = RunningRelay(hut, broker.port, Path(board.path))
        listener = Listener(broker.port)
        try:
            walk_through(chip, broker, listener)
        finally:
            relay.kill()
            listener.close()
            broker.kill()


def walk_through(chip: Chip, broker: RealBroker, listener: Listener) -> None:
    listener.see(link="well", doorway="clear")
    assert chip.moved == 0

    assert listener.ask("start")["answer"] == "taken"
    listener.see(mode="opening", start="opening")
    until(lambda: listener.starts, "the machine may start")
    listener.see(mode="open", may_leave=True)
    assert chip.leaf.place == 1.0
    until(lambda: len(listener.answers) == 2, "the permission is an answer too")
    assert [each["answer"] for each in listener.answers] == ["taken", "allowed"]
    assert listener.starts[0]["until"] > listener.starts[0]["at"]

    later = Listener(broker.port)  # who comes later finds the state with the broker
    later.see(link="well", mode="open", may_leave=True)
    later.close()

    until(lambda: listener.state["start"] == "none", "the permission is over")
    for echo, told, why in (
        (SILENT, "sensor failed", "has failed"),
        (STANDING, "something there", "something stands"),
    ):
        moved = chip.moved
        chip.doorway(echo)
        listener.see(doorway=told)
        answer = listener.ask("close")
        assert answer["answer"] == "refused"
        assert why in answer["why"]
        assert chip.moved == moved
        assert chip.leaf.place == 1.0

    chip.doorway(FREE)
    listener.see(doorway="clear")
    assert listener.ask("close")["answer"] == "taken"
    listener.see(mode="shut", place_percent=0)
    assert chip.leaf.place == 0.0
    assert len(listener.starts) == 1
