"""The verb `rehearse`: what it prints, where, and with which exit code; how it is stopped."""

from __future__ import annotations

import json
import re
import signal
import sys
import threading
import time

import pytest

from hutwright import app
from hutwright.bench.settings import core_settings, sealed
from hutwright.cli import answering
from hutwright.cli.main import main
from hutwright.description.folder import load
from hutwright.outputs.firmware import settings_lines
from tests.house.places import TOP

ORCHARD = str(TOP / "demos" / "orchard")
SPORTS_FIELD = str(TOP / "demos" / "sports_field")


def test_it_exits_0_where_all_is_met(capsys):
    assert main(["rehearse", SPORTS_FIELD, "--scenario", "free.mild", "--scenario", "ends"]) == 0
    text = capsys.readouterr()
    assert text.out.startswith("Sports-field hut: 6 scenarios rehearsed: 6 met, 0 not met")
    assert text.err == ""


def test_it_exits_1_where_a_scenario_is_not_met_and_says_what_would_help(capsys):
    assert main(["rehearse", ORCHARD, "--scenario", "obstacle.stiff_300"]) == 1
    out = capsys.readouterr().out
    assert "not met" in out
    assert "fit a pressure-sensitive edge" in out


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (["nowhere"], "nowhere"),
        ([ORCHARD, "--scenario", "obstacle.stif_300"], 'did you mean "obstacle.stiff_300"?'),
        ([ORCHARD, "--variant", "secnd_draft"], "second_draft"),
    ],
)
def test_it_exits_2_where_the_request_is_wrong(capsys, arguments, told):
    assert main(["rehearse", *arguments]) == 2
    text = capsys.readouterr()
    assert told in text.err
    assert text.out == ""


def lines_with(folder, **changed):
    """A file with the sports field's settings, some of them otherwise."""
    settings = core_settings(load(TOP / "demos" / "sports_field").project).copy()
    for name, value in changed.items():
        settings[name] = value
    file = folder / "settings.lines"
    file.write_bytes(settings_lines(sealed(settings).tobytes()))
    return str(file)


def test_it_is_played_with_the_settings_of_a_file(tmp_path, capsys):
    asked = ["rehearse", SPORTS_FIELD, "--scenario", "free.mild", "--json"]
    assert main(asked) == 0
    usual = json.loads(capsys.readouterr().out)
    assert (usual["settings_checksum"], usual["settings_otherwise"]) == (None, [])
    assert main([*asked, "--settings", lines_with(tmp_path)]) == 0
    same = json.loads(capsys.readouterr().out)
    assert same["settings_otherwise"] == []
    assert same["scenarios"] == usual["scenarios"]
    slow = lines_with(tmp_path, normal_permille=700, last_permille=300)
    main([*asked, "--settings", slow])
    other = json.loads(capsys.readouterr().out)
    assert other["settings_otherwise"] == ["normal_permille", "last_permille"]

    def end(found):
        return found["scenarios"][0]["runs"][0]["bounds"][1]["value"]

    assert end(other) > 1.2 * end(usual)  # the door is driven with seven tenths of the duty


def test_a_file_that_holds_no_settings_is_a_sentence(tmp_path, capsys):
    (tmp_path / "settings.lines").write_text("set 1 0 00*0000\n", "utf-8")
    assert main(["rehearse", SPORTS_FIELD, "--settings", str(tmp_path / "settings.lines")]) == 2
    assert "read settings of 1 bytes; wanted 278" in capsys.readouterr().err


def test_a_folder_without_a_door_says_what_to_describe(tmp_path, capsys):
    (tmp_path / "hut.toml").write_text('format = 1\nname = "Quiet hut"\n', "utf-8")
    assert main(["rehearse", str(tmp_path)]) == 2
    assert "describe" in capsys.readouterr().err


def test_json_is_printed_alone(capsys):
    assert main(["rehearse", SPORTS_FIELD, "--scenario", "free.mild", "--runs", "2", "--json"]) == 0
    values = json.loads(capsys.readouterr().out)
    assert [each["key"] for each in values["scenarios"]] == ["free.mild"]
    assert values["trials"]["runs"] == 2


