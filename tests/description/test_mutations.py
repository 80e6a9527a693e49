"""A description changed at random is either read or refused in sentences, soon; nothing else ever happens."""

from __future__ import annotations

import re

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from hutwright.description.build import build
from hutwright.description.described import Described
from hutwright.description.overlay import overlay, whole
from hutwright.description.reading import parse_sheet
from hutwright.errors import DescriptionError
from tests.house.places import TOP
from tests.patience import patience

DEMOS = tuple(path.read_text("utf-8") for path in sorted((TOP / "demos").glob("*/hut.toml")))
SOON = 400  # readings of the orchard demo: what any description at all may take
ODD = tuple("\"'[]{}=,.#\n\r\t\\ \0\x07-+_:;éµ²°Ω٣小\u202e\ud7ff\ufeff𝛑")
NUMBERS = (
    "0",
    "-1",
    "1e999",
    "-0.0",
    "nan",
    "inf",
    "1_000",
    "0x1f",
    "1,5",
    ".5",
    "5.",
    "99999999999999999999",
    "",
)
UNITS = ("m", "mm", "kg", "N", "V", "A", "%", "degC", "K", "s", "dBm", "ohm", "", "parsec", "m2", "Ah", "K/W")
WORDS = (
    "true",
    "[]",
    "{}",
    '""',
    '"free"',
    "1979-05-27",
    '["a", 1, {}]',
    '{ a = { b = "1 m" } }',
    '"x" "y"',
    "3",
)


@st.composite
def mutated(draw, most=4):
    """A demo with a few changes of the kinds that slips of the hand and of editors make."""
    text = draw(st.sampled_from(DEMOS))
    for _ in range(draw(st.integers(1, most))):
        text = draw(st.sampled_from(CHANGES))(draw, text)
    return text


def place_in(draw, text):
    return draw(st.integers(0, max(len(text) - 1, 0)))


def delete(draw, text):
    at = place_in(draw, text)
    return text[:at] + text[at + draw(st.integers(1, 12)) :]


def insert(draw, text):
    at = place_in(draw, text)
    return text[:at] + draw(st.one_of(st.sampled_from(ODD), st.text(max_size=4))) + text[at:]


def swap_characters(draw, text):
    at = place_in(draw, text)
    return text[:at] + text[at : at + 2][::-1] + text[at + 2 :]


def replace_found(pattern, strategy):
    """A change of one place where a pattern is found."""

    def change(draw, text):
        found = list(re.finditer(pattern, text))
        if not found:
            return text
        one = draw(st.sampled_from(found))
        return text[: one.start()] + draw(strategy) + text[one.end() :]

    return change


def delete_line(draw, text):
    rows = text.split("\n")
    del rows[draw(st.integers(0, len(rows) - 1))]
    return "\n".join(rows)


def double_line(draw, text):
    rows = text.split("\n")
    row = draw(st.sampled_from(rows))
    rows.insert(draw(st.integers(0, len(rows))), row)
    return "\n".join(rows)


def move_table(draw, text):
    tables = re.split(r"(?m)^(?=\[)", text)
    one = tables.pop(draw(st.integers(0, len(tables) - 1)))
    tables.insert(draw(st.integers(0, len(tables))), one)
    return "".join(tables)


def swap_values(draw, text):
    found = list(re.finditer(r'"[^"\n]*"', text))
    if len(found) < 2:
        return text
    first, second = sorted(
        draw(st.lists(st.sampled_from(found), min_size=2, max_size=2)), key=lambda one: one.start()
    )
    if first.start() == second.start():
        return text
    between = text[first.end() : second.start()]
    return text[: first.start()] + second[0] + between + first[0] + text[second.end() :]


CHANGES = (
    delete,
    insert,
    swap_characters,
    delete_line,
    double_line,
    move_table,
    swap_values,
    replace_found(r"-?\d+(?:\.\d+)?", st.sampled_from(NUMBERS)),
    replace_found(r"-?\d+(?:\.\d+)?", st.floats(allow_nan=False, allow_infinity=False).map(repr)),
    replace_found(r"(?<=\d )[A-Za-z%/]+", st.sampled_from(UNITS)),
    replace_found(
        r"\b[a-z_]+(?= =)", st.sampled_from(("kind", "from", "title", "remove", "x", '"a b"', "[key]"))
    ),
    replace_found(r"(?m)(?<== ).*$", st.sampled_from(WORDS)),
    replace_found(r'"[^"\n]*"', st.sampled_from(WORDS)),
    replace_found(
        r"(?m)^\[[^\n\]]*\]", st.sampled_from(("[door]", "[[site]]", "[limits]", "[allow.x]", "[a.b.c]"))
    ),
)


def outcome(text, variant=None):
    """What comes of a text: a description, or faults that each say what to do."""
    with patience(SOON):
        try:
            base = parse_sheet(text, "hut.toml")
            result = build(
                whole(base) if variant is None else overlay(base, parse_sheet(variant, "variants/v.toml"))
            )
        except DescriptionError as error:
            faults, lines = error.faults, {"hut.toml": text, "variants/v.toml": variant or ""}
            assert faults
            for fault in faults:
                assert all(part.strip() for part in (fault.file, fault.read, fault.wanted, fault.remedy))
                assert 0 <= fault.line <= lines[fault.file].count("\n") + 1
                assert "\n" not in fault.sentence()
            assert list(faults) == sorted(faults, key=lambda fault: (fault.file, fault.line, fault.path))
        else:
            assert isinstance(result, Described)
            assert all(low <= value <= high for low, value, high in bounds_of(result))


def bounds_of(described):
    """Least, nominal and greatest of every value that is unsure."""
    return [(each.low, each.value, each.high) for each in described.values.values() if each.unsure]


QUIET = (HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.large_base_example)


@settings(max_examples=200, suppress_health_check=QUIET)
@given(mutated())
def test_a_mutated_description_is_read_or_refused(text):
    outcome(text)


@settings(max_examples=100, suppress_health_check=QUIET)
@given(st.sampled_from(DEMOS), mutated(most=2))
def test_a_mutated_variant_is_read_or_refused(base, variant):
    outcome(base, variant)


@pytest.mark.slow
@settings(max_examples=5000, suppress_health_check=QUIET)
@given(mutated(most=12))
def test_a_much_mutated_description_is_read_or_refused(text):
    outcome(text)


@given(st.text())
def test_any_text_at_all_is_read_or_refused(text):
    outcome(text)
