"""What would change an answer: declared by a check, solved by the assessment."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from enum import IntEnum
from typing import TypeVar, overload

from hutwright.model.paths import Keys
from hutwright.units import Dimension

T = TypeVar("T")


class Effort(IntEnum):
    """What pulling a lever costs, from a setting to building again."""

    SETTING = 1
    REWIRE = 2
    BUY_SMALL = 3
    BUY_LARGE = 4
    REBUILD = 5


@dataclass(frozen=True, slots=True)
class Option:
    """One thing a builder can do or buy, as changes of the file.

    Attributes
    ----------
    words : str
        What to do, starting with a verb.
    changes : Mapping
        Address to what stands there afterwards, as the file spells it; None takes it out.
    """

    words: str
    changes: Mapping[Keys, object]


@dataclass(frozen=True, kw_only=True, slots=True)
class Dial:
    """A number of the file that can be turned.

    Attributes
    ----------
    path : tuple
        Its address.
    dimension : Dimension
        What kind of quantity it is.
    lowest : float
        The least that makes sense. [dimension]
    highest : float
        The most that makes sense. [dimension]
    words : str
        What turning it means, starting with a verb.
    effort : Effort
        What it costs.
    step : float or None
        What it can be set in steps of. [dimension]
    sizes : tuple
        What it can be bought in. [dimension]
    buyable : tuple
        What else can be bought in its place, the cheapest first.
    """

    path: Keys
    dimension: Dimension
    lowest: float
    highest: float
    words: str
    effort: Effort
    step: float | None = None
    sizes: tuple[float, ...] = ()
    buyable: tuple[Option, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class Pick:
    """A choice between things, the cheapest first.

    Attributes
    ----------
    words : str
        What is chosen.
    options : tuple
        What there is to choose from, the cheapest first.
    effort : Effort
        What it costs.
    """

    words: str
    options: tuple[Option, ...]
    effort: Effort


class WhenWanted(Sequence[T]):
    """The levers of a check, or the steps of its working, made only once somebody looks at them.

    A question is asked at a hundred moved values, and only the levers and the working of the answer as
    described, and the working of the worst, are wanted.
    """

    def __init__(self, find: Callable[[], Sequence[T]]) -> None:
        """Keep the function that finds them."""
        self._find = find
        self._found: tuple[T, ...] | None = None

    def _all(self) -> tuple[T, ...]:
        if self._found is None:
            self._found = tuple(self._find())
        return self._found

    def __len__(self) -> int:
        """How many there are."""
        return len(self._all())

    @overload
    def __getitem__(self, index: int) -> T: ...

    @overload
    def __getitem__(self, index: slice) -> Sequence[T]: ...

    def __getitem__(self, index: int | slice) -> T | Sequence[T]:
        """One of them, or some."""
        return self._all()[index]

    def __reduce__(self) -> tuple[type[tuple[T, ...]], tuple[tuple[T, ...]]]:
        """Travel to another process as what was found."""
        return (tuple, (self._all(),))


@dataclass(frozen=True, kw_only=True, slots=True)
class Lever:
    """A lever as solved: the value at zero margin, and the next thing with which the check holds.

    Attributes
    ----------
    words : str
        What it turns or chooses.
    path : tuple
        Address of the number it turns; empty for a choice.
    needed : float or None
        The number at which the margin is zero; None for a choice, or where no number will do. [dimension]
    dimension : Dimension or None
        What kind of quantity ``needed`` is.
    option : Option or None
        The next thing to do or buy with which the check holds.
    effort : Effort
        What it costs.
    upwards : bool
        Whether the check holds above ``needed`` rather than below it.
    range : tuple or None
        The allowed range that was searched. [dimension]
    worsens : tuple
        Keys of checks that it makes worse, where that was looked at.
    """

    words: str
    path: Keys
    needed: float | None
    dimension: Dimension | None
    option: Option | None
    effort: Effort
    upwards: bool = True
    range: tuple[float, float] | None = None
    worsens: tuple[str, ...] = ()

    @property
    def works(self) -> bool:
        """Whether it leads anywhere."""
        return self.needed is not None or self.option is not None


@dataclass(frozen=True, kw_only=True, slots=True)
class Allowed:
    """What the builder lets be changed at one address.

    Attributes
    ----------
    low : float or None
        Least, for a quantity. [dimension]
    high : float or None
        Greatest, for a quantity. [dimension]
    choices : tuple
        What may stand there, as the file spells it.
    """

    low: float | None = None
    high: float | None = None
    choices: tuple[object, ...] = ()
