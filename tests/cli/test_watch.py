"""The verb watch: what it refuses before anything is opened or written."""

from __future__ import annotations

import pytest

from hutwright.cli.main import main
from tests.house.places import TOP

ORCHARD = TOP / "demos" / "orchard"


@pytest.mark.parametrize(
    ("more", "told"),
    [
        (["--port", "/dev/x", "--simulated"], "wanted one of them"),
        (["--port", "/dev/x", "--pace", "2"], "--pace: a real board lives as the clock does"),
        (["--port", "/dev/x", "--settings", "nowhere.lines"], "'nowhere.lines' cannot be read"),
        (["--port", "/dev/x", "--settings", str(ORCHARD / "hut.toml")], "wanted"),
    ],
)
def test_what_cannot_be_is_a_sentence_and_leaves_the_folder_as_it_was(hut, capsys, more, told):
    assert main(["watch", str(hut), *more]) == 2
    assert told in capsys.readouterr().err
    assert [each.name for each in hut.iterdir()] == ["hut.toml"]


def test_a_folder_whose_log_book_is_something_else_is_refused_and_it_stays(hut, capsys):
    (hut / "watch.sqlite").write_text("a shopping list, and not a short one\n" * 9, "utf-8")
    assert main(["watch", str(hut), "--port", "/dev/x"]) == 2
    assert "wanted a log book of hutwright" in capsys.readouterr().err
    assert (hut / "watch.sqlite").read_text("utf-8").startswith("a shopping list")
