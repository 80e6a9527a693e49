"""What lies in a firmware's folder: the shipped files, this hut's numbers, the pages, the image."""

from __future__ import annotations

import re
import shutil
import subprocess
from itertools import pairwise

import pytest

from hutwright.errors import RequestError
from hutwright.native import avr_build
from hutwright.native.board_plan import SLOT_BYTES, config_text, crc
from hutwright.native.boards_export import Board, project
from hutwright.native.build import HERE
from hutwright.native.records import DETECTOR, SETTINGS
from hutwright.outputs.firmware import ELF, HEX, LINES, firmware, image_to_load, sources, write_firmware
from hutwright.outputs.firmware_config import FROM, board_config, settings_page
from hutwright.outputs.firmware_pages import table_test, wiring_table
from hutwright.studies.firmware_plan import firmware_plan
from tests.described import orchard, sports_field

TWO_WIRE = {"electronics.display.bus": "two-wire"}
DEFINED = re.compile(r"#define (BOARD_\w+) ([^/\n]+?)\s*(?:/\*.*)?$", re.MULTILINE)


@pytest.fixture(scope="module")
def hatch():
    return firmware_plan(orchard())


@pytest.fixture(scope="module")
def slider():
    return firmware_plan(sports_field(TWO_WIRE))


@pytest.fixture
def without_compiler(monkeypatch):
    """A computer that has none."""
    monkeypatch.setattr(shutil, "which", lambda name: None)


def defined(text: str) -> dict[str, str]:
    return dict(DEFINED.findall(text))


# ---- the files ---------------------------------------------------------------------------------------


def test_the_exported_files_are_those_of_the_package_byte_for_byte(hatch):
    found = sources(hatch)
    shipped = [
        path
        for folder in ("core", "boards/avr8", "boards/parts")
        for path in (HERE / folder).iterdir()
        if path.suffix in (".c", ".h")
    ]
    assert len(shipped) > 15
    for path in shipped:
        assert found[path.relative_to(HERE).as_posix()] == path.read_bytes()


def test_the_store_is_what_the_boards_own_export_makes_of_the_settings(hatch):
    found, theirs = sources(hatch), project(Board.AVR8, hatch.board, hatch.settings)
    assert found["store.bin"] == theirs["store.bin"]
    slot = found["store.bin"][:SLOT_BYTES]
    assert slot[: SETTINGS.itemsize] == hatch.settings.tobytes()
    assert int.from_bytes(slot[-2:], "little") == crc(slot[:-2])
    assert set(theirs) <= set(found)


def test_the_lines_hold_the_settings_in_order_and_whole(hatch):
    lines = sources(hatch)[LINES].decode("ascii").splitlines()
    assert all(len(line) < 64 for line in lines)
    assert [line.split(" ")[0] for line in (lines[0], lines[-1])] == ["hello", "keep"]
    held = b""
    for number, line in enumerate(lines, 1):
        body, sum_ = line.split("*")
        assert crc(body.encode()) == int(sum_, 16)
        word, sequence, *rest = body.split(" ")
        assert int(sequence) == number
        if word == "set":
            assert int(rest[0]) == len(held)
            held += bytes.fromhex(rest[1])
    assert held == hatch.settings.tobytes()


# ---- board_config.h and the settings ---------------------------------------------------------------------


def test_the_comments_change_nothing_but_the_converters_inputs(hatch, slider):
    for plan in (hatch, slider):
        plain, said = defined(config_text(plan.board)), defined(board_config(plan))
        assert set(plain) == set(said)
        differing = {name for name in plain if plain[name] != said[name]}
        assert differing <= {f"BOARD_{each}_CHANNEL" for each in plan.channels}
        for name, channel in plan.channels.items():
            assert said[f"BOARD_{name}_CHANNEL"] == f"{channel}u"


def test_every_number_of_the_board_has_a_comment_above_or_behind_it(hatch):
    lines = board_config(hatch).splitlines()
    bare = [
        line
        for above, line in pairwise(lines)
        if line.startswith("#define BOARD_") and "/*" not in line and not above.startswith("/*")
    ]
    assert [line.split()[1] for line in bare] == ["BOARD_ECHO_VECTOR", "BOARD_ECHO_MASK", "BOARD_ECHO_GROUP"]


def test_the_settings_page_has_every_setting_with_its_value_and_where_it_comes_from(hatch):
    assert set(FROM) == {*(SETTINGS.names or ()), *(DETECTOR.names or ())}
    text = settings_page(hatch)
    rows = {cells[1].strip(" `"): cells for line in text.splitlines() if len(cells := line.split("|")) == 6}
    for name in SETTINGS.names or ():
        if name not in ("opening", "closing"):
            assert rows[name][2].split()[0] == str(int(hatch.settings[name])), name
            assert rows[name][4].strip(), name
    for way in ("opening", "closing"):
        assert rows[f"{way}.trip_mA"][2].strip() == "3200"
    assert "controller.detection.trip = 3.2 A" in text


