"""The shell scripts that set a machine up say what is missing in one line, and never ask anything."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.house.places import TOP

PLAIN = ("sh", "rm", "mktemp", "sed", "dirname", "sleep", "cat", "touch")


class Machine:
    """A PATH of our own making: a folder of programs, real ones and pretended ones."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.environment = {"PATH": str(folder), "TOOLS_WAIT": "0", "TMPDIR": str(folder)}
        for name in PLAIN:
            real = shutil.which(name)
            assert real is not None
            (folder / name).symlink_to(real)

    def pretend(self, name: str, script: str) -> None:
        """Put a shell script in place of a program."""
        path = self.folder / name
        path.write_text(f"#!/bin/sh\n{script}\n", "utf-8")
        path.chmod(0o755)

    def run(self, script: str, *args: str, **variables: str) -> subprocess.CompletedProcess[str]:
        """Run one of tools/*.sh there."""
        return subprocess.run(
            ["sh", str(TOP / "tools" / script), *args],
            env=self.environment | variables,
            capture_output=True,
            text=True,
            check=False,
            stdin=subprocess.DEVNULL,
            timeout=60,
        )


@pytest.fixture
def machine(tmp_path):
    """A machine with everything that setting up needs, as root."""
    made = Machine(tmp_path)
    made.pretend("make", "exit 0")
    made.pretend("cc", "exit 0")
    # Its headers and ensurepip are there, whatever this machine has.
    made.pretend(
        "python3", f'case "$2" in *ensurepip*|*Python.h*) exit 0;; esac\nexec "{sys.executable}" "$@"'
    )
    made.pretend("id", "echo 0")
    return made


# ---- needs.sh ----------------------------------------------------------------------------------------


def test_a_machine_that_has_everything_is_told_nothing(machine):
    done = machine.run("needs.sh")
    assert (done.returncode, done.stdout, done.stderr) == (0, "", "")


@pytest.mark.parametrize(
    ("name", "script", "package"),
    [
        ("make", None, "make"),
        ("cc", None, "gcc libc6-dev"),
        ("cc", "exit 1", "gcc libc6-dev"),
        ("python3", None, "python3 python3-venv python3-dev"),
        ("python3", "exit 127", "python3 python3-venv python3-dev"),
        ("python3", 'case "$2" in *ensurepip*) exit 1;; esac; exit 0', "python3-venv"),
        ("python3", 'case "$2" in *Python.h*) exit 1;; esac; exit 0', "python3-dev"),
        ("python3", 'case "$2" in *version_info*) exit 1;; -V) echo Python 3.9;; esac; exit 0', "python3"),
    ],
)
def test_one_line_says_which_package_brings_what_is_missing(machine, name, script, package):
    (machine.folder / name).unlink()
    if script is not None:
        machine.pretend(name, script)
    done = machine.run("needs.sh")
    assert done.returncode == 1
    assert done.stdout == ""
    assert done.stderr.endswith(f"On Debian: apt-get install {package}\n")
    assert done.stderr.count("\n") == 1


def test_this_very_machine_has_what_it_needs():
    done = subprocess.run(
        ["sh", str(TOP / "tools" / "needs.sh")], capture_output=True, text=True, check=False, timeout=60
    )
    assert (done.returncode, done.stderr) == (0, "")


# ---- debian_tools.sh ---------------------------------------------------------------------------------


@pytest.fixture
def wanting(machine):
    """The same machine with a list of two programs, of which one is there; apt-get writes down its calls."""
    packages = machine.folder / "packages.txt"
    packages.write_text("# why\nhere-package here  # reason\n\nfar-package far  # reason\n", "utf-8")
    machine.environment["TOOLS_LIST"] = str(packages)
    machine.environment["CALLS"] = str(machine.folder / "calls")
    machine.pretend("here", "exit 0")
    return machine


NOTES_CALL = 'echo "$DEBIAN_FRONTEND $*" >> "$CALLS"\n'
# A program appears with `apt-get install`.
INSTALLS = (
    NOTES_CALL + 'case "$1" in install) touch "${CALLS%calls}far"; /bin/chmod +x "${CALLS%calls}far";; esac'
)


def test_leaves_apt_alone_where_every_program_is_there(wanting):
    wanting.pretend("far", "exit 0")
    wanting.pretend("apt-get", NOTES_CALL + "exit 1")
    done = wanting.run("debian_tools.sh", CI="true")
    assert (done.returncode, done.stdout, done.stderr) == (0, "", "")
    assert not (wanting.folder / "calls").exists()


def test_root_installs_just_what_is_missing_and_is_asked_nothing(wanting):
    wanting.pretend("apt-get", INSTALLS)
    done = wanting.run("debian_tools.sh", CI="true")
    assert (done.returncode, done.stderr) == (0, "")
    assert (wanting.folder / "calls").read_text("utf-8").splitlines() == [
        "noninteractive update -qq",
        "noninteractive install -qq -y -o Dpkg::Use-Pty=0 --no-install-recommends far-package",
    ]


def test_tries_a_busy_mirror_three_times(wanting):
    wanting.pretend("apt-get", NOTES_CALL + "exit 100")
    done = wanting.run("debian_tools.sh", CI="true")
    assert done.returncode == 1
    assert "apt-get could not install: far-package" in done.stderr
    assert (wanting.folder / "calls").read_text("utf-8").splitlines() == ["noninteractive update -qq"] * 3


@pytest.mark.parametrize(("args", "status"), [((), 1), (("--or-skip",), 0)])
def test_without_ci_a_failed_installation_may_be_skipped(wanting, args, status):
    wanting.pretend("apt-get", "exit 100")
    done = wanting.run("debian_tools.sh", *args)
    assert done.returncode == status
    assert "the tests that need them are skipped" in done.stderr


@pytest.mark.parametrize(("variables", "status"), [({}, 0), ({"CI": "true"}, 1)])
def test_who_may_not_install_is_told_so_in_one_line_and_fails_only_in_ci(wanting, variables, status):
    wanting.pretend("id", "echo 1000")
    wanting.pretend("apt-get", NOTES_CALL)
    wanting.pretend("sudo", NOTES_CALL)
    done = wanting.run("debian_tools.sh", **variables)
    assert done.returncode == status
    assert done.stderr.count("\n") == 1
    assert "far-package" in done.stderr
    assert "here-package" not in done.stderr
    assert "skipped" in done.stderr
    assert not (wanting.folder / "calls").exists()


def test_a_package_that_does_not_bring_its_program_is_a_failure(wanting):
    wanting.pretend("apt-get", NOTES_CALL)
    done = wanting.run("debian_tools.sh", CI="true")
    assert done.returncode == 1
    assert "still without its program: far-package" in done.stderr


def test_the_list_gives_a_package_a_program_and_a_reason_on_every_line():
    lines = (TOP / "tools" / "debian_packages.txt").read_text("utf-8").splitlines()
    rows = [line for line in lines if line.strip() and not line.startswith("#")]
    assert rows
    for row in rows:
        names, _, reason = row.partition("#")
        assert len(names.split()) == 2, row
        assert reason.strip(), row


@pytest.mark.parametrize("name", [".ci/run", "tools/needs.sh", "tools/debian_tools.sh"])
def test_the_scripts_may_be_run(name):
    assert os.access(TOP / name, os.X_OK)
