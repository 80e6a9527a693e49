"""A description as read: the project at nominal values, and where each value came from and how sure it is."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum

from hutwright.checks.lever import Allowed
from hutwright.description.overlay import Merged
from hutwright.model.paths import Keys, replaced
from hutwright.model.project import Project
from hutwright.sources import Source
from hutwright.units import Dimension


class Origin(Enum):
    """Where a value came from."""

    GIVEN = "given"
    MEASURED = "measured"
    ASSUMED = "assumed"
    DERIVED = "derived"


@dataclass(frozen=True, kw_only=True, slots=True)
class Datum:
    """One value of the description.

    Attributes
    ----------
    path : tuple
        Its address.
    value : object
        The value at its nominal; a float in SI for a quantity.
    low : float or None
        Least, for a quantity. [dimension]
    high : float or None
        Greatest, for a quantity. [dimension]
    dimension : Dimension or None
        What kind of quantity it is; None for a word, a count or a list.
    origin : Origin
        Where it came from.
    source : Source or None
        The document or practice behind an assumed or derived value.
    note : str
        The builder's note on a measured value.
    """

    path: Keys
    value: object
    low: float | None
    high: float | None
    dimension: Dimension | None
    origin: Origin
    source: Source | None
    note: str = ""

    @property
    def unsure(self) -> bool:
        """Whether it is a range."""
        return self.low is not None and self.high is not None and self.low < self.high


@dataclass(frozen=True, kw_only=True, slots=True)
class Described:
    """A description as read.

    Attributes
    ----------
    project : Project
        At nominal values.
    values : Mapping
        Every value, by address.
    allow : Mapping
        What may be changed, by address; empty where the builder sets no bounds.
    merged : Merged
        The file's own tables, variant laid over, with the place of every value.
    variant : str
        Name of the variant; "" for the description as it stands.
    title : str
        The variant's title.
    """

    project: Project
    values: Mapping[Keys, Datum]
    allow: Mapping[Keys, Allowed]
    merged: Merged
    variant: str = ""
    title: str = ""

    @property
    def unsure(self) -> dict[Keys, Datum]:
        """The values that are ranges, by address."""
        return {
            path: datum
            for path, datum in self.values.items()
            if datum.low is not None and datum.high is not None and datum.low < datum.high
        }

    def at(self, values: Mapping[Keys, float]) -> Project:
        """The project with some of its numbers set.

        Parameters
        ----------
        values : Mapping
            Number by address. [SI]

        Returns
        -------
        Project
            A copy.

        Raises
        ------
        ModelError
            Where those numbers contradict each other.
        """
        return replaced(self.project, dict(values))
