"""The arithmetic of C on terms: promotions for an int of 16 or 32 bits, and what must hold for each step.

A value is a bit-vector term with bounds on what it can be. The bounds decide most of what must hold without
a solver, and stand in for products and quotients where only bounds are wanted (`relaxed`).
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import Any

import z3

from tools.prove.source import RefusedError, Whole

# A Boolean of the solver, or plainly true or false.
Truth = Any


class Duty(Enum):
    """What must hold of a step."""

    OVERFLOW = "no signed sum, difference or product is beyond its type"
    SHIFT = "no shift by a negative or too great an amount, nor of a negative value"
    DIVISION = "no division by nought"
    INDEX = "no index is beyond its array"
    POINTER = "nothing is read or written through a null pointer"
    WRAP = "no unsigned sum, difference or product wraps"
    NARROW = "no value is cut when it is put into a narrower type"


@dataclass(frozen=True, slots=True)
class Owed:
    """One thing that must hold: `broken` is when it would not."""

    duty: Duty
    function: str
    place: str
    broken: Truth


def both(*parts: Truth) -> Truth:
    """All of them."""
    open_ones = [part for part in parts if part is not True]
    if any(part is False for part in open_ones):
        return False
    return True if not open_ones else open_ones[0] if len(open_ones) == 1 else z3.And(*open_ones)


def either(*parts: Truth) -> Truth:
    """Any of them."""
    open_ones = [part for part in parts if part is not False]
    if any(part is True for part in open_ones):
        return True
    return False if not open_ones else open_ones[0] if len(open_ones) == 1 else z3.Or(*open_ones)


def nay(truth: Truth) -> Truth:
    """The contrary."""
    return (not truth) if isinstance(truth, bool) else z3.Not(truth)


class Value:
    """A whole number: kind, bounds, and a term that is made when it is asked for."""

    __slots__ = ("_term", "high", "kind", "low", "truth")

    def __init__(self, kind: Whole, low: int, high: int, term: Any = None, truth: Truth = None) -> None:
        """Keep them; `truth` where the value is 1 or 0 by it."""
        self.kind, self.low, self.high, self._term, self.truth = kind, low, high, term, truth

    @property
    def term(self) -> Any:
        """The bit-vector."""
        if self._term is None:
            if self.low == self.high:
                self._term = z3.BitVecVal(self.low, self.kind.bits)
            else:
                one, nought = (z3.BitVecVal(bit, self.kind.bits) for bit in (1, 0))
                self._term = z3.If(self.truth, one, nought)
        return self._term

    @property
    def fixed(self) -> bool:
        """Whether it can be one number only."""
        return self.low == self.high


def known(number: int, kind: Whole) -> Value:
    """That number."""
    return Value(kind, number, number)


def unknown(name: str, kind: Whole) -> Value:
    """Anything of that kind."""
    return Value(kind, kind.low, kind.high, z3.BitVec(name, kind.bits))


def of_truth(truth: Truth, kind: Whole) -> Value:
    """1 or 0."""
    return known(int(truth), kind) if isinstance(truth, bool) else Value(kind, 0, 1, truth=truth)


def truth_of(value: Value) -> Truth:
    """Whether it is anything but 0."""
    if value.low > 0 or value.high < 0:
        return True
    if value.fixed:
        return False
    return value.truth if value.truth is not None else value.term != 0


def choose(truth: Truth, yes: Value, no: Value) -> Value:
    """One or the other, of one kind."""
    if isinstance(truth, bool):
        return yes if truth else no
    if yes is no or (yes.fixed and no.fixed and yes.low == no.low):
        return yes
    low, high = min(yes.low, no.low), max(yes.high, no.high)
    if low == 0 and high == 1 and all(each.fixed or each.truth is not None for each in (yes, no)):
        one, other = truth_of(yes), truth_of(no)
        joined = either(both(truth, one), both(nay(truth), other))
        return of_truth(joined, yes.kind)
    return Value(yes.kind, low, high, z3.If(truth, yes.term, no.term))


def stretched(value: Value, bits: int) -> Any:
    """The value's term with so many bits, the number unchanged."""
    more = bits - value.kind.bits
    if more <= 0:
        return value.term
    return z3.SignExt(more, value.term) if value.kind.signed else z3.ZeroExt(more, value.term)


