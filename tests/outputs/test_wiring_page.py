"""The wiring as one page of plain text."""

from __future__ import annotations

import re

import pytest

from hutwright.assessment import assess
from hutwright.outputs.wiring_page import wiring_page
from hutwright.trades.wiring import TRADE
from tests.described import described, orchard
from tests.trades.wiring.batteries import battery


@pytest.fixture(scope="module")
def page() -> str:
    return wiring_page(assess(orchard(), (TRADE,)))


def row(page: str, start: str) -> str:
    """The first line of the page that starts so."""
    return next(line for line in page.splitlines() if line.startswith(start))


def test_names_every_cable_with_both_ends_length_fuse_and_colours(page):
    assert re.search(
        r"battery +bridge +0\.75 mm2 class 5 +6 m +main +red, black +outdoors", row(page, "feed ")
    )
    assert re.search(r"bridge +drive +0\.75 mm2 class 5 +1\.8 m +- +brown, blue", row(page, "motor "))


def test_names_every_fuse_with_its_rating_and_place(page):
    assert re.search(r"blade, ISO 8820-3 type C +5 A +feed, at battery", row(page, "main "))


def test_names_every_regulator_with_its_parts(page):
    assert re.search(r"linear 5 V 0\.5 A +bridge +5 V +0\.33 µF +0\.1 µF +no +-", row(page, "bridge_5v "))


def test_names_every_function_with_its_pin_and_reason(page):
    project = orchard().project
    assert project.pins is not None
    for pin, function in (
        ("PB1", "bridge.open"),
        ("PB2", "bridge.close"),
        ("PC0", "sense.current"),
        ("PD4", "present.echo"),
    ):
        assert re.search(rf"{re.escape(function)} +described +\w", row(page, pin))
    assert re.search(r"sense\.temperature +chosen +reads the temperature", page)


def test_says_what_to_measure_before_power_is_applied(page):
    assert "Measure battery: 11.8..13.6 V" in page
    assert "measure 4.8..5.2 V at its output" in page
    assert page.index("Leave the fuses out: main.") < page.index("Measure battery")


def test_says_what_does_not_hold_yet_and_what_helps():
    wrong = wiring_page(
        assess(orchard({"pins.bridge.open": "PC3", "supplies.battery.capacity": "2 Ah"}), (TRADE,))
    )
    text = " ".join(wrong.split())
    assert "Functions without a fitting pin: 1, wanted at most 0" in text
    assert "Time without charge on the coldest day (battery)" in text
    assert "none bridge.open described PC3 can only do" in text


def test_lists_the_parts_at_a_regulator_with_which_a_check_would_hold():
    bare = assess(orchard({"regulators.bridge_5v.input_capacitor": "0.1 uF"}), (TRADE,))
    wanted = [
        lever.option.words
        for verdict in bare.verdicts
        for lever in verdict.levers
        if lever.option is not None and any(path[0] == "regulators" for path in lever.option.changes)
    ]
    assert wanted
    text = wiring_page(bare)
    part = " ".join(text[text.index("To change at the regulators") : text.index("Pins of the board")].split())
    assert all(words in part for words in wanted)


def test_a_description_of_a_battery_alone_makes_a_page_too():
    text = wiring_page(assess(described(battery()), (TRADE,)))
    assert "Pins of the board" not in text
    assert "Fuses\n" not in text
    assert re.search(r"battery +five", row(text, "line "))


def test_ends_every_line_cleanly(page):
    assert page.endswith("\n")
    assert all(line == line.rstrip() for line in page.splitlines())
