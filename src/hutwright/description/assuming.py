"""Kinds of rule for what the builder left out: a usual range, a word, a multiple, a row of the catalogue."""

from __future__ import annotations

from hutwright import units
from hutwright.catalogue.spread import Spread
from hutwright.description.assembly import About, Assumed, Broken, Rule
from hutwright.description.described import Origin
from hutwright.sources import Source, Standing
from hutwright.units import Dimension, Reading

PRACTICE = "common practice of the trade"


def practice(what: str) -> Source:
    """Common practice, told in a few words."""
    return Source(PRACTICE, what, Standing.PRACTICE)


def usual(text: str, dimension: Dimension, what: str) -> Rule:
    """A range that common practice gives."""
    assumed = Assumed(units.read(text, dimension), practice(what))
    return lambda about: assumed


def plain(value: object, what: str) -> Rule:
    """A word, count or list that is taken unless something else is said."""
    assumed = Assumed(value, practice(what))
    return lambda about: assumed


def nothing(dimension: Dimension, what: str) -> Rule:
    """Nought of something that was not mentioned."""
    assumed = Assumed(Reading(0.0, 0.0, 0.0, ""), practice(what))
    return lambda about: assumed


def share(low: float, high: float, what: str) -> Rule:
    """A share between two bounds."""
    assumed = Assumed(Reading((low + high) / 2, low, high, ""), practice(what))
    return lambda about: assumed


def times(low: float, high: float, table: str, key: str, what: str) -> Rule:
    """A multiple of another value, at its nominal, of the table around this one."""

    def rule(about: About) -> Assumed:
        assert about.outer is not None
        base = about.outer.reading(table, key).nominal
        ends = (base * low, base * high)
        return Assumed(Reading((ends[0] + ends[1]) / 2, *ends, ""), practice(what))

    return rule


def spread(given: Spread, source: Source) -> Assumed:
    """A row of the catalogue with its bounds."""
    return Assumed(Reading(given.nominal, given.low, given.high, ""), source, Origin.DERIVED)


def exact(value: float, source: Source) -> Assumed:
    """A row of the catalogue without bounds."""
    return Assumed(Reading(value, value, value, ""), source, Origin.DERIVED)


def where(key: str, value: object, there: Rule, elsewhere: Rule) -> Rule:
    """One rule where another value of the same table is a certain one, and another rule elsewhere."""

    def rule(about: About) -> Assumed | None:
        found = about.here[key]
        if isinstance(found, Broken):
            raise KeyError(found)
        return (there if found is value else elsewhere)(about)

    return rule
