"""Variants stand side by side, those that say the same together."""

from __future__ import annotations

import pytest

from hutwright import app
from hutwright.outputs.comparison import comparison_text
from tests.house.places import TOP

ORCHARD = TOP / "demos" / "orchard"


@pytest.fixture(scope="module")
def comparison(tmp_path_factory):
    folder = tmp_path_factory.mktemp("project")
    (folder / "variants").mkdir()
    (folder / "hut.toml").write_text((ORCHARD / "hut.toml").read_text("utf-8"), "utf-8")
    far = 'title = "Far away"\ncables.feed.length = "30 m"\n'
    (folder / "variants/far.toml").write_text(far, "utf-8")
    fuse = '[fuses.spare]\nkind = "blade, ISO 8820-3 type C"\nrating = "3 A"\n'
    other = f'remove = ["electronics.present_sensor"]\n{fuse}'
    (folder / "variants/other.toml").write_text(other, "utf-8")
    return app.compare(folder)


def test_each_variant_says_what_it_changes_in_the_file(comparison):
    text = comparison_text(comparison)
    assert 'far "Far away": ' in text
    assert "cables.feed.length: 30 m in place of 6 m" in text
    assert "electronics.present_sensor: left out" in text
    assert "fuses.spare: new: kind blade, ISO 8820-3 type C, rating 3 A" in text


def test_the_worst_check_stands_first_and_those_that_do_not_differ_are_counted(comparison):
    ranks = [row.rank for row in comparison.rows]
    assert ranks == sorted(ranks, reverse=True)
    keys = {row.key for row in comparison.rows}
    assert "wiring.voltage_drop.drive" in keys
    assert keys.isdisjoint(comparison.same)
    assert f"{len(comparison.same)} check" in comparison_text(comparison)


def test_columns_that_say_the_same_share_a_line(comparison):
    part = comparison_text(comparison).split("[wiring.voltage_drop.drive]")[1]
    assert part.split("\n")[1].startswith("  as described, other  ")
    assert part.split("\n")[2].startswith("  far  ")


@pytest.mark.parametrize("width", [40, 64, 100, 160])
def test_no_line_is_wider_than_the_screen(comparison, width):
    assert max(map(len, comparison_text(comparison, width=width).splitlines())) <= min(100, width)
