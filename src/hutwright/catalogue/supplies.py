"""Batteries and power supplies by kind; every number is common practice, for want of the builder's own."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from hutwright import sources
from hutwright.catalogue.spread import Spread
from hutwright.sources import Source

_MONTH = 30.0 * 86400.0


@dataclass(frozen=True, kw_only=True, slots=True)
class SupplyKind:
    """One kind of supply.

    Attributes
    ----------
    name : str
        Name in the table.
    battery : bool
        Whether it stores charge.
    nominal_voltage : float
        Voltage that it is sold by. [V]
    voltage : Spread
        At its terminals without load, from empty to full. [V]
    charging_voltage : Spread or None
        While it is charged; None where it is not. [V]
    float_voltage : Spread or None
        While it is kept full; None where it is not. [V]
    resistance : Spread
        Its inner resistance, terminals included. [ohm]
    usable_share : Spread
        Share of its charge that may be drawn. [-]
    self_discharge : Spread
        Share of its charge that it loses by itself. [1/s]
    cold_coefficient : Spread
        Share of its capacity lost per kelvin below 25 degC. [1/K]
    coldest_charging : float or None
        Temperature below which it must not be charged; None where it is not. [K]
    source : Source
        Where the numbers come from.
    """

    name: str
    battery: bool
    nominal_voltage: float
    voltage: Spread
    charging_voltage: Spread | None
    float_voltage: Spread | None
    resistance: Spread
    usable_share: Spread
    self_discharge: Spread
    cold_coefficient: Spread
    coldest_charging: float | None
    source: Source


_LEAD_COLD = Spread(0.006, 0.008, 0.010)
_LEAD_SELF_DISCHARGE = Spread(0.02 / _MONTH, 0.04 / _MONTH, 0.08 / _MONTH)
_NONE = Spread(0.0, 0.0, 0.0)

_KINDS = (
    SupplyKind(
        name="lead-acid 12 V",
        battery=True,
        nominal_voltage=12.0,
        voltage=Spread(11.8, 12.5, 13.0),
        charging_voltage=Spread(14.1, 14.4, 14.8),
        float_voltage=Spread(13.5, 13.6, 13.8),
        resistance=Spread(0.010, 0.030, 0.100),
        usable_share=Spread(0.4, 0.5, 0.6),
        self_discharge=_LEAD_SELF_DISCHARGE,
        cold_coefficient=_LEAD_COLD,
        coldest_charging=253.15,
        source=sources.SUPPLY_PRACTICE,
    ),
    SupplyKind(
        name="lead-acid 24 V",
        battery=True,
        nominal_voltage=24.0,
        voltage=Spread(23.6, 25.0, 26.0),
        charging_voltage=Spread(28.2, 28.8, 29.6),
        float_voltage=Spread(27.0, 27.2, 27.6),
        resistance=Spread(0.020, 0.060, 0.200),
        usable_share=Spread(0.4, 0.5, 0.6),
        self_discharge=_LEAD_SELF_DISCHARGE,
        cold_coefficient=_LEAD_COLD,
        coldest_charging=253.15,
        source=sources.SUPPLY_PRACTICE,
    ),
    SupplyKind(
        name="LiFePO4 12 V",
        battery=True,
        nominal_voltage=12.8,
        voltage=Spread(12.0, 13.1, 13.6),
        charging_voltage=Spread(14.0, 14.4, 14.6),
        float_voltage=Spread(13.4, 13.5, 13.8),
        resistance=Spread(0.005, 0.020, 0.060),
        usable_share=Spread(0.80, 0.85, 0.90),
        self_discharge=Spread(0.01 / _MONTH, 0.02 / _MONTH, 0.04 / _MONTH),
        cold_coefficient=Spread(0.003, 0.005, 0.010),
        coldest_charging=273.15,
        source=sources.SUPPLY_PRACTICE,
    ),
    SupplyKind(
        name="mains power supply",
        battery=False,
        nominal_voltage=12.0,
        voltage=Spread(11.4, 12.0, 12.6),
        charging_voltage=None,
        float_voltage=None,
        resistance=Spread(0.010, 0.050, 0.200),
        usable_share=Spread(1.0, 1.0, 1.0),
        self_discharge=_NONE,
        cold_coefficient=_NONE,
        coldest_charging=None,
        source=sources.SUPPLY_PRACTICE,
    ),
)

SUPPLIES: Mapping[str, SupplyKind] = MappingProxyType({kind.name: kind for kind in _KINDS})
# Where the loss of lead in the cold comes from.
LEAD_COLD_SOURCE = sources.LEAD_ACID_COLD
