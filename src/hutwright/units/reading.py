"""Text to SI: a strict parser that walks the text once and refuses whatever it was not told to read."""

from __future__ import annotations

import difflib
import math
import re
import string
import unicodedata
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from types import MappingProxyType

from hutwright.errors import QuantityError, shortened
from hutwright.units.dimensions import (
    DIMENSIONS,
    EXACT,
    GAIN,
    TEMPERATURE,
    TEMPERATURE_DIFFERENCE,
    Dimension,
    Reading,
    Scale,
    Unit,
)

LONGEST_TEXT = 80  # characters; longer texts are refused unread

# One sign may be written in many ways; what is not listed here is refused, never guessed.
SIGNS = str.maketrans(
    dict.fromkeys("\u2212\u2010\u2011\u2012\u2013\u2014\uff0d", "-")
    | dict.fromkeys("\t\u00a0\u2002\u2003\u2004\u2005\u2006\u2007\u2008\u2009\u200a\u202f", " ")
    | {"±": "+-", "…": "..", "\u2019": "'", "µ": "u", "\u03bc": "u", "\u03a9": "ohm", "\u2126": "ohm"}
    | {"°": "deg", "º": "deg", "\u2103": "degC", "\u2109": "degF", "\u212a": "K"}
)
POWERS = re.compile(r"(?<=[mntsA])\^?([²³]|(?<=\^)[23])")
PRODUCTS = re.compile(r"(?:(?<=[A-Za-z])|(?<=[mntsA][23²³])) ?[·\u22c5*] ?(?=[A-Za-z])")
ALLOWED = frozenset(string.ascii_letters + string.digits + " .+-/%',_")
NUMBER = re.compile(r"[+-]?[0-9]+(?:\.[0-9]+)?(?:[eE]([+-]?[0-9]+))?")
LARGEST_EXPONENT = 9999
GROUPED = re.compile(r"(?<![.0-9])[0-9]{1,3}(?:,[0-9]{3})+(?![0-9])")
OTHER_BASES = re.compile(r"(?<![0-9A-Za-z.])0(?:[xX][0-9A-Fa-f]|[bB][01]|[oO][0-7])")

# Each unit, and what builders write for it, in small letters and without a plural s.
WORDS_OF_UNITS = """
m meter metre; mm millimeter millimetre; cm centimeter centimetre; km kilometer kilometre; in inch inche;
ft foot feet; m2 sqm; L liter litre; kg kilogram kilo; g gram; lb pound; s sec second; min minute; h hour hr;
d day; km/h kph kmh; N newton; Pa pascal; V volt; mV millivolt; A amp ampere; mA milliamp; ohm ohm; F farad;
H henry; J joule; W watt; mW milliwatt; kW kilowatt; Hz hertz; degC c celsius centigrade; degF f fahrenheit;
K kelvin; deg degree; rad radian; % percent; kbit/s kbps; Mbit/s mbps; Gbit/s gbps
"""
WORDS: Mapping[str, str] = MappingProxyType(
    {word: row.split()[0] for row in WORDS_OF_UNITS.split(";") for word in row.split()[1:]}
)


class _Refused(Exception):  # noqa: N818 -- never leaves this module
    """What is wrong with a text, texts to offer instead where they read, and advice where none does."""

    def __init__(self, problem: str, *offers: str, advice: str = "") -> None:
        super().__init__(problem)
        self.problem, self.offers, self.advice = problem, offers, advice


@dataclass(frozen=True, slots=True)
class _Part:
    """One number with its unit, and what stands around it."""

    before: str
    text: str
    after: str

    def swapped(self, text: str) -> str:
        """The whole text with another one in this place."""
        return f"{self.before}{text}{self.after}"


