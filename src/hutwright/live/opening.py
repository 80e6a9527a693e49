"""Open, wait, start: the middle part, which only watches; whatever is otherwise than it should be ends it."""

from __future__ import annotations

from hutwright.live.lines import Bits, Telemetry
from hutwright.native.words import Mode, spoken

TURNING = 0.5  # until the board must be opening after it took the command: a choice of this project [s]
LONGEST = 120.0  # until the door must be fully open: a choice of this project [s]


class Opening:
    """A door that was asked to open so that the machine may start.

    Parameters
    ----------
    name : str
        Id of the command.
    wait : float
        From fully open to the permission. [s]
    began : float
        When the board took the command, by the steady clock. [s]
    """

    def __init__(self, name: str, *, wait: float, began: float) -> None:
        self.id = name
        self._wait, self._began = wait, began
        self._open_since: float | None = None

    @property
    def is_open(self) -> bool:
        """Whether the door has been fully open since."""
        return self._open_since is not None

    def hear(self, heard: Telemetry, now: float) -> str | None:
        """Look at a line of the board.

        Parameters
        ----------
        heard : Telemetry
            The line.
        now : float
            By the steady clock. [s]

        Returns
        -------
        str or None
            Why it is over; None where all is well.
        """
        if heard.mode is Mode.OPEN and Bits.MAY_LEAVE in heard.bits:
            if self._open_since is None:
                self._open_since = now
            return None
        if self._open_since is not None:
            return f"the door is no longer fully open: {spoken(heard.mode)}"
        if heard.mode is Mode.FAULT:
            return f"the board is in a fault: {spoken(heard.fault)}"
        if heard.mode not in {Mode.OPENING, Mode.OPEN} and now - self._began > TURNING:
            return f"the door is not opening: {spoken(heard.mode)}"
        if now - self._began > LONGEST:
            return f"the door was not fully open within {LONGEST:g} s"
        return None

    def due(self, now: float) -> bool:
        """Whether the door has been fully open for the whole wait.

        Parameters
        ----------
        now : float
            By the steady clock. [s]

        Returns
        -------
        bool
            Whether the machine may go, as far as time says.
        """
        return self._open_since is not None and now - self._open_since >= self._wait
