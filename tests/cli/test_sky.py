"""The verb `sky`: what it prints, where, and with which exit code; what lies beside the description."""

from __future__ import annotations

import json
import signal

import pytest
import tomlkit

from hutwright import app, memo
from hutwright.cli.main import main
from tests.described import orchard
from tests.evidence.orbits.made import yuma
from tests.house.places import TOP
from tests.plant.sky.skies import SMALL_HUT

ORCHARD = str(TOP / "demos" / "orchard")


def change(hut, old: str, new: str) -> None:
    """Put other text into the description."""
    text = (hut / "hut.toml").read_text("utf-8")
    assert old in text
    (hut / "hut.toml").write_text(text.replace(old, new), "utf-8")


def flat(text: str) -> str:
    """The text on one line."""
    return " ".join(text.split())


def test_it_exits_1_where_the_machine_is_not_ready_for_long_enough(capsys):
    assert main(["sky", ORCHARD, "--windows", "0"]) == 1
    text = capsys.readouterr()
    assert text.out.startswith("Orchard hut: satellites inside the hut")
    assert "No satellite ever stands" in text.out
    assert "hutwright sky DIR --confirm" in flat(text.out)
    assert "Roof windows" not in text.out
    assert text.err == ""


def test_it_exits_0_where_it_is(hut, capsys):
    change(hut, 'threshold = "38 dB-Hz"', 'threshold = "25 dB-Hz"')
    assert main(["sky", str(hut), "--windows", "0"]) == 0
    assert "may lose 20.0 dB" in flat(capsys.readouterr().out)


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (["nowhere"], "nowhere"),
        ([ORCHARD, "--variant", "secnd_draft"], "second_draft"),
        ([ORCHARD, "--windows", "4"], "windows"),
        ([str(TOP / "demos" / "sports_field")], "describe machine.start_rule first"),
    ],
)
def test_it_exits_2_where_the_request_is_wrong(capsys, arguments, told):
    assert main(["sky", *arguments]) == 2
    text = capsys.readouterr()
    assert told in text.err
    assert text.out == ""


def test_windows_and_pictures_go_where_they_are_wanted(hut, capsys):
    change(hut, 'error = "40 mm"', 'error = "0 mm"')  # one place of the antenna, for speed
    assert main(["sky", str(hut), "--windows", "1", "--out", str(hut / "new")]) == 1
    text = capsys.readouterr()
    assert "The best one:" in text.out
    assert "What else was tried, in rain" in text.out
    names = {path.name for path in (hut / "new").iterdir()}
    assert names == {"sky.png", "loss.png", "worth_roof.png", "windows.png"}
    assert "4 pictures in" in text.err


def test_json_is_printed_alone(capsys):
    assert main(["sky", ORCHARD, "--windows", "0", "--json"]) == 1
    values = json.loads(capsys.readouterr().out)
    assert values["placement"] is None
    assert len(values["sectors"]) == 24


def test_what_lies_beside_is_read(hut, capsys):
    (hut / "orbits").mkdir()
    records = [
        {"number": each, "mean_anomaly": 0.1 * each - 1.0, "node": 0.2 * each - 3.0} for each in range(1, 25)
    ]
    (hut / "orbits" / "almanac.alm").write_text(yuma(*records), "ascii")
    (hut / "sky.csv").write_text("time,open,satellites\n2021-07-20 10:00,all,9\n", "utf-8")
    (hut / "incidents.csv").write_text("time,started\n2021-07-20 10:00,no\n", "utf-8")
    main(["sky", str(hut), "--windows", "0"])
    text = flat(capsys.readouterr().out)
    assert "Real orbits: 2021-08-" in text
    assert "almanac orbits/almanac.alm" in text
    assert "know too little of Galileo, GLONASS and BeiDou" in text
    assert "Fewer than 10 count all day." in text
    assert "1 readings were given" in text
    assert "Does the sky explain the failed starts?" in text


def test_a_file_beside_it_that_is_at_fault_is_a_sentence(hut, capsys):
    (hut / "sky.csv").write_text("time,open,satellites\n2021-07-20 10:00,atic,9\n", "utf-8")
    assert main(["sky", str(hut), "--windows", "0"]) == 2
    assert "sky.csv, line 2" in capsys.readouterr().err


def test_stopped_it_shows_what_was_found(capsys, monkeypatch):
    real = app.sky

    def stopped(*arguments, **more):
        more["cancel"].set()
        return real(*arguments, **more)

    monkeypatch.setattr(app, "sky", stopped)
    assert main(["sky", ORCHARD, "--out", "never"]) == 130
    text = capsys.readouterr()
    assert "The search was ended early" in text.out
    assert "stopped: " in text.err


@pytest.fixture
def low_hut(tmp_path):
    """A low hut of timber, of few cells for the full wave, in a file."""
    text = tomlkit.dumps(dict(orchard(SMALL_HUT).merged.data))
    (tmp_path / "hut.toml").write_text(text, "utf-8")
    return tmp_path


@pytest.mark.slow
def test_the_full_wave_is_asked_where_that_is_wanted(low_hut, capsys):
    assert main(["sky", str(low_hut), "--windows", "0", "--confirm"]) in {0, 1}
    text = flat(capsys.readouterr().out)
    assert "Confirmed by the full wave" in text
    for state in ("door shut", "door shut, rain", "door shut, thaw", "door open"):
        assert f"as described, {state}" in text
    assert main(["sky", str(low_hut), "--windows", "0", "--confirm", "--json"]) in {0, 1}
    values = json.loads(capsys.readouterr().out)
    assert values["full_wave"]["complete"]
    assert len(values["full_wave"]["found"]) == 4


def test_an_interruption_while_the_full_wave_runs_shows_what_was_found(low_hut, capsys, monkeypatch):
    sky = app.sky

    def interrupted(*arguments, progress, cancel, **more):
        def told(done, of):
            progress(done, of)
            if not cancel.is_set():
                signal.raise_signal(signal.SIGINT)

        return sky(*arguments, progress=told, cancel=cancel, **more)

    monkeypatch.setattr(app, "sky", interrupted)
    monkeypatch.setenv(memo.SWITCH, "off")  # or what another test left would be found at once
    assert main(["sky", str(low_hut), "--windows", "0", "--confirm"]) == 130
    text = capsys.readouterr()
    assert "Share of the day ready" in text.out
    assert "Stopped after 0 of 4" in flat(text.out)
    assert text.err.startswith("stopped:")
