"""What later cycles say of the settings: needless reversals counted, and when to calibrate again with all.

A calibration from ten cycles promises little. Every cycle that is watched after it is one more try of the
very thing that was promised, so the count refreshes the claim without any law; and every clean cycle is one
more to learn from.
"""

from __future__ import annotations

from dataclasses import dataclass

from hutwright.evidence.logbook import Move
from hutwright.evidence.trace import Way
from hutwright.laws.exact_share import greatest_share
from hutwright.native.words import Why
from hutwright.studies.calibrate_claim import CONFIDENCE

LEARNT_AT = (10, 30, 100, 200, 500, 1000)  # clean cycles, at which calibrating is offered: choices
ON_CURRENT = (Why.RESIDUAL, Why.RISE, Why.BACKSTOP)  # reversals that the current asked for


@dataclass(frozen=True, slots=True)
class Claim:
    """What was counted since the board has its settings.

    Attributes
    ----------
    cycles : int
        That it made with them and that did not end for another reason, such as a stop. [-]
    reversed : int
        Of these, that it turned back on the current. [-]
    """

    cycles: int
    reversed: int

    @property
    def at_most(self) -> float:
        """Share of cycles that it turns back at most, at a calibration's confidence, without any law [-]."""
        return 1.0 if not self.cycles else greatest_share(self.reversed, self.cycles, CONFIDENCE)

    @property
    def words(self) -> str:
        """The same as a sentence."""
        if not self.cycles:
            return "no cycle was watched with these settings yet"
        return (
            f"turned back on the current: {self.reversed} in {self.cycles} cycles with these settings; if "
            f"nothing was in the way, needlessly in at most {1000 * self.at_most:.0f} of 1000 cycles "
            f"({100 * CONFIDENCE:.0f} %, by counting)"
        )


class Since:
    """Counts cycles from the log book on.

    Parameters
    ----------
    settings : int
        Checksum of the settings that the board has. [-]
    """

    def __init__(self, settings: int) -> None:
        self._settings = settings
        self._ended: dict[int, bool | None] = {}  # by cycle: turned back; None where it ended otherwise
        self._closed: set[int] = set()
        self._clean: dict[int, set[Way]] = {}
        self._offered = 0

    def take(self, move: Move) -> None:
        """Count a move.

        Parameters
        ----------
        move : Move
            The latest.
        """
        if move.reached and move.whole:
            self._clean.setdefault(move.cycle, set()).add(move.way)
        else:
            self._clean[move.cycle] = set()
        if move.settings != self._settings:
            return
        before = self._ended.get(move.cycle, False)
        now = False if move.reached else True if move.why in ON_CURRENT else None
        self._ended[move.cycle] = None if before is None or now is None else before or now
        if move.way is Way.CLOSING:
            self._closed.add(move.cycle)

    @property
    def claim(self) -> Claim:
        """What was counted: cycles to their closing, and those that were turned back before it."""
        ended = [
            back
            for cycle, back in self._ended.items()
            if back is not None and (back or cycle in self._closed)
        ]
        return Claim(len(ended), sum(ended))

    @property
    def clean(self) -> int:
        """Cycles in the whole log book of which both moves arrived and were heard whole [-]."""
        return sum(ways == set(Way) for ways in self._clean.values())

    def offer(self) -> str | None:
        """Where enough clean cycles have come together, a sentence that offers to calibrate, once."""
        clean = self.clean
        reached = max((each for each in LEARNT_AT if each <= clean), default=0)
        if reached <= self._offered:
            return None
        self._offered = reached
        return (
            f"{clean} clean cycles are recorded by now: `hutwright calibrate` with the folder of traces "
            "learns from all of them; moves that were turned back are not among them"
        )
