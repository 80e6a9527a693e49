"""A board that is not there, behind a pseudo-terminal: it takes the words and speaks the telemetry.

What runs is the firmware's own C. `HostBoard` compiles it with the host's board layer, so that a C compiler
is all that is needed; the tests put the real binary on a simulated chip in its place. The leaf that hangs on
it is of the simplest kind, with a steady speed and two limit switches: for the line, not for forces.
"""

from __future__ import annotations

import os
import subprocess
import threading
import time
import tty
from contextlib import suppress
from pathlib import Path
from types import TracebackType
from typing import Any, Protocol

from cffi import FFI

from hutwright.native import boards_export
from hutwright.native.board_plan import BoardPlan, config_text, store_image
from hutwright.native.build import declarations
from hutwright.native.records import Record

HEADERS = ("core/door.h", "boards/parts/board.h", "boards/host/host.h")
FOLDERS = (".", "core", "boards/parts", "boards/host")
NOTHING = 65535  # of port_echo_units()
IDLES = 200  # pieces of work that a board does between two ticks
# The leaf: from end to end at full duty, and what its motor draws. [ms], [A]
TRAVEL_MS, RUNNING_A = 4000.0, 1.0
FREE_ECHO = 150  # of a free doorway, in units of 64 us


class Board(Protocol):
    """What a pseudo-terminal needs of a board."""

    def tick(self) -> None:
        """Live through one millisecond."""
        ...

    def hear(self, data: bytes) -> None:
        """Take bytes from the line."""
        ...

    def said(self) -> bytes:
        """Give what has been said since the last call."""
        ...


def _library(folder: Path, plan: BoardPlan, compiler: Path) -> tuple[FFI, Any]:
    for name, content in boards_export.files(boards_export.Board.HOST).items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(content)
    (folder / "board_config.h").write_text(config_text(plan), encoding="ascii")
    library = folder / "board.so"
    sources = [str(path) for path in sorted(folder.glob("**/*.c"))]
    include = [f"-I{folder / each}" for each in FOLDERS]
    subprocess.run(
        [str(compiler), "-std=c11", "-O1", "-shared", "-fPIC", *include, *sources, "-o", str(library)],
        check=True,
    )
    ffi = FFI()
    for name in HEADERS:
        ffi.cdef(declarations((folder / name).read_text("utf-8")))
    return ffi, ffi.dlopen(str(library))


class HostBoard:
    """The firmware on the host, with a leaf that opens and shuts.

    Attributes
    ----------
    place : float
        Of the leaf: 0 shut, 1 open. [-]
    blocked : bool
        Whether somebody stands in the doorway.
    """

    def __init__(self, folder: Path, settings: Record, compiler: Path, plan: BoardPlan | None = None) -> None:
        """Compile it into an empty folder, and power it up."""
        self._plan = plan or BoardPlan()
        _, self._lib = _library(folder, self._plan, compiler)
        self._host = self._lib.host
        self._heard = bytearray()
        self.place, self.blocked = 0.0, False
        self._host.store = list(store_image(settings))
        self._host.heard, self._host.echo_units = 256, NOTHING
        self._host.worn, self._host.writes_left = NOTHING, NOTHING
        self._feel()
        self._lib.board_begin()

    def _feel(self) -> None:
        """Leaf, switches, converter and echo, a millisecond later."""
        host, plan = self._host, self._plan
        duty = (host.open_counts - host.close_counts) / 400.0 if host.enable else 0.0
        before = self.place
        self.place = min(max(before + duty / TRAVEL_MS, 0.0), 1.0)
        current = RUNNING_A if duty else 0.0
        host.contacts = int(self.place <= 0.0) | int(self.place >= 1.0) << 1
        host.converted = [
            plan.current_zero + round(current / plan.current_per_count),
            round(12.6 / plan.supply_per_count),
            plan.temperature_zero + round(20.0 / plan.temperature_per_count),
        ]
        if host.ping:
            host.echo_units = plan.near_units // 2 if self.blocked else FREE_ECHO

    def tick(self) -> None:
        """Live through one millisecond."""
        self._feel()
        self._lib.board_tick()
        for _ in range(IDLES):
            if self._heard and self._host.heard == 256:
                self._host.heard = self._heard.pop(0)
            self._lib.board_idle()

    def hear(self, data: bytes) -> None:
        """Take bytes from the line."""
        self._heard += data

    def said(self) -> bytes:
        """Give what has been said since the last call."""
        made = bytes(self._host.said[0 : self._host.said_number])
        self._host.said_number = 0
        return made


class SimulatedBoard:
    """A board behind a pseudo-terminal, in step with the clock; a context.

    Attributes
    ----------
    path : str
        The terminal's name: what a program opens as the serial line.
    """

    def __init__(self, board: Board, *, pace: float = 1.0) -> None:
        """Open the terminal; pace is how much quicker than the clock the board lives."""
        self._board, self._pace = board, pace
        self._ours, self._theirs = os.openpty()
        tty.setraw(self._theirs)
        os.set_blocking(self._ours, False)
        self.path = os.ttyname(self._theirs)
        self._over = threading.Event()
        self._thread = threading.Thread(target=self._live, daemon=True)

    def __enter__(self) -> SimulatedBoard:
        """Power up."""
        self._thread.start()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, fault: BaseException | None, trace: TracebackType | None
    ) -> None:
        """Power down."""
        self._over.set()
        self._thread.join()
        os.close(self._ours)
        os.close(self._theirs)

    def _live(self) -> None:
        began, ticks = time.monotonic(), 0
        while not self._over.is_set():
            due = int((time.monotonic() - began) * 1000.0 * self._pace)
            if ticks >= due:
                time.sleep(0.001)
                continue
            self._exchange()
            self._board.tick()
            ticks += 1

    def _exchange(self) -> None:
        with suppress(BlockingIOError):
            self._board.hear(os.read(self._ours, 256))
        said = self._board.said()
        with suppress(BlockingIOError):  # where nobody reads it is lost, as on a wire
            os.write(self._ours, said)
