"""The builder of the extension module: what setuptools is pointed to by ``setup.py``.

The declarations that cffi is given are the very headers: comments, includes and guards are taken out.
"""

from __future__ import annotations

import os
import re
from pathlib import Path

from cffi import FFI

HERE = Path(__file__).resolve().parent
# In the order in which each knows the one before.
HEADERS = ("core/door.h", "core/parts.h", "sim/sim.h")
FOLDERS = ("core", "sim")
MODULE = "hutwright.native._door"
# No fused multiplications: the same bits from every compiler.  Without `fast-math` for the same reason.
FLAGS = () if os.name == "nt" else ("-std=c11", "-O2", "-ffp-contract=off")

COMMENT = re.compile(r"/\*.*?\*/", re.DOTALL)
LEFT_OUT = re.compile(r"#\s*(?:include|ifndef|endif|define\s+\w+\s*$)")


def declarations(text: str) -> str:
    """What a header declares, as cffi wants it."""
    lines = COMMENT.sub(" ", text).splitlines()
    return "\n".join(line.rstrip() for line in lines if line.strip() and not LEFT_OUT.match(line))


def sources() -> list[Path]:
    """Every C file of the controller's core and of the simulated door."""
    return sorted(path for folder in FOLDERS for path in (HERE / folder).glob("*.c"))


def headers() -> list[Path]:
    """Every header of theirs, also those that they do not show."""
    return sorted(path for folder in FOLDERS for path in (HERE / folder).glob("*.h"))


def builder() -> FFI:
    """What makes the extension; called by setuptools in the project's own folder."""
    ffi = FFI()
    for name in HEADERS:
        ffi.cdef(declarations((HERE / name).read_text("utf-8")))
    ffi.set_source(
        MODULE,
        "".join(f'#include "{Path(name).name}"\n' for name in HEADERS),
        sources=[os.path.relpath(path) for path in sources()],
        depends=[os.path.relpath(path) for path in (*headers(), Path(__file__))],
        include_dirs=[os.path.relpath(HERE / folder) for folder in FOLDERS],
        extra_compile_args=list(FLAGS),
        libraries=[] if os.name == "nt" else ["m"],
        py_limited_api=True,
    )
    return ffi
