"""What a board has kept of its latest moves, line by line: a record of its ring."""

from __future__ import annotations

import re
from dataclasses import dataclass

from hutwright.evidence.logbook import RingRecord
from hutwright.evidence.trace import Way
from hutwright.laws.water_permittivity import FREEZING
from hutwright.live.lines import NUMBERS, Became, Reply, opened, sealed

RECORDS = 24  # that a board sends for one asking: boards/parts/store.h
AGAIN = 5.0  # until it is asked anew where not all has come: a choice of this project [s]
ALIVE = 1.0  # between two signs of life to a board that was greeted: a choice of this project [s]
_RECORD = re.compile(
    rb"R s=(\d{1,5}) n=(\d{1,5}) l=(\d{1,5}) p=(-?\d{1,5}) u=(\d{1,5}) k=(-?\d{1,5}) o=(\d{1,3}) w=(\d{1,3})"
)
_BLANK = 65535  # of a record that was never written


@dataclass(frozen=True, slots=True)
class RingLine:
    """A line of the ring.

    Attributes
    ----------
    record : RingRecord or None
        None where the board has not yet written that record.
    """

    record: RingRecord | None


def read_ring_line(line: bytes) -> RingLine | None:
    """The record in a line of the board.

    Parameters
    ----------
    line : bytes
        As it came.

    Returns
    -------
    RingLine or None
        None where it is no whole line of the ring.
    """
    found = _RECORD.fullmatch(opened(line) or b"")
    if found is None:
        return None
    serial, move, duration, peak, supply, temperature, opening, why = (int(each) for each in found.groups())
    if serial == _BLANK and move == _BLANK:
        return RingLine(None)
    if opening > 1 or max(serial, move, duration, supply) > 65535:
        return None
    return RingLine(
        RingRecord(
            serial=serial,
            move=move,
            duration=duration / 1000,
            peak_residual=peak / 1000,
            least_supply=supply / 1000,
            temperature=temperature / 10 + FREEZING,
            way=Way.OPENING if opening else Way.CLOSING,
            why=why,
        )
    )


class RingFetch:
    """Greets a board, asks for its ring until all of it has come, and says afterwards that it lives.

    A board that was once spoken to may watch its link; so it is spoken to for as long as it is watched.
    """

    def __init__(self) -> None:
        self._number, self._asked, self._came, self._greeted = 0, 0, 0, False
        self._due = float("-inf")

    @property
    def done(self) -> bool:
        """Whether all records have come."""
        return self._came >= RECORDS

    def begin_again(self) -> None:
        """Begin anew: a board that begins knows of no host."""
        self._greeted, self._due = False, float("-inf")
        if not self.done:
            self._came = 0

    def tick(self, now: float) -> bytes:
        """What is to be sent now; nothing where it is not yet time.

        Parameters
        ----------
        now : float
            By a steady clock. [s]
        """
        if now < self._due:
            return b""
        if self._greeted and self.done:
            self._due = now + ALIVE
            return self._line(b"alive")
        self._greeted, self._came, self._due = False, self._came if self.done else 0, now + AGAIN
        return self._line(b"hello")

    def answered(self, reply: Reply, now: float) -> bytes:
        """What is to be sent after an answer.

        Parameters
        ----------
        reply : Reply
            The board's.
        now : float
            By a steady clock. [s]
        """
        if reply.number != self._number or reply.became is not Became.TAKEN or self._greeted:
            return b""
        self._greeted = True
        if self.done:
            return b""
        self._due = now + AGAIN
        return self._line(b"ring")

    def heard(self) -> bool:
        """Count a record that came; whether it was the last one."""
        if self.done:
            return False
        self._came += 1
        self._due = float("-inf") if self.done else self._due
        return self.done

    def _line(self, word: bytes) -> bytes:
        self._number = (self._number + 1) % NUMBERS
        return sealed(b"%b %d" % (word, self._number))
