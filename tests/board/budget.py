"""What the firmware takes of the chip: ``python -m tests.board.budget`` prints it (``make budget``)."""

from __future__ import annotations

import random
from dataclasses import dataclass
from pathlib import Path

from hutwright.native import avr_build
from hutwright.native.board_plan import BoardPlan, config_text
from hutwright.native.engine import sealed
from hutwright.native.records import Record
from hutwright.native.words import Commands, Eyes, Mode, Sense, Why
from tests.board import machine
from tests.native.doors import hinged, settings_for

FLASH_MOST, RAM_MOST, STORE_MOST = 12 * 1024, 1024, 1024  # bytes
TICK_SHARE_MOST = 0.15  # of the millisecond
# Everything that can be fitted.
FULL = BoardPlan(paralleled=True, beam=True, edge=True)
STORE_MAP = (
    ("settings, slot 0", 0, 282), ("settings, slot 1", 282, 564), ("ring of 24 summaries", 564, 948),
    ("counters, two copies", 948, 1016),
)  # fmt: skip


CLOSINGS = 20  # obstructed ones, each way of sensing


@dataclass(frozen=True)
class Budget:
    """Figures of one binary.

    Attributes
    ----------
    flash_bytes, ram_bytes, stack_bytes : int
        Program, static memory, deepest stack seen. [bytes]
    worst_tick, worst_late : int
        Longest tick, and longest wait of one for what the loop was at. [cycles]
    ticks : dict
        Longest tick of each kind of play. [cycles]
    by_edge : int
        Obstructed closings that were ended by the edge, of both ways of sensing together.
    different : int
        Ticks in which the board did not do what the controller on the host does.
    """

    flash_bytes: int
    ram_bytes: int
    stack_bytes: int
    worst_tick: int
    worst_late: int
    ticks: dict[str, int]
    by_edge: int
    different: int


def everything_counts(sense: Sense) -> Record:
    """Settings with which each of the detectors may count for long before it speaks."""
    settings = settings_for(hinged()).copy()
    settings["sense"] = sense
    settings["eyes"] = Eyes.PRESENT | Eyes.BEAM | Eyes.EDGE
    settings["commands"] = Commands.BUTTON | Commands.RELAY | Commands.LINE | Commands.SENSOR
    settings["backstop_ms"], settings["after_ms"], settings["stuck_ms"] = 60, 50, 5000
    settings["blind_ms"], settings["link_lost_ms"] = 100, 60000
    settings["start_step_ms"] = 100  # the start profile's last step is over long after the rise is heard
    settings["trained_low_dC"], settings["trained_high_mV"] = 0, 12000
    settings["widen_per_kelvin_mA"], settings["widen_per_volt_mA"], settings["widen_most_mA"] = 100, 500, 2000
    for way in ("opening", "closing"):
        settings[way]["profile_mA"] = [1500 + 40 * at for at in range(32)]
        settings[way]["start_mA"] = 100
        settings[way]["per_kelvin_uA"], settings[way]["per_volt_mA"] = -3000, 90
        settings[way]["rise_mA"] = 300
    return sealed(settings)


def obstructed_closings(board: machine.Machine, number: int, seed: int) -> int:
    """Closings in which all that can happen happens at once; how many were ended by the edge.

    After the blind time the current rises over every threshold, the supply changes, the contacts bounce, and
    on some tick before the first detector speaks the edge is pressed.
    """
    chance, by_edge = random.Random(seed), 0
    for _ in range(number):
        for name in ("BUTTON", "RELAY", "SENSOR", "EDGE", "BEAM", "LIMIT_SHUT"):
            board.contact(name, 0)
        board.analogue()
        board.contact("LIMIT_OPEN", 1)
        if board.outputs["fault"]:
            board.say("clear")
        board.lib.loop_ticks(150)
        board.say("open")
        board.lib.loop_ticks(700)
        board.say("close")
        for _ in range(400):
            if board.outputs["close_permille"] > 0:
                break
            board.lib.loop_ticks(1)
        board.contact("LIMIT_OPEN", 0)
        board.analogue(2.0)
        board.lib.loop_ticks(chance.randrange(260, 420))
        board.analogue(7.5, 12.6, -12.0)
        board.lib.loop_ticks(chance.randrange(12, 36))
        board.analogue(7.5, chance.choice((12.0, 12.9)), chance.choice((-12.0, 20.0)))
        for name in ("RELAY", "SENSOR", "BUTTON"):
            board.contact(name, 1)
        board.lib.loop_ticks(chance.randrange(1, 4))
        before = board.outputs["mode"]
        board.contact("EDGE", 1)
        board.lib.loop_ticks(2)
        by_edge += int(before == Mode.CLOSING and board.outputs["why"] == Why.EDGE)
    return by_edge


def measure(cc: Path, avr: Path, ticks: int) -> Budget:
    """Build everything that can be fitted, and run it through storms and obstructed closings."""
    from tests.board.test_replay import storm

    made: avr_build.ElfFacts = machine.firmware(avr, config_text(FULL))
    tools = machine.harness(cc)
    worst, by_edge, different, late, deepest = {}, 0, 0, 0, 0x8FF

    def played(board: machine.Machine, what: str) -> None:
        nonlocal different, late, deepest
        figures = board.figures()
        worst[what] = int(figures.worst_tick)
        late, deepest = max(late, int(figures.worst_late)), min(deepest, int(figures.least_stack))
        different += int(board.compared().different)

    kinds = {
        "a storm": settings_for(hinged()),
        "sensor at the motor": everything_counts(Sense.MOTOR),
        "sensor in the supply lead": everything_counts(Sense.SUPPLY),
    }
    for number, (what, settings) in enumerate(kinds.items()):
        with machine.Machine(made, settings, tools) as board:
            board.lib.machine_echo(board.at, 400, 9000)
            board.run(300)
            board.say("hello")
            board.run(25)
            board.lib.machine_figures_clear(board.at)
            board.beside()
            if number > 0:
                by_edge += obstructed_closings(board, CLOSINGS, number)
            for seed in range(max(1, ticks // 1000 // (1 if number == 0 else 4))):
                storm(board, 1000, random.Random(seed).randrange(1 << 30))
            played(board, what)
    return Budget(made.flash_bytes, made.ram_bytes, 0x8FF - deepest, max(worst.values()), late, worst,
                  by_edge, different)  # fmt: skip


def main() -> None:
    """Print it."""
    from tests.conftest import tool_path

    found = measure(tool_path("cc"), tool_path("avr-gcc"), 10_000)
    print(f"flash       {found.flash_bytes:6d} bytes of {FLASH_MOST}")
    print(f"static RAM  {found.ram_bytes:6d} bytes")
    print(f"stack       {found.stack_bytes:6d} bytes; with static RAM {found.ram_bytes + found.stack_bytes} "
          f"of {RAM_MOST}")  # fmt: skip
    share = 100.0 * found.worst_tick / machine.MS
    most = 100.0 * TICK_SHARE_MOST
    print(f"worst tick  {found.worst_tick:6d} cycles, {share:.1f} % of the millisecond; wanted {most:.0f} %")
    for what, cycles in found.ticks.items():
        print(f"            {cycles:6d} cycles: {what}")
    print(f"worst wait  {found.worst_late:6d} cycles before a tick")
    for what, low, high in STORE_MAP:
        print(f"store       {low:6d}..{high - 1:4d} {what}")


if __name__ == "__main__":
    main()
