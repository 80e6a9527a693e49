"""The verb ``calibrate``."""

from __future__ import annotations

import json

import pytest

from hutwright.cli.main import main
from hutwright.evidence.traces import traces_text
from tests.described import DEMOS
from tests.evidence.rows import thinned
from tests.studies.population import drawn

HUT = str(DEMOS / "orchard")


@pytest.fixture(scope="module")
def recorded(tmp_path_factory):
    """Twelve cycles in a file, a row every 10 ms."""
    thin = [thinned(each, 5) for each in drawn("orchard", 12, (15.0, 25.0))]
    path = tmp_path_factory.mktemp("recorded") / "moves.csv"
    path.write_text(traces_text(thin), "utf-8")
    return path


def test_without_moves_it_says_how_long_recording_takes(capsys):
    assert main(["calibrate", HUT]) == 0
    assert "the drive must rest between moves" in " ".join(capsys.readouterr().out.split())


@pytest.mark.slow
def test_recorded_moves_become_settings_and_a_report(recorded, tmp_path, capsys):
    assert main(["calibrate", HUT, str(recorded), "--json", "--out", str(tmp_path / "report")]) == 0
    values = json.loads(capsys.readouterr().out)
    assert values["refused"] is False
    assert values["trained"]["cycles"] == 12
    assert (tmp_path / "report" / "settings.lines").exists()


def test_a_file_that_is_not_there_is_a_sentence_and_exit_2(tmp_path, capsys):
    assert main(["calibrate", HUT, str(tmp_path / "none.csv")]) == 2
    assert "none.csv" in capsys.readouterr().err


@pytest.mark.slow
def test_obstructed_runs_are_read_without_being_left_out_as_short(recorded, capsys):
    assert main(["calibrate", HUT, str(recorded), "--obstructed", str(recorded), "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["obstructed"]["runs"] == 24


def test_a_bad_row_of_a_force_trial_is_a_sentence_and_exit_2(recorded, tmp_path, capsys):
    trials = tmp_path / "scale.csv"
    trials.write_text("direction, gap_mm, reading_kg, reversed\nclosing, 300, 6, yes\n", "utf-8")
    assert main(["calibrate", HUT, str(recorded), "--force-trials", str(trials)]) == 2
    told = " ".join(capsys.readouterr().err.split())
    assert "scale.csv, line 2: read no stiffness of the block; wanted stiffness_N_mm, or pressed_mm" in told


@pytest.mark.slow
def test_force_trials_stand_in_the_answer(recorded, tmp_path, capsys):
    trials = tmp_path / "scale.csv"
    trials.write_text(
        "direction, gap_mm, reading_N, stiffness_N_mm, reversed\nclosing, 300, 90, 3, yes\n", "utf-8"
    )
    assert main(["calibrate", HUT, str(recorded), "--force-trials", str(trials), "--json"]) == 0
    (trial,) = json.loads(capsys.readouterr().out)["force_trials"]["trials"]
    assert (trial["gap_m"], trial["scale_N"]) == (0.3, 90.0)
    assert 10.0 < trial["simulated_N"] < 400.0