def read(text: str, dimension: Dimension) -> Reading:
    """Read one quantity: ``"0.80 m"``, ``"40 N +- 10 N"``, ``"40 N +- 25 %"`` or ``"35..45 N"``.

    Parameters
    ----------
    text : str
        What the builder wrote.
    dimension : Dimension
        What kind of quantity is wanted.

    Returns
    -------
    Reading
        The value and its bounds in SI. In decibels the middle of a range is the middle in decibels.

    Raises
    ------
    QuantityError
        If the text is anything else; the remedy names the nearest text that would read.

    Examples
    --------
    >>> from hutwright.units import FORCE
    >>> read("40 N +- 25 %", FORCE).high
    50.0
    """
    if len(text) > LONGEST_TEXT:
        remedy = f"it has {len(text)} characters: write at most {LONGEST_TEXT}"
        raise QuantityError(text, dimension.wanted, remedy)
    try:
        return _parsed(text, dimension)
    except _Refused as refused:
        offers = " or ".join(f"'{offer}'" for offer in refused.offers if _reads(offer, dimension))
        advice = f"write {offers}" if offers else refused.advice or f"write it like '{dimension.example}'"
        raise QuantityError(text, dimension.wanted, f"{refused.problem}: {advice}") from None


def _reads(text: str, dimension: Dimension) -> bool:
    try:
        _parsed(text, dimension)
    except _Refused:
        return False
    return len(text) <= LONGEST_TEXT


def _parsed(text: str, dimension: Dimension) -> Reading:
    plain = _normalised(text)
    _refuse_habits(plain)
    marks = [mark for mark in ("+-", "..") for _ in range(plain.count(mark))]
    if len(marks) > 1:
        raise _Refused("it has more than one tolerance or range")
    if not marks:
        part = _Part("", plain, "")
        number, word = _split(part)
        if not word:
            raise _Refused("it has no unit", f"{number} {dimension.usual}")
        unit = _unit(part, number, word, dimension)
        level = unit.level(Decimal(number))
        return _reading(text, level, level, level, unit)
    left, right = (side.strip() for side in plain.split(marks[0]))
    gap = " +- " if marks[0] == "+-" else ".."
    sides = _Part("", left, gap + right), _Part(left + gap, right, "")
    return (_bounded if marks[0] == "+-" else _ranged)(text, *sides, dimension)


def _normalised(text: str) -> str:
    """The text with every sign in its one plain form."""
    plain = " ".join(text.translate(SIGNS).split(" ")).replace("+/-", "+-").replace("...", "..")
    plain = PRODUCTS.sub(" ", plain)
    plain = POWERS.sub(lambda found: "2" if found[1] in "²2" else "3", plain)
    return " ".join(part for part in plain.split(" ") if part)


def _refuse_habits(plain: str) -> None:
    """Refuse ways to write numbers that would be misread, each with the way to write them here."""
    if not plain:
        raise _Refused("there is nothing to read")
    if any(char.isdecimal() and not char.isascii() for char in plain):
        ascii_digits = "".join(str(unicodedata.decimal(char)) if char.isdecimal() else char for char in plain)
        raise _Refused("it has digits other than 0 to 9", ascii_digits)
    for char in plain:
        if char not in ALLOWED:
            raise _Refused(f"the character {shortened(char)} has no place in a quantity")
    if "," in plain:
        offers = [plain.replace(",", ".")]
        if GROUPED.search(plain):
            offers.append(GROUPED.sub(lambda found: found[0].replace(",", ""), plain))
        raise _Refused("a comma is not read, the decimal sign is a point", *offers)
    if "_" in plain or "'" in plain:
        raise _Refused("digits are not grouped here", re.sub(r"(?<=[0-9])[_'](?=[0-9])", "", plain))
    if re.search(r"[0-9] [0-9]", plain):
        joined = re.sub(r"(?<=[0-9]) (?=[0-9]{3}(?![0-9]))", "", plain)
        raise _Refused("two numbers stand side by side", joined)
    if OTHER_BASES.search(plain):
        raise _Refused("only ordinary decimal numbers are read")


def _split(part: _Part) -> tuple[str, str]:
    """The number and the unit of one part, as text; the unit may be empty."""
    found = NUMBER.match(part.text)
    if found is None:
        raise _no_number(part)
    number, rest = found[0], part.text[found.end() :]
    if re.match(r"\. ?(?![0-9.])", rest):
        raise _Refused("a digit has to follow the decimal point", part.swapped(number + rest[1:]))
    if rest.startswith("."):
        raise _Refused("it has two decimal points")
    if re.match(r"/ ?[0-9]", rest):
        raise _Refused("a fraction is not read", advice="write it as a decimal number with its unit")
    to = re.match(r" ?(?:-|to) ?(?=[0-9-])", rest)
    if to:
        raise _Refused("a range is written with two points", part.swapped(f"{number}..{rest[to.end() :]}"))
    if found[1] and abs(int(found[1])) > LARGEST_EXPONENT:
        raise _Refused("its exponent is beyond what can be calculated with")
    return number, rest.strip().replace(" /", "/").replace("/ ", "/")


