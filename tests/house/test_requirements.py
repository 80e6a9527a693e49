"""The versions that are tested are written down, all of them, and are those that run."""

from __future__ import annotations

import re
import tomllib
from importlib import metadata
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from tests.house.places import TOP

FOLDER = TOP / "requirements"
PIN = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]*==[0-9][A-Za-z0-9.!+]*( ?; .+)?")


def lines_of(path: Path) -> list[str]:
    """The lines that say something."""
    lines = (line.partition("#")[0].strip() for line in path.read_text("utf-8").splitlines())
    return [line for line in lines if line]


def pins_of(name: str) -> dict[str, Requirement]:
    """Package -> pin, with those of the files that the file names."""
    pins: dict[str, Requirement] = {}
    for line in lines_of(FOLDER / name):
        if line.startswith("-r "):
            pins |= pins_of(line.removeprefix("-r ").strip())
        else:
            pin = Requirement(line)
            pins[canonicalize_name(pin.name)] = pin
    return pins


def wanted_by(pins: dict[str, Requirement], extras: dict[str, set[str]]) -> set[str]:
    """Every package that the installed packages of those names ask for on this Python."""
    wanted: set[str] = set()
    for name in pins:
        for text in metadata.requires(name) or []:
            need = Requirement(text)
            for extra in {"", *extras.get(name, set())}:
                if need.marker is None or need.marker.evaluate({"extra": extra}):
                    wanted.add(canonicalize_name(need.name))
    return wanted


@pytest.mark.parametrize("path", sorted(FOLDER.glob("*.txt")), ids=lambda path: path.name)
def test_every_line_is_one_version_of_one_package(path):
    lines = lines_of(path)
    assert lines
    assert [
        line for line in lines if not (PIN.fullmatch(line) or re.fullmatch(r"-r [a-z]+\.txt", line))
    ] == []


@pytest.mark.parametrize(
    "line", ["numpy", "numpy>=2", "numpy==2.*", "numpy @ https://example.org/numpy.whl", "-e ."]
)
def test_tells_a_pin_from_anything_looser(line):
    assert not PIN.fullmatch(line)


@pytest.mark.parametrize("name", ["run.txt", "test.txt"])
def test_what_the_pinned_packages_need_is_pinned_too(name):
    pins = pins_of(name)
    extras = {"scipy-stubs": {"scipy"}}
    assert wanted_by(pins, extras) - set(pins) == set()


def test_what_the_project_asks_for_is_pinned_within_what_it_allows():
    project = tomllib.loads((TOP / "pyproject.toml").read_text("utf-8"))["project"]
    asked = {
        "run.txt": project["dependencies"],
        "test.txt": project["dependencies"] + project["optional-dependencies"]["test"],
    }
    for name, texts in asked.items():
        pins = pins_of(name)
        for need in map(Requirement, texts):
            pin = pins[canonicalize_name(need.name)]
            (version,) = pin.specifier
            assert need.specifier.contains(version.version), f"{name}: {pin} is not within {need}"


def test_the_tests_run_with_the_versions_that_are_written_down():
    other = {
        name: metadata.version(name)
        for name, pin in (pins_of("test.txt") | pins_of("build.txt")).items()
        if (pin.marker is None or pin.marker.evaluate())
        and not pin.specifier.contains(metadata.version(name))
    }
    assert other == {}
