"""The walk from a board to rehearsed settings, typed anew: one test a demo, and the page held to it."""

from __future__ import annotations

import json
import re

import pytest

from hutwright.live.settings_file import settings_of
from tools.walk import COPIES, PAGE, WALKS, section, walked

NUMBER = re.compile(r"-?\d+(?:\.\d+)?")
SETTINGS = re.compile(r"settings [0-9A-F]{4}\b")
NOT_MET = re.compile(r"(\d+) not met")


def told(text: str) -> str:
    """A text without its numbers and line breaks: the last digits are the C library's."""
    return " ".join(NUMBER.sub("#", SETTINGS.sub("settings", text)).split())


@pytest.mark.slow
@pytest.mark.parametrize("demo", list(WALKS))
def test_the_walk_ends_with_the_settings_that_were_sent_read_back_and_rehearsed(demo, tmp_path, require_tool):
    require_tool("cc")
    typed = walked(demo, tmp_path)
    folder = tmp_path / COPIES[demo][-1]
    checksum = f"{int(settings_of(folder / 'calibration' / 'settings.lines')['checksum']):04X}"
    sent, before, after = (each.printed for each in typed[-3:])
    assert f"settings {checksum}: 278 bytes sent, read back from slot 1 of the board's store: equal;" in sent
    assert f"settings {checksum}: the board uses slot 1 of its store, read: equal" in sent
    assert "of the file" not in before
    assert f"with the settings {checksum} of the file; what is not learnt is as described" in after
    found = json.loads((folder / "calibration" / "calibration.json").read_text("utf-8"))
    assert (found["refused"], found["trained"]["cycles"]) == (False, 20)
    assert len(list((folder / "traces").glob("watched-*.csv"))) == 42
    if demo == "sports_field":  # the orchard's has scenarios in weather that was not trained
        assert int(NOT_MET.findall(after)[0]) < int(NOT_MET.findall(before)[0])
        first = json.loads((tmp_path / demo / "calibration" / "calibration.json").read_text("utf-8"))
        assert first["refused"] is True
        assert not (tmp_path / demo / "calibration" / "settings.lines").exists()
    assert told(section(demo, typed)) in told(PAGE.read_text("utf-8")), "run `make walk`"
