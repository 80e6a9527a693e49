"""Words and numbers as a builder reads them: digits that they are worth, lines that fit the screen."""

from __future__ import annotations

import math
import re
import textwrap
from collections.abc import Iterable, Mapping, Sequence
from decimal import ROUND_CEILING, ROUND_FLOOR, Context, Decimal
from enum import Enum

from hutwright import units
from hutwright.checks.check import Check, Sense
from hutwright.checks.lever import Effort, Lever
from hutwright.checks.shown import shown, shown_range
from hutwright.checks.verdict import Verdict
from hutwright.description.described import Datum
from hutwright.errors import QuantityError
from hutwright.sources import Source, Standing
from hutwright.units import NUMBER, Dimension, Scale

WIDEST = 100  # columns of any text
NARROWEST = 40
FROM_MEMORY = "from memory: confirm before relying on it"
DIGITS = 3  # of a number without any doubt of its own
MOST_LEFT_OUT = 10  # sentences on what was left out: a choice of this project

_BOUNDS = ("at least", "at most", "than", "above", "below")
_FAR_APART = 100.0  # ratio of two ends from which each has a unit of its own: a choice of this project

_NUMBER = re.compile(r"-?[0-9]+(?:\.[0-9]+)?(?:e-?[0-9]+)?")


def width_within(width: int) -> int:
    """The columns to use on a screen that is so wide."""
    return max(NARROWEST, min(WIDEST, width))


def wrapped(text: str, width: int, first: str = "", rest: str | None = None) -> list[str]:
    """A sentence in lines that fit; what cannot be broken is cut, so that nothing sticks out."""
    following = " " * len(first) if rest is None else rest
    lines = textwrap.wrap(
        text, width, initial_indent=first, subsequent_indent=following, break_on_hyphens=False
    )
    return lines or [first.rstrip()]


def heading(text: str) -> list[str]:
    """A heading with room above it."""
    return ["", text, "-" * len(text)]


def cited(source: Source) -> str:
    """A source as one line, with how sure it is."""
    where = f", {source.place}" if source.place else ""
    standing = FROM_MEMORY if source.standing is Standing.RECALLED else source.standing.value
    return f"{source.document}{where} ({standing})"


def lowered(sentence: str) -> str:
    """A sentence to go on with: its first letter small, unless it begins with a name or a symbol."""
    return (
        sentence[:1].lower() + sentence[1:] if sentence[1:2].islower() or sentence[1:2] == " " else sentence
    )


def several(count: int, one: str, many: str) -> str:
    """A count with its noun."""
    return f"{count} {one if count == 1 else many}"


def digits_of(value: float, low: float, high: float, dimension: Dimension) -> int:
    """How many digits a value is worth, seen as a builder reads it."""
    moved = 273.15 if dimension == units.TEMPERATURE else 0.0
    return min(DIGITS, units.worth(value - moved, high - low)) if low < high else DIGITS


def value_text(verdict: Verdict) -> str:
    """The value with every input at its nominal."""
    value, dimension = verdict.check.value, verdict.check.dimension
    return shown(value, dimension, digits=digits_of(value, verdict.low, verdict.high, dimension))


def range_text(verdict: Verdict) -> str:
    """The range of the value, "" where it has none that could be seen."""
    low, high, dimension = verdict.low, verdict.high, verdict.check.dimension
    if not low < high or shown(low, dimension, digits=DIGITS) == shown(high, dimension, digits=DIGITS):
        return ""
    if low > 0.0 and high > _FAR_APART * low and dimension != units.TEMPERATURE:
        return f"{shown(low, dimension, digits=2)}..{shown(high, dimension, digits=2)}"
    return shown_range(low, high, dimension, digits=digits_of(max(low, high, key=abs), low, high, dimension))


def doubt_text(check: Check) -> str:
    """What the method's accuracy leaves of the value, "" where that is not worked out."""
    doubt = check.doubt
    if doubt is None:
        return ""
    return shown_range(doubt.low, doubt.high, check.dimension, digits=2)


def limit_text(check: Check) -> str:
    """The limit with its sense."""
    return f"{check.sense.value} {shown(check.limit, check.dimension, digits=DIGITS)}"


