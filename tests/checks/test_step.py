"""The working of a check: printed lines that can be done again with a pencil."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hutwright import units
from hutwright.checks.shown import shown, shown_range
from hutwright.checks.step import Number, Step, evaluate
from hutwright.errors import RequestError
from hutwright.units import NUMBER


def a_step(a: float, b: float) -> Step:
    numbers = {"U_a": Number(a, units.VOLTAGE), "U_ab": Number(b, units.VOLTAGE)}
    return Step(
        symbol="U", formula="U_a - 2 * U_ab", numbers=numbers, result=Number(a - 2 * b, units.VOLTAGE)
    )


@given(st.floats(-1e3, 1e3), st.floats(-1e3, 1e3))
def test_a_step_done_again_gives_its_result(a: float, b: float) -> None:
    step = a_step(a, b)
    assert step.redo() == pytest.approx(step.result.value, rel=1e-12, abs=1e-9)


def test_a_symbol_that_begins_another_symbol_is_not_put_in_its_place() -> None:
    symbols, numbers = a_step(12.0, 0.5).lines()
    assert symbols == "U = U_a - 2 * U_ab"
    assert numbers == "= 12 V - 2 * 500 mV = 11 V"


def test_a_negative_number_is_put_in_brackets() -> None:
    assert "2 * (-500 mV)" in a_step(12.0, -0.5).lines()[1]


@pytest.mark.parametrize(
    ("formula", "value"),
    [
        ("sqrt(x) + ln(exp(1))", 4.0),
        ("max(x, 1) / min(x, 3)", 3.0),
        ("-x ** 2 + 90 / 2 - abs(-3)", -39.0),
        ("sin(0) + cos(0)", 1.0),
    ],
)
def test_plain_arithmetic_is_worked_out(formula: str, value: float) -> None:
    assert evaluate(formula, {"x": 9.0}) == pytest.approx(value, rel=1e-15)


@pytest.mark.parametrize(
    "formula",
    [
        "__import__('os')",
        "x.real",
        "x if x else 1",
        "[x]",
        "lambda: 1",
        "x == 1",
        "'a'",
        "open(x)",
        "y",
        "x" * 500,
    ],
)
def test_anything_but_arithmetic_is_refused(formula: str) -> None:
    with pytest.raises(RequestError):
        evaluate(formula, {"x": 9.0})


def test_values_without_end_and_unknown_values_have_words() -> None:
    assert shown(math.inf, units.TIME) == "without end"
    assert shown(math.nan, units.TIME) == "unknown"
    assert shown(3.0, NUMBER) == "3"
    assert shown_range(2.0, math.inf, units.TIME) == "2 s..without end"
