"""A new user's first hour: from nothing to three findings in under twenty answers."""

import pytest

from tools.first_hour import PAGE, SESSIONS, page, session

FEWEST = 20
SILENT = "The wireless signal"  # no check asks for it yet, and it says so


@pytest.mark.slow
def test_the_page_of_first_hours_is_current():
    assert PAGE.read_text("utf-8") == page(), "run `make handbook`"


@pytest.mark.parametrize("title", SESSIONS)
def test_three_findings_and_the_next_measurement_take_fewer_than_twenty_answers(title):
    told, given = session(SESSIONS[title])
    assert given < FEWEST
    if title == SILENT:
        assert "no checks of it" in told
        return
    assert all(f"\n  {number}. " in told.split("What it tells already")[1] for number in (1, 2, 3))
    assert "Measure next:" in told or "No open check hangs" in told
