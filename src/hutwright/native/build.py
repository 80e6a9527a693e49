"""The builders of the extension modules: what setuptools is pointed to by ``setup.py``.

The declarations that cffi is given are the very headers: comments, includes and guards are taken out.
"""

from __future__ import annotations

import os
import re
from collections.abc import Sequence
from pathlib import Path

from cffi import FFI

HERE = Path(__file__).resolve().parent
# In the order in which each knows the one before.
HEADERS = ("core/door.h", "core/parts.h", "sim/sim.h", "sim/living.h")
DOOR_FOLDERS = ("core", "sim")
MODULE = "hutwright.native._door"
WAVE_HEADER, WAVE_FOLDER = "wave/wave.h", "wave"
WAVE_MODULE = "hutwright.native._wave"
FOLDERS = (*DOOR_FOLDERS, WAVE_FOLDER)
# No fused multiplications: the same bits from every compiler.  Without `fast-math` for the same reason.
FLAGS = () if os.name == "nt" else ("-std=c11", "-O2", "-ffp-contract=off")
# Vectors as well, which change no bit either; two thirds of the time of the full wave.
WAVE_FLAGS = () if os.name == "nt" else ("-std=c11", "-O3", "-ffp-contract=off")

COMMENT = re.compile(r"/\*.*?\*/", re.DOTALL)
LEFT_OUT = re.compile(r"#\s*(?:include|ifndef|endif|define\s+\w+\s*$)")


def declarations(text: str) -> str:
    """What a header declares, as cffi wants it."""
    lines = COMMENT.sub(" ", text).splitlines()
    return "\n".join(line.rstrip() for line in lines if line.strip() and not LEFT_OUT.match(line))


def sources(folders: Sequence[str] = FOLDERS) -> list[Path]:
    """Every C file: of the controller's core, of the simulated door and of the full wave."""
    return sorted(path for folder in folders for path in (HERE / folder).glob("*.c"))


def headers(folders: Sequence[str] = FOLDERS) -> list[Path]:
    """Every header of theirs, also those that they do not show."""
    return sorted(path for folder in folders for path in (HERE / folder).glob("*.h"))


def builder() -> FFI:
    """What makes the door's extension; called by setuptools in the project's own folder."""
    return _builder(MODULE, HEADERS, DOOR_FOLDERS, FLAGS)


def wave_builder() -> FFI:
    """What makes the full wave's."""
    return _builder(WAVE_MODULE, (WAVE_HEADER,), (WAVE_FOLDER,), WAVE_FLAGS)


def _builder(module: str, shown: Sequence[str], folders: Sequence[str], flags: Sequence[str]) -> FFI:
    ffi = FFI()
    for name in shown:
        ffi.cdef(declarations((HERE / name).read_text("utf-8")))
    ffi.set_source(
        module,
        "".join(f'#include "{Path(name).name}"\n' for name in shown),
        sources=[os.path.relpath(path) for path in sources(folders)],
        depends=[os.path.relpath(path) for path in (*headers(folders), Path(__file__))],
        include_dirs=[os.path.relpath(HERE / folder) for folder in folders],
        extra_compile_args=list(flags),
        libraries=[] if os.name == "nt" else ["m"],
        py_limited_api=True,
    )
    return ffi