def margin_text(check: Check, spread: float = 0.0) -> str:
    """The margin with its sign: positive is on the good side.

    Parameters
    ----------
    check : Check
        The check at some set of numbers.
    spread : float
        Width of the margin's range. [the check's]
    """
    margin, dimension = check.margin, check.dimension
    if math.isnan(margin):
        return "unknown"
    if next(iter(dimension.units.values())).scale is Scale.DECIBEL if dimension.units else False:
        return _margin_in_decibels(check)
    if dimension == units.TEMPERATURE:
        dimension = units.TEMPERATURE_DIFFERENCE
    digits = min(DIGITS, units.worth(margin, spread)) if spread > 0.0 else DIGITS
    text = shown(margin, dimension, digits=digits)
    if dimension == check.dimension and dimension.units and math.isfinite(margin) and margin != 0.0:
        unit = _unit_of(shown(check.limit, dimension))
        alike = units.show(margin, dimension, _spelling(unit, dimension), digits=digits)
        text = alike if len(alike) <= len(text) + 1 else text
    return f"+{text}" if margin > 0.0 and math.isfinite(margin) else text


def error_text(value: float, error: float, dimension: Dimension) -> str:
    """A value with its standard error, in one unit: as many digits as the error leaves of it.

    Parameters
    ----------
    value : float
        The value, in SI. [dimension]
    error : float
        One standard error, in SI. [dimension]
    dimension : Dimension
        What kind of quantity it is; a bare number has no unit.
    """
    digits = digits_beside(value, error)
    text = shown(value, dimension, digits=digits)
    if dimension == NUMBER:
        return f"{text} +- {shown(error, dimension, digits=2)}"
    unit = _unit_of(text)
    beside = units.show(error, dimension, _spelling(unit, dimension), digits=2)
    return f"{text.removesuffix(unit)} +- {beside}"


def digits_beside(value: float, error: float) -> int:
    """Digits of a value that leave two of its standard error, 2 to 5."""
    if not (error > 0.0 and value != 0.0 and math.isfinite(value)):
        return DIGITS
    return min(max(math.floor(math.log10(abs(value) / error)) + 2, 2), 5)


def _unit_of(shown_value: str) -> str:
    """The unit of a value as `shown` spells it, with the blank before it."""
    found = _NUMBER.match(shown_value)
    return shown_value[found.end() :] if found else ""


def _margin_in_decibels(check: Check) -> str:
    if not (check.value > 0.0 and check.limit > 0.0 and math.isfinite(check.value)):
        return "unknown"
    ratio = check.value / check.limit if check.sense is Sense.AT_LEAST else check.limit / check.value
    return f"{10.0 * math.log10(ratio):+.1f} dB"


def spread_of(verdict: Verdict) -> float:
    """Width of the margin's range, in the check's dimension."""
    spread = verdict.best - verdict.margin
    return spread if math.isfinite(spread) else 0.0


def on_the_good_side(value: float, dimension: Dimension, *, upwards: bool, digits: int = DIGITS) -> str:
    """A number that is needed, rounded to the side on which the check holds.

    Parameters
    ----------
    value : float
        The number at zero margin, in SI. [dimension]
    dimension : Dimension
        What kind of quantity it is.
    upwards : bool
        Whether the check holds above it.
    digits : int
        Significant digits. [-]
    """
    text = shown(value, dimension, digits=digits)
    found = _NUMBER.match(text)
    if found is None or not math.isfinite(value):
        return text
    rest = text[found.end() :]
    for exact in (12, 15, 17):
        number = _exact(value, dimension, rest, exact)
        if number is None:
            return text
        context = Context(prec=digits, rounding=ROUND_CEILING if upwards else ROUND_FLOOR)
        rounded = context.create_decimal(number)
        if _reads_beyond(rounded, rest, value, dimension, upwards=upwards):
            return f"{_plain(rounded)}{rest}"
    return text


def _exact(value: float, dimension: Dimension, unit: str, digits: int) -> Decimal | None:
    """The number that stands before a unit as `shown` spells it, in many digits."""
    if dimension == NUMBER:
        return Decimal(repr(float(value)))
    found = _NUMBER.match(units.show(value, dimension, _spelling(unit, dimension), digits=digits))
    return Decimal(found[0]) if found else None