def _no_number(part: _Part) -> _Refused:
    if re.match(r"[+-] ?(?=[0-9.])", part.text):
        joined = part.swapped(part.text[0] + part.text[1:].lstrip())
        return _Refused("a sign stands right before a digit", joined)
    if re.match(r"\.[0-9]", part.text):
        return _Refused("a number starts with a digit", part.swapped(f"0{part.text}"))
    if re.match(r"[+-]?(?:nan|inf|infinity)\b", part.text, re.IGNORECASE):
        return _Refused("only a finite number can be calculated with")
    if part.after:
        return _Refused(f"there is no number before '{part.after.strip()}'")
    return _Refused(
        f"there is no number after '{part.before.strip()}'" if part.before else "there is no number"
    )


def _unit(part: _Part, number: str, word: str, dimension: Dimension) -> Unit:
    unit = dimension.units.get(word)
    if unit is None:
        raise _unknown_unit(part, number, word, dimension)
    return unit


def _unknown_unit(part: _Part, number: str, word: str, dimension: Dimension) -> _Refused:
    """Say what the word is, or which unit was probably meant."""
    quoted, folded = shortened(word), word.casefold()
    listing = f"write one of {', '.join(tuple(dimension.units)[:8])}"
    meant = WORDS.get(folded) or WORDS.get(folded.removesuffix("s"), "")
    if meant in dimension.units:
        return _Refused(f"{quoted} is not a unit here", part.swapped(f"{number} {meant}"), advice=listing)
    homes = [other.name for other in DIMENSIONS.values() if word in other.units or meant in other.units]
    if homes:
        return _Refused(f"{quoted} is a unit of {' or '.join(homes)}", advice=listing)
    slips = [f"{number} {unit}" for unit in dimension.units if unit.casefold() == folded]
    if slips:
        problem = f"{quoted} is not a unit, small and capital letters differ"
        return _Refused(problem, *map(part.swapped, slips), advice=listing)
    words = word.split(" ")
    for count in range(len(words) - 1, 0, -1):
        if " ".join(words[:count]) in dimension.units:
            known, more = " ".join(words[:count]), " ".join(words[count:])
            problem = f"one number and one unit are read, not {shortened(more)} after them"
            offers = () if re.search("[0-9]", more) else (part.swapped(f"{number} {known}"),)
            return _Refused(problem, *offers)
    close = nearest(word, dimension.units, alike=0.5)
    offers = (part.swapped(f"{number} {close}"),) if close else ()
    return _Refused(f"{quoted} is not a unit of {dimension.name}", *offers, advice=listing)


def _ranged(text: str, left: _Part, right: _Part, dimension: Dimension) -> Reading:
    """Two ends with ``..`` between; the first may leave its unit to the second."""
    (low_number, low_word), (high_number, high_word) = _split(left), _split(right)
    if not high_word:
        unit_text = low_word or dimension.usual
        raise _Refused("its end has no unit", f"{low_number}..{high_number} {unit_text}")
    high_unit = _unit(right, high_number, high_word, dimension)
    low_unit = _unit(left, low_number, low_word, dimension) if low_word else high_unit
    if low_unit != high_unit and not low_unit.scale is high_unit.scale is Scale.LINEAR:
        raise _Refused("its ends are on different scales", advice="write both ends in the same unit")
    low, high = low_unit.level(Decimal(low_number)), high_unit.level(Decimal(high_number))
    if low > high:
        first = f"{high_number} {high_word}" if low_word else high_number
        raise _Refused("it runs backwards", f"{first}..{low_number} {low_word or high_word}")
    return _reading(text, low, EXACT.divide(EXACT.add(low, high), Decimal(2)), high, high_unit)


