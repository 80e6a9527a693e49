"""Numbers as almanacs and navigation files write them, by a strict rule of our own."""

from __future__ import annotations

import math
import re

from hutwright.errors import shortened
from hutwright.evidence.side_file import Findings

_NUMBER = re.compile(r"[+-]?(?:\d{1,30}\.?\d{0,30}|\.\d{1,30})(?:[DdEe][+-]?\d{1,4})?", re.ASCII)
_WHOLE = re.compile(r"\d{1,9}", re.ASCII)


def number_of(text: str) -> float | None:
    """The finite number that a text is, D as good as E before the exponent; None where it is none."""
    bare = text.strip()
    if not _NUMBER.fullmatch(bare):
        return None
    value = float(bare.replace("D", "E").replace("d", "e"))
    return value if math.isfinite(value) else None


def whole_of(text: str) -> int | None:
    """The whole number that a text is; None where it is none."""
    bare = text.strip()
    return int(bare) if _WHOLE.fullmatch(bare) else None


class Bounds:
    """What a value may be: from a least to a greatest, and its unit in words."""

    def __init__(self, least: float, greatest: float, unit: str = "") -> None:
        """Keep them."""
        self.least, self.greatest, self.unit = least, greatest, unit

    def hold(self, value: float) -> bool:
        """Whether the value lies within."""
        return self.least <= value <= self.greatest

    def __str__(self) -> str:
        unit = f" {self.unit}" if self.unit else ""
        return f"{self.least:g} to {self.greatest:g}{unit}"


# What an orbit of a navigation satellite can be; ours to choose, wide around every system.
SHAPE = Bounds(0.0, 0.5)
ROOT_AXIS = Bounds(4_500.0, 7_000.0, "m^1/2")  # 20 250 to 49 000 km
ANGLE = Bounds(-6.4, 6.4, "rad")
TILT = Bounds(0.0, 3.2, "rad")
NODE_RATE = Bounds(-1e-6, 1e-6, "rad/s")
OF_WEEK = Bounds(0.0, 604_800.0, "s")


def bounded(findings: Findings, line: int, path: str, text: str, bounds: Bounds, remedy: str) -> float | None:
    """The number in a text if it lies within bounds; otherwise a fault is kept and None comes back."""
    value = number_of(text)
    if value is None:
        read = shortened(text.strip()) if text.strip() else "nothing"
        findings.add(line, path, read, f"a number, {bounds}", remedy)
        return None
    if not bounds.hold(value):
        findings.add(line, path, shortened(text.strip()), str(bounds), remedy)
        return None
    return value