# ---- the pages ---------------------------------------------------------------------------------------


def test_the_wiring_table_has_every_pin_that_is_wired_once(hatch, slider):
    for plan in (hatch, slider):
        rows = [
            line.split("|")[1].strip() for line in wiring_table(plan).splitlines() if line.startswith("| P")
        ]
        assert len(set(rows)) == len(rows)
        for name in plan.fitted:
            port, bit = plan.board.pins[name]
            assert f"P{port}{bit}" in rows
        assert {f"PC{channel}" for channel in plan.channels.values()} <= set(rows)
        assert {"PB1", "PB2", "PD0", "PD1"} <= set(rows)


def test_the_divider_of_the_wiring_table_is_the_one_that_the_scale_is_for(hatch):
    row = next(line for line in wiring_table(hatch).splitlines() if "| supply |" in line)
    upper, lower = (float(each) for each in re.findall(r"(\d+) kohm", row))
    assert hatch.board.supply_per_count == pytest.approx(5.0 / 1024 * (upper + lower) / lower)


def test_the_table_test_asks_only_for_what_is_fitted(hatch, slider):
    first, second = table_test(hatch), table_test(slider)
    assert "present sensor" in first
    assert "limit switch" not in first
    assert "limit switch" in second
    assert "Break the beam" in second
    for text in (first, second):
        assert "fuse is in" in text
        assert "that is the stop" in text
        steps = re.findall(r"^(\d+)\. \[ \] ", text, re.MULTILINE)
        assert [int(each) for each in steps] == list(range(1, len(steps) + 1))
        assert text.count("to be seen: ") == len(steps) >= 10


def test_the_read_me_carries_the_cautions_and_names_every_file(hatch, without_compiler):
    made = firmware(hatch)
    text = made.files["README.md"].decode("utf-8")
    for name in set(made.files) - {"README.md"}:
        assert name.split("/")[0] in text, name
    assert "unpin it from the leaf" in text
    assert "one layer of protection" in text
    assert re.search(r"\b(safe|certified for)\b", text) is None


def test_without_a_compiler_no_image_is_made_and_a_sentence_says_what_to_install(
    hatch, without_compiler, tmp_path
):
    made = write_firmware(hatch, tmp_path / "out")
    assert made.firmware.image is None
    assert not (tmp_path / "out" / HEX).exists()
    assert "install Debian's gcc-avr" in (tmp_path / "out" / "README.md").read_text("utf-8")
    with pytest.raises(RequestError, match="nothing was loaded"):
        image_to_load(made)


# ---- the image ---------------------------------------------------------------------------------------


@pytest.mark.slow
@pytest.mark.parametrize("which", ["hatch", "slider"])
def test_a_demos_folder_builds_without_a_warning_and_its_makefile_builds_the_same(
    which, request, require_tool, tmp_path
):
    require_tool("avr-gcc")
    made = write_firmware(request.getfixturevalue(which), tmp_path / "out")
    image = (tmp_path / "out" / HEX).read_bytes()
    assert made.firmware.image is not None
    assert image == made.firmware.image.hex
    assert image.endswith(b":00000001FF\r\n")
    shutil.copytree(tmp_path / "out", tmp_path / "elsewhere")
    for name in (ELF, HEX):
        (tmp_path / "elsewhere" / name).unlink()
    done = subprocess.run(
        [str(require_tool("make")), "all"],
        cwd=tmp_path / "elsewhere",
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stderr == ""
    assert all(flag in done.stdout for flag in ("-Werror", "-Wall", "-Wextra", "-Wconversion"))
    assert (tmp_path / "elsewhere" / HEX).read_bytes() == image
    facts = avr_build.facts(tmp_path / "elsewhere" / ELF, require_tool("avr-gcc"))
    assert facts.flash_bytes == made.firmware.image.flash_bytes < 32768 - 512  # a loader's room


@pytest.mark.slow
def test_a_changed_source_is_built_into_the_image_but_never_loaded(hatch, require_tool, tmp_path):
    require_tool("avr-gcc")
    before = write_firmware(hatch, tmp_path / "out").firmware.image
    config = tmp_path / "out" / "board_config.h"
    config.write_text(
        config.read_text("ascii").replace("BOARD_PRESENT_NEAR_units 58u", "BOARD_PRESENT_NEAR_units 40u")
    )
    made = write_firmware(hatch, tmp_path / "out")
    assert made.written.kept == ("board_config.h",)
    assert before is not None
    assert made.firmware.image is not None
    assert made.firmware.image.hex != before.hex
    with pytest.raises(RequestError, match=r"board_config\.h .* was changed by somebody"):
        image_to_load(made)
