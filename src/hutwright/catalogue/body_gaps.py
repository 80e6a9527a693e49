"""Least gaps that keep body parts from being crushed, and the least gaps that they get into."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from hutwright import sources
from hutwright.laws.crush_gap import FINGER_ENTERS, gap_closes_on
from hutwright.sources import Source


@dataclass(frozen=True, kw_only=True, slots=True)
class BodyGap:
    """One body part before a gap.

    Attributes
    ----------
    name : str
        Name in the table.
    least : float
        Least gap that keeps it safe. [m]
    entry : float
        Least gap that it gets into. [m]
    source : Source
        Where the least safe gap stands.
    entry_source : Source
        Where the gap that it gets into stands.
    """

    name: str
    least: float
    entry: float
    source: Source
    entry_source: Source


def _row(name: str, least: float, entry: float, entry_source: Source = sources.BODY_PART_ENTRY) -> BodyGap:
    return BodyGap(
        name=name, least=least, entry=entry, source=sources.ISO_13854_GAPS, entry_source=entry_source
    )


# Least gaps: ISO 13854:2017; standing: second-hand, two lists that agree. What a part gets into: the finger
# 49 CFR 571.118, S5, obstacles from 4 mm (read); the others as thick as a small child's, practice.
_GAPS = (
    _row("body", 0.500, 0.090),
    _row("head", 0.300, 0.090),
    _row("leg", 0.180, 0.045),
    _row("foot", 0.120, 0.030),
    _row("arm", 0.120, 0.030),
    _row("hand", 0.100, 0.015),
    _row("toes", 0.050, 0.010),
    _row("finger", 0.025, FINGER_ENTERS, sources.US_WINDOW_OBSTACLES),
)

BODY_GAPS: Mapping[str, BodyGap] = MappingProxyType({gap.name: gap for gap in _GAPS})
# The same as plain numbers, for `parts_passed`. [m]
LEAST_GAPS: Mapping[str, float] = MappingProxyType({gap.name: gap.least for gap in _GAPS})


def parts_at_risk(start: float, end: float) -> tuple[BodyGap, ...]:
    """Body parts that a gap can close on as it shrinks from start to end (in m), widest least gap first."""
    return tuple(gap for gap in _GAPS if gap_closes_on(start, end, gap.least, gap.entry))
