"""Compiling the firmware for an 8-bit AVR."""

from __future__ import annotations

import subprocess
from dataclasses import dataclass
from pathlib import Path

CHIP = "atmega328p"
STRICT = ("-Wall", "-Wextra", "-Wshadow", "-Wconversion", "-Werror")
# The core and the board as one piece; the passes left out trade flash for time that is not needed.
SMALL = (
    "-Os", "-flto", "-mrelax", "-mstrict-X", "-ffunction-sections", "-Wl,--gc-sections", "-fno-tree-pre",
    "-fno-gcse", "-fno-tree-dominator-opts", "-fno-move-loop-invariants", "-fno-split-wide-types",
    "-fira-algorithm=priority",
)  # fmt: skip
NAMES = ("board_in", "board_out", "board_state", "board_settings", "board_ticks", "go")


@dataclass(frozen=True, slots=True)
class ElfFacts:
    """A built firmware.

    Attributes
    ----------
    path : Path
        The ELF file.
    flash_bytes : int
        Program and constants. [bytes]
    ram_bytes : int
        Static memory. [bytes]
    places : dict
        Addresses of the board's globals in data memory.
    """

    path: Path
    flash_bytes: int
    ram_bytes: int
    places: dict[str, int]


def _run(*command: str) -> str:
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    if done.returncode != 0 or done.stderr:
        raise RuntimeError(f"{Path(command[0]).name} has something to say: {done.stderr.strip()}")
    return done.stdout


def facts(path: Path, compiler: Path) -> ElfFacts:
    """What a built ELF file takes and where it keeps its globals; the tools lie beside the compiler."""
    sizes = _run(str(compiler.with_name("avr-size")), str(path)).splitlines()[1].split()
    text, data, bss = (int(each) for each in sizes[:3])
    lines = (line.split() for line in _run(str(compiler.with_name("avr-nm")), str(path)).splitlines())
    places = {line[-1]: int(line[0], 16) & 0xFFFF for line in lines if line[-1] in NAMES}
    return ElfFacts(path, text + data, data + bss, places)


def build(folder: Path, compiler: Path, *, name: str = "firmware") -> ElfFacts:
    """Compile the files of `boards_export.project` that lie in a folder.

    Parameters
    ----------
    folder : Path
        Where they lie; the ELF file is put there too.
    compiler : Path
        The ``avr-gcc`` to use.
    name : str
        Of the ELF file.

    Returns
    -------
    ElfFacts
        What came of it.

    Raises
    ------
    RuntimeError
        The compiler has an error or a warning to tell.
    """
    made = folder / f"{name}.elf"
    sources = sorted(folder.glob("*.c")) + sorted(folder.glob("*/*.c")) + sorted(folder.glob("*/*/*.c"))
    include = [f"-I{folder / each}" for each in (".", "core", "boards/parts")]
    _run(
        str(compiler), f"-mmcu={CHIP}", "-std=gnu11", *STRICT, *SMALL, *include, *map(str, sources),
        "-o", str(made),
    )  # fmt: skip
    return facts(made, compiler)