def _bounded(text: str, left: _Part, right: _Part, dimension: Dimension) -> Reading:
    """A value and how far it may be off, in a unit or as a share of the value."""
    (number, word), (spread_number, spread_word) = _split(left), _split(right)
    if not word:
        unit_text = spread_word if spread_word in dimension.units else dimension.usual
        raise _Refused("the value before '+-' has no unit", left.swapped(f"{number} {unit_text}"))
    unit = _unit(left, number, word, dimension)
    if not spread_word:
        offers = [right.swapped(f"{spread_number} {added}") for added in (word, "%")]
        raise _Refused("the tolerance has no unit", *offers)
    if spread_number.startswith("-"):
        raise _Refused("a tolerance is never negative", right.swapped(f"{spread_number[1:]} {spread_word}"))
    centre = unit.level(Decimal(number))
    if spread_word == "%":
        _refuse_share(word, unit, dimension)
        spread = EXACT.multiply(EXACT.abs(centre), EXACT.scaleb(Decimal(spread_number), -2))
    else:
        spread_unit = _spread_unit(right, spread_number, spread_word, (word, unit), dimension)
        spread = spread_unit.level(Decimal(spread_number))
    return _reading(text, EXACT.subtract(centre, spread), centre, EXACT.add(centre, spread), unit)


def _refuse_share(word: str, unit: Unit, dimension: Dimension) -> None:
    """Refuse a tolerance in % where a share of the number means nothing, or two things."""
    if unit.scale is Scale.DECIBEL:
        raise _Refused("a share of decibels says nothing", advice="write the tolerance in dB")
    if dimension is TEMPERATURE:
        raise _Refused("a share of a temperature says nothing", advice="write the tolerance in K")
    if "%" in dimension.units:
        raise _Refused("% of it can be read in two ways", advice=f"write both ends, such as '1..3 {word}'")


def _spread_unit(right: _Part, number: str, word: str, value: tuple[str, Unit], dimension: Dimension) -> Unit:
    """The unit of a tolerance, on the scale of the value that it belongs to."""
    value_word, value_unit = value
    if value_unit.scale is Scale.DECIBEL:
        if word not in GAIN.units and word != value_word:
            problem = "the tolerance of a value in decibels is in decibels too"
            raise _Refused(problem, right.swapped(f"{number} dB"))
        return value_unit
    if "%" in word and "%" not in "".join(dimension.units):
        raise _Refused("a tolerance is either in % or in a unit", right.swapped(f"{number} %"))
    kind = TEMPERATURE_DIFFERENCE if dimension is TEMPERATURE else dimension
    unit = _unit(right, number, word, kind)
    if unit.scale is not value_unit.scale:
        raise _Refused("value and tolerance are on different scales", advice=f"write both in {value_word}")
    return unit


def _reading(text: str, low: Decimal, nominal: Decimal, high: Decimal, unit: Unit) -> Reading:
    bottom, middle, top = (_si(level, unit) for level in (low, nominal, high))
    return Reading(nominal=middle, low=bottom, high=top, text=text)


def _si(level: Decimal, unit: Unit) -> float:
    """The SI value of a level, or a refusal where no float can hold it."""
    value = unit.si(level)
    if math.isnan(value):
        raise _Refused("a slope stays below 90 deg")
    if math.isinf(value):
        raise _Refused("it is too large to calculate with")
    if value == 0.0 and level != 0:
        raise _Refused("it is too small to tell from zero")
    return value


def nearest(word: str, known: Iterable[str], *, alike: float = 0.6) -> str | None:
    """The known spelling most like the word, or None; small and capital letters count as alike.

    Parameters
    ----------
    word : str
        What was written.
    known : iterable of str
        What could have been meant.
    alike : float
        Least likeness that counts, 0 to 1. [-]

    Examples
    --------
    >>> nearest("lenght", ["length", "width"])
    'length'
    """
    folded = {spelling.casefold(): spelling for spelling in reversed(tuple(known))}
    found = difflib.get_close_matches(word[:LONGEST_TEXT].casefold(), folded, n=1, cutoff=alike)
    return folded[found[0]] if found else None
