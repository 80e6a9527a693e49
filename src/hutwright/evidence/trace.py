"""One recorded move of the door: the one type for what a file holds, the board tells and the bench plays."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

import numpy as np
from numpy.typing import NDArray

from hutwright.errors import ModelError

Floats = NDArray[np.float64]
LEAST_ROWS = 8  # of a move that anything can be learnt from: a choice of this project


class Way(Enum):
    """Which way the leaf moves."""

    OPENING = "opening"
    CLOSING = "closing"


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class Trace:
    """One move, from the moment the drive is switched on to the moment it is off.

    Attributes
    ----------
    cycle : int
        Which cycle it belongs to. [-]
    way : Way
        Which way the leaf moves.
    time : ndarray
        Since the drive was switched on, rising; shape (n,). [s]
    current : ndarray
        Of the motor, above zero while it drives; shape (n,). [A]
    supply : ndarray or None
        At the bridge; shape (n,). [V]
    duty : ndarray or None
        Share of that voltage which the bridge puts on the motor; None where nobody recorded it, as at a plain
        switch; shape (n,). [-]
    place : ndarray or None
        Share of the travel, 0 shut and 1 open; shape (n,). [-]
    reckoned : bool
        Whether that was reckoned from voltage and current, as a controller does it, and not measured: then it
        says nothing new of the drive.
    temperature : float or None
        Of drive or box. [K]
    reached : bool or None
        Whether it ended at its end of the travel; None where nobody recorded that.
    filtered : bool
        Whether the current went through the board's median and filter before it was recorded.
    source : str
        File and lines, or what played it.
    """

    cycle: int
    way: Way
    time: Floats
    current: Floats
    supply: Floats | None = None
    duty: Floats | None = None
    place: Floats | None = None
    reckoned: bool = False
    temperature: float | None = None
    reached: bool | None = None
    filtered: bool = False
    source: str = ""

    def __post_init__(self) -> None:
        """Refuse arrays that do not belong together, times that do not rise, and what is no number."""
        for name in ("time", "current", "supply", "duty", "place"):
            values = getattr(self, name)
            if values is None:
                continue
            if values.shape != self.time.shape or not np.isfinite(values).all():
                raise ModelError(
                    name, f"{values.shape}", f"{self.time.shape} finite numbers", "record it whole"
                )
        if len(self.time) < LEAST_ROWS or not (np.diff(self.time) > 0.0).all():
            raise ModelError(
                "time", f"{len(self.time)} rows", f"{LEAST_ROWS} or more, rising", "record it again"
            )

    @property
    def duration(self) -> float:
        """From the first row to the last [s]."""
        return float(self.time[-1] - self.time[0])
