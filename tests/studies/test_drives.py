"""Listings of drives side by side."""

from __future__ import annotations

import pytest

from hutwright import app
from hutwright.outputs.comparison import comparison_text
from hutwright.studies.drives import drives_side_by_side
from tests.house.places import TOP

ORCHARD = TOP / "demos" / "orchard"
TRADES = ("drive", "wiring")


@pytest.fixture(scope="module")
def comparison():
    return app.compare(ORCHARD, ("own_feed", "quick_drive", "strong_drive"), TRADES)


def test_three_listings_stand_side_by_side_and_a_variant_with_the_same_drive_does_not(comparison):
    table = drives_side_by_side(comparison)
    assert table is not None
    assert [column.name for column in table.columns] == ["", "quick_drive", "strong_drive"]


def test_every_answer_is_a_verdict_of_its_column(comparison):
    table = drives_side_by_side(comparison)
    assert table is not None
    for entry in table.entries:
        for column, verdict in zip(table.columns, entry.answers, strict=True):
            assert verdict is None or any(verdict is each for each in column.assessment.verdicts)


def test_fuses_and_bridge_show_their_worst(comparison):
    table = drives_side_by_side(comparison)
    assert table is not None
    (bridge,) = (each for each in table.entries if each.title == "bridge")
    for column, verdict in zip(table.columns, bridge.answers, strict=True):
        ranks = [
            each.status.rank
            for each in column.assessment.verdicts
            if each.question.key.startswith("wiring.bridge_")
        ]
        assert verdict is not None
        assert verdict.status.rank == max(ranks)


def test_lines_that_no_trade_answers_are_left_out(comparison):
    table = drives_side_by_side(comparison)
    assert table is not None
    titles = [each.title for each in table.entries]
    assert "opening time, coldest day" not in titles
    assert "stall current" in titles


@pytest.mark.parametrize("width", [40, 64, 100])
def test_the_table_fits_the_screen_and_names_every_drive(comparison, width):
    text = comparison_text(comparison, width=width)
    part = text.split("Drives side by side")[1].split("Checks that differ")[0]
    assert max(map(len, part.splitlines())) <= width
    for name in ("as described", "quick_drive", "strong_drive"):
        assert name in part


def test_there_is_no_table_where_no_variant_has_another_drive():
    found = app.compare(ORCHARD, ("own_feed",), TRADES)
    assert drives_side_by_side(found) is None
    assert "Drives side by side" not in comparison_text(found)
