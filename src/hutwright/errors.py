"""Every exception that hutwright raises on purpose, each with its facts; and the flag that asks to stop."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Protocol


class HutwrightError(Exception):
    """The base of everything raised on purpose: a sentence a builder can act on."""


class QuantityError(HutwrightError):
    """A text that cannot be read as the quantity that is wanted.

    Attributes
    ----------
    read : str
        What stood there, shortened where it was long.
    wanted : str
        What would have been accepted.
    remedy : str
        What to write instead.
    """

    def __init__(self, read: str, wanted: str, remedy: str) -> None:
        """Keep the facts beside the sentence."""
        super().__init__(f"read {shortened(read)}; wanted {wanted}; {remedy}")
        self.read = read
        self.wanted = wanted
        self.remedy = remedy


class ModelError(HutwrightError):
    """Values that no builder can mean: a record refuses to exist.

    Attributes
    ----------
    field : str
        Path below the record that is at fault, "" for the record itself.
    wanted : str
        What would be possible.
    remedy : str
        What to do next.
    """

    def __init__(self, field: str, read: str, wanted: str, remedy: str) -> None:
        """Keep the facts beside the sentence."""
        super().__init__(f"{field}: read {shortened(read)}; wanted {wanted}; {remedy}")
        self.field = field
        self.read = read
        self.wanted = wanted
        self.remedy = remedy


@dataclass(frozen=True, kw_only=True, slots=True)
class Fault:
    """One thing that is wrong in one file.

    Attributes
    ----------
    file : str
        Name of the file, relative to the project's folder.
    line : int
        Line in that file, counted from 1; 0 where the whole file is meant.
    path : str
        Path of the value in the file, such as ``cables.feed.length``; "" for the whole file.
    read : str
        What stood there.
    wanted : str
        What would have been accepted.
    remedy : str
        What to do next.
    """

    file: str
    line: int
    path: str
    read: str
    wanted: str
    remedy: str

    def sentence(self) -> str:
        """The fault as one line for the builder."""
        place = f"{self.file}, line {self.line}" if self.line else self.file
        about = f" {self.path}:" if self.path else ""
        return f"{place}:{about} read {self.read}; wanted {self.wanted}; {self.remedy}"


class DescriptionError(HutwrightError):
    """All the faults of a description at once, in the order of the file's lines."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        """Sort the faults by file and line and put each on a line of its own."""
        self.faults = tuple(sorted(faults, key=lambda fault: (fault.file, fault.line, fault.path)))
        super().__init__("\n".join(fault.sentence() for fault in self.faults))


class RequestError(HutwrightError):
    """A question that cannot be answered as asked: an unknown key, trade, variant or folder."""


class StoppedError(HutwrightError):
    """Work that was stopped because its answer is no longer wanted."""


class Cancel(Protocol):
    """A flag that says that the answer is no longer wanted: a `threading.Event`, for one."""

    def is_set(self) -> bool:
        """Whether it is no longer wanted."""


Progress = Callable[[int, int], None]  # is told how much of how much is done


def stopped(cancel: Cancel | None) -> bool:
    """Whether an answer is no longer wanted; never where there is no flag."""
    return cancel is not None and cancel.is_set()


def system_words(error: Exception) -> str:
    """What the system said, shortened: its own words where it has some."""
    return shortened((error.strerror if isinstance(error, OSError) else None) or str(error))


def shortened(text: str, longest: int = 60) -> str:
    """The text in quotes on one line, cut in the middle where it is long, control characters escaped."""
    plain = ascii_controls_escaped(text)
    if len(plain) > longest:
        plain = f"{plain[: longest - 15]} … {plain[-10:]}"
    return f"'{plain}'"


def ascii_controls_escaped(text: str) -> str:
    """The text with every control or unprintable character written as its escape."""
    return "".join(char if char.isprintable() else char.encode("unicode_escape").decode() for char in text)
