"""The simulated chip: the harness compiled on demand, and the firmware it runs."""

from __future__ import annotations

import functools
import shutil
import subprocess
import tempfile
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from cffi import FFI

from hutwright.native import avr_build, boards_export, records
from hutwright.native.board_plan import CONTACTS, PINS, BoardPlan, line_in, store_image
from hutwright.native.build import HERE, declarations
from hutwright.native.records import Record
from tests.conftest import IN_CI

FOLDER = Path(__file__).parent
SIMAVR = Path("/usr/include/simavr")
MS = 16_000  # cycles
STATE_BYTES = 215


@functools.cache
def folder() -> Path:
    """Where this session's builds lie."""
    made = Path(tempfile.mkdtemp(prefix="hutwright-board-"))
    import atexit

    atexit.register(shutil.rmtree, made, ignore_errors=True)
    return made


@functools.cache
def harness(compiler: Path) -> tuple[FFI, Any]:
    """The harness with the core and the simulated door in it, ready to call."""
    if not (SIMAVR / "sim_avr.h").exists():
        sentence = "libsimavr-dev is not installed; `make tools` installs it on Debian"
        if IN_CI:
            pytest.fail(f"{sentence}; in CI no test may be left out for that", pytrace=False)
        pytest.skip(sentence)
    library = folder() / "machine.so"
    flags = ["-O1", "-ffp-contract=off", "-fPIC", "-Wall", "-Wextra", "-Werror", f"-I{SIMAVR.parent}",
             f"-I{HERE / 'core'}", f"-I{HERE / 'sim'}", f"-I{FOLDER}"]  # fmt: skip
    # The door's own loop, with the board in place of the controller.
    played = folder() / "played.o"
    instead = ["-Ddoor_tick=loop_door_tick", "-Ddoor_begin=loop_door_begin"]
    subprocess.run(
        [str(compiler), *flags, *instead, "-c", str(HERE / "sim/loop.c"), "-o", str(played)], check=True
    )
    native = [
        str(path)
        for each in ("core", "sim")
        for path in sorted((HERE / each).glob("*.c"))
        if path.name != "loop.c"
    ]
    own = [str(FOLDER / "machine.c"), str(FOLDER / "loop.c")]
    subprocess.run(
        [
            str(compiler),
            *flags,
            "-shared",
            *native,
            *own,
            str(played),
            "-o",
            str(library),
            "-lsimavr",
            "-lelf",
            "-lm",
        ],
        check=True,
    )
    ffi = FFI()
    for path in (HERE / "core/door.h", HERE / "sim/sim.h", FOLDER / "machine.h", FOLDER / "loop.h"):
        ffi.cdef(declarations(path.read_text("utf-8")))
    return ffi, ffi.dlopen(str(library))


@functools.cache
def firmware(compiler: Path, plan_text: str) -> avr_build.ElfFacts:
    """The board's binary for a plan that is told by its text."""
    made = Path(tempfile.mkdtemp(dir=folder()))
    for name, content in boards_export.files(boards_export.Board.AVR8).items():
        path = made / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)
    (made / "board_config.h").write_text(plan_text, encoding="ascii")
    return avr_build.build(made, compiler)


