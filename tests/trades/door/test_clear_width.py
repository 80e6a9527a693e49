"""Room beside the machine, by pencil and with every lever pulled."""

from __future__ import annotations

import pytest

from hutwright.checks.verdict import Status
from tests.trades.door.judged import calm, check, field, levers, verdict

KEY = "door.clear_width"


def test_agrees_with_a_pencil():
    """The hole runs from 120 to 820 mm, the machine's middle is at 470: as wide as the hole."""
    assert check(calm(), KEY).value == pytest.approx(0.70, abs=1e-12)
    aside = check(calm({"machine.parked.x": "0.45 m"}), KEY)
    assert aside.value == pytest.approx(2 * (0.45 - 0.12), abs=1e-12)


def test_a_machine_that_parks_aside_misses_and_is_told_where_to_park():
    aside = calm({"machine.parked.x": "0.42 m"})
    assert verdict(aside, KEY).status is Status.MISSES
    assert "park the machine, across the front, at x =" in levers(aside, KEY)


def test_a_track_that_is_shorter_than_the_hole_misses_and_its_length_is_named():
    short = field({"door.track.travel": "0.60 m", "machine.parked.error": "5 mm"})
    assert verdict(short, KEY).status is Status.MISSES
    assert "let the leaf travel as far as" in levers(short, KEY)


def test_a_machine_that_is_too_wide_names_a_wider_hole():
    wide = calm({"machine.body.width": "0.66 m"})
    assert verdict(wide, KEY).status is Status.MISSES
    assert "a wider hole" in levers(wide, KEY)
