"""The command line: what it prints, where, and with which exit code."""

from __future__ import annotations

import gc
import json
import os
import subprocess
import sys
import time

import click
import pytest

from hutwright import __version__, app
from hutwright.cli.answering import ExitCode, answered, painted
from hutwright.cli.main import main
from tests.house.places import TOP

ORCHARD = TOP / "demos" / "orchard"
HEAVY = ("numpy", "scipy", "pydantic", "pydantic_core", "tomlkit")


@pytest.fixture
def holding(tmp_path):
    """A project of which nothing can be asked, so that nothing misses."""
    (tmp_path / "hut.toml").write_text('format = 1\nname = "Quiet hut"\n', "utf-8")
    return tmp_path


def run(*arguments, **more):
    """The command in a process of its own."""
    environment = {**os.environ, "PYTHONPATH": str(TOP / "src"), **more.pop("env", {})}
    return subprocess.run(
        [sys.executable, "-m", "hutwright", *map(str, arguments)],
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
        stdin=subprocess.DEVNULL,
        env=environment,
        **more,
    )


def test_exit_code_1_says_that_something_misses_or_is_undecided(capsys):
    assert main(["check", str(ORCHARD)]) == 1
    text = capsys.readouterr()
    assert text.out.startswith("Orchard hut: ")
    assert text.err == ""


def test_exit_code_0_says_that_nothing_misses(holding, capsys):
    assert main(["check", str(holding)]) == 0
    assert "nothing could be asked yet" in capsys.readouterr().out


@pytest.mark.parametrize(
    "arguments",
    [
        ["check", "nowhere"],
        ["check", str(ORCHARD), "--trade", "gardening"],
        ["check", str(ORCHARD), "--variant", "none"],
        ["why", str(ORCHARD), "gadget"],
        ["start", str(ORCHARD), "--yes"],
        ["start", "somewhere", "--yes", "--about", "weather"],
        ["start", "somewhere", "--yes", "--cable-length", "6 V"],
        ["start", "somewhere", "--yes", "--about", "door", "--band", "5 GHz"],
    ],
)
def test_exit_code_2_says_that_the_request_is_wrong_in_a_sentence(arguments, capsys):
    assert main(arguments) == 2
    text = capsys.readouterr()
    assert text.out == ""
    assert text.err.strip()
    assert "Traceback" not in text.err


def test_every_fault_of_a_description_stands_on_a_line_of_its_own(holding, capsys):
    (holding / "hut.toml").write_text('format = 1\n[drive]\nbody = "6 V"\ngadget = 1\n', "utf-8")
    assert main(["check", str(holding)]) == 2
    lines = capsys.readouterr().err.splitlines()
    assert all(line.startswith("hut.toml, line ") for line in lines)
    assert any(line.startswith("hut.toml, line 3: drive.body: read '6 V'; wanted a length") for line in lines)
    assert any(line.startswith("hut.toml, line 4: drive.gadget: read the unknown key") for line in lines)


@pytest.mark.parametrize("arguments", [["check"], ["gadget"], ["check", str(ORCHARD), "--gadget"]])
def test_a_line_that_cannot_be_parsed_is_exit_code_2(arguments, capsys):
    assert main(arguments) == 2
    assert "Usage" in capsys.readouterr().err


def test_a_fault_of_its_own_is_a_sentence_and_exit_code_3(monkeypatch, capsys):
    def broken(*_, **__):
        raise ZeroDivisionError("secret")

    monkeypatch.setattr(app, "check", broken)
    monkeypatch.delenv("HUTWRIGHT_DEBUG", raising=False)
    assert main(["check", str(ORCHARD)]) == 3
    text = capsys.readouterr().err
    assert "report it" in text
    assert "Traceback" not in text
    monkeypatch.setenv("HUTWRIGHT_DEBUG", "1")
    assert main(["check", str(ORCHARD)]) == 3
    assert "ZeroDivisionError: secret" in capsys.readouterr().err


def test_an_interruption_is_quiet_and_exit_code_130(monkeypatch, capsys):
    def interrupted(*_, **__):
        raise KeyboardInterrupt

    monkeypatch.setattr(app, "check", interrupted)
    assert main(["check", str(ORCHARD)]) == 130
    assert capsys.readouterr() == ("", "")


def test_json_is_printed_alone(capsys):
    assert main(["check", str(ORCHARD), "--trade", "wiring", "--json"]) == 1
    values = json.loads(capsys.readouterr().out)
    assert values["project"] == "Orchard hut"
    assert values["checks"]


def test_why_shows_one_check_and_exits_by_its_status(capsys):
    code = main(["why", str(ORCHARD), "start_dip"])
    text = capsys.readouterr().out
    assert "[wiring.start_dip]" in text.splitlines()[0]
    assert code == int(app.why(ORCHARD, "start_dip").verdict.status.short)


