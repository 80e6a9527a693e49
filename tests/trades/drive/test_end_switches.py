"""Switches at the ends of the travel."""

import pytest

from hutwright.trades.drive import end_switches
from tests.described import orchard
from tests.trades.drive.judged import check, field, levers

KEY = "drive.end_switches"


@pytest.mark.parametrize(
    ("switches", "limits", "missing"),
    [
        ("inside", None, 0),
        ("inside", {"open": "free"}, 0),
        ("to the board", None, 2),
        ("to the board", {"shut": "free"}, 1),
        ("none", {"open": "free", "shut": "free"}, 0),
    ],
)
def test_counts_the_ends_at_which_the_drive_runs_on(switches, limits, missing):
    found = check(orchard({"drive.end_switches": switches, "pins.limits": limits}), KEY)
    assert found.value == missing


def test_two_switches_on_the_board_mend_it():
    found = levers(field({"pins.limits": None}), KEY)
    option = found["switches at the ends"].option
    assert option is not None
    assert option.changes == {("pins", "limits", "open"): "free", ("pins", "limits", "shut"): "free"}


def test_is_not_asked_where_no_pins_are_described():
    assert end_switches.ask(orchard({"drive.end_switches": "none", "pins": None}).project) == ()
