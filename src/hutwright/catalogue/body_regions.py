"""Regions of the body: the force and pressure at which touch begins to hurt, stiffness and mass."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from hutwright import sources
from hutwright.sources import Source

# ISO/TS 15066:2016, annex A: a contact that passes may be twice as hard; standing: second-hand
TRANSIENT_FACTOR = 2.0


@dataclass(frozen=True, kw_only=True, slots=True)
class BodyRegion:
    """One region of the body.

    Attributes
    ----------
    name : str
        Name in the table.
    force : float
        Greatest force that lasts. [N]
    pressure : tuple
        Greatest pressure that lasts, at the region's weakest and strongest point. [Pa]
    stiffness : float
        Stiffness against pressing. [N/m]
    mass : float
        Effective mass. [kg]
    touchable : bool
        Whether a passing contact is permissible at all; it is not on skull, forehead and face.
    source : Source
        Where the numbers come from.
    """

    name: str
    force: float
    pressure: tuple[float, float]
    stiffness: float
    mass: float
    touchable: bool
    source: Source

    @property
    def transient_force(self) -> float | None:
        """Greatest force of a contact that passes, in N; None where none is permissible."""
        return TRANSIENT_FACTOR * self.force if self.touchable else None


def _row(
    name: str,
    force: float,
    pressure_n_per_cm2: tuple[float, float],
    stiffness_n_per_mm: float,
    mass: float,
    *,
    touchable: bool = True,
) -> BodyRegion:
    low, high = pressure_n_per_cm2
    return BodyRegion(
        name=name,
        force=force,
        pressure=(low * 1e4, high * 1e4),
        stiffness=stiffness_n_per_mm * 1e3,
        mass=mass,
        touchable=touchable,
        source=sources.ISO_TS_15066_LIMITS,
    )


# ISO/TS 15066:2016, tables A.2 and A.3; standing: second-hand, two transcriptions that agree. Onset of pain
# of 100 healthy adults; no figures for children. Other figures circulate under the same name and are wrong.
_REGIONS = (
    _row("skull and forehead", 130.0, (110.0, 130.0), 150.0, 4.4, touchable=False),
    _row("face", 65.0, (110.0, 110.0), 75.0, 4.4, touchable=False),
    _row("neck", 150.0, (140.0, 210.0), 50.0, 1.2),
    _row("back and shoulders", 210.0, (160.0, 210.0), 35.0, 40.0),
    _row("chest", 140.0, (120.0, 170.0), 25.0, 40.0),
    _row("abdomen", 110.0, (140.0, 140.0), 10.0, 40.0),
    _row("pelvis", 180.0, (210.0, 210.0), 25.0, 40.0),
    _row("upper arm and elbow", 150.0, (190.0, 220.0), 30.0, 3.0),
    _row("lower arm and wrist", 160.0, (180.0, 190.0), 40.0, 2.0),
    _row("hand and fingers", 140.0, (190.0, 300.0), 75.0, 0.6),
    _row("thigh and knee", 220.0, (220.0, 250.0), 50.0, 75.0),
    _row("lower leg", 130.0, (210.0, 220.0), 60.0, 75.0),
)

BODY_REGIONS: Mapping[str, BodyRegion] = MappingProxyType({region.name: region for region in _REGIONS})
