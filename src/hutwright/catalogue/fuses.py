"""Fuses by kind: the printed points of time and current, ratings on sale, what they can break."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from hutwright import sources
from hutwright.errors import RequestError
from hutwright.laws.fuse_time import Gate
from hutwright.sources import Source

_MINUTE = 60.0
_HOUR = 3600.0
_NEVER = math.inf


@dataclass(frozen=True, slots=True)
class PrintedGate:
    """One printed point, and where it stands.

    Attributes
    ----------
    gate : Gate
        Multiple of the rating with the bounds on the time to open.
    source : Source
        Where it stands, and how sure.
    """

    gate: Gate
    source: Source


@dataclass(frozen=True, slots=True)
class GateRow:
    """The printed points for a band of ratings.

    Attributes
    ----------
    lowest_rating : float
        Least rating of the band. [A]
    highest_rating : float
        Greatest rating of the band. [A]
    gates : tuple of PrintedGate
        Its points, multiples rising.
    """

    lowest_rating: float
    highest_rating: float
    gates: tuple[PrintedGate, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class FuseKind:
    """One kind of fuse.

    Attributes
    ----------
    name : str
        Name in the table.
    rows : tuple of GateRow
        Printed points, by rating.
    ratings : tuple of float
        Ratings on sale, rising. [A]
    conventional_multiple : float
        Multiple of the rating that opens it for sure in the conventional time. [-]
    conventional_time : float
        That time. [s]
    continuous_share : float
        Share of its rating that it carries for good. [-]
    breaking_floor : float
        Current that every rating can break. [A]
    breaking_multiple : float
        Multiple of the rating that it can break, where that is more. [-]
    voltage : float
        Rated voltage. [V]
    direct_current : bool
        Whether that voltage is meant for direct current.
    source : Source
        Document of the points, the conventional multiple and the breaking capacity.
    breaking_source : Source
        Where the breaking capacity stands.
    """

    name: str
    rows: tuple[GateRow, ...]
    ratings: tuple[float, ...]
    conventional_multiple: float
    conventional_time: float
    continuous_share: float
    breaking_floor: float
    breaking_multiple: float
    voltage: float
    direct_current: bool
    source: Source
    breaking_source: Source

    def printed_gates(self, rating: float) -> tuple[PrintedGate, ...]:
        """The printed points of one rating, each with its source."""
        for row in self.rows:
            if row.lowest_rating <= rating <= row.highest_rating:
                return row.gates
        bands = ", ".join(f"{row.lowest_rating:g} to {row.highest_rating:g} A" for row in self.rows)
        raise RequestError(f"'{self.name}': no points for {rating:g} A; choose a rating of {bands}")

    def gates(self, rating: float) -> tuple[Gate, ...]:
        """All points of one rating, for `laws.fuse_time.opening_time`."""
        return tuple(printed.gate for printed in self.printed_gates(rating))

    def firm_gates(self, rating: float) -> tuple[Gate, ...]:
        """The points of one rating that do not come from memory."""
        return tuple(printed.gate for printed in self.printed_gates(rating) if printed.source.standing.firm)

    def breaking_capacity(self, rating: float) -> float:
        """Greatest current [A] that a fuse of that rating can break."""
        return max(self.breaking_floor, self.breaking_multiple * rating)

    def larger(self, rating: float) -> tuple[float, ...]:
        """Ratings [A] on sale above one, rising."""
        return tuple(other for other in self.ratings if other > rating)

    def smaller(self, rating: float) -> tuple[float, ...]:
        """Ratings [A] on sale below one, falling."""
        return tuple(other for other in reversed(self.ratings) if other < rating)


def _row(lowest: float, highest: float, source: Source, *gates: tuple[float, float, float]) -> GateRow:
    """A band of ratings whose points all stand in one place."""
    return GateRow(lowest, highest, tuple(PrintedGate(Gate(*gate), source) for gate in gates))


# Multiple, shortest time, longest time [s].
# IEC 60127-2, sheets 2, 3 and 5: every kind carries 1.5 times its rating for an hour; standing: second-hand.
_HOLDS = (1.5, _HOUR, _NEVER)

_SHEET_2 = (
    _row(
        0.032, 0.1, sources.IEC_60127_2_SHEET_2,
        _HOLDS, (2.1, 0.0, 30 * _MINUTE), (2.75, 0.010, 0.5), (4.0, 0.003, 0.1), (10.0, 0.0, 0.02),
    ),
    _row(
        0.125, 10.0, sources.IEC_60127_2_SHEET_2,
        _HOLDS, (2.1, 0.0, 30 * _MINUTE), (2.75, 0.050, 2.0), (4.0, 0.010, 0.3), (10.0, 0.0, 0.02),
    ),
)  # fmt: skip
_SHEET_3 = (
    _row(
        0.05, 0.1, sources.IEC_60127_2_SHEET_3,
        _HOLDS, (2.1, 0.0, 2 * _MINUTE), (2.75, 0.2, 10.0), (4.0, 0.04, 3.0), (10.0, 0.01, 0.3),
    ),
    _row(
        0.125, 6.3, sources.IEC_60127_2_SHEET_3,
        _HOLDS, (2.1, 0.0, 2 * _MINUTE), (2.75, 0.6, 10.0), (4.0, 0.15, 3.0), (10.0, 0.02, 0.3),
    ),
)  # fmt: skip
# An older data sheet allows only 100 ms at 10 times the rating; the wider time is kept.
_SHEET_5 = (
    _row(
        1.0, 3.15, sources.IEC_60127_2_SHEET_5,
        _HOLDS, (2.1, 0.0, 30 * _MINUTE), (2.75, 0.75, 80.0), (4.0, 0.095, 5.0), (10.0, 0.01, 0.15),
    ),
    _row(
        4.0, 6.3, sources.IEC_60127_2_SHEET_5,
        _HOLDS, (2.1, 0.0, 30 * _MINUTE), (2.75, 0.75, 80.0), (4.0, 0.15, 5.0), (10.0, 0.02, 0.15),
    ),
)  # fmt: skip
# ISO 8820-3, type C, read for 10 A and taken for every rating: 160 and 200 % second-hand; 135 % is the band
# of the standard as a whole, second-hand and wider than that of one rating; 110, 350 and 600 % recalled.
_TYPE_C = (
    GateRow(
        1.0,
        30.0,
        (
            PrintedGate(Gate(1.1, 100 * _HOUR, _NEVER), sources.ISO_8820_3_TYPE_C_RECALLED),
            PrintedGate(Gate(1.35, 0.75, 1800.0), sources.ISO_8820_3_TYPE_C),
            PrintedGate(Gate(1.6, 0.25, 50.0), sources.ISO_8820_3_TYPE_C),
            PrintedGate(Gate(2.0, 0.15, 5.0), sources.ISO_8820_3_TYPE_C),
            PrintedGate(Gate(3.5, 0.04, 0.5), sources.ISO_8820_3_TYPE_C_RECALLED),
            PrintedGate(Gate(6.0, 0.02, 0.1), sources.ISO_8820_3_TYPE_C_RECALLED),
        ),
    ),
)
# ISO 8820-3, type E: at 200 % one source says 50 s, another 60 s; the longer is kept.
_TYPE_E = (
    _row(
        20.0, 80.0, sources.ISO_8820_3_TYPE_E,
        (1.0, 360_000.0, _NEVER), (1.35, 60.0, 1800.0), (2.0, 2.0, 60.0), (3.5, 0.2, 7.0), (6.0, 0.04, 1.0),
    ),
)  # fmt: skip
# UL 248-14: sources differ on whether it carries 100 or 110 % for good; the lower is kept.
_UL = (
    _row(
        0.1, 30.0, sources.UL_248_14,
        (1.0, 4 * _HOUR, _NEVER), (1.35, 0.0, _HOUR), (2.0, 0.0, 2 * _MINUTE),
    ),
)  # fmt: skip

# Ratings on sale [A]; common practice.
_R10 = (1.0, 1.25, 1.6, 2.0, 2.5, 3.15, 4.0, 5.0, 6.3)
_BELOW_1 = (0.1, 0.125, 0.16, 0.2, 0.25, 0.315, 0.4, 0.5, 0.63, 0.8)
_UL_RATINGS = (
    0.1, 0.125, 0.2, 0.25, 0.3, 0.5, 0.75, 1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 10.0,
    15.0, 20.0, 30.0,
)  # fmt: skip

_KINDS = (
    FuseKind(
        name="blade, ISO 8820-3 type C",
        rows=_TYPE_C,
        ratings=(1.0, 2.0, 3.0, 4.0, 5.0, 7.5, 10.0, 15.0, 20.0, 25.0, 30.0),
        conventional_multiple=1.35,
        conventional_time=1800.0,
        continuous_share=0.75,
        breaking_floor=1000.0,
        breaking_multiple=0.0,
        voltage=32.0,
        direct_current=True,
        source=sources.ISO_8820_3_TYPE_C,
        breaking_source=sources.ISO_8820_3_TYPE_C,
    ),
    FuseKind(
        name="blade, ISO 8820-3 type E",
        rows=_TYPE_E,
        ratings=(20.0, 30.0, 40.0, 50.0, 60.0, 70.0, 80.0),
        conventional_multiple=1.35,
        conventional_time=1800.0,
        continuous_share=0.75,
        breaking_floor=1000.0,
        breaking_multiple=0.0,
        voltage=32.0,
        direct_current=True,
        source=sources.ISO_8820_3_TYPE_E,
        breaking_source=sources.ISO_8820_3_TYPE_E,
    ),
    FuseKind(
        name="glass 5x20 quick F, IEC 60127-2 sheet 2",
        rows=_SHEET_2,
        ratings=(*_BELOW_1, *_R10, 8.0, 10.0),
        conventional_multiple=2.1,
        conventional_time=30 * _MINUTE,
        continuous_share=1.0,
        breaking_floor=35.0,
        breaking_multiple=10.0,
        voltage=250.0,
        direct_current=False,
        source=sources.IEC_60127_2_SHEET_2,
        breaking_source=sources.IEC_60127_2_SHEET_2,
    ),
    FuseKind(
        name="glass 5x20 time-lag T, IEC 60127-2 sheet 3",
        rows=_SHEET_3,
        ratings=(*_BELOW_1, *_R10),
        conventional_multiple=2.1,
        conventional_time=2 * _MINUTE,
        continuous_share=1.0,
        breaking_floor=35.0,
        breaking_multiple=10.0,
        voltage=250.0,
        direct_current=False,
        source=sources.IEC_60127_2_SHEET_3,
        breaking_source=sources.IEC_60127_2_SHEET_3,
    ),
    FuseKind(
        name="ceramic 5x20 time-lag T, IEC 60127-2 sheet 5",
        rows=_SHEET_5,
        ratings=_R10,
        conventional_multiple=2.1,
        conventional_time=30 * _MINUTE,
        continuous_share=1.0,
        breaking_floor=1500.0,
        breaking_multiple=0.0,
        voltage=250.0,
        direct_current=False,
        source=sources.IEC_60127_2_SHEET_5,
        breaking_source=sources.IEC_60127_2_SHEET_5,
    ),
    FuseKind(
        name="cartridge, UL 248-14",
        rows=_UL,
        ratings=_UL_RATINGS,
        conventional_multiple=1.35,
        conventional_time=_HOUR,
        continuous_share=0.75,
        breaking_floor=35.0,
        breaking_multiple=0.0,
        voltage=250.0,
        direct_current=False,
        source=sources.UL_248_14,
        breaking_source=sources.UL_248_14_BREAKING,
    ),
)

FUSES: Mapping[str, FuseKind] = MappingProxyType({kind.name: kind for kind in _KINDS})
# Where the share that a fuse carries for good, and the ratings on sale, come from.
CONTINUOUS_SHARE_SOURCE = sources.FUSE_CONTINUOUS_LOAD
RATINGS_SOURCE = sources.FUSE_RATINGS
