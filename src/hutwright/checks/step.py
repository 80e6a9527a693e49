"""One line of working: symbols, then the numbers put in, then the result."""

from __future__ import annotations

import ast
import math
import operator
from collections.abc import Callable, Mapping
from typing import NamedTuple

from hutwright.checks.shown import shown
from hutwright.errors import RequestError
from hutwright.units import Dimension

LONGEST_FORMULA = 400

_OPERATORS: dict[type[ast.AST], Callable[..., float]] = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: operator.truediv,
    ast.Pow: operator.pow,
    ast.USub: operator.neg,
}
_FUNCTIONS: dict[str, Callable[..., float]] = {
    "sqrt": math.sqrt,
    "exp": math.exp,
    "ln": math.log,
    "sin": math.sin,
    "cos": math.cos,
    "min": min,
    "max": max,
    "abs": abs,
}


class Number(NamedTuple):
    """A value put into a step.

    Attributes
    ----------
    value : float
        In SI. [dimension]
    dimension : Dimension
        What kind of quantity it is.
    """

    value: float
    dimension: Dimension

    def show(self) -> str:
        """The number as a builder reads it."""
        return shown(self.value, self.dimension, digits=4)


class Step(NamedTuple):
    """One line of working.

    Attributes
    ----------
    symbol : str
        What is worked out.
    formula : str
        How, in symbols.
    numbers : Mapping
        The number behind each symbol, in SI.
    result : Number
        What came out.
    words : str
        What it means, in plain words.
    """

    symbol: str
    formula: str
    numbers: Mapping[str, Number]
    result: Number
    words: str = ""

    def redo(self) -> float:
        """The result, worked out again from the printed formula.

        Returns
        -------
        float
            The formula's value with the numbers put in, in SI.

        Raises
        ------
        RequestError
            Where the formula holds anything but arithmetic.
        """
        return evaluate(self.formula, {symbol: number.value for symbol, number in self.numbers.items()})

    def lines(self) -> tuple[str, str]:
        """The step in symbols, and with the numbers put in."""
        filled = _filled(self.formula, {symbol: number.show() for symbol, number in self.numbers.items()})
        symbols = f"{self.symbol} = {self.formula}"
        return (
            symbols,
            f"= {filled} = {self.result.show()}" if filled != self.result.show() else f"= {filled}",
        )


def evaluate(formula: str, values: Mapping[str, float]) -> float:
    """Work out a formula of plain arithmetic, without running any code.

    Parameters
    ----------
    formula : str
        Numbers, symbols, ``+ - * / **``, brackets and the functions sqrt, exp, ln, sin, cos, min, max, abs.
    values : Mapping
        The value of each symbol.

    Returns
    -------
    float
        What comes out.

    Raises
    ------
    RequestError
        Where the formula holds anything else.
    """
    if len(formula) > LONGEST_FORMULA:
        raise RequestError("the formula is too long to be read")
    return _walk(ast.parse(formula, mode="eval").body, values)


def _walk(node: ast.AST, values: Mapping[str, float]) -> float:
    if isinstance(node, ast.Constant) and isinstance(node.value, int | float):
        return float(node.value)
    if isinstance(node, ast.Name) and node.id in values:
        return values[node.id]
    if isinstance(node, ast.BinOp) and type(node.op) in _OPERATORS:
        return _OPERATORS[type(node.op)](_walk(node.left, values), _walk(node.right, values))
    if isinstance(node, ast.UnaryOp) and type(node.op) in _OPERATORS:
        return _OPERATORS[type(node.op)](_walk(node.operand, values))
    if (
        isinstance(node, ast.Call)
        and isinstance(node.func, ast.Name)
        and node.func.id in _FUNCTIONS
        and not node.keywords
    ):
        return _FUNCTIONS[node.func.id](*(_walk(argument, values) for argument in node.args))
    raise RequestError(f"a formula may hold only arithmetic; '{ast.unparse(node)}' is something else")


def _filled(formula: str, shown: Mapping[str, str]) -> str:
    parts: list[str] = []
    word = ""
    for char in [*formula, ""]:
        if char and (char.isalnum() or char == "_"):
            word += char
            continue
        number = shown.get(word)
        parts.append(f"({number})" if number is not None and number.startswith("-") else (number or word))
        parts.append(char)
        word = ""
    return "".join(parts)
