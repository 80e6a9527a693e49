"""The firmware on the host's board layer: all of it but the registers."""

from __future__ import annotations

import functools
import subprocess
import tempfile
from pathlib import Path
from typing import Any

from cffi import FFI

from hutwright.native import boards_export
from hutwright.native.board_plan import BoardPlan, config_text, line_in, store_image
from hutwright.native.build import declarations
from tests.native.doors import hinged, settings_for

PLAN = BoardPlan(beam=True, edge=True, paralleled=True)
STRICT = ("-std=c11", "-Wall", "-Wextra", "-Werror", "-Wconversion", "-Wshadow", "-pedantic")


@functools.cache
def library(compiler: Path) -> tuple[FFI, Any, Path]:
    """The whole firmware as a library, with its declarations."""
    made = Path(tempfile.mkdtemp(prefix="hutwright-host-"))
    for name, content in boards_export.files(boards_export.Board.HOST).items():
        (made / name).parent.mkdir(parents=True, exist_ok=True)
        (made / name).write_bytes(content)
    (made / "board_config.h").write_text(config_text(PLAN), encoding="ascii")
    sources = [str(path) for path in sorted(made.glob("**/*.c"))]
    include = [f"-I{made / each}" for each in (".", "core", "boards/parts", "boards/host")]
    subprocess.run(
        [str(compiler), *STRICT, "-O1", "-shared", "-fPIC", *include, *sources, "-o", str(made / "board.so")],
        check=True,
    )
    ffi = FFI()
    for name in (
        "core/door.h",
        "boards/parts/board.h",
        "boards/parts/echo.h",
        "boards/parts/line.h",
        "boards/host/host.h",
    ):
        ffi.cdef(declarations((made / name).read_text("utf-8")))
    return ffi, ffi.dlopen(str(made / "board.so")), made


class Hosted:
    """A board on the host, just after power-up."""

    def __init__(self, compiler: Path, store: bytes | None = None) -> None:
        self.ffi, self.lib, _ = library(compiler)
        self.host = self.lib.host
        self.ffi.memmove(self.ffi.addressof(self.host), bytes(self.ffi.sizeof("host_hardware")),
                         self.ffi.sizeof("host_hardware"))  # fmt: skip
        self.host.converted = [PLAN.current_zero, 645, 143]
        self.host.echo_units, self.host.heard, self.host.worn, self.host.writes_left = (
            65535,
            256,
            65535,
            65535,
        )
        first = store if store is not None else store_image(settings_for(hinged()))
        self.host.store = list(first)
        self.sequence = 0
        self.echo = 150
        self.lib.board_begin()

    def run(self, ticks: int = 1, idles: int = 40) -> None:
        """So many milliseconds, with an answer to each ping."""
        for _ in range(ticks):
            self.lib.board_tick()
            if self.host.ping:
                self.host.echo_units = self.echo
            self.lib.host_idle(idles)

    def send(self, text: bytes) -> list[str]:
        """Bytes to the board, and what it says until a while after."""
        self.host.said_number = 0
        for byte in text:
            self.host.heard = byte
            self.lib.board_idle()
        self.run(5, idles=300)
        return self.said()

    def say(self, word: str, rest: str = "", *, sequence: int | None = None) -> list[str]:
        """A line to the board, and what it says until a while after."""
        if sequence is None:
            self.sequence += 1
            sequence = self.sequence
        return self.send(line_in(word, sequence, rest))

    def said(self) -> list[str]:
        """The lines that it has said."""
        return bytes(self.host.said[0 : self.host.said_number]).decode("ascii").splitlines()

    def answer(self, word: str, rest: str = "", *, sequence: int | None = None) -> int:
        """The `r` of its answer."""
        lines = [line for line in self.say(word, rest, sequence=sequence) if line.startswith("A ")]
        assert len(lines) == 1
        return int(lines[0].split("*")[0].split("r=")[1])
