"""SI to text: in full for files, rounded for people."""

from __future__ import annotations

import math
from decimal import ROUND_HALF_UP, Context, Decimal

from hutwright.units.dimensions import EXACT, LOGARITHMS, Dimension, Scale, Unit

NEAR_ZERO = Decimal("1e-9")  # of a degree; a float of 273.15 K is good to 1e-13


def write(value: float, dimension: Dimension) -> str:
    """The value in the base unit, in full: `read` gives back the very same float (0.0 for -0.0).

    Parameters
    ----------
    value : float
        The value. [SI]
    dimension : Dimension
        What kind of quantity it is.

    Raises
    ------
    ValueError
        If the value is not finite, or not above zero where the base unit is in decibels.

    Examples
    --------
    >>> from hutwright.units import AREA, LENGTH
    >>> write(0.8, LENGTH), write(2.5e-6, AREA)
    ('0.8 m', '2.5e-6 m2')
    """
    unit = dimension.units[dimension.base]
    number = _number_in(value, unit)
    if unit.scale is Scale.DECIBEL:  # the fewest digits that do
        shorter = (_significant(number, digits) for digits in range(1, LOGARITHMS.prec))
        number = next(short for short in shorter if unit.si(short) == value)
    return f"{_digits(number)} {dimension.base}"


def write_as(value: float, dimension: Dimension, unit: str, *, digits: int = 6) -> str:
    """The value in a given unit, rounded, as it may stand in a file: ``"1.5 mm2"``.

    Parameters
    ----------
    value : float
        The value. [SI]
    dimension : Dimension
        What kind of quantity it is.
    unit : str
        An accepted spelling.
    digits : int
        Significant digits. [-]

    Raises
    ------
    ValueError
        If the unit is not one of the dimension, or the value cannot be written in it.
    """
    return f"{_digits(_significant(_number_in(value, _known(unit, dimension)), digits))} {unit}"


def show(value: float, dimension: Dimension, unit: str | None = None, *, digits: int = 3) -> str:
    """The value for people, in a sensible unit: ``"1.2 mm"``, ``"-18 °C"``; NaN reads ``"unknown"``.

    Parameters
    ----------
    value : float
        The value. [SI]
    dimension : Dimension
        What kind of quantity it is.
    unit : str, optional
        An accepted spelling; chosen by the size of the value where it is left out.
    digits : int
        Significant digits; needless zeros are left out. [-]

    Raises
    ------
    ValueError
        If the unit is not one of the dimension, or a value below zero is wanted in decibels.
    """
    return show_range(value, value, dimension, unit, digits=digits)


def show_range(
    low: float, high: float, dimension: Dimension, unit: str | None = None, *, digits: int = 3
) -> str:
    """A range for people, one unit for both ends: ``"4.6..6.3 V"``; one number where the ends are equal.

    Parameters
    ----------
    low : float
        The low end. [SI]
    high : float
        The high end. [SI]
    dimension : Dimension
        What kind of quantity it is.
    unit : str, optional
        An accepted spelling; chosen by the size of the larger end where it is left out.
    digits : int
        Significant digits; more where different ends would look alike. [-]

    Raises
    ------
    ValueError
        If the unit is not one of the dimension, or a value below zero is wanted in decibels.
    """
    if math.isnan(low) or math.isnan(high):
        return "unknown"
    chosen = unit if unit is not None else _sensible(max(low, high, key=abs), dimension, digits)
    scale = _known(chosen, dimension)
    ends = [_shown_number(end, scale, digits) for end in (low, high)]
    for more in range(digits + 1, 18):
        if low == high or ends[0] != ends[1]:
            break
        ends = [_shown_number(end, scale, more) for end in (low, high)]
    spelled = chosen.replace("deg", "°").replace("ohm", "Ω").replace("m2", "m²").replace("m3", "m³")
    spelled = spelled.replace("A2", "A²").replace("s2", "s²")
    spelled = f"µ{spelled[1:]}" if spelled.startswith("u") else spelled
    return f"{'..'.join(dict.fromkeys(ends))}{'' if spelled == '°' else ' '}{spelled}"


def worth(value: float, spread: float) -> int:
    """How many significant digits a value is worth: two from the first that its spread moves, 2 to 4 in all.

    Parameters
    ----------
    value : float
        The value, in the unit of the spread. [-]
    spread : float
        High end less low end. [-]
    """
    if not (math.isfinite(value) and math.isfinite(spread)):
        return 2
    if spread == 0.0 or value == 0.0:
        return 4 if spread == 0.0 else 2
    first_moved = math.floor(math.log10(abs(value))) - math.floor(math.log10(abs(spread))) + 1
    return max(2, min(4, first_moved + 1))


def _known(unit: str, dimension: Dimension) -> Unit:
    if unit not in dimension.units:
        known = ", ".join(dimension.units)
        raise ValueError(f"'{unit}' is not a unit of {dimension.name}; known are {known}")
    return dimension.units[unit]


def _sensible(value: float, dimension: Dimension, digits: int) -> str:
    """The unit of the ladder in which the rounded value reads best."""
    if value == 0.0 or math.isinf(value):
        return dimension.usual if dimension.usual in dict(dimension.ladder) else dimension.ladder[0][0]
    size = _significant(Decimal(repr(float(value))), digits).copy_abs()
    return [spelling for spelling, least in dimension.ladder if size >= least or least == 0][-1]


def _shown_number(value: float, unit: Unit, digits: int) -> str:
    if math.isinf(value) or (value == 0.0 and unit.scale is Scale.DECIBEL):
        return "inf" if value > 0.0 else "-inf"
    return _digits(_significant(_number_in(value, unit), digits))


def _number_in(value: float, unit: Unit) -> Decimal:
    """The number that stands before the unit, unrounded."""
    if not math.isfinite(value):
        raise ValueError(f"only a finite value can be written, got {value}")
    if unit.scale is Scale.DECIBEL and value <= 0.0:
        raise ValueError(f"only a value above zero can be written in decibels, got {value}")
    number = unit.number(value)
    if unit.offset and number.copy_abs() < 1:  # near a moved zero only the float's own noise is left
        return EXACT.quantize(number, NEAR_ZERO)
    return number


def _significant(number: Decimal, digits: int) -> Decimal:
    """The number rounded to so many significant digits, a half away from zero as people do."""
    return Context(prec=digits, rounding=ROUND_HALF_UP, traps=[]).plus(number)


def _digits(number: Decimal) -> str:
    """The number without needless zeros; an exponent only beyond everyday sizes."""
    number = EXACT.normalize(number)
    if -5 <= number.adjusted() <= 15:
        return format(number, "f")
    mantissa, _, exponent = format(number, "e").partition("e")
    return f"{mantissa}e{int(exponent)}"
