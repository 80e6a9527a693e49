"""The report says all that a builder needs, in lines that fit, and claims nothing."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from hutwright import app
from hutwright.checks.verdict import Tier
from hutwright.outputs.cautions import STANDING
from hutwright.outputs.report import report
from tests.answered import quick
from tests.outputs.made import assessed, endless, unknown, voltage_dial


@pytest.fixture(scope="module")
def orchard():
    return quick("orchard")


def joined(text: str) -> str:
    """The text as though it were on one line."""
    return " ".join(text.split())


@pytest.mark.parametrize("width", [20, 40, 60, 76, 80, 100, 300])
def test_no_line_is_wider_than_the_screen_or_than_a_hundred_columns(orchard, width):
    lines = report(orchard, width=width).splitlines()
    assert max(map(len, lines)) <= max(40, min(100, width))


def test_the_first_line_names_the_project_and_counts(orchard):
    counts = [sum(each.status.value == word for each in orchard.verdicts) for word in ("holds", "misses")]
    first = report(orchard).splitlines()[0]
    assert first.startswith(f"Orchard hut: {len(orchard.verdicts)} checks: {counts[0]} hold, ")
    assert first.endswith(f" {counts[1]} miss")


def test_every_check_stands_in_it_with_its_key_and_its_status(orchard):
    for width in (60, 100):
        text = re.sub(r"\s", "", report(orchard, width=width))
        for verdict in orchard.verdicts:
            assert f"[{verdict.key}]" in text or verdict.key.replace(".", "") in text.replace(".", "")


def test_the_worst_stands_first_in_a_trade(orchard):
    text = report(orchard)
    order = ["misses", "undecided", "barely", "holds"]
    tables = text.split("  status  ")[1:]
    rows = [re.findall(r"^  (holds|barely|undecided|misses)  ", table, re.MULTILINE) for table in tables]
    assert sum(map(len, rows)) == len(orchard.verdicts)
    assert all(found == sorted(found, key=order.index) for found in rows)


def test_it_is_read_with_every_standing_caution(orchard):
    text = joined(report(orchard))
    assert all(caution in text for caution in STANDING)


def test_the_cautions_say_what_the_answer_is_not():
    text = " ".join(STANDING)
    for part in (
        "no conformity assessment",
        "not certified",
        "licensed electrician",
        "local law",
        "building rules",
    ):
        assert part in text


def test_it_never_says_that_anything_is_safe_or_certified(orchard):
    text = joined(report(orchard))
    assert not re.search(r"\bsafe\b", text)
    assert re.findall(r"(\w+) certified", text) == ["not"] * text.count("certified")


def test_what_was_assumed_is_listed_with_value_and_reason(orchard):
    text = joined(report(orchard))
    for datum in orchard.assumed:
        assert f"{'.'.join(datum.path)}: " in text
    assert "drive.stall.endurance: 3..20 s; a small winding stands a stall for seconds (practice)" in text


def test_a_limit_from_memory_is_marked():
    assert "another book, p. 4 (from memory: confirm before relying on it)" in joined(report(assessed()))


def test_an_unknown_value_is_undecided_and_said_to_be_unknown():
    text = joined(report(unknown()))
    assert "1 undecided" in text.splitlines()[0]
    assert "undecided Voltage of the supply [wiring.start_dip] unknown at least 11.5 V unknown" in text


def test_a_value_without_end_is_said_so():
    assert "without end" in report(endless())


def test_without_any_lever_it_says_so():
    assert "no lever is known for this check" in report(assessed(limit=14.0))
    held = assessed(limit=40.0, levers=(voltage_dial(),))
    assert "no lever within the allowed range" in report(held)


def test_a_lever_names_the_number_rounded_to_the_good_side_and_the_next_thing_to_buy():
    text = joined(report(assessed(limit=13.333333, levers=(voltage_dial(buyable=True),))))
    assert "do raise the voltage to 13.4 V or more; next on sale: buy a supply of 15 V" in text
    assert "1. raise the voltage to 13.4 V or more" in text
    assert "serves wiring.start_dip" in text


def test_the_value_to_measure_first_is_named_with_what_it_would_settle():
    text = joined(report(assessed()))
    assert "supplies.source.voltage: taken as 10.8..13.2 V (given)" in text
    assert "knowing it could settle wiring.start_dip" in text
    assert "takes away up to 100 % of the doubt in wiring.start_dip" in text


def test_where_the_method_leaves_a_check_open_it_says_what_would_settle_it():
    def told(**facts):
        found = assessed(**facts)
        quick = [replace(each, tier=Tier.QUICK) for each in found.verdicts]
        return joined(report(replace(found, verdicts=tuple(quick))))

    assert "a better meter could settle it; the method leaves 11..13 V open" in told(
        value=12.0, limit=12.5, off=1.0
    )
    both = told(limit=12.5, off=0.5)
    assert "know supplies.source.voltage first;" in both
    assert "a better meter" not in both  # which leaves it open at either end


def test_what_was_not_asked_says_what_to_describe_and_why(tmp_path):
    (tmp_path / "hut.toml").write_text('format = 1\nname = "Nothing yet"\n', "utf-8")
    text = joined(report(app.check(Path(tmp_path))))
    assert text.startswith("Nothing yet: nothing could be asked yet")
    assert "supplies: batteries and power supplies, by name" in text
    assert "electronics.bridge: turns the motor both ways" in text
    assert "Voltage left at the controller while the motor stalls" in text


def test_what_holds_is_not_explained():
    text = report(assessed(limit=5.0))
    assert "because" not in text
    assert "limit: " not in text