def test_the_same_seed_prints_the_same(capsys):
    printed = []
    for _ in range(2):
        main(["rehearse", SPORTS_FIELD, "--scenario", "obstacle.hand_300", "--runs", "4", "--seed", "5"])
        printed.append(capsys.readouterr().out)
    assert printed[0] == printed[1]
    assert "seed 5" in printed[0]


def test_a_variant_can_be_rehearsed(capsys):
    main(["rehearse", ORCHARD, "--variant", "own_feed", "--scenario", "free.mild"])
    assert 'variant "Logic on its own feed' in capsys.readouterr().out


def test_the_list_names_the_scenarios_and_plays_none(capsys, monkeypatch):
    monkeypatch.setattr(app, "rehearse", lambda *_, **__: pytest.fail("played"))
    assert main(["rehearse", ORCHARD, "--list"]) == 0
    out = capsys.readouterr().out
    assert "free.mild: Open and shut on a mild day" in out
    assert "(does not arise here)" in out


def test_pictures_go_where_they_are_wanted(tmp_path, capsys):
    folder = tmp_path / "pictures"
    main(["rehearse", SPORTS_FIELD, "--scenario", "obstacle.hand_300", "--plots", str(folder), "--svg"])
    assert [path.name for path in folder.iterdir()] == ["obstacle_hand_300.svg"]
    assert "1 picture in" in capsys.readouterr().err


def test_stopped_it_shows_what_was_done(capsys, monkeypatch):
    real = app.rehearse

    def stopped(*arguments, **more):
        more["cancel"].set()
        return real(*arguments, **more)

    monkeypatch.setattr(app, "rehearse", stopped)
    assert main(["rehearse", SPORTS_FIELD, "--runs", "3"]) == 130
    text = capsys.readouterr()
    assert "left out, because it was stopped" in " ".join(text.out.split())
    assert "stopped: " in text.err
    assert "0 of 3 runs" in text.err


def test_an_interruption_from_the_keyboard_stops_it_and_shows_the_runs_that_were_made(capsys, monkeypatch):
    real = app.rehearse_often

    def interrupted(*arguments, **more):
        def told(done: int, of: int) -> None:
            if done == 2:
                signal.raise_signal(signal.SIGINT)

        return real(*arguments, **{**more, "progress": told, "executor": None})

    monkeypatch.setattr(app, "rehearse_often", interrupted)
    assert main(["rehearse", SPORTS_FIELD, "--scenario", "free.mild", "--runs", "1000"]) == 130
    text = capsys.readouterr()
    assert "2 of 1000 runs with values drawn anew were made" in text.err
    assert "Stopped: 1000 runs were asked for." in text.out
    assert "2 of 2 met" in text.out


def test_the_first_interruption_sets_the_flag_and_the_second_ends_it():
    with answering.stoppable() as flag:
        signal.raise_signal(signal.SIGINT)
        assert flag.is_set()
        with pytest.raises(KeyboardInterrupt):
            signal.raise_signal(signal.SIGINT)
    assert signal.getsignal(signal.SIGINT) is not None


def test_outside_the_main_thread_nothing_is_caught():
    before, seen = signal.getsignal(signal.SIGINT), []

    def work() -> None:
        with answering.stoppable() as flag:
            seen.append((flag.is_set(), signal.getsignal(signal.SIGINT)))

    thread = threading.Thread(target=work)
    thread.start()
    thread.join()
    assert seen == [(False, before)]


def test_a_terminal_is_told_how_far_it_is(monkeypatch):
    class Screen:
        def __init__(self) -> None:
            self.text = ""

        def isatty(self) -> bool:
            return True

        def write(self, text: str) -> None:
            self.text += text

        def flush(self) -> None:
            pass

    screen = Screen()
    monkeypatch.setattr(answering, "PATIENCE", 0.05)
    monkeypatch.setattr(sys, "stderr", screen)
    with answering.waiting("rehearsing") as count:
        count(3, 8)
        until = time.monotonic() + 30.0  # it comes after 0.05 s; a busy machine may take longer
        while "3 of 8" not in screen.text and time.monotonic() < until:
            time.sleep(0.02)
    assert re.search(r"rehearsing \.\.\. \d+ s, 3 of 8", screen.text)
    assert screen.text.endswith("\r")
