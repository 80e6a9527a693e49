"""The contracts of import-linter name every package that they are about, and can be broken."""

from __future__ import annotations

import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from tests.house.places import PACKAGE, TOP
from tests.house.test_modules import PURE

CONFIG = tomllib.loads((TOP / "pyproject.toml").read_text("utf-8"))["tool"]["importlinter"]
CONTRACTS = {contract["id"]: contract for contract in CONFIG["contracts"]}
# The design, section 2, from the top down.
DESIGN = """cli web; app; live outputs; studies; assessment; trades; bench; native; plant; layout;
evidence description; checks; model; catalogue; laws; memo sources units; errors"""


def test_the_layers_are_those_of_the_design():
    wanted = [set(line.split()) for line in DESIGN.split(";")]
    written = [{part.strip(" ()") for part in line.split("|")} for line in CONTRACTS["layers"]["layers"]]
    assert written == wanted
    assert CONTRACTS["layers"]["exhaustive"] is True


def test_every_pure_layer_that_exists_is_kept_from_input_and_output():
    there = {f"hutwright.{name}" for name in PURE if list(PACKAGE.glob(f"{name}*"))}
    assert there == set(CONTRACTS["pure"]["source_modules"])


@pytest.fixture
def house(tmp_path):
    """A small house under the project's own contracts: file -> what is to stand in it."""
    shutil.copy(TOP / "pyproject.toml", tmp_path)
    files = ["", "errors", "units", "laws/", "laws/area", "checks/", "layout/", "plant/", "model/", "app"]
    for name in [*files, "trades/", "trades/door/", "trades/sky/"]:
        path = (
            tmp_path
            / "src"
            / "hutwright"
            / (f"{name}__init__.py" if name[-1:] in ("", "/") else f"{name}.py")
        )
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text("", "utf-8")
    return tmp_path


def lint(folder: Path) -> subprocess.CompletedProcess[str]:
    """Import-linter's word on the house there."""
    return subprocess.run(
        [str(Path(sys.executable).with_name("lint-imports")), "--no-cache"],
        cwd=folder,
        env={"PYTHONPATH": "src", "PYTHONUTF8": "1"},
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
    )


def test_a_house_that_keeps_its_layers_holds(house):
    (house / "src/hutwright/app.py").write_text("from hutwright.trades import door, sky\n", "utf-8")
    done = lint(house)
    assert done.returncode == 0, done.stdout + done.stderr


@pytest.mark.parametrize(
    ("name", "text", "contract"),
    [
        ("laws/area.py", "from hutwright import model\n", "Imports go down only"),
        ("units.py", "import hutwright.app\n", "Imports go down only"),
        ("extra.py", "", "every package has its layer"),
        ("trades/door/__init__.py", "def f():\n    from hutwright.trades import sky\n", "Trades do not know"),
        ("laws/area.py", "import json\n", "no input or output"),
        ("laws/__init__.py", "from pathlib import Path\n", "no input or output"),
        ("model/__init__.py", "import tomlkit\n", "no input or output"),
    ],
)
def test_a_house_that_breaks_them_does_not_hold(house, name, text, contract):
    (house / "src" / "hutwright" / name).write_text(text, "utf-8")
    done = lint(house)
    assert done.returncode == 1
    (broken,) = [line for line in done.stdout.splitlines() if line.endswith("BROKEN")]
    assert contract in broken