def test_compare_prints_text_or_json(holding, capsys):
    (holding / "variants").mkdir()
    (holding / "variants/other.toml").write_text('[supplies.battery]\nkind = "lead-acid 12 V"\n', "utf-8")
    assert main(["compare", str(holding)]) == 0
    assert "supplies: new: " in capsys.readouterr().out
    assert main(["compare", str(holding), "other", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["columns"][1]["variant"] == "other"


def test_schema_prints_a_schema(capsys):
    assert main(["schema"]) == 0
    assert json.loads(capsys.readouterr().out)["additionalProperties"] is False


def test_version_is_printed(capsys):
    assert main(["--version"]) == 0
    assert capsys.readouterr().out == f"hutwright {__version__}\n"


def test_help_loads_nothing_that_is_slow():
    code = (
        "import sys; from hutwright.cli.main import main; main(['--help']); "
        f"print([name for name in {HEAVY} if name in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
        env={**os.environ, "PYTHONPATH": str(TOP / "src")},
    )
    assert done.stdout.splitlines()[-1] == "[]"
    for verb in ("check", "why", "compare", "schema", "start"):
        assert f"  {verb} " in done.stdout


@pytest.mark.slow
def test_help_takes_no_longer_than_a_few_starts_of_the_interpreter():
    def quickest(*command):
        spent = []
        for _ in range(5):
            began = time.perf_counter()
            subprocess.run(
                command, check=True, capture_output=True, env={**os.environ, "PYTHONPATH": str(TOP / "src")}
            )
            spent.append(time.perf_counter() - began)
        return min(spent)

    bare = quickest(sys.executable, "-c", "import json, dataclasses, re, typing")
    assert quickest(sys.executable, "-m", "hutwright", "--help") < 8 * bare


def test_a_reader_that_goes_away_is_no_fault():
    command = [sys.executable, "-m", "hutwright", "schema"]
    environment = {**os.environ, "PYTHONPATH": str(TOP / "src")}
    with subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, env=environment
    ) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.read(10)
        process.stdout.close()
        assert process.stderr.read() == b""
        assert process.wait(60) == 0


@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="this system has no full disk to write to")  # noqa: PTH110
def test_a_full_disk_is_told_in_a_sentence():
    with open("/dev/full", "w") as full:  # noqa: PTH123
        done = subprocess.run(
            [sys.executable, "-m", "hutwright", "schema"],
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
            check=False,
            timeout=60,
            env={**os.environ, "PYTHONPATH": str(TOP / "src")},
        )
    assert done.returncode == 2
    assert "could not be written whole" in done.stderr
    assert "Traceback" not in done.stderr


def test_a_screen_that_lacks_a_sign_shows_another(holding):
    done = run("why", ORCHARD, "start_dip", env={"PYTHONIOENCODING": "ascii", "PYTHONUTF8": "0"})
    assert "Traceback" not in done.stderr
    assert "[wiring.start_dip]" in done.stdout


def test_the_report_fits_the_screen_it_is_told():
    done = run("check", ORCHARD, "--trade", "wiring", env={"COLUMNS": "60"})
    assert max(map(len, done.stdout.splitlines())) <= 60


def test_colour_is_only_an_extra(capsys):
    main(["check", str(ORCHARD), "--trade", "wiring"])
    plain = capsys.readouterr().out
    assert "\x1b" not in plain
    coloured = painted(plain)
    assert coloured.count("\x1b[0m") >= len(app.check(ORCHARD, ["wiring"]).verdicts)
    for code in ("32", "33", "35", "1;31", "0"):
        coloured = coloured.replace(f"\x1b[{code}m", "")
    assert coloured == plain


def test_the_wiring_page_names_every_cable_and_exits_like_the_check(capsys):
    assert main(["wiring", str(ORCHARD)]) == 1
    page = capsys.readouterr().out
    assert page.startswith("Wiring of Orchard hut")
    assert "feed" in page
    assert "Before power is applied" in page


def test_a_folder_without_cables_has_no_wiring_page(holding, capsys):
    assert main(["wiring", str(holding)]) == 2
    assert "describes no cables" in capsys.readouterr().err


@pytest.mark.parametrize("lasting", [True, False])
def test_rubbish_is_cleared_away_only_while_a_verb_lasts(lasting):
    before, clearing = gc.isenabled(), []

    def verb():
        clearing.append(gc.isenabled())
        return ExitCode.SHORT

    with pytest.raises(click.exceptions.Exit) as left:
        answered(verb, lasting=lasting)
    assert clearing == [lasting]
    assert left.value.exit_code == 1
    assert gc.isenabled() is before


def test_the_process_ends_with_what_was_registered_for_its_end(tmp_path):
    kept = tmp_path / "end"
    code = (
        "import atexit, pathlib, sys\n"
        "from hutwright.cli.main import run\n"
        f"atexit.register(pathlib.Path({str(kept)!r}).write_text, 'done')\n"
        "sys.argv = ['hutwright', 'schema', '--nonsense']\n"
        "run()\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 2
    assert "--nonsense" in done.stderr
    assert kept.read_text() == "done"
