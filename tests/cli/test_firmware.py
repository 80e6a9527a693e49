"""The verb `firmware`: what it writes and prints, and what it loads only where it may."""

from __future__ import annotations

import json
import stat

import pytest

from hutwright.cli import firmware as verb
from hutwright.cli.main import main
from hutwright.outputs import firmware as making
from hutwright.outputs.firmware import HEX, Image
from tests.house.places import TOP

ORCHARD = str(TOP / "demos" / "orchard")
SPORTS_FIELD = str(TOP / "demos" / "sports_field")


@pytest.fixture(autouse=True)
def quickly(monkeypatch):
    """The compiler has its own tests, and takes seconds."""
    image = Image(elf=b"\x7fELF", hex=b":00000001FF\r\n", flash_bytes=12000, ram_bytes=600)
    monkeypatch.setattr(making, "build_image", lambda found: image)


@pytest.fixture
def loads(tmp_path, monkeypatch):
    """A program in place of the loader that writes down what it is asked for, and what the line is given."""
    folder = tmp_path / "bin"
    folder.mkdir()
    told = tmp_path / "told"
    program = folder / "avrdude"
    program.write_text(
        f'#!/bin/sh\nprintf "%s\\n" "$@" > "{told}"\n'
        f'if test -e "{tmp_path}/broken"; then echo "no sync" >&2; exit 1; fi\n'
    )
    program.chmod(program.stat().st_mode | stat.S_IXUSR)
    monkeypatch.setenv("PATH", f"{folder}:/usr/bin:/bin")
    sent = []
    monkeypatch.setattr(verb, "send_settings", lambda port, lines, progress: sent.append((port, lines)))
    return told, sent


def test_it_writes_the_folder_and_says_what_to_do_next(tmp_path, capsys):
    assert main(["firmware", ORCHARD, "--out", str(tmp_path / "out")]) == 0
    said = " ".join(capsys.readouterr().out.split())  # a long path wraps the lines
    assert said.startswith("Orchard hut: firmware in ")
    assert "12000 of 32768 bytes of flash" in said
    assert "Next: WIRING.md, then TABLE_TEST.md" in said
    assert "Cautions" in said
    assert (tmp_path / "out" / HEX).read_bytes() == b":00000001FF\r\n"


def test_json_says_the_same(tmp_path, capsys):
    assert (
        main(["firmware", SPORTS_FIELD, "--variant", "thick_cable", "--out", str(tmp_path / "out"), "--json"])
        == 0
    )
    values = json.loads(capsys.readouterr().out)
    assert values["image"] == {"file": HEX, "flash_bytes": 12000, "ram_bytes": 600}
    assert values["pins"]["beam"] == "PD2"
    assert values["loaded"] is False
    assert set(values["files"]) == {
        path.relative_to(tmp_path / "out").as_posix()
        for path in (tmp_path / "out").rglob("*")
        if path.is_file()
    } - {"manifest.sha256"}


@pytest.mark.parametrize(
    ("folder", "told"), [(SPORTS_FIELD, "electronics.display.bus"), ("nowhere", "nowhere")]
)
def test_what_cannot_be_is_a_sentence_and_writes_nothing(tmp_path, capsys, folder, told):
    assert main(["firmware", folder, "--out", str(tmp_path / "out")]) == 2
    assert told in capsys.readouterr().err
    assert not (tmp_path / "out").exists()


def test_a_folder_of_other_origin_is_left_alone(tmp_path, capsys):
    (tmp_path / "photo.jpg").write_bytes(b"x")
    assert main(["firmware", ORCHARD, "--out", str(tmp_path)]) == 2
    assert "hutwright did not write" in capsys.readouterr().err
    assert [each.name for each in tmp_path.iterdir()] == ["photo.jpg"]


def test_a_changed_file_is_kept_named_and_an_exit_code(tmp_path, capsys):
    out = ["firmware", ORCHARD, "--out", str(tmp_path / "out")]
    assert main(out) == 0
    (tmp_path / "out" / "Makefile").write_text("all:\n")
    capsys.readouterr()
    assert main(out) == 1
    said = capsys.readouterr()
    assert "Makefile" in said.err
    assert "kept as somebody changed it" in said.out
    assert (tmp_path / "out" / "Makefile").read_text() == "all:\n"


def test_it_loads_the_program_then_the_settings(tmp_path, capsys, loads):
    told, sent = loads
    out = tmp_path / "out"
    assert main(["firmware", ORCHARD, "--out", str(out), "--load", "/dev/ttyX", "--speed", "57600"]) == 0
    assert told.read_text().split() == [
        "-p", "atmega328p", "-c", "stk500v1", "-P", "/dev/ttyX", "-b", "57600",
        "-D", "-U", f"flash:w:{HEX}:i",
    ]  # fmt: skip
    assert sent == [("/dev/ttyX", (out / "settings.lines").read_bytes())]
    assert "Loaded, program and settings" in capsys.readouterr().out


def test_a_programmer_that_is_named_erases_the_chip_first(tmp_path, loads):
    asked = ["firmware", ORCHARD, "--out", str(tmp_path / "out"), "--load", "/dev/ttyX"]
    assert main([*asked, "--programmer", "stk500v2"]) == 0
    told = loads[0].read_text().split()
    assert "-D" not in told
    assert told[told.index("-c") + 1] == "stk500v2"


def test_a_loader_that_fails_is_quoted_and_no_settings_are_sent(tmp_path, capsys, loads):
    (tmp_path / "broken").touch()
    assert main(["firmware", ORCHARD, "--out", str(tmp_path / "out"), "--load", "/dev/ttyX"]) == 2
    assert "avrdude said 'no sync'" in capsys.readouterr().err
    assert loads[1] == []


def test_without_a_loader_nothing_is_loaded_or_written(tmp_path, capsys, monkeypatch):
    monkeypatch.setenv("PATH", str(tmp_path))
    assert main(["firmware", ORCHARD, "--out", str(tmp_path / "out"), "--load", "/dev/ttyX"]) == 2
    assert "install Debian's avrdude" in capsys.readouterr().err
    assert not (tmp_path / "out").exists()


def test_refused_settings_are_never_loaded(hut, capsys, loads):
    text = (hut / "hut.toml").read_text("utf-8")
    (hut / "hut.toml").write_text(text.replace('opening = "16 s"', 'opening = "90 s"'), "utf-8")
    assert main(["firmware", str(hut), "--out", str(hut / "out"), "--load", "/dev/ttyX"]) == 2
    assert "controller.longest_run.opening" in capsys.readouterr().err
    assert not loads[0].exists()
    assert loads[1] == []


def test_a_changed_folder_is_never_loaded(tmp_path, capsys, loads):
    assert main(["firmware", ORCHARD, "--out", str(tmp_path / "out")]) == 0
    (tmp_path / "out" / "core" / "decide.c").write_text("int main(void) { return 0; }\n")
    assert main(["firmware", ORCHARD, "--out", str(tmp_path / "out"), "--load", "/dev/ttyX"]) == 2
    assert "was changed by somebody" in capsys.readouterr().err
    assert not loads[0].exists()
