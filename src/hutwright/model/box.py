"""The box that holds the electronics, and the printer that makes plastic parts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from hutwright.errors import ModelError
from hutwright.model.quantities import Metres, above_zero


@dataclass(frozen=True, kw_only=True, slots=True)
class BoxInside:
    """Clear inside of the box.

    Attributes
    ----------
    width : float
        From left to right. [m]
    height : float
        From bottom to top, as it hangs. [m]
    depth : float
        From lid to back. [m]
    """

    width: Metres
    height: Metres
    depth: Metres

    def __post_init__(self) -> None:
        """Refuse a box of no size."""
        above_zero(width=self.width, height=self.height, depth=self.depth)


@dataclass(frozen=True, kw_only=True, slots=True)
class Box:
    """The box that holds the electronics.

    Attributes
    ----------
    inside : BoxInside
        Its clear inside.
    holds : Mapping
        What it holds: name to length, width and height. [m]
    """

    inside: BoxInside
    holds: Mapping[str, tuple[Metres, Metres, Metres]]

    def __post_init__(self) -> None:
        """Refuse a part of no size."""
        for name, size in self.holds.items():
            if not min(size) > 0.0:
                raise ModelError(
                    f"holds.{name}", f"{min(size):g} m", "lengths above zero", "measure the part again"
                )


@dataclass(frozen=True, kw_only=True, slots=True)
class Bed:
    """What the printer can print at most.

    Attributes
    ----------
    width : float
        From left to right. [m]
    depth : float
        From front to back. [m]
    height : float
        Upwards. [m]
    """

    width: Metres
    depth: Metres
    height: Metres

    def __post_init__(self) -> None:
        """Refuse a bed of no size."""
        above_zero(width=self.width, depth=self.depth, height=self.height)


@dataclass(frozen=True, kw_only=True, slots=True)
class PrintLayer:
    """Layer heights.

    Attributes
    ----------
    height : float
        Of every layer but the first. [m]
    first : float
        Of the first. [m]
    """

    height: Metres
    first: Metres

    def __post_init__(self) -> None:
        """Refuse layers of no height."""
        above_zero(height=self.height, first=self.first)


@dataclass(frozen=True, kw_only=True, slots=True)
class Printer:
    """The printer for plastic parts.

    Attributes
    ----------
    bed : Bed
        What it can print at most.
    layer : PrintLayer
        Its layer heights.
    """

    bed: Bed
    layer: PrintLayer
