"""A check at one set of numbers, and the question that yields it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import Enum, IntEnum

from hutwright.checks.lever import Dial, Pick
from hutwright.checks.roster import ROSTER
from hutwright.checks.step import Step
from hutwright.model.paths import Keys
from hutwright.model.project import Project
from hutwright.sources import Source
from hutwright.units import Dimension


class Concern(IntEnum):
    """What is at stake, the gravest last."""

    COMFORT = 1
    FUNCTION = 2
    SAFETY = 3

    @property
    def word(self) -> str:
        """Its name for people."""
        return self.name.lower()


class Sense(Enum):
    """On which side of the limit the value must stay."""

    AT_LEAST = "at least"
    AT_MOST = "at most"


@dataclass(frozen=True, kw_only=True, slots=True)
class Check:
    """One value against one limit, at one set of numbers.

    Attributes
    ----------
    subject : str
        Name of the cable, fuse or other thing it is about; "" where there is only one.
    value : float
        What was worked out; NaN where the method does not reach. [dimension]
    limit : float
        What it is held against. [dimension]
    dimension : Dimension
        What kind of quantity both are.
    sense : Sense
        On which side the value must stay.
    method : Source
        Where the arithmetic comes from.
    limit_from : Source
        Where the limit comes from.
    working : sequence
        The steps that lead to the value; may be made only when they are looked at.
    levers : sequence
        What would change it; may be worked out only when it is looked at.
    accuracy : float or None
        How far off the method may be; None where that is not stated. [dimension]
    meaning : str
        One sentence for the builder.
    """

    subject: str = ""
    value: float
    limit: float
    dimension: Dimension
    sense: Sense
    method: Source
    limit_from: Source
    working: Sequence[Step]
    levers: Sequence[Dial | Pick] = ()
    accuracy: float | None = None
    meaning: str = ""

    @property
    def margin(self) -> float:
        """How far on the good side of the limit; negative where it misses [dimension]."""
        return self.margin_to(self.limit)

    def margin_to(self, limit: float) -> float:
        """How far on the good side of another limit.

        Parameters
        ----------
        limit : float
            The other limit. [dimension]
        """
        return self.value - limit if self.sense is Sense.AT_LEAST else limit - self.value


@dataclass(frozen=True, kw_only=True, slots=True)
class Question:
    """A question that a trade asks of a description.

    Attributes
    ----------
    key : str
        Its address: trade and name of its file.
    title : str
        What it asks, for people.
    concern : Concern
        What is at stake.
    needs : tuple
        Addresses that must be described before it can be asked.
    ask : Callable
        From a project to its checks; empty where the question does not arise.
    confirm : Callable or None
        A slow, better way to the check about one thing, from a project and the thing's name; empty where the
        question does not arise there. Where there is one, the quick ``ask`` only finds the ends of the ranges
        that matter, and this answers at them: see `hutwright.checks.judging.confirmed`. Its levers are
        choices, because what a simulation tells moves in steps.
    """

    key: str
    title: str
    concern: Concern
    needs: tuple[Keys, ...]
    ask: Callable[[Project], tuple[Check, ...]]
    confirm: Callable[[Project, str], tuple[Check, ...]] | None = None

    @property
    def dimension(self) -> Dimension:
        """What kind of quantity answers it."""
        return ROSTER[self.key]

    @property
    def trade(self) -> str:
        """The trade it belongs to."""
        return self.key.split(".", 1)[0]


@dataclass(frozen=True, kw_only=True, slots=True)
class Trade:
    """A trade: its questions in reading order, and what it has to warn of.

    Attributes
    ----------
    name : str
        Its name, the first part of its keys.
    title : str
        Its name for people.
    questions : tuple
        What it asks, in reading order.
    reads : tuple
        The tables of the description that it looks at.
    cautions : Callable
        From a project to the cautions that go with it.
    """

    name: str
    title: str
    questions: tuple[Question, ...]
    reads: tuple[str, ...]
    cautions: Callable[[Project], tuple[str, ...]]
