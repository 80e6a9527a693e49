"""Readings as a builder writes them: "3,2 kg", "ca. 5 s", "11.8..12.1 V", "?"."""

from __future__ import annotations

import math
import re
from typing import NamedTuple

from hutwright import units
from hutwright.catalogue.instruments import Instrument
from hutwright.description.question import Question
from hutwright.description.questions import understood
from hutwright.errors import QuantityError, RequestError, shortened
from hutwright.laws.kinetic import FREE_FALL
from hutwright.laws.propagation import Doubt
from hutwright.studies.observing.observation import Blank
from hutwright.units import NUMBER
from hutwright.units.everyday import is_bare, is_unknown, pointed, without_about

LEFT = frozenset({"-", "skip"})  # on a sheet, besides what says everywhere that nobody knows
ABOUT = 0.10  # what "about" adds, either way, as a share of the reading: ours to choose [-]
_APART = re.compile(r"\s*\.\.\s*")
_COUNT = re.compile(r"([+-]?[0-9]+(?:\.[0-9]+)?)(?:\s*\.\.\s*([+-]?[0-9]+(?:\.[0-9]+)?))?")


class Reading(NamedTuple):
    """One reading, understood.

    Attributes
    ----------
    value : float
        The reading. [the instrument's]
    doubt : Doubt
        How far it may be off, the instrument's own doubt and what the builder said of it. [likewise]
    plain : str
        How it was understood.
    """

    value: float
    doubt: Doubt
    plain: str


def is_left(text: str) -> bool:
    """Whether a blank was left, or says that nobody knows."""
    return is_unknown(text) or text.strip().casefold() in LEFT


def read_choice(blank: Blank, text: str) -> str:
    """The value of a choice.

    Raises
    ------
    RequestError
        Where it cannot be understood.
    """
    question = Question(key=blank.key, text=blank.words, abouts=(), choices=blank.choices)
    return understood(question, text)


def read_reading(blank: Blank, text: str) -> Reading:
    """A reading with its doubt.

    Parameters
    ----------
    blank : Blank
        What was read; no choice.
    text : str
        What was written down.

    Raises
    ------
    RequestError
        Where it cannot be understood, or cannot be of such an instrument.
    """
    instrument = blank.instrument
    assert instrument is not None
    said = " ".join(text.split())
    bare, guessed = without_about(said)
    low, value, high, plain = _count(bare) if instrument.dimension is NUMBER else _level(instrument, bare)
    for each in (low, high):
        if not instrument.least <= each <= instrument.most:
            raise RequestError(
                f"read {shortened(said)} for {blank.words}; wanted {_bounds(instrument)} of "
                f"{instrument.words}; look at the unit and the decimal sign"
            )
    within = instrument.step + 0.5 * (high - low) + (ABOUT * abs(value) if guessed else 0.0)
    return Reading(value, Doubt(instrument.spread_at(value), within), f"about {plain}" if guessed else plain)


def plain_reading(blank: Blank, text: str) -> str:
    """How what stands in a blank is understood.

    Raises
    ------
    RequestError
        Where it cannot be.
    """
    return read_choice(blank, text) if blank.choices else read_reading(blank, text).plain


def assumed(blank: Blank) -> Reading:
    """What counts where a blank was left that can be left."""
    assert blank.usual is not None
    assert blank.instrument is not None
    return Reading(
        blank.usual,
        Doubt(within=blank.unsure),
        units.show_range(
            blank.usual - blank.unsure, blank.usual + blank.unsure, blank.instrument.dimension, digits=2
        ),
    )


def _bounds(instrument: Instrument) -> str:
    if instrument.dimension is NUMBER:
        return f"{instrument.least:g}..{instrument.most:g}"
    return units.show_range(instrument.least, instrument.most, instrument.dimension)


def _count(text: str) -> tuple[float, float, float, str]:
    plain = pointed(text)
    found = _COUNT.fullmatch(plain)
    if found is None:
        raise RequestError(f"read {shortened(text)}; wanted a plain number such as 2 or 2.5; write it so")
    low = float(found[1])
    high = low if found[2] is None else float(found[2])
    if high < low:
        raise RequestError(
            f"read {shortened(text)}; wanted the smaller number first; write {high:g}..{low:g}"
        )
    return low, 0.5 * (low + high), high, plain


def _level(instrument: Instrument, text: str) -> tuple[float, float, float, str]:
    """Least, middle and most of a quantity; a scale may be read in kilograms."""
    dimension = instrument.dimension
    bare = is_bare(pointed(_APART.sub("..", text)))
    said = f"{text} {instrument.unit}" if instrument.unit and bare else text
    weighed = dimension is units.FORCE
    refused = ""
    for kind, factor in ((units.MASS, FREE_FALL), (dimension, 1.0)) if weighed else ((dimension, 1.0),):
        try:
            plain = understood(Question(key="", text="", abouts=(), dimension=kind), said)
            read = units.read(plain, kind)
        except (RequestError, QuantityError) as error:
            refused = str(error)
            continue
        ends = [factor * each for each in (read.low, read.nominal, read.high)]
        if all(math.isfinite(each) for each in ends):
            return ends[0], ends[1], ends[2], plain
    raise RequestError(refused or f"read {shortened(text)}; wanted {dimension.wanted}")
