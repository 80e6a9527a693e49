"""Sheets for roof windows in the sizes that one can buy, and what of them the frame takes."""

from __future__ import annotations

from dataclasses import dataclass

from hutwright.sources import Source, Standing

# How far a sheet of polycarbonate must reach into its frame, at least; installation guides for such sheets;
# standing: read [m]
REBATE = 0.020


@dataclass(frozen=True, kw_only=True, slots=True)
class WindowSheet:
    """One sheet for a roof window.

    Attributes
    ----------
    name : str
        Name in the table.
    width : float
        Its shorter side. [m]
    length : float
        Its longer side. [m]
    source : Source
        Where the size comes from.
    """

    name: str
    width: float
    length: float
    source: Source

    @property
    def clear(self) -> tuple[float, float]:
        """What the frame leaves open of its sides, the shorter first [m]."""
        return self.width - 2.0 * REBATE, self.length - 2.0 * REBATE


SIZES = Source("common practice", "sheets that are sold cut, and skylights for sheds", Standing.PRACTICE)
# Practice; no document. The smallest first [m]
SHEETS: tuple[WindowSheet, ...] = tuple(
    WindowSheet(
        name=f"{round(1e3 * width)} x {round(1e3 * length)} mm", width=width, length=length, source=SIZES
    )
    for width, length in ((0.30, 0.40), (0.40, 0.40), (0.40, 0.60), (0.50, 0.70))
)