class Sums:
    """The arithmetic of one reading.

    Attributes
    ----------
    relaxed : bool
        Products and quotients of two values that are not known are anything within their bounds.
    owed : list of Owed
        What must hold and is not plain from the bounds.
    bounds : list
        What is known of the terms that stand for relaxed products and quotients.
    path : list
        The conditions under which the step that is read is reached.
    """

    def __init__(self, int_bits: int, *, relaxed: bool = False) -> None:
        self.int_bits, self.relaxed = int_bits, relaxed
        self.int, self.uint = Whole(int_bits, signed=True), Whole(int_bits, signed=False)
        self.owed: list[Owed] = []
        self.bounds: list[Any] = []
        self.path: list[Truth] = []
        self.function = ""
        self._fresh = 0

    # ---- what must hold -------------------------------------------------------------------------------

    def owe(self, duty: Duty, node: Any, holds: Truth) -> None:
        """Note that this must hold here."""
        broken = both(*self.path, nay(holds))
        if broken is not False:
            self.owed.append(Owed(duty, self.function, str(getattr(node, "coord", "")), broken))

    def fresh(self, what: str, kind: Whole, low: int | None = None, high: int | None = None) -> Value:
        """A value that can be anything within bounds."""
        self._fresh += 1
        term = z3.BitVec(f"{what}#{self._fresh}", kind.bits)
        anything = Value(kind, kind.low, kind.high, term)
        if low is None or high is None:
            return anything
        ends = compare("<=", known(low, kind), anything), compare("<=", anything, known(high, kind))
        self.bounds += [end for end in ends if end is not True]
        return Value(kind, low, high, term)

    # ---- conversions ----------------------------------------------------------------------------------

    def convert(self, value: Value, kind: Whole, node: Any) -> Value:
        """The value as another kind."""
        if value.kind == kind:
            return value
        within = kind.low <= value.low and value.high <= kind.high
        if within and value.fixed:
            return known(value.low, kind)
        if within and value.truth is not None:
            return Value(kind, value.low, value.high, truth=value.truth)
        if kind.bits > value.kind.bits:
            term = stretched(value, kind.bits)
        elif kind.bits == value.kind.bits:
            term = value.term
        else:
            term = z3.Extract(kind.bits - 1, 0, value.term)
        if within:
            return Value(kind, value.low, value.high, term)
        low, high = (known(min(max(bound, value.kind.low), value.kind.high), value.kind)
                     for bound in (kind.low, kind.high))  # fmt: skip
        self.owe(Duty.NARROW, node, both(compare("<=", low, value), compare("<=", value, high)))
        if value.fixed:
            cut = (value.low - kind.low) % (1 << kind.bits) + kind.low
            return known(cut, kind)
        return Value(kind, kind.low, kind.high, term)

    def promote(self, value: Value, node: Any) -> Value:
        """The integer promotion: int where an int holds every value of the kind, else unsigned int."""
        kind = value.kind
        if kind.bits < self.int_bits:
            return self.convert(value, self.int, node)
        return value

    def balanced(self, left: Value, right: Value, node: Any) -> tuple[Value, Value]:
        """The usual conversions of two operands."""
        left, right = self.promote(left, node), self.promote(right, node)
        if left.kind == right.kind:
            return left, right
        bits = max(left.kind.bits, right.kind.bits)
        unsigned = any(not each.kind.signed and each.kind.bits == bits for each in (left, right))
        kind = Whole(bits, not unsigned)
        return self.convert(left, kind, node), self.convert(right, kind, node)

    # ---- operators ------------------------------------------------------------------------------------

    def binary(self, op: str, left: Value, right: Value, node: Any) -> Value:
        """One operator on two operands."""
        if op in ("<<", ">>"):
            return self._shift(op, self.promote(left, node), self.promote(right, node), node)
        left, right = self.balanced(left, right, node)
        if op in ("==", "!=", "<", "<=", ">", ">="):
            return of_truth(compare(op, left, right), self.int)
        if op in ("&", "|", "^"):
            return _bitwise(op, left, right)
        if op in ("/", "%"):
            return self._quotient(op, left, right, node)
        if op in ("+", "-", "*"):
            return self._sum(op, left, right, node)
        raise RefusedError(node, f"the operator {op} is not read")

    def _sum(self, op: str, left: Value, right: Value, node: Any) -> Value:
        kind = left.kind
        low, high = span(op, left, right)
        within = kind.low <= low and high <= kind.high
        if within and low == high:
            return known(low, kind)
        relaxed = op == "*" and self.relaxed and not left.fixed and not right.fixed
        if not within:
            if relaxed:  # nothing finer is known of it, so it counts as broken
                self.owe(Duty.OVERFLOW if kind.signed else Duty.WRAP, node, False)
                return self.fresh("product", kind)
            wide = 2 * kind.bits if op == "*" else kind.bits + 1
            exact = _apply(op, stretched(left, wide), stretched(right, wide))
            same = stretched(Value(kind, kind.low, kind.high, _apply(op, left.term, right.term)), wide)
            self.owe(Duty.OVERFLOW if kind.signed else Duty.WRAP, node, exact == same)
            low, high = kind.low, kind.high
        if relaxed:
            return self._product(left, right, low, high)
        return Value(kind, low, high, _apply(op, left.term, right.term))

    def _product(self, left: Value, right: Value, low: int, high: int) -> Value:
        """Anything that a product of the two can be: four straight bounds."""
        value = self.fresh("product", left.kind, low, high)
        if left.low >= 0 and right.low >= 0:
            for one, other in ((left, right), (right, left)):
                for op, bound in (("<=", other.high), (">=", other.low)):
                    edge = Value(value.kind, 0, value.kind.high, _times(one.term, bound))
                    self.bounds.append(compare(op, value, edge))
        return value

    def _quotient(self, op: str, left: Value, right: Value, node: Any) -> Value:
        kind = left.kind
        if right.low <= 0 <= right.high:
            self.owe(Duty.DIVISION, node, truth_of(right))
        if kind.signed and left.low == kind.low and right.low <= -1 <= right.high:
            least, minus = left.term == kind.low, right.term == -1
            self.owe(Duty.OVERFLOW, node, nay(both(least, minus)))
        if left.fixed and right.fixed and right.low > 0 and left.low >= 0:
            return known(left.low // right.low if op == "/" else left.low % right.low, kind)
        most = max(abs(left.low), abs(left.high))
        if op == "%":
            most = min(most, max(abs(right.low), abs(right.high)) - 1)
        low, high = max(kind.low, -most if left.low < 0 or right.low < 0 else 0), min(kind.high, most)
        if self.relaxed:
            return self._relaxed_quotient(op, left, right, low, high)
        if kind.signed:
            term = left.term / right.term if op == "/" else z3.SRem(left.term, right.term)
        else:
            term = z3.UDiv(left.term, right.term) if op == "/" else z3.URem(left.term, right.term)
        return Value(kind, low, high, term)

    def _relaxed_quotient(self, op: str, left: Value, right: Value, low: int, high: int) -> Value:
        if op == "/" and left.low >= 0 and right.low > 0:
            low, high = left.low // right.high, left.high // right.low
        value = self.fresh("quotient", left.kind, low, high)
        if left.low >= 0 and right.low >= 0:
            self.bounds.append(compare("<=", value, left))
            if op == "%":
                self.bounds.append(either(nay(truth_of(right)), compare("<", value, right)))
        return value

    def _shift(self, op: str, left: Value, right: Value, node: Any) -> Value:
        kind = left.kind
        if right.low < 0 or right.high >= kind.bits:
            width = known(kind.bits, right.kind)
            nought = known(0, right.kind)
            self.owe(Duty.SHIFT, node, both(compare(">=", right, nought), compare("<", right, width)))
        if left.low < 0:
            self.owe(Duty.SHIFT, node, compare(">=", left, known(0, kind)))
        if not right.fixed or not 0 <= right.low < kind.bits:
            raise RefusedError(node, "a shift by an amount that is not constant within the type is not read")
        amount = right.low
        if op == ">>":
            term = z3.LShR(left.term, amount)
            return Value(kind, max(0, left.low) >> amount, max(0, left.high) >> amount, term)
        return self._shifted_up(left, amount, node)

    def _shifted_up(self, left: Value, amount: int, node: Any) -> Value:
        kind = left.kind
        low, high = left.low << amount, left.high << amount
        if left.fixed and high <= kind.high:
            return known(high, kind)
        if high > kind.high:
            fits = compare("<=", left, known(kind.high >> amount, kind))
            self.owe(Duty.OVERFLOW if kind.signed else Duty.WRAP, node, fits)
            low, high = kind.low, kind.high
        return Value(kind, max(low, kind.low), high, left.term << amount)

    def unary(self, op: str, value: Value, node: Any) -> Value:
        """Minus, plus, not, all bits turned."""
        if op == "!":
            return of_truth(nay(truth_of(value)), self.int)
        value = self.promote(value, node)
        if op == "+":
            return value
        if op == "-":
            return self._sum("-", known(0, value.kind), value, node)
        if op == "~":
            low, high = (
                (value.kind.low, value.kind.high) if not value.kind.signed else (~value.high, ~value.low)
            )
            return Value(value.kind, low, high, ~value.term)
        raise RefusedError(node, f"the operator {op} is not read")


def _apply(op: str, left: Any, right: Any) -> Any:
    return left + right if op == "+" else left - right if op == "-" else left * right


def _times(term: Any, constant: int) -> Any:
    """A product with a constant as sums, which a solver finds easier; it must fit."""
    bits = term.size()
    if constant & (constant + 1) == 0:  # 2^n - 1
        return (term << (constant + 1).bit_length() - 1) - term if constant else z3.BitVecVal(0, bits)
    return term * z3.BitVecVal(constant, bits)


def _bitwise(op: str, left: Value, right: Value) -> Value:
    kind = left.kind
    if left.fixed and right.fixed and left.low >= 0 and right.low >= 0:
        one, other = left.low, right.low
        return known(one & other if op == "&" else one | other if op == "|" else one ^ other, kind)
    if left.low >= 0 and right.low >= 0:
        most = max(left.high, right.high)
        low, high = 0, min(left.high, right.high) if op == "&" else (1 << most.bit_length()) - 1
    else:
        low, high = kind.low, kind.high
    if op != "&" and high == 1 and low == 0 and _flags(left, right):
        one, other = truth_of(left), truth_of(right)
        joined = either(one, other) if op == "|" else nay(_same(one, other))
        return of_truth(joined, kind)
    one, other = left.term, right.term
    return Value(kind, low, high, one & other if op == "&" else one | other if op == "|" else one ^ other)


def _flags(*values: Value) -> bool:
    return all(value.fixed or value.truth is not None for value in values)


def _same(one: Truth, other: Truth) -> Truth:
    if isinstance(one, bool):
        return other if one else nay(other)
    if isinstance(other, bool):
        return one if other else nay(one)
    return one == other


def clamped(op: str, value: Value, bound: Value, *, holds: bool) -> Value:
    """The value with the bounds that a comparison with a constant leaves it.

    Parameters
    ----------
    op : str
        The comparison.
    value, bound : Value
        Its sides.
    holds : bool
        Whether it holds or does not.
    """
    if not bound.fixed or bound.low < 0 or value.low < 0 or op not in _CONTRARY:
        return value
    op = op if holds else _CONTRARY[op]
    low, high = value.low, value.high
    if op in ("<", "<="):
        high = min(high, bound.low - (op == "<"))
    else:
        low = max(low, bound.low + (op == ">"))
    return value if value.fixed or low >= high else Value(value.kind, low, high, value.term)


_CONTRARY = {"<": ">=", "<=": ">", ">": "<=", ">=": "<"}


def span(op: str, left: Value, right: Value) -> tuple[int, int]:
    """The bounds of a sum, difference or product in real numbers."""
    if op == "+":
        return left.low + right.low, left.high + right.high
    if op == "-":
        return left.low - right.high, left.high - right.low
    ends = [one * other for one in (left.low, left.high) for other in (right.low, right.high)]
    return min(ends), max(ends)


def compare(op: str, left: Value, right: Value) -> Truth:
    """A comparison of two values of one kind."""
    if op in ("==", "!="):
        return _equal(left, right) if op == "==" else nay(_equal(left, right))
    if op in (">", ">="):
        return compare("<" if op == ">" else "<=", right, left)
    if op == "<":
        return nay(compare("<=", right, left))
    if left.high <= right.low:
        return True
    if left.low > right.high:
        return False
    one, other = left.term, right.term
    return one <= other if left.kind.signed else z3.ULE(one, other)


def _equal(left: Value, right: Value) -> Truth:
    if left.high < right.low or right.high < left.low:
        return False
    if left.fixed and right.fixed:
        return True
    for value, other in ((left, right), (right, left)):
        if value.fixed and value.low in (0, 1) and other.truth is not None:
            return other.truth if value.low else nay(other.truth)
    return left.term == right.term
