"""Tables of listings."""

import pytest

from hutwright.evidence.candidates import parse_candidates
from hutwright.evidence.side_file import EvidenceError


def test_a_table_is_read_with_whatever_a_shop_gives():
    first, second = parse_candidates(
        "# seen on the way\nname; price; force; speed; stall_current; self_locking; note\n"
        "slow one; ca. 38,50; 600; 12,5; ; yes; shelf\nquick one; ; 150 N; 45 mm/s; 9..11 A; no; \n",
        "candidates.csv",
    )
    assert first.name == "slow one"
    assert first.price == pytest.approx(38.5)
    assert first.changes == {
        ("drive", "rating", "force"): "600 N",
        ("drive", "rating", "speed"): "12.5 mm/s",
        ("drive", "screw", "self_locking"): True,
    }
    assert second.price is None
    assert second.changes["drive", "stall", "current"] == "9..11 A"


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("", "line of column names"),
        ("name, force\n", "a row for each"),
        ("force\n300\n", "name"),
        ("name, forse\na, 300\n", "did you mean force"),
        ("name, force\n, 300\n", "a name of 1"),
        ("name, force\na, 300 A\n", "force"),
        ("name, force\na, lots\n", "force"),
        ("name, force\na,\n", "one number"),
        ("name, force, price\na, 300, cheap\n", "34.90"),
        ("name, force, self_locking\na, 300, perhaps\n", "yes or no"),
        ("name, force\na, 300\na, 200\n", "each name once"),
        ("name, force\na, 300, 7\n", "cells"),
    ],
)
def test_a_damaged_table_says_where(text, wanted):
    with pytest.raises(EvidenceError, match=wanted):
        parse_candidates(text, "candidates.csv")


def test_too_many_are_refused():
    rows = "".join(f"n{number}, 300\n" for number in range(31))
    with pytest.raises(EvidenceError, match="at most 30"):
        parse_candidates(f"name, force\n{rows}", "candidates.csv")
