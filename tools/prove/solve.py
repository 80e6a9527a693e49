"""The solver, asked whether anything can break what is claimed."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import z3

# A proof that takes longer than this is none. [ms]
PATIENCE_MS = 120_000


class UndecidedError(Exception):
    """The solver gave up; nothing is proved and nothing refuted."""


def counterexample(given: Sequence[Any], broken: Any) -> Any:
    """A model in which all that is given holds and the claim is broken; None: there is none, it is proved.

    Raises
    ------
    UndecidedError
        The solver does not know.
    """
    solver = z3.SolverFor("QF_BV")
    solver.set("timeout", PATIENCE_MS)
    solver.add(*given)
    solver.add(broken)
    answer = solver.check()
    if answer == z3.sat:
        return solver.model()
    if answer == z3.unsat:
        return None
    raise UndecidedError(f"the solver gave up: {solver.reason_unknown()}")
