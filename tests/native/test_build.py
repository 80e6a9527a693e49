"""The C files are clean for a strict compiler, and none is too long to read."""

from __future__ import annotations

import re
import subprocess

import pytest

from hutwright.native import build
from hutwright.native._wave import lib

STRICT = (
    "-std=c11",
    "-Wall",
    "-Wextra",
    "-Werror",
    "-Wconversion",
    "-Wshadow",
    "-Wdouble-promotion",
    "-pedantic",
)
FILES = [*build.sources(), *build.headers()]
LONGEST, LONGEST_LINE = 550, 110  # about 400 lines are meant


@pytest.mark.parametrize("path", build.sources(), ids=lambda path: path.name)
def test_a_strict_compiler_has_nothing_to_say(path, require_tool):
    include = [f"-I{build.HERE / folder}" for folder in build.FOLDERS]
    # With optimisation, or some warnings are never looked for; vendors' own additions left out.
    done = subprocess.run(
        [require_tool("cc"), *STRICT, "-O2", *include, "-c", str(path), "-o", "/dev/null"],
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
    )
    assert (done.returncode, done.stderr) == (0, "")


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.name)
def test_no_file_is_too_long_to_read(path):
    lines = path.read_text("utf-8").splitlines()
    assert len(lines) <= LONGEST
    assert [number for number, line in enumerate(lines, 1) if len(line) > LONGEST_LINE or "\t" in line] == []


def test_the_core_needs_nothing_of_the_c_library():
    for path in build.sources():
        if path.parent.name == "core":
            includes = {
                line.split()[1]
                for line in path.read_text("utf-8").splitlines()
                if line.startswith("#include")
            }
            outside = {name for name in includes if name.startswith("<")}
            assert outside <= {"<stdint.h>"}, path.name


def test_the_full_wave_has_an_extension_of_its_own():
    shown = build.declarations((build.HERE / build.WAVE_HEADER).read_text("utf-8"))
    names = set(re.findall(r"^\w[\w *]*?\b(wave_\w+)\(", shown, re.MULTILINE))
    assert {"wave_sweep", "wave_close", "wave_write_down", "wave_energy"} <= names
    assert names <= set(dir(lib))
