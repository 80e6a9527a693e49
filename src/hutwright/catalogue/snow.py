"""Kinds of snow by age and wetness, with their weight by volume."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from hutwright import sources
from hutwright.catalogue.spread import Spread
from hutwright.sources import Source


@dataclass(frozen=True, kw_only=True, slots=True)
class SnowKind:
    """One kind of snow.

    Attributes
    ----------
    name : str
        Name in the table.
    unit_weight : Spread
        Weight by volume. [N/m3]
    source : Source
        Where the weight comes from.
    """

    name: str
    unit_weight: Spread
    source: Source


# EN 1991-1-3:2003, annex E; standing: second-hand. The bounds of old snow are recalled; those of the others
# are ours, a fifth either way.
_KINDS = (
    SnowKind(name="fresh", unit_weight=Spread(800.0, 1000.0, 1200.0), source=sources.EN_1991_1_3_WEIGHTS),
    SnowKind(name="settled", unit_weight=Spread(1600.0, 2000.0, 2400.0), source=sources.EN_1991_1_3_WEIGHTS),
    SnowKind(name="old", unit_weight=Spread(2500.0, 3000.0, 3500.0), source=sources.EN_1991_1_3_WEIGHTS),
    SnowKind(name="wet", unit_weight=Spread(3200.0, 4000.0, 4800.0), source=sources.EN_1991_1_3_WEIGHTS),
)

SNOW_KINDS: Mapping[str, SnowKind] = MappingProxyType({kind.name: kind for kind in _KINDS})
