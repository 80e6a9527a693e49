"""What a question is: its words, what answers it, and where the answer goes."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from hutwright.units import Dimension


class About(Enum):
    """What bothers the builder."""

    DOOR = "door"
    ELECTRONICS = "electronics"
    MACHINE = "machine"
    SIGNAL = "signal"
    EVERYTHING = "everything"


@dataclass(frozen=True, kw_only=True, slots=True)
class Choice:
    """One thing to choose.

    Attributes
    ----------
    value : str
        What the answer holds.
    words : str
        What it is in everyday words.
    """

    value: str
    words: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Question:
    """One everyday question.

    Attributes
    ----------
    key : str
        Its name in the answers; with - for _ it is the flag of the command line.
    text : str
        What is asked.
    abouts : tuple
        For whom it is asked.
    guess : str
        What the draft takes where the builder does not know; "" where it leaves the value out.
    dimension : Dimension or None
        Of a quantity.
    choices : tuple
        Of a choice.
    path : str
        Where the answer goes in the file.
    sizes : bool
        Whether a bare number names the size of a core, rather than the place in the list of choices.
    spared : bool
        Whether it is not asked of somebody whom everything bothers, who has enough to answer.
    """

    key: str
    text: str
    abouts: tuple[About, ...]
    guess: str = ""
    dimension: Dimension | None = None
    choices: tuple[Choice, ...] = ()
    path: str = ""
    sizes: bool = False
    spared: bool = False