class Machine:
    """A board on the bench: its pins, its line, its memory."""

    def __init__(self, made: avr_build.ElfFacts, settings: Record | None, tools: tuple[FFI, Any],
                 *, store: bytes | None = None) -> None:  # fmt: skip
        self.facts = made
        self.ffi, self.lib = tools
        self.sequence = 0
        self.places = places = self.ffi.new("machine_places *")
        for short in ("in", "out", "state", "settings", "ticks"):
            setattr(places, short, made.places.get(f"board_{short}", 0))
        places.heap_end = 0x100 + made.ram_bytes
        first = (
            store if store is not None else store_image(settings) if settings is not None else b"\xff" * 1024
        )
        self.at = self.lib.machine_new(str(made.path).encode(), places, first, len(first))
        assert self.at != self.ffi.NULL
        for name in CONTACTS:
            self.contact(name, 0)
        self.analogue()

    def close(self) -> None:
        """Switch it off."""
        self.lib.machine_free(self.at)

    def __enter__(self) -> Machine:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def contact(self, name: str, made: int) -> None:
        """Make or break a contact to ground."""
        port, bit = PINS[name]
        self.lib.machine_pin(self.at, port.encode(), bit, 1 - made)

    def analogue(self, current: float = 0.0, supply: float = 12.6, celsius: float = 20.0) -> None:
        """What the three sensors show [A, V, degC]."""
        plan = BoardPlan()
        counts = (
            (0, plan.current_zero + current / plan.current_per_count),
            (1, supply / plan.supply_per_count),
            (6, plan.temperature_zero + celsius / plan.temperature_per_count),
        )
        for channel, value in counts:
            self.lib.machine_counts(self.at, channel, min(max(round(value), 0), 1023))

    def level(self, name: str) -> int:
        """What an output shows."""
        port, bit = PINS[name]
        level: int = self.lib.machine_level(self.at, port.encode(), bit)
        return level

    def run(self, ticks: int = 1) -> None:
        """So many milliseconds."""
        for _ in range(ticks):
            assert self.lib.machine_tick(self.at, 20 * MS) == 1

    def bytes_at(self, address: int, number: int) -> bytes:
        """Data memory."""
        to = self.ffi.new("uint8_t[]", number)
        self.lib.machine_read(self.at, address, to, number)
        return bytes(self.ffi.buffer(to))

    def _record(self, name: str, dtype: Any) -> Record:
        return np.frombuffer(self.bytes_at(self.facts.places[name], dtype.itemsize), dtype)[0]

    @property
    def inputs(self) -> Record:
        """What the board has read."""
        return self._record("board_in", records.INPUTS)

    @property
    def outputs(self) -> Record:
        """What its controller says."""
        return self._record("board_out", records.OUTPUTS)

    @property
    def settings(self) -> Record:
        """The settings in force."""
        return self._record("board_settings", records.SETTINGS)

    def store(self) -> bytes:
        """The whole of the store."""
        to = self.ffi.new("uint8_t[1024]")
        self.lib.machine_store(self.at, to)
        return bytes(self.ffi.buffer(to))

    def say(self, word: str, rest: str = "", *, sequence: int | None = None) -> int:
        """A line to the board; its number."""
        if sequence is None:
            self.sequence += 1
            sequence = self.sequence
        self.send(line_in(word, sequence, rest))
        return sequence

    def send(self, text: bytes) -> None:
        """Bytes to the board."""
        self.lib.machine_hear(self.at, text, len(text))

    def lines(self) -> list[str]:
        """What it has said since the last call."""
        to = self.ffi.new("uint8_t[65536]")
        number = self.lib.machine_said(self.at, to, 65536)
        return bytes(self.ffi.buffer(to, number)).decode("ascii").splitlines()

    def beside(self) -> None:
        """From here on the host's controller runs beside it, and runs of the door are played on it."""
        plan = BoardPlan()
        scales = self.ffi.new("loop_scales *")
        for name in ("current_per_count", "supply_per_count", "temperature_per_count", "current_zero",
                     "temperature_zero"):  # fmt: skip
            setattr(scales, name, getattr(plan, name))
        self.lib.loop_use(self.at, self.places, scales, self.sequence)

    def compared(self) -> Any:
        """How often the two controllers have differed since `beside`."""
        made = self.ffi.new("loop_figures *")
        self.lib.loop_figures_of(made)
        return made

    def play(self, door: Record, settings: Record, scenario: Record) -> Record:
        """One run of the door with the board as its controller."""
        result = np.zeros(1, records.RESULT)
        kinds = ("sim_door", "door_settings", "sim_scenario", "sim_result")
        arrays = [np.ascontiguousarray(np.asarray(each).reshape(-1)) for each in (door, settings, scenario)]
        at = [
            self.ffi.cast(f"{kind} *", array.ctypes.data)
            for kind, array in zip(kinds, [*arrays, result], strict=True)
        ]
        self.lib.sim_run(*at, self.ffi.NULL, 0, 1)
        self.sequence = int(self.compared().sequence)
        return result[0]

    def figures(self) -> Any:
        """Cycles and stack."""
        made = self.ffi.new("machine_figures *")
        self.lib.machine_figures_of(self.at, made)
        return made


@functools.cache
def firmware_of_core(compiler: Path) -> avr_build.ElfFacts:
    """The core alone, to be fed with inputs straight into its memory."""
    made = Path(tempfile.mkdtemp(dir=folder()))
    (made / "core").mkdir()
    for name, content in boards_export.files(boards_export.Board.AVR8).items():
        if name.startswith("core/"):
            (made / name).write_bytes(content)
    shutil.copy(FOLDER / "core_main.c", made / "main.c")
    return avr_build.build(made, compiler)


def play_vectors(core: avr_build.ElfFacts, tools: tuple[FFI, Any], kept: Any) -> int:
    """Ticks that agree, from the first on."""
    from tools.vectors import INPUTS

    places, done = core.places, 0
    with Machine(core, None, tools) as board:

        def write(name: str, data: bytes) -> None:
            board.lib.machine_write(board.at, places[name], data, len(data))

        assert board.lib.machine_cycles(board.at, MS) == 0  # its memory is cleared by then
        write("board_settings", kept.settings)
        write("go", b"\x01")
        board.run()
        for number, inputs, outputs in kept.rows:
            row = np.zeros((), records.INPUTS)
            for name, value in zip(INPUTS, inputs, strict=True):
                row[name] = value
            write("board_in", row.tobytes())
            for _ in range(number):
                write("go", b"\x01")
                board.run()
                if tuple(board.outputs.tolist()) != outputs:
                    return done
                done += 1
    return done
