"""The core is portable: no warnings, no library, no globals, nothing that small boards or provers mind."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

import pytest

import hutwright.native
from hutwright.native.build import COMMENT

CORE = Path(hutwright.native.__file__).parent / "core"
SOURCES = sorted(CORE.glob("*.c"))
HEADERS = sorted(CORE.glob("*.h"))
STRICT = [
    "-std=c11", "-pedantic", "-Wall", "-Wextra", "-Wconversion", "-Wsign-conversion", "-Wshadow", "-Werror",
]  # fmt: skip
# Nobody multiplies or divides here: `decide.c` and what it is made of.
PLAIN = ["decide.c", "hear.c", "moves.c"]
FORBIDDEN = (  # a constant table is nothing that is kept
    r"\b(float|double|malloc|calloc|free|memset|memcpy|static (?!const)[^(]*[;=]"
    r"|extern|goto|while|setjmp|long|int)\b"
)


def code(path: Path) -> str:
    """A file without its comments."""
    return COMMENT.sub(" ", path.read_text("utf-8"))


def compiled(compiler: Path, path: Path, to: Path, *flags: str) -> Path:
    """The object file; no warning is let pass."""
    made = to / f"{path.stem}.o"
    done = subprocess.run(
        [str(compiler), *STRICT, *flags, "-c", str(path), "-o", str(made)], capture_output=True, text=True
    )
    assert done.returncode == 0, done.stderr
    assert not done.stderr
    return made


@pytest.mark.parametrize("path", SOURCES, ids=lambda path: path.name)
def test_it_compiles_without_a_warning(require_tool, tmp_path, path):
    for effort in ("-O0", "-O2"):
        compiled(require_tool("cc"), path, tmp_path, effort)


def test_it_wants_nothing_from_any_library_and_keeps_nothing(require_tool, tmp_path):
    objects = [compiled(require_tool("cc"), path, tmp_path, "-O1") for path in SOURCES]
    listing = subprocess.run(
        [str(require_tool("nm")), *map(str, objects)], capture_output=True, text=True, check=True
    ).stdout
    symbols = re.findall(r"^[0-9a-f ]* ([A-Za-z]) (\w+)$", listing, re.MULTILINE)
    assert len(symbols) > 20
    own = {name for kind, name in symbols if kind == "T"}
    assert {name for kind, name in symbols if kind == "U"} <= own
    assert not {name for kind, name in symbols if kind in "bBdDC"}


@pytest.mark.parametrize("path", [*SOURCES, *HEADERS], ids=lambda path: path.name)
def test_it_includes_nothing_but_stdint_and_itself(path):
    included = re.findall(r"#include\s+(\S+)", path.read_text("utf-8"))
    assert set(included) <= {"<stdint.h>", '"door.h"', '"lasts.h"', '"near.h"', '"parts.h"', '"sums.h"'}


@pytest.mark.parametrize("path", [*SOURCES, *HEADERS], ids=lambda path: path.name)
def test_it_has_no_number_without_a_fixed_width_and_no_endless_loop(path):
    assert not re.search(FORBIDDEN, code(path))
    for bounds in re.findall(r"for \((.*?)\)", code(path)):
        assert re.fullmatch(r"(\w+) = 0u; \1 < \w+; \1\+\+", bounds), bounds


@pytest.mark.parametrize("name", PLAIN)
def test_nothing_is_multiplied_or_divided_where_it_decides(name):
    text = code(CORE / name)
    assert not re.search(r"\S \* \S|\S [/%] \S|\*=|/=|%=", text)
    assert not re.search(r"<<|>>|\bfor\b", text)


@pytest.mark.parametrize("path", SOURCES, ids=lambda path: path.name)
def test_functions_have_one_way_out_unless_they_are_a_precedence(path):
    bodies = re.findall(
        r"^(?:static )?[\w *]*?(\w+)\([^;{]*\)\n{\n(.*?)^}", code(path), re.MULTILINE | re.DOTALL
    )
    several = [name for name, body in bodies if len(re.findall(r"\breturn\b", body)) > 1]
    assert len(several) <= 1, several  # deviation D1


def test_an_8_bit_board_takes_it_without_a_warning_and_has_room_for_it(require_tool, tmp_path):
    avr = require_tool("avr-gcc")
    # Any with 16 to 64 kB of flash and a multiplier; constant tables stay in flash, which plain C cannot say.
    board = ["-mmcu=avr5", "-Os", "-flto", "-std=gnu11", "-Wno-pedantic"]
    main = tmp_path / "main.c"
    main.write_text(
        '#include "door.h"\n'
        "static door_settings s; static door_state st; static door_inputs in; static door_outputs out;\n"
        '_Static_assert(sizeof(door_state) < 224, "the state is small");\n'
        "int main(void)\n{\n    door_seal(&s);\n    door_begin(&s, &st, 0);\n"
        "    for (;;) {\n        in.word = *(volatile uint8_t *)0x3e;\n"
        "        door_tick(&s, &st, &in, &out);\n"
        "        *(volatile uint16_t *)0x88 = (uint16_t)(out.open_permille + out.close_permille);\n    }\n}\n"
    )
    objects = [compiled(avr, path, tmp_path, *board, f"-I{CORE}") for path in (*SOURCES, main)]
    made = tmp_path / "board.elf"
    subprocess.run(
        [
            str(avr),
            *board,
            "-nostartfiles",
            "-Wl,-e,main",
            "-Wl,-u,main",
            *map(str, objects),
            "-o",
            str(made),
        ],
        check=True,
    )
    sizes = subprocess.run(
        [str(require_tool("avr-size")), str(made)], capture_output=True, text=True, check=True
    )
    text, data, bss = (int(each) for each in sizes.stdout.splitlines()[1].split()[:3])
    assert 4000 < text + data < 12 * 1024
    assert bss + data < 550
