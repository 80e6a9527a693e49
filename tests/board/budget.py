"""What the firmware takes of the chip: ``python -m tests.board.budget`` prints it (``make budget``)."""

from __future__ import annotations

import random
from dataclasses import dataclass
from pathlib import Path

from hutwright.native import avr_build
from hutwright.native.board_plan import BoardPlan, config_text
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


@dataclass(frozen=True)
class Budget:
    """Figures of one binary.

    Attributes
    ----------
    flash_bytes, ram_bytes, stack_bytes : int
        Program, static memory, deepest stack seen. [bytes]
    worst_tick, worst_late : int
        Longest tick, and longest wait of one for what the loop was at. [cycles]
    """

    flash_bytes: int
    ram_bytes: int
    stack_bytes: int
    worst_tick: int
    worst_late: int


def measure(cc: Path, avr: Path, ticks: int) -> Budget:
    """Build everything that can be fitted, and run it through a storm."""
    made: avr_build.ElfFacts = machine.firmware(avr, config_text(FULL))
    settings = settings_for(hinged())
    from tests.board.test_replay import storm

    with machine.Machine(made, settings, machine.harness(cc)) as board:
        board.lib.machine_echo(board.at, 400, 9000)
        board.run(300)
        board.say("hello")
        board.run(25)
        board.lib.machine_figures_clear(board.at)
        board.beside()
        for seed in range(max(1, ticks // 1000)):
            storm(board, 1000, random.Random(seed).randrange(1 << 30))
        figures = board.figures()
        return Budget(made.flash_bytes, made.ram_bytes, 0x8FF - int(figures.least_stack),
                      int(figures.worst_tick), int(figures.worst_late))  # fmt: skip


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
    print(f"worst wait  {found.worst_late:6d} cycles before a tick")
    for what, low, high in STORE_MAP:
        print(f"store       {low:6d}..{high - 1:4d} {what}")


if __name__ == "__main__":
    main()
