"""Copper cores of cables by name: cross-section, resistance, current capacity."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from types import MappingProxyType

from hutwright import sources
from hutwright.sources import Source

# IEC 60364-5-52, factors for air temperature: temperature that PVC stands for good; standing: second-hand.
PVC_LIMIT = 343.15


class CoreClass(Enum):
    """How a core is built; the value ends its name in the table."""

    STRANDED = "class 2"
    FLEXIBLE = "class 5"
    FLEXIBLE_TINNED = "class 5 tinned"


@dataclass(frozen=True, kw_only=True, slots=True)
class Core:
    """One core of a cable with PVC insulation.

    Attributes
    ----------
    name : str
        Name in the table.
    core_class : CoreClass
        How it is built.
    area : float
        Cross-section. [m2]
    resistance_per_length : float
        Greatest resistance of a metre at 20 degC. [ohm/m]
    capacity : float
        Current that two loaded cores of one cable carry for good in air of 30 degC. [A]
    insulation_limit : float
        Temperature that the insulation stands for good. [K]
    source : Source
        Where the resistance stands.
    capacity_source : Source
        Where the capacity stands.
    """

    name: str
    core_class: CoreClass
    area: float
    resistance_per_length: float
    capacity: float
    insulation_limit: float = PVC_LIMIT
    source: Source
    capacity_source: Source


# Size in mm2 as printed, area [m2], greatest resistance at 20 degC [ohm/m]: class 2, class 5, class 5 tinned.
# IEC 60228:2004, tables 1 to 3; standing: second-hand, three tables agree.
_SIZES = (
    ("0.5", 0.5e-6, 36.0e-3, 39.0e-3, 40.1e-3),
    ("0.75", 0.75e-6, 24.5e-3, 26.0e-3, 26.7e-3),
    ("1", 1.0e-6, 18.1e-3, 19.5e-3, 20.0e-3),
    ("1.5", 1.5e-6, 12.1e-3, 13.3e-3, 13.7e-3),
    ("2.5", 2.5e-6, 7.41e-3, 7.98e-3, 8.21e-3),
    ("4", 4.0e-6, 4.61e-3, 4.95e-3, 5.09e-3),
    ("6", 6.0e-6, 3.08e-3, 3.30e-3, 3.39e-3),
    ("10", 10.0e-6, 1.83e-3, 1.91e-3, 1.95e-3),
)

# Capacity of flexible cores [A].  DIN VDE 0298-4:2023-06, table 11, multicore, 2 to 3 loaded, 30 degC;
# 0.5 mm2 from its column for household flex, two loaded; standing: second-hand.
_FLEXIBLE_CAPACITY: Mapping[str, tuple[float, Source]] = {
    "0.5": (3.0, sources.CABLE_CAPACITY_HOUSEHOLD),
    "0.75": (12.0, sources.CABLE_CAPACITY),
    "1": (15.0, sources.CABLE_CAPACITY),
    "1.5": (18.0, sources.CABLE_CAPACITY),
    "2.5": (26.0, sources.CABLE_CAPACITY),
    "4": (34.0, sources.CABLE_CAPACITY),
    "6": (44.0, sources.CABLE_CAPACITY),
    "10": (61.0, sources.CABLE_CAPACITY),
}

# Capacity of class 2 cores [A], which lie fixed, in conduit on a wall.  IEC 60364-5-52, table B.52.2, method
# B2; standing: second-hand, 10 mm2 recalled.  1 mm2: method A1 of SANS 10142-1.  The two smallest sizes are
# not printed for fixed wiring and take the household column, the most careful one.
_STRANDED_CAPACITY: Mapping[str, tuple[float, Source]] = {
    "0.5": (3.0, sources.CABLE_CAPACITY_HOUSEHOLD),
    "0.75": (6.0, sources.CABLE_CAPACITY_HOUSEHOLD),
    "1": (11.0, sources.SANS_10142_A1),
    "1.5": (16.5, sources.IEC_60364_5_52_B2),
    "2.5": (23.0, sources.IEC_60364_5_52_B2),
    "4": (30.0, sources.IEC_60364_5_52_B2),
    "6": (38.0, sources.IEC_60364_5_52_B2),
    "10": (52.0, sources.IEC_60364_5_52_B2_RECALLED),
}


def _table() -> Mapping[str, Core]:
    """All cores, class by class, thin to thick."""
    cores: dict[str, Core] = {}
    for column, core_class in enumerate(CoreClass):
        stranded = core_class is CoreClass.STRANDED
        capacities = _STRANDED_CAPACITY if stranded else _FLEXIBLE_CAPACITY
        for size, area, *resistances in _SIZES:
            name = f"{size} mm2 {core_class.value}"
            capacity, capacity_source = capacities[size]
            cores[name] = Core(
                name=name,
                core_class=core_class,
                area=area,
                resistance_per_length=resistances[column],
                capacity=capacity,
                source=sources.IEC_60228_CLASS_2 if stranded else sources.IEC_60228_CLASS_5,
                capacity_source=capacity_source,
            )
    return MappingProxyType(cores)


CORES: Mapping[str, Core] = _table()


def larger(name: str) -> tuple[str, ...]:
    """Names of the thicker cores of the same class, thin to thick."""
    core = CORES[name]
    same = (other for other in CORES.values() if other.core_class is core.core_class)
    return tuple(other.name for other in same if other.area > core.area)
