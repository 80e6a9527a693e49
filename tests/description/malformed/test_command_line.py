"""What the command says of a description that is none: exit status 2 and the sentences, nothing else."""

from __future__ import annotations

import os
import subprocess
import sys

import pytest

from hutwright.cli.main import main
from hutwright.description.folder import load
from hutwright.errors import DescriptionError
from tests.description.malformed.cases import CASES
from tests.description.malformed.test_folders import FILES
from tests.house.places import TOP


def sentences_of(folder):
    """What the library says of a folder that must be refused."""
    with pytest.raises(DescriptionError) as caught:
        load(folder)
    return [fault.sentence() for fault in caught.value.faults]


@pytest.mark.parametrize("name", FILES)
def test_a_file_that_is_no_description_ends_the_command_with_2(tmp_path, capsys, name):
    FILES[name][0](tmp_path)
    assert main(["check", str(tmp_path)]) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert "Traceback" not in told.err
    assert [each for each in sentences_of(tmp_path) if each not in told.err] == []


@pytest.mark.parametrize(
    "cases", [CASES[::8], pytest.param(CASES, marks=pytest.mark.slow)], ids=["some", "all"]
)
def test_a_mistake_ends_the_command_with_2_and_its_sentence(tmp_path, capsys, cases):
    for case in cases:
        (tmp_path / "hut.toml").write_text(case.text, "utf-8")
        assert main(["check", str(tmp_path)]) == 2, case.name
        told = capsys.readouterr()
        assert told.out == "", case.name
        assert sentences_of(tmp_path)[0] in told.err, case.name


@pytest.mark.slow
@pytest.mark.parametrize("name", ["no file", "a pipe", "deep lists", "a program", "another format of text"])
def test_the_command_in_a_process_of_its_own_says_the_same(tmp_path, name):
    FILES[name][0](tmp_path)
    done = subprocess.run(
        [sys.executable, "-m", "hutwright", "check", str(tmp_path)],
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
        env={**os.environ, "PYTHONPATH": str(TOP / "src"), "PYTHONIOENCODING": "utf-8"},
    )
    assert (done.returncode, done.stdout) == (2, "")
    assert sentences_of(tmp_path)[0] in done.stderr
