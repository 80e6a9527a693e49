"""Radio constants of the catalogue's materials at 1 to 6 GHz, dry and wet, and how sure they are."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from types import MappingProxyType

from hutwright.errors import RequestError
from hutwright.laws.permittivity import mixed_permittivity, permittivity_of_fit, permittivity_of_loss_tangent
from hutwright.sources import Source, Standing


class Confidence(Enum):
    """How far a row may be trusted at the satellites' frequencies."""

    GOOD = "good"
    FAIR = "fair"
    LOW = "low"


@dataclass(frozen=True, slots=True)
class Fit:
    """Real part a f^b and conductivity c f^d, f in GHz, as ITU-R P.2040 has them.

    Attributes
    ----------
    a : float
        Real part at 1 GHz. [-]
    b : float
        Exponent of the real part. [-]
    c : float
        Conductivity at 1 GHz. [S/m]
    d : float
        Exponent of the conductivity. [-]
    """

    a: float
    b: float
    c: float
    d: float

    def at(self, frequency: float) -> complex:
        """The relative permittivity at a frequency [Hz -> -]."""
        return complex(permittivity_of_fit(frequency, self.a, self.b, self.c, self.d))


@dataclass(frozen=True, slots=True)
class Flat:
    """A permittivity that hardly moves between 1 and 6 GHz.

    Attributes
    ----------
    real : float
        Real part. [-]
    loss_tangent : float
        Loss tangent. [-]
    share : float
        Share of the volume that is solid; the rest is air. [-]
    """

    real: float
    loss_tangent: float
    share: float = 1.0

    def at(self, frequency: float) -> complex:
        """The relative permittivity; the frequency does not matter [Hz -> -]."""
        del frequency
        return mixed_permittivity(permittivity_of_loss_tangent(self.real, self.loss_tangent), self.share)


@dataclass(frozen=True, kw_only=True, slots=True)
class Dielectric:
    """Radio constants of one material.

    Attributes
    ----------
    name : str
        The material's name in the catalogue.
    dry : Fit or Flat
        As it is in dry weather.
    wet : Fit, Flat or None
        Soaked; None where water does not enter it.
    source : Source
        Where the dry row comes from.
    wet_source : Source or None
        Where the wet row comes from.
    confidence : Confidence
        How far the dry row may be trusted.
    wet_confidence : Confidence
        How far the wet row may be trusted.
    tight : bool
        Whether it keeps water from what lies behind it.
    note : str
        What to know of it, "" for nothing.
    """

    name: str
    dry: Fit | Flat
    wet: Fit | Flat | None
    source: Source
    wet_source: Source | None
    confidence: Confidence
    wet_confidence: Confidence
    tight: bool
    note: str

    def at(self, frequency: float, *, wet: bool = False) -> complex:
        """The relative permittivity, soaked or dry [Hz -> -]."""
        return (self.wet if wet and self.wet is not None else self.dry).at(frequency)


P_2040 = Source("ITU-R P.2040-3", "table 3, building materials", Standing.SECOND_HAND)
PLASTICS = Source(
    "university list of permittivities after a survey in IEEE T-MTT 51 (2003)", "plastics", Standing.READ
)
POLYCARBONATE_LOSS = Source("survey in IEEE T-MTT 51 (2003)", "polycarbonate, 0.006", Standing.RECALLED)
RECALLED_PLASTICS = Source("handbooks of materials", "foams, felts and fibres", Standing.RECALLED)
WET_TIMBER = Source(
    "assumption of this project",
    "soaked timber, 6 and loss tangent 0.2, between 3.5 and 7",
    Standing.PRACTICE,
)

# Timber at 25 to 30 % moisture: no document gives numbers at 1 to 6 GHz; mixing by volume brackets the real
# part to 2.6..4.9 at 25 % and 4.2..7.4 at 40 %. Standing: practice, an assumption of low confidence [-]
SOAKED = Flat(6.0, 0.2)
# What a metallised or low-emissivity pane costs: least, usual, greatest; standing: second-hand [dB]
METALLISED_LOSS_DB = (20.0, 30.0, 35.0)
METAL = Fit(1.0, 0.0, 1e7, 0.0)  # ITU-R P.2040-3, table 3; standing: second-hand
WOOD = Fit(1.99, 0.0, 0.0047, 1.0718)  # ITU-R P.2040-3, table 3; standing: second-hand
PLYWOOD = Fit(2.71, 0.0, 0.33, 0.0)  # ITU-R P.2040-3, table 3; standing: second-hand
CHIPBOARD = Fit(2.58, 0.0, 0.0217, 0.7800)  # ITU-R P.2040-3, table 3; standing: second-hand
GLASS = Fit(6.31, 0.0, 0.0036, 1.3394)  # ITU-R P.2040-3, table 3; standing: second-hand
CONCRETE = Fit(5.24, 0.0, 0.0462, 0.7822)  # ITU-R P.2040-3, table 3; standing: second-hand
BRICK = Fit(3.91, 0.0, 0.0238, 0.16)  # ITU-R P.2040-3, table 3; standing: second-hand
PC = Flat(
    2.76, 0.006
)  # real part at 11 GHz read, loss tangent recalled; see PLASTICS, POLYCARBONATE_LOSS [-]
TWIN_WALL_SHARE = (
    0.15  # density of the sheet over that of the solid, 180 / 1200 kg/m3; standing: practice [-]
)


