"""Materials of walls, roofs, leaves and panes, by what a builder calls them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from hutwright.sources import Source, Standing

MATERIAL_DENSITIES = Source(
    "common practice of the trade", "densities of building materials", Standing.PRACTICE
)


@dataclass(frozen=True, kw_only=True, slots=True)
class Material:
    """One material.

    Attributes
    ----------
    name : str
        What a builder calls it.
    density : tuple
        Least, usual and greatest density. [kg/m3]
    metal : bool
        Whether radio waves stop at it.
    source : Source
        Where the density comes from.
    """

    name: str
    density: tuple[float, float, float]
    metal: bool
    source: Source


def _row(name: str, low: float, usual: float, high: float, *, metal: bool = False) -> tuple[str, Material]:
    return name, Material(name=name, density=(low, usual, high), metal=metal, source=MATERIAL_DENSITIES)


# Densities: common practice, dry to moist; wood as sold out of doors. Standing: practice.
MATERIALS: Mapping[str, Material] = MappingProxyType(
    dict(
        (
            _row("softwood boards", 380.0, 470.0, 600.0),
            _row("hardwood boards", 600.0, 700.0, 900.0),
            _row("plywood", 450.0, 560.0, 700.0),
            _row("oriented strand board", 580.0, 630.0, 700.0),
            _row("chipboard", 600.0, 680.0, 750.0),
            _row("steel sheet", 7800.0, 7850.0, 7900.0, metal=True),
            _row("aluminium sheet", 2650.0, 2700.0, 2750.0, metal=True),
            _row("aluminium foil", 2650.0, 2700.0, 2750.0, metal=True),
            _row("polycarbonate", 1190.0, 1200.0, 1220.0),
            _row("twin-wall polycarbonate", 150.0, 180.0, 250.0),
            _row("acrylic glass", 1180.0, 1190.0, 1200.0),
            _row("window glass", 2450.0, 2500.0, 2550.0),
            _row("mineral wool", 20.0, 40.0, 120.0),
            _row("polystyrene foam", 15.0, 25.0, 40.0),
            _row("bitumen felt", 1000.0, 1100.0, 1200.0),
            _row("plastic sheet", 900.0, 1100.0, 1450.0),
            _row("concrete", 2200.0, 2350.0, 2500.0),
            _row("brick", 1400.0, 1700.0, 2000.0),
        )
    )
)
