"""The form of the modules: length, names, what they silence, and what the pure layers may not do."""

from __future__ import annotations

import ast
import re

import pytest

from tests.house.places import PACKAGE, TOP, source_files

LONGEST = 500  # lines; about 400 is meant
NO_NAMES = {"utils", "util", "helpers", "helper", "common", "misc"}
PURE = ("laws", "checks", "model", "layout", "plant")
OUTER_MODULES = {
    "asyncio",
    "ctypes",
    "fileinput",
    "glob",
    "importlib",
    "io",
    "json",
    "logging",
    "os",
    "pathlib",
    "requests",
    "shutil",
    "socket",
    "sqlite3",
    "subprocess",
    "sys",
    "tempfile",
    "time",
    "tomlkit",
    "tomllib",
    "urllib",
}
OUTER_CALLS = {"open", "print", "input", "breakpoint", "exec", "eval", "__import__"}
BLANKET = re.compile(r"#\s*type:\s*ignore(?!\[[\w\-, ]+\])")


def outer_things(text: str) -> list[str]:
    """What the text imports or calls that reaches outside the program: files, the screen, the clock."""
    found = []
    for node in ast.walk(ast.parse(text)):
        match node:
            case ast.Import(names=names):
                found += [each.name for each in names if each.name.split(".")[0] in OUTER_MODULES]
            case ast.ImportFrom(module=str(name), level=0) if name.split(".")[0] in OUTER_MODULES:
                found.append(name)
            case ast.Call(func=ast.Name(id=name)) if name in OUTER_CALLS:
                found.append(f"{name}()")
            case _:
                pass
    return found


def test_no_module_is_too_long_to_read():
    lengths = {
        path.relative_to(TOP).as_posix(): len(path.read_text("utf-8").splitlines()) for path in source_files()
    }
    assert {name: length for name, length in lengths.items() if length > LONGEST} == {}


def test_every_name_says_what_is_inside():
    names = {part for path in source_files() for part in path.relative_to(PACKAGE).with_suffix("").parts}
    assert names & NO_NAMES == set()


def test_every_folder_of_modules_is_a_package():
    folders = {path.parent for path in source_files()}
    assert sorted(str(folder) for folder in folders if not (folder / "__init__.py").is_file()) == []


def test_what_is_hidden_from_the_type_checker_is_named():
    places = [*source_files(), *sorted((TOP / "tests").rglob("*.py")), *sorted((TOP / "tools").glob("*.py"))]
    bad = [
        f"{path.relative_to(TOP)}:{number}"
        for path in places
        if path.name != "test_modules.py"
        for number, line in enumerate(path.read_text("utf-8").splitlines(), 1)
        if BLANKET.search(line)
    ]
    assert bad == []


@pytest.mark.parametrize(
    ("line", "blanket"),
    [
        ("x = f()  # type: ignore", True),
        ("x = f()  # type: ignore[arg-type]", False),
        ("x = f()  #type:ignore", True),
    ],
)
def test_tells_a_blanket_ignore_from_a_named_one(line, blanket):
    assert bool(BLANKET.search(line)) is blanket


def test_the_pure_layers_do_no_input_or_output():
    found = {
        str(path.relative_to(TOP)): things
        for path in source_files()
        if path.relative_to(PACKAGE).with_suffix("").parts[0] in PURE
        and (things := outer_things(path.read_text("utf-8")))
    }
    assert found == {}


@pytest.mark.parametrize(
    ("text", "thing"),
    [
        ("import os.path", "os.path"),
        ("def f():\n    from pathlib import Path", "pathlib"),
        ("def f():\n    return open('x')", "open()"),
    ],
)
def test_sees_input_and_output_wherever_it_stands(text, thing):
    assert outer_things(text) == [thing]


def test_sees_nothing_in_what_only_computes():
    assert (
        outer_things("import math\nfrom .sources import Source\n\ndef area(r):\n    return math.pi * r**2")
        == []
    )
