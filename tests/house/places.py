"""Where things are in the project, and the modules of the package."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType

TOP = Path(__file__).resolve().parents[2]
PACKAGE = TOP / "src" / "hutwright"


def source_files() -> list[Path]:
    """Every Python file of the package."""
    found = sorted(PACKAGE.rglob("*.py"))
    assert found, "no module found: these tests would say nothing"
    return found


def modules() -> Iterator[ModuleType]:
    """Every module of the package, imported."""
    package = importlib.import_module("hutwright")
    yield package
    for info in pkgutil.walk_packages(package.__path__, "hutwright."):
        if not info.name.endswith(".__main__"):
            yield importlib.import_module(info.name)