def _spelling(shown_unit: str, dimension: Dimension) -> str:
    """The plain spelling of a unit that people see."""
    for spelling in dimension.units:
        if units.show(1.0, dimension, spelling).endswith(shown_unit) and _same_unit(spelling, shown_unit):
            return spelling
    return dimension.base


def _same_unit(spelling: str, shown_unit: str) -> bool:
    plain = shown_unit.strip().replace("µ", "u").replace("Ω", "ohm").replace("²", "2").replace("³", "3")
    return spelling == plain.replace("°", "deg")


def _reads_beyond(number: Decimal, unit: str, value: float, dimension: Dimension, *, upwards: bool) -> bool:
    if dimension == NUMBER:
        return float(number) >= value if upwards else float(number) <= value
    try:
        read = units.read(f"{_plain(number)}{unit}", dimension).nominal
    except QuantityError:
        return False
    return read >= value if upwards else read <= value


def _plain(number: Decimal) -> str:
    return format(number.normalize(), "f")


def lever_text(lever: Lever) -> str:
    """What a lever asks for: the number that is needed, and the next thing one can do or buy."""
    if not lever.works:
        return f"{lever.words}: no help within the allowed range"
    parts: list[str] = []
    number = ""
    if lever.needed is not None and lever.dimension is not None:
        number = on_the_good_side(lever.needed, lever.dimension, upwards=lever.upwards)
        bound = "" if lever.words.endswith(_BOUNDS) else " or more" if lever.upwards else " or less"
        parts.append(f"{lever.words} {number}{bound}")
    if lever.option is not None:
        words = lever.option.words
        if parts and words.startswith(f"{lever.words} "):
            offer = words[len(lever.words) + 1 :]
            parts += [f"in practice {offer}"] if offer != number.replace("µ", "u") else []
        else:
            parts.append(f"next on sale: {words}" if parts and lever.effort >= Effort.BUY_SMALL else words)
    if lever.worsens:
        parts.append(f"but it makes {' and '.join(lever.worsens)} worse")
    return "; ".join(parts)


def datum_text(datum: Datum) -> str:
    """A value of the description with its range, as a builder reads it."""
    if datum.dimension is not None and datum.low is not None and datum.high is not None:
        digits = digits_of(max(datum.low, datum.high, key=abs), datum.low, datum.high, datum.dimension)
        return shown_range(datum.low, datum.high, datum.dimension, digits=digits)
    return plain_text(datum.value)


def plain_text(value: object) -> str:
    """A word, count, list or truth of the description."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Enum):
        return str(value.value)
    if isinstance(value, Mapping):
        return ", ".join(f"{key} {plain_text(each)}" for key, each in value.items()) or "an empty table"
    if isinstance(value, list | tuple):
        return ", ".join(plain_text(each) for each in value) or "none"
    return f"{value:g}" if isinstance(value, float) else str(value)


def reason_text(datum: Datum) -> str:
    """Why a value was taken."""
    if datum.source is None:
        return datum.note
    if datum.source.standing is Standing.PRACTICE:
        return f"{datum.source.place} (practice)"
    return cited(datum.source)


def listed(words: Iterable[str]) -> str:
    """Words in a row, the last joined by "and"."""
    all_words = list(words)
    if len(all_words) < 2:
        return "".join(all_words)
    return f"{', '.join(all_words[:-1])} and {all_words[-1]}"


def shortlist(sentences: Sequence[str]) -> list[str]:
    """The first sentences on what was left out, and how many more there are."""
    more = len(sentences) - MOST_LEFT_OUT
    return [*sentences[:MOST_LEFT_OUT], *([f"and {more} more"] if more > 0 else [])]


def columns(rows: Sequence[Sequence[str]], widths: Sequence[int], indent: str) -> list[str]:
    """Cells side by side, each wrapped in its own width."""
    lines: list[str] = []
    for row in rows:
        cells = [
            textwrap.wrap(cell, size, break_on_hyphens=False) or [""]
            for cell, size in zip(row, widths, strict=True)
        ]
        for number in range(max(map(len, cells))):
            parts = [
                (cell[number] if number < len(cell) else "").ljust(size)
                for cell, size in zip(cells, widths, strict=True)
            ]
            lines.append((indent + "  ".join(parts)).rstrip())
    return lines
