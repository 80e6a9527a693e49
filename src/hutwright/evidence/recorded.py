"""What was recorded, and what of it was left out with the reason."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from hutwright.errors import Fault
from hutwright.evidence.trace import Floats, Trace, Way


class Reason(Enum):
    """Why something was left out."""

    DAMAGED = "damaged rows"
    REPEATED = "a row twice"
    BACK = "the clock jumps back"
    GAP = "the clock jumps on, or rows are missing"
    SHORT = "too few rows"
    DUPLICATE = "recorded twice"
    TRUNCATED = "cut short"
    UNTOLD = "direction not told"
    NO_CURRENT = "no current"
    PARTLY = "a column with holes"


@dataclass(frozen=True, slots=True)
class Left:
    """Something that was left out.

    Attributes
    ----------
    reason : Reason
        By which rule.
    rows : int
        How many rows. [-]
    move : bool
        Whether a whole move is left out; else only rows or a column of it.
    fault : Fault
        Where, what was read, and what is wanted.
    """

    reason: Reason
    rows: int
    move: bool
    fault: Fault

    def sentence(self) -> str:
        """For the builder, on one line."""
        return f"left out ({self.reason.value}): {self.fault.sentence()}"


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class Move:
    """One move as it was recorded, before what is known of all of them together is used.

    Attributes
    ----------
    file : str
        Name of the file.
    first : int
        Number of its first line.
    last : int
        Number of its last line.
    cycle : int
        Which cycle it belongs to. [-]
    way : Way
        Which way the leaf moves.
    time : ndarray
        Since its first row; shape (n,). [s]
    current : ndarray
        Of the motor; shape (n,). [A]
    supply : ndarray or None
        At the bridge; shape (n,). [V]
    duty : ndarray or None
        Share of the voltage that the bridge puts on the motor; shape (n,). [-]
    position : ndarray or None
        As the file has it; shape (n,). [m]
    reckoned : bool
        Whether position or share was reckoned from voltage and current, and not measured.
    share : ndarray or None
        Share of the travel, where the file has that; shape (n,). [-]
    temperature : float or None
        Of drive or box. [K]
    reached : bool or None
        Whether it ended at its end.
    filtered : bool
        Whether the current is behind the board's filter.
    """

    file: str
    first: int
    last: int
    cycle: int
    way: Way
    time: Floats
    current: Floats
    supply: Floats | None
    duty: Floats | None
    position: Floats | None
    reckoned: bool
    share: Floats | None
    temperature: float | None
    reached: bool | None
    filtered: bool = False

    @property
    def duration(self) -> float:
        """From the first row to the last [s]."""
        return float(self.time[-1] - self.time[0])

    @property
    def words(self) -> str:
        """As a sentence names it."""
        return f"cycle {self.cycle} {self.way.value}"

    def left(self, reason: Reason, read: str, wanted: str, remedy: str) -> Left:
        """The move as left out.

        Parameters
        ----------
        reason : Reason
            By which rule.
        read : str
            What was read.
        wanted : str
            What would have been accepted.
        remedy : str
            What to do next.
        """
        fault = Fault(
            file=self.file,
            line=self.first,
            path="",
            read=f"{self.words} (to line {self.last}): {read}",
            wanted=wanted,
            remedy=remedy,
        )
        return Left(reason, len(self.time), move=True, fault=fault)

    def trace(self, place: Floats | None) -> Trace:
        """The move as a trace.

        Parameters
        ----------
        place : ndarray or None
            Share of the travel; shape (n,). [-]
        """
        return Trace(
            cycle=self.cycle,
            way=self.way,
            time=self.time,
            current=self.current,
            supply=self.supply,
            duty=self.duty,
            place=place,
            reckoned=self.reckoned and place is not None,
            temperature=self.temperature,
            reached=self.reached,
            filtered=self.filtered,
            source=f"{self.file}, lines {self.first} to {self.last}",
        )
