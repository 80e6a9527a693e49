"""What an observation is: blanks to fill in, and values of the description that follow from them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from hutwright.catalogue.instruments import Instrument
from hutwright.description.question import Choice
from hutwright.laws.propagation import Doubt
from hutwright.model.paths import Keys
from hutwright.model.project import Project
from hutwright.units import Dimension

Floats = NDArray[np.float64]
Readings = Mapping[str, Floats]


@dataclass(frozen=True, kw_only=True, slots=True)
class Blank:
    """One thing to read or to choose.

    Attributes
    ----------
    key : str
        Its name on the sheet.
    words : str
        What is read, in everyday words.
    instrument : Instrument or None
        What with; None for a choice.
    choices : tuple
        What can be chosen.
    usual : float or None
        What counts where it is left blank; None where it is needed. [the instrument's]
    unsure : float
        By how much that may be off either way. [the instrument's]
    left : bool
        Whether it can be left out, and nothing counts in its place.
    """

    key: str
    words: str
    instrument: Instrument | None = None
    choices: tuple[Choice, ...] = ()
    usual: float | None = None
    unsure: float = 0.0
    left: bool = False

    @property
    def needed(self) -> bool:
        """Whether nothing can be said without it."""
        return self.usual is None and not self.left

    @property
    def dimension(self) -> Dimension | None:
        """What kind of quantity is read; None for a choice."""
        return None if self.instrument is None else self.instrument.dimension


@dataclass(frozen=True, kw_only=True, slots=True)
class Target:
    """One value of the description that follows.

    Attributes
    ----------
    path : tuple
        Its address.
    words : str
        What it is.
    dimension : Dimension
        What kind of quantity it is.
    law : Callable
        From readings by name, arrays of shape (n,), to the value, shape (n,). [dimension]
    doubts : Mapping
        Doubt of what is taken from elsewhere, by a name that the law then finds among the readings.
    fixed : Mapping
        What is taken from elsewhere, by the same names.
    least : float
        What it cannot be below. [dimension]
    """

    path: Keys
    words: str
    dimension: Dimension
    law: Callable[[Readings], Floats]
    fixed: Mapping[str, float] = field(default_factory=dict)
    doubts: Mapping[str, Doubt] = field(default_factory=dict)
    least: float = 0.0


@dataclass(frozen=True, kw_only=True, slots=True)
class WordTarget:
    """One value of the description that is a word, a list or a table.

    Attributes
    ----------
    path : tuple
        Its address.
    words : str
        What it is.
    value : Callable
        From the answers by name, in their plain form, to what stands in the file.
    needs : tuple
        Names of the blanks that it takes.
    noted : bool
        Whether it can be marked as measured; a list cannot.
    """

    path: Keys
    words: str
    value: Callable[[Mapping[str, str]], object]
    needs: tuple[str, ...]
    noted: bool = True


@dataclass(frozen=True, kw_only=True, slots=True)
class RowTarget:
    """Rows of a table beside the description.

    Attributes
    ----------
    file : str
        Its name.
    words : str
        What stands in it.
    columns : str
        Names of what a row has, parted by commas.
    may_have : tuple of str
        Names of all columns that the table may have.
    rows : Callable
        From the answers by name, in their plain form, and the moment, to its rows.
    """

    file: str
    words: str
    columns: str
    may_have: tuple[str, ...]
    rows: Callable[[Mapping[str, str], str], tuple[str, ...]]


AnyTarget = Target | WordTarget | RowTarget


@dataclass(frozen=True, kw_only=True, slots=True)
class Observation:
    """Something a builder can find out with what lies about.

    Attributes
    ----------
    key : str
        Its name.
    title : str
        What it is, in a few words.
    minutes : int
        How long it takes. [min]
    steps : tuple of str
        What to do, in order.
    caution : str
        What to be careful with; "" where there is nothing.
    blanks : tuple
        What to read.
    targets : Callable
        From the project to what follows; empty where the description has no place for it.
    """

    key: str
    title: str
    minutes: int
    steps: tuple[str, ...]
    blanks: tuple[Blank, ...]
    targets: Callable[[Project], tuple[AnyTarget, ...]]
    caution: str = ""
