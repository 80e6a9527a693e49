"""The verb ``identify``."""

from __future__ import annotations

import json
import tomllib
from dataclasses import replace

import pytest

from hutwright.bench.plant import rod
from hutwright.bench.traced import switched_move
from hutwright.cli.main import main
from hutwright.evidence.trace import Way
from hutwright.evidence.traces import traces_text
from hutwright.plant.conditions import nominal
from hutwright.plant.travel import travel
from hutwright.studies import offering
from tests.described import ORCHARD, orchard
from tests.evidence.rows import thinned

TEXT = ORCHARD.read_text("utf-8")


@pytest.fixture(scope="module")
def moves():
    project = orchard().project
    return [switched_move(project, nominal(project), way=way, every=5) for way in Way]


@pytest.fixture(scope="module")
def recorded(moves, tmp_path_factory):
    """An opening and a closing at a plain switch, with their position."""
    project = orchard().project
    path = tmp_path_factory.mktemp("recorded") / "moves.csv"
    path.write_text(traces_text(moves, travel=rod(project).travel(travel(project).full)), "utf-8")
    return path


def asked(hut, *more) -> int:
    return main(["identify", str(hut), *map(str, more)])


def test_what_is_found_is_written_with_comments_and_order_kept(hut, recorded, capsys, monkeypatch):
    monkeypatch.setattr(offering, "trades", tuple)  # what checks then say has tests of its own
    assert asked(hut, recorded, "--write", "--json") == 0
    values = json.loads(capsys.readouterr().out)
    assert values["written"] is True
    text = (hut / "hut.toml").read_text("utf-8")
    old, new = TEXT.splitlines(), text.splitlines()
    kept = [line for line in old if line in new]
    assert len(kept) == len(old) - 2  # the lines of speed and battery; all others as they were
    assert [line for line in new if line in kept] == kept
    data = tomllib.loads(text)
    assert data["drive"]["motor"]["resistance"].startswith("1.5")
    assert data["measured"]["drive.no_load.speed"] == "from 2 recorded moves"
    assert [each.name for each in hut.iterdir()] == ["hut.toml"]
    # the second time the description says it already
    assert asked(hut, recorded, "--write") == 0
    told = capsys.readouterr()
    assert "the description says the same already" in told.out
    assert "stays as it is" in told.err
    assert (hut / "hut.toml").read_text("utf-8") == text


@pytest.mark.slow
def test_without_write_the_lines_are_shown_and_the_file_stays(hut, recorded, capsys):
    assert asked(hut, recorded) == 0
    told = capsys.readouterr().out
    assert '+no_load = { speed = "' in told
    assert "Written with --write" in told
    assert "What the checks say with it" in told
    assert (hut / "hut.toml").read_text("utf-8") == TEXT


@pytest.mark.slow
def test_one_quickly_recorded_start_is_enough(hut, tmp_path, capsys):
    project = orchard().project
    move = replace(switched_move(project, nominal(project), way=Way.OPENING), place=None)
    path = tmp_path / "start.csv"
    path.write_text(traces_text([move]), "utf-8")
    assert asked(hut, "--inrush", path, "--json") == 0
    values = json.loads(capsys.readouterr().out)
    assert (values["moves"], values["by_start"]) == (1, True)


REFUSED = {
    "no file": ((), "read no recorded move"),
    "no supply": ((lambda each: replace(each, supply=None),), "wanted a column supply_V"),
    "one way": ((lambda each: each if each.way is Way.OPENING else None,), "wanted some of both ways"),
    "few rows": ((lambda each: each,), "8 or more"),
    "neither place nor start": ((lambda each: replace(thinned(each, 4), place=None),), "500 rows"),
    "a clamp ten times too strong": (
        (lambda each: replace(each, current=10.0 * each.current),), "wanted one above zero",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", REFUSED)
def test_what_cannot_be_is_a_sentence_and_exit_2_and_the_file_stays(name, hut, moves, tmp_path, capsys):
    change, told = REFUSED[name]
    files = []
    if change:
        changed = [each for each in map(change[0], moves) if each is not None]
        files = [tmp_path / "moves.csv"]
        text = traces_text(changed, travel=0.28)
        if name == "few rows":
            text = "\n".join(text.splitlines()[:6])
        files[0].write_text(text, "utf-8")
    assert asked(hut, *files, "--write") == 2
    err = capsys.readouterr().err
    assert told in " ".join(err.split())
    assert "wanted" in err
    assert "Traceback" not in err
    assert (hut / "hut.toml").read_text("utf-8") == TEXT


def test_a_door_that_is_not_described_is_a_sentence(tmp_path, recorded, capsys):
    (tmp_path / "hut.toml").write_text('format = 1\nname = "Nothing"\n', "utf-8")
    assert asked(tmp_path, recorded) == 2
    assert "describe" in capsys.readouterr().err
