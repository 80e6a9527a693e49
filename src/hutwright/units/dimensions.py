"""The kinds of quantity, their units, and the arithmetic between a number in a unit and SI."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from decimal import Context, Decimal
from enum import Enum, auto
from types import MappingProxyType

EXACT = Context(prec=120, traps=[])  # the longest text times any factor below, without rounding
LOGARITHMS = Context(prec=50, traps=[])  # far beyond the 17 digits of a float, and quick
STRONGEST = Decimal(9999)  # decibels; beyond any float, and short enough to raise ten to


class Scale(Enum):
    """How a number in a unit becomes the SI value."""

    LINEAR = auto()
    DECIBEL = auto()
    TANGENT = auto()


@dataclass(frozen=True, slots=True)
class Unit:
    """One accepted unit: SI value = number * factor + offset, on its scale.

    Its *level* is the number where adding makes sense: SI on a linear scale, else decibels or degrees.
    """

    factor: Decimal
    offset: Decimal = Decimal(0)
    scale: Scale = Scale.LINEAR

    def level(self, number: Decimal) -> Decimal:
        """The level of a number that stands before this unit."""
        if self.scale is not Scale.LINEAR:
            return number
        return EXACT.add(EXACT.multiply(number, self.factor), self.offset)

    def si(self, level: Decimal) -> float:
        """The SI value of a level: infinite or zero where no float can hold it, NaN where there is none."""
        if self.scale is Scale.TANGENT:
            return math.tan(float(EXACT.multiply(level, self.factor))) if level.copy_abs() < 90 else math.nan
        if self.scale is Scale.DECIBEL:
            bounded = max(-STRONGEST, min(STRONGEST, level))
            ratio = LOGARITHMS.power(Decimal(10), LOGARITHMS.scaleb(bounded, -1))
            return float(LOGARITHMS.multiply(ratio, self.factor))
        return float(level)

    def number(self, value: float) -> Decimal:
        """The number before this unit for a finite SI value, above zero for decibels; unrounded."""
        exact = Decimal(repr(float(value) + 0.0))  # the shortest digits of the float; 0.0 for -0.0
        if self.scale is Scale.TANGENT:
            return EXACT.divide(Decimal(repr(math.atan(value))), self.factor)
        if self.scale is Scale.DECIBEL:
            return LOGARITHMS.multiply(Decimal(10), LOGARITHMS.log10(LOGARITHMS.divide(exact, self.factor)))
        return EXACT.divide(EXACT.subtract(exact, self.offset), self.factor)


@dataclass(frozen=True, slots=True)
class Dimension:
    """One kind of quantity.

    Attributes
    ----------
    name : str
        What it is called in sentences, such as ``temperature difference``.
    base : str
        The unit that `write` uses.
    units : Mapping[str, Unit]
        Every accepted spelling.
    example : str
        A text that `read` takes, in the unit that builders use most.
    ladder : tuple of (str, Decimal)
        Units that `show` chooses from, each with the SI size from which it is used.
    """

    name: str
    base: str
    units: Mapping[str, Unit] = field(compare=False, repr=False)
    example: str
    ladder: tuple[tuple[str, Decimal], ...] = field(compare=False, repr=False)

    def __reduce__(self) -> tuple[Callable[[str], Dimension], tuple[str]]:
        """Travel to another process by name."""
        return named, (self.name,)

    @property
    def usual(self) -> str:
        """The unit of the example."""
        return self.example.partition(" ")[2]

    @property
    def wanted(self) -> str:
        """What a text of this kind looks like, for sentences."""
        return f"{'an' if self.name[0] in 'aeio' else 'a'} {self.name} such as '{self.example}'"


@dataclass(frozen=True, slots=True)
class Reading:
    """What a text says, in SI: bounds with an even chance between them, and the middle."""

    nominal: float
    low: float
    high: float
    text: str

    @property
    def exact(self) -> bool:
        """Whether the text gave one value rather than a range."""
        return self.low == self.high


def _dimension(name: str, example: str, units: str, shown: str = "", *, offsets: str = "") -> Dimension:
    """One row of the table; units read ``spelling factor``, the base first, ladders ``spelling least``."""
    moved = {spelling: _fraction(offset) for spelling, offset in _pairs(offsets)}
    accepted: dict[str, Unit] = {}
    for spelling, factor in _pairs(units):
        scale = Scale.DECIBEL if spelling.startswith("dB") else Scale.LINEAR
        if factor == "tan":
            scale, factor = Scale.TANGENT, DEGREE
        accepted[spelling] = Unit(_fraction(factor), moved.get(spelling, Decimal(0)), scale)
    base = next(iter(accepted))
    for spelling in tuple(accepted):  # "N m" may also be written "Nm", and "ohm" as "Ohm"
        for other in (spelling.replace(" ", ""), spelling.replace("ohm", "Ohm")):
            accepted.setdefault(other, accepted[spelling])
    ladder = tuple((spelling, Decimal(least)) for spelling, least in _pairs(shown or f"{base} 0"))
    return Dimension(name, base, MappingProxyType(accepted), example, ladder)


def _pairs(row: str) -> list[tuple[str, str]]:
    """The entries of one row of the table, each split at its last space."""
    parts = [entry.strip().rpartition(" ") for entry in row.split(",") if entry]
    return [(before, after) for before, _, after in parts]


def _fraction(text: str) -> Decimal:
    """A factor written as one number or as a quotient of two."""
    above, _, below = text.partition("/")
    return EXACT.divide(Decimal(above), Decimal(below or 1))


# Mathematics: pi to 50 digits.
DEGREE = "3.1415926535897932384626433832795028841971693993751/180"

# Factors: SI Brochure, 9th edition, tables 4, 7 and 8 (coherent units; prefixes; min, h, d, L, degree),
# second-hand.  Inch, foot, pound and pound-force: 0.0254 m, 0.3048 m, 0.453 592 37 kg and that times
# 9.806 65 m/s2, the international definitions, second-hand.  The tests hold all to an independent library.
# fmt: off
LENGTH = _dimension("length", "0.80 m",
    "m 1, mm 1e-3, cm 1e-2, km 1e3, um 1e-6, in 0.0254, ft 0.3048",
    "mm 0, m 1, km 1e3")
AREA = _dimension("area", "2.5 mm2",
    "m2 1, mm2 1e-6, cm2 1e-4, in2 0.00064516, ft2 0.09290304",
    "mm2 0, m2 0.01")
VOLUME = _dimension("volume", "1.5 L",
    "m3 1, L 1e-3, l 1e-3, mL 1e-6, ml 1e-6, cm3 1e-6, mm3 1e-9",
    "cm3 0, L 1e-3, m3 1")
MASS = _dimension("mass", "1.1 kg", "kg 1, g 1e-3, mg 1e-6, lb 0.45359237", "g 0, kg 1")
TIME = _dimension("time", "16 s",
    "s 1, ms 1e-3, us 1e-6, min 60, h 3600, d 86400",
    "us 0, ms 1e-3, s 1, min 120, h 7200, d 172800")
SPEED = _dimension("speed", "30 mm/s",
    "m/s 1, mm/s 1e-3, cm/s 1e-2, km/h 1/3.6, in/s 0.0254, ft/s 0.3048",
    "mm/s 0, m/s 0.1")
ACCELERATION = _dimension("acceleration", "0.5 m/s2", "m/s2 1, mm/s2 1e-3")
FORCE = _dimension("force", "40 N", "N 1, mN 1e-3, kN 1e3, lbf 4.4482216152605", "mN 0, N 0.1, kN 1e4")
TORQUE = _dimension("torque", "0.4 N m",
    "N m 1, mN m 1e-3, kN m 1e3, N cm 1e-2, N mm 1e-3",
    "mN m 0, N m 0.1, kN m 1e4")
STIFFNESS = _dimension("stiffness", "250 N/mm",
    "N/m 1, N/mm 1e3, N/cm 100, kN/m 1e3, kN/mm 1e6",
    "N/m 0, N/mm 1e3")
PRESSURE = _dimension("pressure", "0.85 kPa",
    "Pa 1, hPa 100, kPa 1e3, MPa 1e6, GPa 1e9, N/m2 1, kN/m2 1e3, N/mm2 1e6, bar 1e5, mbar 100, "
    "psi 4.4482216152605/0.00064516",
    "Pa 0, kPa 1e3, MPa 1e6, GPa 1e9")
DENSITY = _dimension("density", "480 kg/m3", "kg/m3 1, g/cm3 1e3, kg/L 1e3")
VOLTAGE = _dimension("voltage", "12 V", "V 1, mV 1e-3, uV 1e-6, kV 1e3", "uV 0, mV 1e-3, V 1, kV 1e3")
CURRENT = _dimension("current", "2.6 A", "A 1, mA 1e-3, uA 1e-6, kA 1e3", "uA 0, mA 1e-3, A 1, kA 1e4")
RESISTANCE = _dimension("resistance", "80 mohm",
    "ohm 1, mohm 1e-3, uohm 1e-6, kohm 1e3, Mohm 1e6",
    "uohm 0, mohm 1e-3, ohm 1, kohm 1e3, Mohm 1e6")
RESISTANCE_PER_LENGTH = _dimension("resistance per length", "13.3 ohm/km",
    "ohm/m 1, mohm/m 1e-3, ohm/km 1e-3",
    "mohm/m 0, ohm/m 1")
CAPACITANCE = _dimension("capacitance", "0.33 uF",
    "F 1, mF 1e-3, uF 1e-6, nF 1e-9, pF 1e-12",
    "pF 0, nF 1e-9, uF 1e-7, F 0.1")
INDUCTANCE = _dimension("inductance", "2 mH", "H 1, mH 1e-3, uH 1e-6, nH 1e-9", "nH 0, uH 1e-6, mH 1e-3, H 1")
CHARGE = _dimension("charge", "18 Ah",
    "C 1, A s 1, Ah 3600, mAh 3.6, A h 3600, mA h 3.6, mC 1e-3, uC 1e-6",
    "C 0, mAh 3.6, Ah 3600")
ENERGY = _dimension("energy", "200 Wh",
    "J 1, mJ 1e-3, kJ 1e3, MJ 1e6, W s 1, Wh 3600, mWh 3.6, kWh 3.6e6, W h 3600",
    "mJ 0, J 0.1, Wh 3600, kWh 3.6e6")
POWER = _dimension("power", "35 W", "W 1, mW 1e-3, uW 1e-6, kW 1e3, dBm 1e-3", "mW 0, W 0.1, kW 1e4")
THERMAL_RESISTANCE = _dimension("thermal resistance", "14 K/W", "K/W 1, degC/W 1")
TEMPERATURE = _dimension("temperature", "-18 degC",
    "K 1, degC 1, degF 5/9",
    "degC 0",
    offsets="degC 273.15, degF 2298.35/9")
TEMPERATURE_DIFFERENCE = _dimension("temperature difference", "3 K", "K 1, degC 1, degF 5/9")
ANGLE = _dimension("angle", "82 deg", f"rad 1, deg {DEGREE}, mrad 1e-3", "deg 0")
SLOPE = _dimension("slope", "2 %", "% 1e-2, deg tan")
RATIO = _dimension("share", "90 %", "% 1e-2")
GAIN = _dimension("gain", "3 dBi", "dB 1, dBi 1")
CARRIER_TO_NOISE = _dimension("carrier-to-noise density", "38 dB-Hz", "dB-Hz 1, dB Hz 1")
DATA_RATE = _dimension("data rate", "3 Mbit/s",
    "bit/s 1, kbit/s 1e3, Mbit/s 1e6, Gbit/s 1e9",
    "bit/s 0, kbit/s 1e3, Mbit/s 1e6, Gbit/s 1e9")
FREQUENCY = _dimension("frequency", "2.4 GHz",
    "Hz 1, kHz 1e3, MHz 1e6, GHz 1e9",
    "Hz 0, kHz 1e3, MHz 1e6, GHz 1e9")
MOTOR_CONSTANT = _dimension("motor constant", "20 mN m/A",
    "V s 1, mV s 1e-3, V s/rad 1, N m/A 1, mN m/A 1e-3",
    "mN m/A 0, N m/A 1")
INERTIA = _dimension("inertia", "0.5 kg m2",
    "kg m2 1, g m2 1e-3, kg cm2 1e-4, g cm2 1e-7",
    "g cm2 0, kg m2 1e-4")
VISCOUS_FRICTION = _dimension("viscous friction", "2 uN m s",
    "N m s 1, mN m s 1e-3, uN m s 1e-6, N m s/rad 1",
    "uN m s 0, mN m s 1e-3, N m s 1")
MELTING_INTEGRAL = _dimension("melting integral", "50 A2 s", "A2 s 1, kA2 s 1e6")
SENSITIVITY = _dimension("sensitivity", "100 mV/A", "V/A 1, mV/A 1e-3", "mV/A 0, V/A 1")
TEMPERATURE_COEFFICIENT = _dimension("temperature coefficient", "0.39 %/K",
    "%/K 1e-2, ppm/K 1e-6, %/degC 1e-2",
    "ppm/K 0, %/K 1e-4")
# fmt: on

DIMENSIONS: Mapping[str, Dimension] = MappingProxyType(
    {entry.name: entry for entry in tuple(globals().values()) if isinstance(entry, Dimension)}
)


# A count or a plain ratio: no unit, so that no text is read or written as one.
NUMBER = Dimension("number", "1", MappingProxyType({}), "3", ())


def named(name: str) -> Dimension:
    """The dimension of that name."""
    return NUMBER if name == NUMBER.name else DIMENSIONS[name]
