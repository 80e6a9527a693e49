"""The prover's reading of C: held to the compiled core, and to the rules of C for both widths of an int."""

from __future__ import annotations

import numpy as np
import pytest
import z3

from tools.prove.compared import Reading, cases, compiled
from tools.prove.mutants import MUTANTS, changed
from tools.prove.reader import Reader
from tools.prove.source import Program, RefusedError
from tools.prove.sums import Sums, Value

WIDTHS = [16, 32]


def answer(body: str, int_bits: int) -> tuple[int, list[str]]:
    """What a function of that body returns, and what it breaks; everything in it is a constant."""
    text = f"#include <stdint.h>\nint32_t asked(void);\nint32_t asked(void) {{ {body} }}\n"
    program = Program(int_bits, {"asked.c": text})
    reader = Reader(program, Sums(int_bits))
    value = reader.call("asked", [])
    assert isinstance(value, Value)
    number = z3.simplify(value.term).as_signed_long()
    broken = [
        each.duty.name for each in reader.sums.owed if z3.is_true(z3.simplify(z3.And(True, each.broken)))
    ]
    return number, broken


def test_the_reading_of_a_tick_gives_what_the_compiled_core_gives():
    assert Reading(16).differences(cases(3000, np.random.default_rng(16))) == []


def test_the_random_ticks_reach_every_state_and_both_drives():
    core = compiled(cases(3000, np.random.default_rng(5)))
    assert set(core["outputs"]["mode"]) >= set(range(8))
    assert np.count_nonzero(core["outputs"]["open_permille"]) > 20
    assert np.count_nonzero(core["outputs"]["close_permille"]) > 20


@pytest.mark.slow
@pytest.mark.parametrize("int_bits", WIDTHS)
def test_the_reading_agrees_over_a_quarter_of_a_million_random_ticks(int_bits):
    reading = Reading(int_bits)
    for seed in range(10):
        assert reading.differences(cases(25_000, np.random.default_rng(1000 + seed))) == []


@pytest.mark.slow
@pytest.mark.parametrize("key", ["rest_is_silent", "edge", "duty"])
def test_a_reading_of_other_c_than_was_compiled_is_told_from_it(key):
    mutant = next(each for each in MUTANTS if each.refuted_by == key)
    assert Reading(32, changed(mutant)).differences(cases(20_000, np.random.default_rng(1)))


@pytest.mark.parametrize(
    ("body", "by_16", "by_32"),
    [
        ("uint16_t a = 300u; return (int32_t)(uint32_t)(a * a);", (24464, ["WRAP"]), (90000, [])),
        ("uint16_t a = 65535u; return a + 1u > a;", (0, ["WRAP"]), (1, [])),
        ("int16_t a = 32767; return (int32_t)(a + 1) > 0;", (0, ["OVERFLOW"]), (1, [])),
        ("uint16_t a = 1u; int16_t b = -1; return b < a;", (0, ["NARROW"]), (1, [])),
        ("uint8_t a = 200u; return (uint8_t)(a + 100);", (44, ["NARROW"]), (44, ["NARROW"])),
        ("uint8_t a = 0u; return ~a == -1;", (1, []), (1, [])),
        ("return -7 / 2 * 10 + -7 % 2;", (-31, []), (-31, [])),
    ],
)
def test_promotes_as_c_does(body, by_16, by_32):
    assert answer(body, 16) == by_16
    assert answer(body, 32) == by_32


@pytest.mark.parametrize("int_bits", WIDTHS)
@pytest.mark.parametrize(
    ("body", "wanted"),
    [
        ("int32_t s = 0; uint8_t i; for (i = 0u; i < 5u; i++) { if (i == 2u) continue; s += i; } "
         "return s;", 8),
        ("int32_t s = 0; do { s++; } while (s < 7); return s;", 7),
        ("uint8_t i = 3u; switch (i) { case 1: return 1; case 3: i++; case 4: i += 2u; break; "
         "default: i = 0u; } return i;", 6),
        ("static const uint16_t t[3] = {5u, 6u, 7u}; return t[2] - t[0];", 2),
        ("uint16_t a[2] = {1u, 2u}; uint16_t *p = &a[0]; p[1] = 9u; *p = 4u; return a[0] + a[1];", 13),
        ("struct { uint8_t x; uint8_t y; } s = {.y = 4u}, r; r = s; r.x = 2u; return r.x + r.y + s.x;", 6),
        ("uint8_t a = 2u; uint16_t b = 3u; if (a > 5u) { return a; } return b;", 3),
        ("uint8_t a = 0u; return (a != 0u && 1u / a > 0u) || a == 0u ? 3 : 4;", 3),
        ("struct { uint8_t x; uint8_t y; uint16_t p; int16_t q; } s = {1u, 2u, 300u, -2}; "
         "return (int32_t)(field_at(&s, 2u) == 300u) + (int32_t)(field_at(&s, 4u) == 65534u);", 2),
    ],
)  # fmt: skip
def test_reads_statements_as_c_does(body, wanted, int_bits):
    assert answer(body, int_bits) == (wanted, [])


@pytest.mark.parametrize(
    ("body", "sentence"),
    [
        ("again: goto again; return 0;", "goto is not read"),
        ("return (int32_t)1.5;", "a literal of type double is not read"),
        ("return missing();", "defined nowhere"),
        ("static uint8_t n; return n;", "stays between calls"),
        ("int32_t a; while (a < 3) { a++; } return a;", "end does not follow from constants"),
        ("struct { uint16_t p; } s = {1u}; return field_at(&s, 1u);", "begins with byte 1"),
        ("struct { uint8_t x; uint16_t p; } s = {1u, 2u}; return field_at(&s, 1u);", "may be padding"),
    ],
)
def test_refuses_what_it_does_not_understand_with_a_sentence_and_a_place(body, sentence):
    with pytest.raises(RefusedError, match=rf"asked\.c:\d+.*{sentence}"):
        answer(body, 32)


@pytest.mark.parametrize(
    ("body", "duty"),
    [
        ("uint16_t a[2] = {0u, 0u}; return a[2];", "INDEX"),
        ("uint32_t a = 1u; return a << 3 == 8u && 1 / (int32_t)(a - 1u);", "DIVISION"),
        ("const uint8_t *p = 0; return p[0];", "POINTER"),
    ],
)
def test_knows_what_c_leaves_undefined(body, duty):
    if duty == "POINTER":
        with pytest.raises((RefusedError, IndexError)):
            answer(body, 16)
    else:
        assert duty in answer(body, 16)[1]