def _row(
    name: str,
    dry: Fit | Flat,
    source: Source,
    confidence: Confidence,
    *,
    wet: Fit | Flat | None = None,
    tight: bool = False,
    note: str = "",
) -> Dielectric:
    return Dielectric(
        name=name,
        dry=dry,
        wet=wet,
        source=source,
        wet_source=None if wet is None else WET_TIMBER,
        confidence=confidence,
        wet_confidence=confidence if wet is None else Confidence.LOW,
        tight=tight,
        note=note,
    )


_ROWS = (
    _row("softwood boards", WOOD, P_2040, Confidence.FAIR, wet=SOAKED),
    _row("hardwood boards", WOOD, P_2040, Confidence.LOW, wet=SOAKED, note="as wood in general; denser"),
    _row(
        "plywood",
        PLYWOOD,
        P_2040,
        Confidence.LOW,
        wet=SOAKED,
        note="the published conductivity does not fall with frequency and is pessimistic below 3 GHz",
    ),
    _row(
        "oriented strand board",
        CHIPBOARD,
        P_2040,
        Confidence.LOW,
        wet=SOAKED,
        note="taken as chipboard",
    ),
    _row("chipboard", CHIPBOARD, P_2040, Confidence.GOOD, wet=SOAKED),
    _row("steel sheet", METAL, P_2040, Confidence.GOOD, tight=True),
    _row("aluminium sheet", METAL, P_2040, Confidence.GOOD, tight=True),
    _row("aluminium foil", METAL, P_2040, Confidence.GOOD, tight=True),
    _row(
        "polycarbonate",
        PC,
        POLYCARBONATE_LOSS,
        Confidence.FAIR,
        tight=True,
        note="the loss moves a pane by 0.02 dB",
    ),
    _row(
        "twin-wall polycarbonate",
        Flat(PC.real, PC.loss_tangent, TWIN_WALL_SHARE),
        POLYCARBONATE_LOSS,
        Confidence.FAIR,
        tight=True,
        note="mixed with the air between its walls",
    ),
    _row("acrylic glass", Flat(2.60, 0.015), PLASTICS, Confidence.GOOD, tight=True),  # at 3 GHz
    _row(
        "window glass",
        GLASS,
        P_2040,
        Confidence.GOOD,
        tight=True,
        note="uncoated; a coating costs 20 to 35 dB",
    ),
    _row("mineral wool", Flat(1.2, 0.005), RECALLED_PLASTICS, Confidence.FAIR),
    _row("polystyrene foam", Flat(1.04, 0.001), RECALLED_PLASTICS, Confidence.GOOD),
    _row(
        "bitumen felt",
        Flat(2.7, 0.02),
        RECALLED_PLASTICS,
        Confidence.LOW,
        tight=True,
        note="mineral filler adds to it",
    ),
    _row(
        "plastic sheet",
        Flat(2.71, 0.006),
        PLASTICS,
        Confidence.FAIR,
        tight=True,
        note="as polyvinyl chloride",
    ),
    _row("concrete", CONCRETE, P_2040, Confidence.GOOD, note="dry; a wet slab loses more"),
    _row("brick", BRICK, P_2040, Confidence.GOOD, note="dry; wet brick loses more"),
)

# One row for every material of the catalogue.
DIELECTRICS: Mapping[str, Dielectric] = MappingProxyType({row.name: row for row in _ROWS})
# Panes whose film nobody can reckon without asking.
COATED = ("low-emissivity glass", "solar-control glass", "mirror glass", "tinted glass", "metallised film")


def dielectric(material: str) -> Dielectric:
    """The radio constants of a material of the catalogue.

    Parameters
    ----------
    material : str
        Its name.

    Raises
    ------
    RequestError
        For coated panes, which must be described by what carries the coating, and unknown names.
    """
    if material in COATED:
        raise RequestError(
            f"{material} stops satellites by its metal film, 20 to 35 dB, or hardly at all, by its make; "
            "describe the pane as window glass and say whether it is metallised"
        )
    if material not in DIELECTRICS:
        raise RequestError(
            f"no radio constants for '{material}'; known are {', '.join(DIELECTRICS)}; choose the nearest"
        )
    return DIELECTRICS[material]
