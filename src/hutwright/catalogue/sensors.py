"""Current sensors by kind."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from types import MappingProxyType

from hutwright import sources
from hutwright.catalogue.spread import Spread
from hutwright.sources import Source


class SensorType(Enum):
    """What a current sensor makes use of."""

    HALL = "Hall effect"
    SHUNT = "shunt"


@dataclass(frozen=True, kw_only=True, slots=True)
class SensorKind:
    """One kind of current sensor.

    Attributes
    ----------
    name : str
        Name in the table.
    type : SensorType
        What it makes use of.
    range : float
        Greatest current that it shows. [A]
    both_ways : bool
        Whether it shows currents of either sign.
    sensitivity : Spread
        Rise of its output with the current, at its supply. [V/A]
    noise : float
        Noise at its output, peak to peak, with a filter of 2 kHz. [V]
    supply : float
        Supply that the sensitivity is given for. [V]
    zero_ratio : float
        Output without current, as a share of the supply. [-]
    zero_drift : float or None
        Greatest drift of the zero with temperature; None where not known. [V/K]
    conductor_resistance : float
        Resistance that it puts in the motor's lead. [ohm]
    source : Source
        Where the typical sensitivity stands.
    spread_source : Source
        Where the bounds of the sensitivity stand.
    noise_source : Source
        Where the noise stands.
    """

    name: str
    type: SensorType
    range: float
    both_ways: bool
    sensitivity: Spread
    noise: float
    supply: float
    zero_ratio: float
    zero_drift: float | None
    conductor_resistance: float
    source: Source
    spread_source: Source
    noise_source: Source


# Data sheet of a 5 V open-loop Hall current sensor; standing: read.
_HALL_CONDUCTOR = 1.2e-3
_HALL_SUPPLY = 5.0

_KINDS = (
    SensorKind(
        name="Hall 5 A",
        type=SensorType.HALL,
        range=5.0,
        both_ways=True,
        sensitivity=Spread(0.180, 0.185, 0.190),
        noise=0.021,
        supply=_HALL_SUPPLY,
        zero_ratio=0.5,
        zero_drift=0.26e-3,
        conductor_resistance=_HALL_CONDUCTOR,
        source=sources.HALL_DATA_SHEET,
        spread_source=sources.HALL_DATA_SHEET,
        noise_source=sources.HALL_DATA_SHEET,
    ),
    SensorKind(
        name="Hall 20 A",
        type=SensorType.HALL,
        range=20.0,
        both_ways=True,
        sensitivity=Spread(0.096, 0.100, 0.104),
        noise=0.011,
        supply=_HALL_SUPPLY,
        zero_ratio=0.5,
        zero_drift=None,
        conductor_resistance=_HALL_CONDUCTOR,
        source=sources.HALL_DATA_SHEET,
        spread_source=sources.HALL_DATA_SHEET,
        noise_source=sources.HALL_DATA_SHEET,
    ),
    SensorKind(
        name="Hall 30 A",
        type=SensorType.HALL,
        range=30.0,
        both_ways=True,
        sensitivity=Spread(0.063, 0.066, 0.069),  # bounds not printed in what was read
        noise=0.007,
        supply=_HALL_SUPPLY,
        zero_ratio=0.5,
        zero_drift=None,
        conductor_resistance=_HALL_CONDUCTOR,
        source=sources.HALL_DATA_SHEET,
        spread_source=sources.HALL_DATA_SHEET_RECALLED,
        noise_source=sources.HALL_DATA_SHEET_RECALLED,
    ),
    SensorKind(
        name="shunt 10 mohm, gain 20",
        type=SensorType.SHUNT,
        range=25.0,  # where the output reaches its supply
        both_ways=False,
        sensitivity=Spread(0.196, 0.200, 0.204),  # 1 % shunt, 1 % gain
        noise=0.005,
        supply=5.0,
        zero_ratio=0.0,
        zero_drift=None,
        conductor_resistance=10e-3,
        source=sources.SHUNT,
        spread_source=sources.SHUNT_PRACTICE,
        noise_source=sources.SHUNT_PRACTICE,
    ),
)

SENSORS: Mapping[str, SensorKind] = MappingProxyType({kind.name: kind for kind in _KINDS})
