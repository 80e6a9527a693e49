"""The solver's terms with numbers put in, many cases at once, so that they can be held to the compiled core.

Only the operators that a reading makes are known. Each number is an unsigned one of 64 bits; what is signed
is taken so where an operator says so.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any

import numpy as np
import z3

Many = Any
# Of the operands, the width of the first, and the term itself.
Rule = Callable[[list[Many], int, Any], Many]


def _cut(values: Many, bits: int) -> Many:
    return values & np.uint64((1 << bits) - 1)


def _signed(values: Many, bits: int) -> Many:
    up = np.uint64(64 - bits)
    return (values << up).view(np.int64) >> np.int64(64 - bits)


def _unsigned(values: Many, bits: int) -> Many:
    return _cut(values.astype(np.int64).view(np.uint64), bits)


def _divide(args: list[Many], bits: int) -> Many:
    over, by = _signed(args[0], bits), _signed(args[1], bits)
    size = np.abs(over) // np.maximum(np.abs(by), 1)
    return _unsigned(np.where((over < 0) != (by < 0), -size, size), bits)


def _remain(args: list[Many], bits: int) -> Many:
    over, by = _signed(args[0], bits), _signed(args[1], bits)
    size = np.abs(over) % np.maximum(np.abs(by), 1)
    return _unsigned(np.where(over < 0, -size, size), bits)


def _extract(args: list[Many], bits: int, term: Any) -> Many:
    high, low = term.params()
    return _cut(args[0] >> np.uint64(low), high - low + 1)


def _joined(args: list[Many], bits: int, term: Any) -> Many:
    whole = args[0]
    for part, child in zip(args[1:], term.children()[1:], strict=True):
        whole = (whole << np.uint64(child.size())) | part
    return whole


def _sum(args: list[Many], bits: int, term: Any) -> Many:
    whole = args[0]
    for part in args[1:]:
        whole = whole + part
    return _cut(whole, bits)


def _product(args: list[Many], bits: int, term: Any) -> Many:
    whole = args[0]
    for part in args[1:]:
        whole = whole * part
    return _cut(whole, bits)


def _folded(function: Any) -> Rule:
    def rule(args: list[Many], bits: int, term: Any) -> Many:
        whole = args[0]
        for part in args[1:]:
            whole = function(whole, part)
        return whole

    return rule


RULES: dict[int, Rule] = {
    z3.Z3_OP_TRUE: lambda a, b, t: np.bool_(True),
    z3.Z3_OP_FALSE: lambda a, b, t: np.bool_(False),
    z3.Z3_OP_AND: _folded(np.logical_and),
    z3.Z3_OP_OR: _folded(np.logical_or),
    z3.Z3_OP_NOT: lambda a, b, t: np.logical_not(a[0]),
    z3.Z3_OP_IMPLIES: lambda a, b, t: ~a[0] | a[1],
    z3.Z3_OP_EQ: lambda a, b, t: a[0] == a[1],
    z3.Z3_OP_DISTINCT: lambda a, b, t: a[0] != a[1],
    z3.Z3_OP_ITE: lambda a, b, t: np.where(a[0], a[1], a[2]),
    z3.Z3_OP_BADD: _sum,
    z3.Z3_OP_BMUL: _product,
    z3.Z3_OP_BSUB: lambda a, b, t: _cut(a[0] - a[1], b),
    z3.Z3_OP_BNEG: lambda a, b, t: _cut(np.uint64(0) - a[0], b),
    z3.Z3_OP_BNOT: lambda a, b, t: _cut(~a[0], b),
    z3.Z3_OP_BAND: _folded(np.bitwise_and),
    z3.Z3_OP_BOR: _folded(np.bitwise_or),
    z3.Z3_OP_BXOR: _folded(np.bitwise_xor),
    z3.Z3_OP_BSHL: lambda a, b, t: np.where(a[1] < b, _cut(a[0] << (a[1] % np.uint64(64)), b), np.uint64(0)),
    z3.Z3_OP_BLSHR: lambda a, b, t: np.where(a[1] < b, a[0] >> (a[1] % np.uint64(64)), np.uint64(0)),
    z3.Z3_OP_BUDIV: lambda a, b, t: a[0] // np.maximum(a[1], np.uint64(1)),
    z3.Z3_OP_BUREM: lambda a, b, t: a[0] % np.maximum(a[1], np.uint64(1)),
    z3.Z3_OP_BSDIV: lambda a, b, t: _divide(a, b),
    z3.Z3_OP_BSREM: lambda a, b, t: _remain(a, b),
    z3.Z3_OP_ULEQ: lambda a, b, t: a[0] <= a[1],
    z3.Z3_OP_ULT: lambda a, b, t: a[0] < a[1],
    z3.Z3_OP_UGEQ: lambda a, b, t: a[0] >= a[1],
    z3.Z3_OP_UGT: lambda a, b, t: a[0] > a[1],
    z3.Z3_OP_SLEQ: lambda a, b, t: _signed(a[0], b) <= _signed(a[1], b),
    z3.Z3_OP_SLT: lambda a, b, t: _signed(a[0], b) < _signed(a[1], b),
    z3.Z3_OP_SGEQ: lambda a, b, t: _signed(a[0], b) >= _signed(a[1], b),
    z3.Z3_OP_SGT: lambda a, b, t: _signed(a[0], b) > _signed(a[1], b),
    z3.Z3_OP_EXTRACT: _extract,
    z3.Z3_OP_CONCAT: _joined,
    z3.Z3_OP_ZERO_EXT: lambda a, b, t: a[0],
    z3.Z3_OP_SIGN_EXT: lambda a, b, t: _unsigned(_signed(a[0], b), t.size()),
}


def evaluated(terms: Mapping[Any, Any], known: Mapping[str, Many]) -> dict[Any, Many]:
    """Each term's value in every case.

    Parameters
    ----------
    terms : mapping
        Whatever they are called by, and the terms.
    known : mapping
        The cases: name of a symbol to its numbers, as unsigned ones of 64 bits. [-]

    Returns
    -------
    dict
        Under the same keys, unsigned numbers of 64 bits. [-]

    Raises
    ------
    KeyError
        A term has an operator or a symbol that is not known.
    """
    found: dict[int, Many] = {}
    for node in _in_order(terms.values()):
        found[node.get_id()] = _value(node, found, known)
    return {key: found[term.get_id()] for key, term in terms.items()}


def _value(node: Any, found: dict[int, Many], known: Mapping[str, Many]) -> Many:
    if z3.is_bv_value(node):
        return np.uint64(node.as_long())
    kind = node.decl().kind()
    if kind == z3.Z3_OP_UNINTERPRETED:
        return known[node.decl().name()]
    children = node.children()
    bits = children[0].size() if children and z3.is_bv(children[0]) else 0
    if kind not in RULES:
        raise KeyError(f"no rule for {node.decl().name()}")
    return RULES[kind]([found[child.get_id()] for child in children], bits, node)


def _in_order(terms: Any) -> Iterator[Any]:
    """Every term after those that it is made of, each once."""
    seen: set[int] = set()
    waiting = [(term, False) for term in terms]
    while waiting:
        term, opened = waiting.pop()
        if term.get_id() in seen:
            continue
        if opened:
            seen.add(term.get_id())
            yield term
        else:
            waiting.append((term, True))
            waiting += [(child, False) for child in term.children() if child.get_id() not in seen]
