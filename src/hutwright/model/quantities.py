"""The kinds of value a record may hold, as annotations that the description reads its shape from.

To the type checker each is a plain float, int or str; the annotation says how the file spells it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import Annotated

from hutwright import units
from hutwright.errors import ModelError
from hutwright.units import Dimension


@dataclass(frozen=True, slots=True)
class Count:
    """A bare whole number between two bounds, both included.

    Attributes
    ----------
    lowest : int
        The least that is read.
    highest : int
        The most that is read.
    """

    lowest: int
    highest: int


@dataclass(frozen=True, slots=True)
class Share:
    """A bare number or a percentage; 1 is the whole.

    Attributes
    ----------
    lowest : float
        The least that is read. [-]
    highest : float
        The most that is read. [-]
    """

    lowest: float = 0.0
    highest: float = 1.0


@dataclass(frozen=True, slots=True)
class OneOf:
    """A name out of a table of the catalogue.

    Attributes
    ----------
    table : str
        Name of that table.
    """

    table: str


@dataclass(frozen=True, slots=True)
class Text:
    """Free text on one line.

    Attributes
    ----------
    longest : int
        The most characters that are read.
    """

    longest: int = 80


Metres = Annotated[float, units.LENGTH]
SquareMetres = Annotated[float, units.AREA]
Kilograms = Annotated[float, units.MASS]
Seconds = Annotated[float, units.TIME]
MetresPerSecond = Annotated[float, units.SPEED]
Newtons = Annotated[float, units.FORCE]
NewtonMetres = Annotated[float, units.TORQUE]
NewtonsPerMetre = Annotated[float, units.STIFFNESS]
Pascals = Annotated[float, units.PRESSURE]
Volts = Annotated[float, units.VOLTAGE]
Amperes = Annotated[float, units.CURRENT]
Ohms = Annotated[float, units.RESISTANCE]
OhmsPerMetre = Annotated[float, units.RESISTANCE_PER_LENGTH]
Farads = Annotated[float, units.CAPACITANCE]
Henries = Annotated[float, units.INDUCTANCE]
Coulombs = Annotated[float, units.CHARGE]
Watts = Annotated[float, units.POWER]
KelvinsPerWatt = Annotated[float, units.THERMAL_RESISTANCE]
Kelvins = Annotated[float, units.TEMPERATURE]
Radians = Annotated[float, units.ANGLE]
Tangent = Annotated[float, units.SLOPE]
PowerRatio = Annotated[float, units.GAIN]
CarrierToNoise = Annotated[float, units.CARRIER_TO_NOISE]
BitsPerSecond = Annotated[float, units.DATA_RATE]
VoltSeconds = Annotated[float, units.MOTOR_CONSTANT]
VoltsPerAmpere = Annotated[float, units.SENSITIVITY]
PerKelvin = Annotated[float, units.TEMPERATURE_COEFFICIENT]
Fraction = Annotated[float, Share()]
Name = Annotated[str, Text(40)]
Line = Annotated[str, Text(120)]


def above_zero(**fields: float) -> None:
    """Refuse a field that is not above zero (which also refuses NaN)."""
    for field, value in fields.items():
        if not value > 0.0:
            raise ModelError(field, f"{value:g}", "a value above zero", "measure or look it up again")


def not_below_zero(**fields: float) -> None:
    """Refuse a field below zero (which also refuses NaN)."""
    for field, value in fields.items():
        if not value >= 0.0:
            raise ModelError(field, f"{value:g}", "zero or more", "measure or look it up again")


def in_order(fields: Mapping[str, float], dimension: Dimension) -> None:
    """Refuse values that do not rise in the order in which they are named; the second of a pair is blamed."""
    for lower, upper in pairwise(fields):
        if not fields[lower] <= fields[upper]:
            raise ModelError(
                upper,
                units.show(fields[upper], dimension),
                f"at least {lower}, which is {units.show(fields[lower], dimension)}",
                "one of the two is wrong, or they were swapped",
            )
