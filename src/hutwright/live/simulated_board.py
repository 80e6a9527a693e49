"""A board that is not there, behind a pseudo-terminal: it takes the words and speaks the telemetry.

What runs is the firmware's own C. `HostBoard` compiles it with the host's board layer, so that a C compiler
is all that is needed; the tests put the real binary on a simulated chip in its place. What hangs on it is a
plain leaf, for tests of the line, or the rehearsal's own door (`simulated_door`).
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
from typing import Any, NamedTuple, Protocol

from cffi import FFI

from hutwright.errors import RequestError, shortened
from hutwright.native import boards_export
from hutwright.native.board_plan import BoardPlan, config_text, store_image
from hutwright.native.build import declarations
from hutwright.native.records import Record

HEADERS = ("core/door.h", "boards/parts/board.h", "boards/host/host.h")
FOLDERS = (".", "core", "boards/parts", "boards/host")
NOTHING = 65535  # of port_echo_units()
PATIENCE = 1.0  # of a board that is quicker than the clock, with whoever reads: a choice of this project [s]
IDLES = 200  # pieces of work that a board does between two ticks
# The leaf: from end to end at full duty, and what its motor draws. [ms], [A]
TRAVEL_MS, RUNNING_A = 4000.0, 1.0
FULL_COUNTS = 400.0  # of the PWM at full duty: board_plan.config_text
FREE_ECHO = 150  # of a free doorway, in units of 64 us; more where the board looks farther
BEYOND_NEAR = 20  # how much more, at least
SUPPLY, AIR = 12.6, 20.0  # [V], [degC]


class Felt(NamedTuple):
    """What a board's sensors and switches have to feel.

    Attributes
    ----------
    current : float
        As the sensor shows it. [A]
    supply : float
        At the board. [V]
    temperature : float
        At the board's sensor. [degC]
    shut : bool
        Whether the leaf is at its shut limit switch.
    open : bool
        Whether it is at its open one.
    """

    current: float
    supply: float
    temperature: float
    shut: bool
    open: bool


class Hung(Protocol):
    """What hangs on a simulated board."""

    @property
    def place(self) -> float:
        """0 shut, 1 open [-]."""
        ...

    def live(self, duty: float, *, enabled: bool) -> Felt:
        """Live through one millisecond.

        Parameters
        ----------
        duty : float
            Of the bridge, above zero where it opens. [-]
        enabled : bool
            Whether the bridge is on.
        """
        ...


class PlainLeaf:
    """A leaf of a simple kind: a steady speed, a steady current, two limit switches; no mass.

    Attributes
    ----------
    place : float
        0 shut, 1 open. [-]
    """

    def __init__(self) -> None:
        self.place = 0.0

    def live(self, duty: float, *, enabled: bool) -> Felt:
        """Live through one millisecond; as of `Hung`."""
        moving = duty if enabled else 0.0
        self.place = min(max(self.place + moving / TRAVEL_MS, 0.0), 1.0)
        return Felt(RUNNING_A if moving else 0.0, SUPPLY, AIR, self.place <= 0.0, self.place >= 1.0)


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
    built = subprocess.run(
        [str(compiler), "-std=c11", "-O1", "-shared", "-fPIC", *include, *sources, "-o", str(library)],
        capture_output=True,
        check=False,
        encoding="utf-8",
        errors="replace",
    )
    if built.returncode != 0:
        raise RequestError(
            f"{shortened(str(compiler))} did not build the simulated board: {shortened(built.stderr)}; "
            "wanted a C compiler that builds a library; try it by itself, or install another"
        )
    ffi = FFI()
    for name in HEADERS:
        ffi.cdef(declarations((folder / name).read_text("utf-8")))
    return ffi, ffi.dlopen(str(library))


def _counts(value: float) -> int:
    return min(max(round(value), 0), 1023)


class HostBoard:
    """The firmware on the host, with a leaf that opens and shuts.

    Attributes
    ----------
    blocked : bool
        Whether somebody stands in the doorway.
    pressed : int
        Contacts that somebody makes besides the limit switches: bits as in `board_plan.CONTACTS`.
    hung : Hung
        What hangs on it.
    """

    def __init__(
        self,
        folder: Path,
        settings: Record,
        compiler: Path,
        plan: BoardPlan | None = None,
        hung: Hung | None = None,
    ) -> None:
        """Compile it into an empty folder, and power it up."""
        self._plan, self.hung = plan or BoardPlan(), hung or PlainLeaf()
        _, self._lib = _library(folder, self._plan, compiler)
        self._host = self._lib.host
        self._heard = bytearray()
        self.blocked, self.pressed = False, 0
        self._host.store = list(store_image(settings))
        self._host.heard, self._host.echo_units = 256, NOTHING
        self._host.worn, self._host.writes_left = NOTHING, NOTHING
        self._feel()
        self._lib.board_begin()

    @property
    def at_rest(self) -> bool:
        """Whether no move is on."""
        return not self._host.enable

    @property
    def place(self) -> float:
        """Of the leaf: 0 shut, 1 open [-]."""
        return self.hung.place

    def _feel(self) -> None:
        """Leaf, switches, converter and echo, a millisecond later."""
        host, plan = self._host, self._plan
        duty = (host.open_counts - host.close_counts) / FULL_COUNTS
        felt = self.hung.live(duty, enabled=bool(host.enable))
        host.contacts = int(felt.shut) | int(felt.open) << 1 | self.pressed
        host.converted = [
            _counts(plan.current_zero + felt.current / plan.current_per_count),
            _counts(felt.supply / plan.supply_per_count),
            _counts(plan.temperature_zero + felt.temperature / plan.temperature_per_count),
        ]
        if host.ping:
            free = max(FREE_ECHO, plan.near_units + BEYOND_NEAR)
            host.echo_units = plan.near_units // 2 if self.blocked else free

    def tick(self) -> None:
        """Live through one millisecond."""
        self._feel()
        self._lib.board_tick()
        left = IDLES
        while self._heard and left:
            if self._host.heard == 256:
                self._host.heard = self._heard.pop(0)
            self._lib.host_idle(1)
            left -= 1
        self._lib.host_idle(left)

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
        self._unsaid, self._said_at = b"", time.monotonic()
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
            if not self._exchange():
                time.sleep(0.001)
                continue
            self._board.tick()
            ticks += 1

    def _exchange(self) -> bool:
        """Hear and say; whether the board may go on.

        A board that is quicker than the clock waits for whoever reads, so that a slow computer loses no line;
        where nobody has read for a second, what it says is lost, as on a wire.
        """
        with suppress(BlockingIOError):
            self._board.hear(os.read(self._ours, 256))
        self._unsaid += self._board.said()
        now = time.monotonic()
        if not self._unsaid:
            self._said_at = now
            return True
        with suppress(BlockingIOError):
            written = os.write(self._ours, self._unsaid)
            self._unsaid, self._said_at = self._unsaid[written:], now
        if self._pace > 1.0 and now - self._said_at < PATIENCE:
            return not self._unsaid
        self._unsaid = b""
        return True
