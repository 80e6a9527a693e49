"""Voltage regulators by kind: what they need above their output, and the heat they stand."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from types import MappingProxyType

from hutwright import sources
from hutwright.catalogue.spread import Spread
from hutwright.sources import Source


class RegulatorType(Enum):
    """How a regulator loses the voltage that is not wanted."""

    LINEAR = "linear"
    SWITCHING = "switching"


@dataclass(frozen=True, kw_only=True, slots=True)
class RegulatorKind:
    """One kind of regulator.

    Attributes
    ----------
    name : str
        Name in the table.
    type : RegulatorType
        How it works.
    output : Spread
        Output in regulation. [V]
    current_limit : float
        Greatest current of the load. [A]
    dropout : Spread
        Least difference between input and output in regulation, over load and temperature. [V]
    quiescent : Spread
        Current that it takes for itself. [A]
    efficiency : Spread
        Share of the power that comes out; 1 for a linear one, whose loss follows from the voltages. [-]
    highest_input : float
        Greatest input. [V]
    junction_limit : float
        Greatest temperature of its junction. [K]
    junction_case : float or None
        Thermal resistance from junction to case; None where not known. [K/W]
    junction_ambient : float
        Thermal resistance from junction to air without a heat sink. [K/W]
    input_capacitor : float
        Least capacitor at the input that it is tested with. [F]
    output_capacitor : float
        Least capacitor at the output that it is tested with. [F]
    source : Source
        Where the typical dropout, the limits and the capacitors stand.
    spread_source : Source
        Where the bounds of the dropout come from.
    own_current_source : Source
        Where its own current and the bounds of its output come from.
    """

    name: str
    type: RegulatorType
    output: Spread
    current_limit: float
    dropout: Spread
    quiescent: Spread
    efficiency: Spread
    highest_input: float
    junction_limit: float
    junction_case: float | None
    junction_ambient: float
    input_capacitor: float
    output_capacitor: float
    source: Source
    spread_source: Source
    own_current_source: Source


# Typical 2 V: data sheets of both families; standing: read.  Bounds: common practice.
_DROPOUT = Spread(1.7, 2.0, 2.5)
# 5 mA, at most 8 mA; recalled, the least value common practice.
_QUIESCENT = Spread(0.003, 0.005, 0.008)
_LINEAR = Spread(1.0, 1.0, 1.0)


def _linear(name: str, volts: float, *, half: bool) -> RegulatorKind:
    """A linear regulator of the 0.5 A or the 1 A family."""
    return RegulatorKind(
        name=name,
        type=RegulatorType.LINEAR,
        output=Spread(0.96 * volts, volts, 1.04 * volts),
        current_limit=0.5 if half else 1.0,
        dropout=_DROPOUT,
        quiescent=_QUIESCENT,
        efficiency=_LINEAR,
        highest_input=35.0,
        junction_limit=423.15 if half else 398.15,
        junction_case=3.0 if half else 5.0,
        junction_ambient=50.0 if half else 65.0,
        input_capacitor=0.33e-6,
        output_capacitor=0.1e-6,
        source=sources.REGULATOR_DATA_SHEET_HALF_A if half else sources.REGULATOR_DATA_SHEET_1_A,
        spread_source=sources.REGULATOR_SPREAD,
        own_current_source=sources.REGULATOR_OWN_CURRENT,
    )


_KINDS = (
    _linear("linear 5 V 0.5 A", 5.0, half=True),
    _linear("linear 5 V 1 A", 5.0, half=False),
    _linear("linear 9 V 1 A", 9.0, half=False),
    _linear("linear 12 V 1 A", 12.0, half=False),
    RegulatorKind(
        name="switching 5 V 3 A",
        type=RegulatorType.SWITCHING,
        output=Spread(4.85, 5.0, 5.15),
        current_limit=3.0,
        dropout=Spread(1.0, 1.5, 2.0),
        quiescent=Spread(0.001, 0.005, 0.010),
        efficiency=Spread(0.80, 0.87, 0.92),
        highest_input=28.0,
        junction_limit=398.15,
        junction_case=None,
        junction_ambient=40.0,
        input_capacitor=22e-6,
        output_capacitor=22e-6,
        source=sources.SWITCHING_REGULATOR_PRACTICE,
        spread_source=sources.SWITCHING_REGULATOR_PRACTICE,
        own_current_source=sources.SWITCHING_REGULATOR_PRACTICE,
    ),
)

REGULATORS: Mapping[str, RegulatorKind] = MappingProxyType({kind.name: kind for kind in _KINDS})
