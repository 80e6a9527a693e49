"""What is installed for a user is complete."""

from __future__ import annotations

import re
import subprocess
import sys
import zipfile

import pytest

from tests.house.places import PACKAGE, TOP

CARRIED = {".py", ".pyi", ".toml", ".json", ".css", ".typed", ".c", ".h"}


@pytest.mark.slow
def test_the_built_package_carries_every_module_and_every_file_of_data(tmp_path):
    # A copy is built: setuptools writes beside the sources.
    names = subprocess.run(
        ["git", "-C", str(TOP), "ls-files", "--cached", "--others", "--exclude-standard", "-z"],
        capture_output=True,
        text=True,
        check=True,
    ).stdout.split("\0")
    source = tmp_path / "source"
    for name in names:
        path = TOP / name
        if path.is_file() and name.startswith(("src/", "pyproject.toml", "setup.py", "README.md", "LICENSE")):
            (source / name).parent.mkdir(parents=True, exist_ok=True)
            (source / name).write_bytes(path.read_bytes())
    pip = [sys.executable, "-m", "pip", "--disable-pip-version-check", "--quiet", "wheel"]
    build = [*pip, "--no-deps", "--no-build-isolation", "--wheel-dir", str(tmp_path), str(source)]
    subprocess.run(build, check=True, timeout=300, stdin=subprocess.DEVNULL)

    (wheel,) = tmp_path.glob("hutwright-*.whl")
    with zipfile.ZipFile(wheel) as archive:
        inside = set(archive.namelist())
    wanted = {
        path.relative_to(PACKAGE.parent).as_posix()
        for path in PACKAGE.rglob("*")
        if path.suffix in CARRIED and path.is_file() and "__pycache__" not in path.parts
    }
    assert "hutwright/py.typed" in wanted
    assert wanted - inside == set()
    assert any(name.endswith("licenses/LICENSE") for name in inside)
    # The extension is built against the stable part of Python's C API: one wheel for all from 3.11 on.
    assert "-cp311-abi3-" in wheel.name
    assert any(re.fullmatch(r"hutwright/native/_door\.(abi3\.so|pyd)", name) for name in inside)
