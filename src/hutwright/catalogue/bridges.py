"""Motor bridges by kind: what they take from the voltage and what they stand."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from types import MappingProxyType

from hutwright import sources
from hutwright.catalogue.spread import Spread
from hutwright.laws.bridge_drop import drop_line
from hutwright.sources import Source


class BridgeType(Enum):
    """How the switches of a bridge behave when they conduct."""

    SATURATING = "saturating"
    FET = "MOSFET"


@dataclass(frozen=True, kw_only=True, slots=True)
class BridgeKind:
    """One kind of bridge.

    Attributes
    ----------
    name : str
        Name in the table.
    type : BridgeType
        How its switches behave.
    channels : int
        Full bridges in it that may work in parallel for one motor.
    drop_at_one : Spread or None
        Total drop of one channel at 1 A, source and sink; None for a MOSFET bridge. [V]
    drop_at_two : Spread or None
        Total drop of one channel at 2 A, source and sink; None for a MOSFET bridge. [V]
    offset : Spread
        Part of the drop that does not depend on the current. [V]
    resistance : Spread
        Part of the drop of one channel that grows with its current; of a MOSFET both switches, 25 degC. [ohm]
    hot_factor : Spread
        Factor on that resistance at working temperature. [-]
    direct_current : float
        Current that one channel carries for good, cooled. [A]
    repetitive_current : float
        Peak that one channel stands again and again. [A]
    peak_current : float
        Peak that one channel stands once, for 100 us. [A]
    paralleled_direct_current : float
        Current that all channels in parallel carry for good; that of one where there is but one. [A]
    paralleled_repetitive_current : float
        Peak that all channels in parallel stand again and again. [A]
    lowest_supply : float
        Supply of the motor below which it does not switch. [V]
    highest_supply : float
        Greatest supply of the motor. [V]
    quiescent : Spread
        Current that it takes for itself. [A]
    junction_limit : float
        Greatest temperature of its junctions. [K]
    junction_case : float
        Thermal resistance from junction to case. [K/W]
    junction_ambient : float
        Thermal resistance from junction to air without a heat sink. [K/W]
    needs_outside_diodes : bool
        Whether fast diodes must be added for a motor.
    carries_regulator : bool
        Whether modules with it commonly carry a 5 V regulator of their own.
    source : Source
        Where the drop or resistance stands.
    limits_source : Source
        Where the limits stand.
    """

    name: str
    type: BridgeType
    channels: int
    drop_at_one: Spread | None
    drop_at_two: Spread | None
    offset: Spread
    resistance: Spread
    hot_factor: Spread
    direct_current: float
    repetitive_current: float
    peak_current: float
    paralleled_direct_current: float
    paralleled_repetitive_current: float
    lowest_supply: float
    highest_supply: float
    quiescent: Spread
    junction_limit: float
    junction_case: float
    junction_ambient: float
    needs_outside_diodes: bool
    carries_regulator: bool
    source: Source
    limits_source: Source

    def current_limit(self, paralleled: int) -> float:
        """Current [A] for good with so many channels in parallel, never more than is printed."""
        return self.direct_current if paralleled == 1 else self.paralleled_direct_current

    def repetitive_limit(self, paralleled: int) -> float:
        """Repeated peak [A] with so many channels in parallel, never more than is printed."""
        return self.repetitive_current if paralleled == 1 else self.paralleled_repetitive_current


# Data sheet of a dual full-bridge driver, January 2000, table 'Electrical characteristics', 25 degC junction,
# total of source and sink; standing: read.  At 1 A the typical total is the sum of both typical values.
_DROP_AT_ONE = Spread(1.80, 2.55, 3.2)
# The least value at 2 A is not printed: the typical one, as least to typical at 1 A; derived here.
_DROP_AT_TWO = Spread(2.61, 3.7, 4.9)


def _lines() -> tuple[Spread, Spread]:
    """Offset and resistance through the two points, each of least, typical and greatest."""
    low = drop_line(_DROP_AT_ONE.low, _DROP_AT_TWO.low)
    nominal = drop_line(_DROP_AT_ONE.nominal, _DROP_AT_TWO.nominal)
    high = drop_line(_DROP_AT_ONE.high, _DROP_AT_TWO.high)
    return Spread(low[0], nominal[0], high[0]), Spread(low[1], nominal[1], high[1])


_OFFSET, _RESISTANCE = _lines()

_KINDS = (
    BridgeKind(
        name="dual bipolar",
        type=BridgeType.SATURATING,
        channels=2,
        drop_at_one=_DROP_AT_ONE,
        drop_at_two=_DROP_AT_TWO,
        offset=_OFFSET,
        resistance=_RESISTANCE,
        hot_factor=Spread(1.0, 1.0, 1.0),  # the printed bounds stand for the spread
        direct_current=2.0,
        repetitive_current=2.5,
        peak_current=3.0,
        paralleled_direct_current=3.0,
        paralleled_repetitive_current=3.5,
        lowest_supply=4.8,
        highest_supply=46.0,
        quiescent=Spread(0.010, 0.025, 0.070),  # common practice, logic and motor side together
        junction_limit=403.15,
        junction_case=3.0,
        junction_ambient=35.0,
        needs_outside_diodes=True,
        carries_regulator=True,
        source=sources.BRIDGE_DATA_SHEET_DROP,
        limits_source=sources.BRIDGE_DATA_SHEET_LIMITS,
    ),
    BridgeKind(
        name="single MOSFET 30 A class",
        type=BridgeType.FET,
        channels=1,
        drop_at_one=None,
        drop_at_two=None,
        offset=Spread(0.0, 0.0, 0.0),
        resistance=Spread(0.010, 0.020, 0.040),
        hot_factor=Spread(1.3, 1.5, 1.7),
        direct_current=15.0,
        repetitive_current=30.0,
        peak_current=30.0,
        paralleled_direct_current=15.0,
        paralleled_repetitive_current=30.0,
        lowest_supply=6.0,
        highest_supply=28.0,
        quiescent=Spread(0.001, 0.005, 0.015),
        junction_limit=423.15,
        junction_case=2.0,
        junction_ambient=40.0,
        needs_outside_diodes=False,
        carries_regulator=False,
        source=sources.FET_BRIDGE_PRACTICE,
        limits_source=sources.FET_BRIDGE_PRACTICE,
    ),
)

BRIDGES: Mapping[str, BridgeKind] = MappingProxyType({kind.name: kind for kind in _KINDS})
