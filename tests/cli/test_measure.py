"""The verb measure."""

import json
import shutil

import pytest

from hutwright.cli import measuring
from hutwright.cli.main import main
from hutwright.description.folder import load
from hutwright.errors import RequestError
from hutwright.evidence.site_sheet import parse_sheet
from tests.house.places import TOP

PULL = ("mount_pull", "pull=10 kg", "moved=0,5")


@pytest.fixture
def folder(tmp_path):
    for name in ("hut.toml",):
        shutil.copy(TOP / "demos" / "orchard" / name, tmp_path / name)
    return tmp_path


def test_all_observations_are_listed(folder, capsys):
    assert main(["measure", str(folder)]) == 0
    told = capsys.readouterr().out
    assert "leaf_scale" in told
    assert "linkage.mount_stiffness" in told


def test_how_an_observation_is_made_comes_with_its_caution(folder, capsys):
    assert main(["measure", str(folder), "drive_stall"]) == 0
    told = " ".join(capsys.readouterr().out.split())
    assert "never against a hand" in told
    assert "current = " in told


def test_nothing_is_written_unless_it_is_agreed(folder, capsys):
    before = (folder / "hut.toml").read_bytes()
    assert main(["measure", str(folder), *PULL]) == 0
    assert (folder / "hut.toml").read_bytes() == before
    assert "Written with --write" in capsys.readouterr().out


def test_what_was_agreed_is_written_with_its_note(folder, capsys):
    assert main(["measure", str(folder), *PULL, "--write"]) == 0
    datum = load(folder).values["linkage", "mount_stiffness"]
    assert datum.origin.value == "measured"
    assert datum.note.startswith("A pull of about 10 kg")
    assert "made" in capsys.readouterr().out


def test_a_sheet_goes_out_and_comes_back(folder, tmp_path, capsys):
    assert main(["measure", str(folder), "--print"]) == 0
    sheet = capsys.readouterr().out
    assert parse_sheet(sheet, "sheet") == {}
    filled = tmp_path / "sheet.txt"
    filled.write_text(
        sheet.replace("mount_pull.pull = ", "mount_pull.pull = 10")
        .replace("mount_pull.moved = ", "mount_pull.moved = 0.5")
        .replace("counts.shut = ", "counts.shut = 7")
        .replace("winding.first = ", "winding.first = 2.1")
    )
    assert main(["measure", str(folder), "--sheet", str(filled), "--write"]) == 1
    told = capsys.readouterr().out
    assert "winding cannot be worked out without" in told.replace("\n    ", " ")
    assert load(folder).values["linkage", "mount_stiffness"].origin.value == "measured"
    assert (folder / "sky.csv").read_text().splitlines()[0] == "time,open,satellites"
    assert (folder / "sky.csv").read_text().splitlines()[1].endswith(",all,7")


def test_counts_go_behind_those_that_are_there(folder):
    (folder / "sky.csv").write_text("# mine\nopen;note;satellites;time\nclosed;first;5;2026-05-01T10:00:00Z")
    assert main(["measure", str(folder), "counts", "opened=12", "--write"]) == 0
    lines = (folder / "sky.csv").read_text().splitlines()
    assert lines[2] == "closed;first;5;2026-05-01T10:00:00Z"
    assert lines[3].startswith("all + door;;12;")


@pytest.mark.parametrize(
    ("arguments", "wanted"),
    [
        (("mount_pull", "pull"), "wanted a reading such as"),
        (("mount_pull", "pull=1", "pull=2"), "twice"),
        (("mount_pull", "pull=lots", "moved=1"), "mount_pull.pull"),
        (("mount_pul",), "did you mean"),
        (("mount_pull", "--next"), "one after the other"),
        (("--sheet", "nowhere.txt"), "nowhere.txt"),
    ],
)
def test_a_wrong_wish_is_a_sentence(folder, capsys, arguments, wanted):
    assert main(["measure", str(folder), *arguments]) == 2
    told = capsys.readouterr().err
    assert wanted in told
    assert "Traceback" not in told


def test_json_says_the_same(folder, capsys):
    assert main(["measure", str(folder), *PULL, "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["observations"][0]["values"][0]["path"] == "linkage.mount_stiffness"
    quantity = told["observations"][0]["values"][0]["quantity"]
    assert quantity["low"] < quantity["value"] < quantity["high"]
    assert told["written"] is False


def test_who_is_asked_may_not_know_and_may_stop(folder, capsys, monkeypatch):
    monkeypatch.setattr(measuring, "on_a_terminal", lambda: True)
    answers = iter(["nonsense", "10,0", "0.5 mm", "y"])
    asked = measuring.Asked(
        folder=folder, key="mount_pull", readings=(), next=False, sheet=None, blank=False, write=False,
        as_json=False,
    )  # fmt: skip
    assert measuring.measure(asked, ask=lambda _: next(answers)) == 0
    assert "read as 10.0 kg" in capsys.readouterr().out
    assert load(folder).values["linkage", "mount_stiffness"].origin.value == "measured"

    def gone(_):
        raise EOFError

    before = (folder / "hut.toml").read_bytes()
    assert measuring.measure(asked, ask=gone) == 0
    assert (folder / "hut.toml").read_bytes() == before


def test_what_cannot_be_written_is_never_told_as_made(folder, capsys, monkeypatch):
    def refused(*_):
        raise RequestError("it was not written")

    monkeypatch.setattr(measuring, "write_agreed", refused)
    assert main(["measure", str(folder), *PULL, "--write"]) == 2
    told = capsys.readouterr()
    assert "made" not in told.out
    assert "it was not written" in told.err


def test_a_table_without_a_place_for_the_counts_keeps_all_as_it_was(folder, tmp_path, capsys):
    (folder / "sky.csv").write_text("open;satelites\nclosed;5\n")
    before = (folder / "hut.toml").read_bytes()
    sheet = tmp_path / "sheet.txt"
    sheet.write_text("mount_pull.pull = 10\nmount_pull.moved = 0.5\ncounts.shut = 7\n")
    assert main(["measure", str(folder), "--sheet", str(sheet), "--write"]) == 2
    told = capsys.readouterr()
    assert "did you mean satellites" in told.err
    assert "sky.csv" in told.err
    assert "made" not in told.out
    assert (folder / "hut.toml").read_bytes() == before
    assert (folder / "sky.csv").read_text() == "open;satelites\nclosed;5\n"


def test_a_table_keeps_its_line_ends_and_its_units(folder):
    (folder / "sky.csv").write_bytes(b"time [UTC], open, satellites, signal [dB-Hz]\r\n,closed,5,40\r\n")
    assert main(["measure", str(folder), "counts", "shut=7", "--write"]) == 0
    lines = (folder / "sky.csv").read_bytes().split(b"\r\n")
    assert lines[1] == b",closed,5,40"
    assert lines[2].endswith(b",all,7,")
    assert lines[3] == b""
