"""Proves the properties of one tick, and lets every mutant be refuted."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import z3

from tools.prove.arithmetic import CLAIMS, DetectProof
from tools.prove.door import Names, Tick, assumed, begin_of, invariants, tick_of
from tools.prove.mutants import Mutant, changed
from tools.prove.properties import PROPERTIES, owed, powered_up
from tools.prove.solve import counterexample
from tools.prove.source import Program
from tools.prove.sums import Duty
from tools.prove.words import smallest, told

WIDTHS = (16, 32)
# Proved of door_begin(), not of a tick.
AT_POWER_UP = "powered_up"


@dataclass(frozen=True, slots=True)
class Refuted:
    """A claim that does not hold.

    Attributes
    ----------
    claim : str
        What is claimed.
    words : str
        A case in which it does not hold.
    """

    claim: str
    words: str


class Proof:
    """One program, read once, and asked about.

    Parameters
    ----------
    int_bits : int
        How many bits an int has. [bit]
    changed : mapping
        File to text where it is not the core's own.
    """

    def __init__(self, int_bits: int, changed: Mapping[str, str] | None = None) -> None:
        self.program = Program(int_bits, changed)
        self.names = Names(self.program)
        self.tick: Tick = tick_of(self.program)
        self.given = assumed(self.tick)

    def claim(self, key: str) -> Any:
        """A property's term."""
        return PROPERTIES[key].claim(self.tick, self.names)

    def refutes(self, key: str, *, words: bool = True) -> Refuted | None:
        """A case against a property of the tick; None: it is proved."""
        return self._against(PROPERTIES[key].sentence, self.claim(key), words=words)

    def _against(self, sentence: str, claim: Any, *, words: bool = True) -> Refuted | None:
        if counterexample(self.given, z3.Not(claim)) is None:
            return None
        if not words:
            return Refuted(sentence, "")
        model = smallest(self.tick, self.given, z3.Not(claim))
        return Refuted(sentence, told(self.tick, model))

    def invariants_after(self) -> dict[str, Any]:
        """Each invariant's sentence and its term after the tick."""
        tick = self.tick
        return invariants(tick.settings, tick.after, tick.off_after, self.names)

    def refutes_invariants(self, *, words: bool = True) -> Refuted | None:
        """A case in which a tick breaks an invariant; None: all are kept."""
        claims = self.invariants_after()
        if counterexample(self.given, z3.Not(z3.And(*claims.values()))) is None:
            return None
        for sentence, claim in claims.items():
            if (refuted := self._against(sentence, claim, words=words)) is not None:
                return refuted
        raise AssertionError("all together are broken, and none alone")

    def refutes_power_up(self) -> Refuted | None:
        """A case in which door_begin() leaves something else than it should; None: it does not."""
        begin = begin_of(self.program)
        claims = {
            "after power-up: STOPPED, nothing driven, contacts unread, first move slow, bad settings refused":
                powered_up(begin, self.names),
            "door_begin() computes nothing beyond its types": owed(begin, *Duty),
            **invariants(begin.settings, begin.after, z3.BitVecVal(0, 32), self.names),
        }  # fmt: skip
        for sentence, claim in claims.items():
            if counterexample(begin.bounds, z3.Not(claim)) is not None:
                return Refuted(sentence, "at power-up")
        return None


@lru_cache(maxsize=4)
def proof(int_bits: int) -> Proof:
    """The core's own proof, read once."""
    return Proof(int_bits)


def refuted(mutant: Mutant, *, words: bool = True) -> Refuted | None:
    """What refutes a mutant: its property, else an invariant that the property stands on; None: nothing.

    A tick begins in any state in which the invariants hold. A change that makes later states worse, but not
    the tick itself, therefore breaks an invariant.
    """
    if mutant.refuted_by in CLAIMS:
        key = mutant.refuted_by
        held = DetectProof(mutant.int_bits, changed(mutant)).holds(key)
        return None if held else Refuted(CLAIMS[key][0], "within one call of door_detect()")
    changed_core = Proof(mutant.int_bits, changed(mutant))
    if mutant.refuted_by == AT_POWER_UP:
        return changed_core.refutes_power_up()
    return changed_core.refutes(mutant.refuted_by, words=words) or changed_core.refutes_invariants(
        words=words
    )
