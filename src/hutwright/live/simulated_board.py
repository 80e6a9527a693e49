"""A board that is not there, behind a pseudo-terminal: it takes the words and speaks the telemetry.

What runs is the firmware's own C. `HostBoard` compiles it with the host's board layer, so that a C compiler
is all that is needed; the tests put the real binary on a simulated chip in its place. The leaf that hangs on
it is of a simple kind, with a steady speed, currents over the travel and two limit switches: for the line and
for what is learnt from currents, not for forces.
"""

from __future__ import annotations

import os
import random
import subprocess
import threading
import time
import tty
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from types import TracebackType
from typing import Any, Protocol

from cffi import FFI

from hutwright.errors import RequestError, shortened
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
FREE_ECHO = 150  # of a free doorway, in units of 64 us; more where the board looks farther
BEYOND_NEAR = 20  # how much more, at least
SUPPLY, AIR = 12.6, 20.0  # [V], [degC]


@dataclass(frozen=True, kw_only=True, slots=True)
class Leaf:
    """What hangs on the simulated board.

    Attributes
    ----------
    travel : float
        From end to end at full duty. [ms]
    per_volt : float
        Share of the travel that a volt of back-EMF takes in a millisecond; 0 where speed is `travel`'s. [1/V]
    lost : tuple of float
        Voltage that bridge and winding take: a constant part [V], and a resistance [ohm].
    opening : tuple of float
        Current while it opens, at places evenly apart from shut to open. [A]
    closing : tuple of float
        Current while it closes, at the same places. [A]
    at_end : float
        Current while it is driven against an end. [A]
    noise : float
        Standard deviation of a reading of the current. [A]
    supply : float
        Without load. [V]
    source : float
        Resistance of the supply. [ohm]
    temperature : float
        At the board's sensor. [degC]
    """

    travel: float = TRAVEL_MS
    per_volt: float = 0.0
    lost: tuple[float, float] = (0.0, 0.0)
    opening: tuple[float, ...] = (RUNNING_A,)
    closing: tuple[float, ...] = (RUNNING_A,)
    at_end: float = RUNNING_A
    noise: float = 0.0
    supply: float = SUPPLY
    source: float = 0.0
    temperature: float = AIR

    def step(self, duty: float, current: float) -> float:
        """How far it goes in a millisecond, as a share of the travel [-].

        Parameters
        ----------
        duty : float
            Above zero where it opens. [-]
        current : float
            Of the motor. [A]
        """
        if not self.per_volt:
            return duty / self.travel
        given = (self.supply - self.source * current) * abs(duty)
        moving = max(given - self.lost[0] - self.lost[1] * current, 0.0) * self.per_volt
        return moving if duty > 0.0 else -moving

    def current(self, place: float, duty: float) -> float:
        """What the motor draws [A].

        Parameters
        ----------
        place : float
            Share of the travel. [-]
        duty : float
            Above zero where it opens. [-]
        """
        if not duty:
            return 0.0
        if place >= 1.0 if duty > 0.0 else place <= 0.0:
            return self.at_end
        over = self.opening if duty > 0.0 else self.closing
        return over[round(place * (len(over) - 1))]


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
    place : float
        Of the leaf: 0 shut, 1 open. [-]
    blocked : bool
        Whether somebody stands in the doorway.
    pressed : int
        Contacts that somebody makes besides the limit switches: bits as in `board_plan.CONTACTS`.
    leaf : Leaf
        What hangs on it.
    """

    def __init__(
        self,
        folder: Path,
        settings: Record,
        compiler: Path,
        plan: BoardPlan | None = None,
        leaf: Leaf | None = None,
    ) -> None:
        """Compile it into an empty folder, and power it up."""
        self._plan, self.leaf = plan or BoardPlan(), leaf or Leaf()
        _, self._lib = _library(folder, self._plan, compiler)
        self._host = self._lib.host
        self._heard, self._draw = bytearray(), random.Random(0)
        self.place, self.blocked, self.pressed = 0.0, False, 0
        self._host.store = list(store_image(settings))
        self._host.heard, self._host.echo_units = 256, NOTHING
        self._host.worn, self._host.writes_left = NOTHING, NOTHING
        self._feel()
        self._lib.board_begin()

    @property
    def at_rest(self) -> bool:
        """Whether no move is on."""
        return not self._host.enable

    def _feel(self) -> None:
        """Leaf, switches, converter and echo, a millisecond later."""
        host, plan, leaf = self._host, self._plan, self.leaf
        duty = (host.open_counts - host.close_counts) / 400.0 if host.enable else 0.0
        current = leaf.current(self.place, duty)
        self.place = min(max(self.place + leaf.step(duty, current), 0.0), 1.0)
        read = current + (self._draw.gauss(0.0, leaf.noise) if leaf.noise else 0.0)
        host.contacts = int(self.place <= 0.0) | int(self.place >= 1.0) << 1 | self.pressed
        host.converted = [
            _counts(plan.current_zero + read / plan.current_per_count),
            _counts((leaf.supply - leaf.source * current) / plan.supply_per_count),
            _counts(plan.temperature_zero + leaf.temperature / plan.temperature_per_count),
        ]
        if host.ping:
            free = max(FREE_ECHO, plan.near_units + BEYOND_NEAR)
            host.echo_units = plan.near_units // 2 if self.blocked else free

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
