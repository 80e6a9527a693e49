"""A variant laid over a description: merged values, and the file and line that each came from."""

from __future__ import annotations

import copy
import difflib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from hutwright.description.lines import below, join, line_of, split, upwards
from hutwright.description.reading import Sheet
from hutwright.errors import DescriptionError, Fault, RequestError, shortened

TITLE = "title"  # at the top of a variant: what to call it
REMOVE = "remove"  # at the top of a variant: paths of the description that it leaves out
MOST_GUESSES = 10  # removals for which the nearest path is looked up; it takes long in a long file
FORMAT = "format"  # the same in both, where the variant says it at all


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a value stands.

    Attributes
    ----------
    file : str
        Name of the file, relative to the project's folder.
    line : int
        Line in it, counted from 1; 0 for the whole file.
    """

    file: str
    line: int


@dataclass(frozen=True, slots=True)
class Merged:
    """The values of one file, or of a variant over a base.

    Attributes
    ----------
    data : dict of str to object
        The values, without the variant's own `title` and `remove`.
    places : mapping of str to Spot
        Dotted path to where it stands; "" to the base as a whole. A path that the variant removed is known
        too: it stands where the variant says so.
    title : str
        What the variant calls itself; "" without one.
    """

    data: dict[str, object]
    places: Mapping[str, Spot]
    title: str = ""

    def place(self, path: str) -> Spot:
        """Where a path stands, else the nearest thing above it, else the base as a whole.

        Parameters
        ----------
        path : str
            Dotted path, possibly of something missing.

        Returns
        -------
        Spot
            File and line.
        """
        return next((self.places[above] for above in upwards(path) if above in self.places), self.places[""])


def whole(sheet: Sheet) -> Merged:
    """A file on its own, in the shape of a merged one.

    Parameters
    ----------
    sheet : Sheet
        The file.

    Returns
    -------
    Merged
        Its values, as copies.
    """
    places = {path: Spot(sheet.file, line) for path, line in sheet.lines.items()}
    return Merged(copy.deepcopy(sheet.data), {"": Spot(sheet.file, 0), **places})


def overlay(base: Sheet, variant: Sheet) -> Merged:
    """A variant laid over a base: tables are merged, every other value replaces the one below it.

    The variant may say `title = "..."` and `remove = ["cables.feed", ...]` at its top. What it removes is
    taken out of the base first, so it can also write a table anew.

    Parameters
    ----------
    base : Sheet
        The description.
    variant : Sheet
        What differs in the variant.

    Returns
    -------
    Merged
        The description of the variant.

    Raises
    ------
    DescriptionError
        With every fault of the variant: a table where the base has a value or the reverse, a removal of
        something that is not there, another format.
    """
    merging = _Merging(base, variant)
    own = {key: value for key, value in variant.data.items() if key not in (TITLE, REMOVE)}
    title = variant.data.get(TITLE, "")
    if not isinstance(title, str):
        merging.fault(TITLE, title, "a text in quotes", 'write title = "..."')
        title = ""
    theirs = own.get(FORMAT)
    if theirs is not None and base.data.get(FORMAT, theirs) != theirs:
        merging.fault(
            FORMAT, theirs, f"the format of {base.file}, {base.data[FORMAT]}", f"leave {FORMAT} out here"
        )
    merging.remove(variant.data.get(REMOVE, []))
    merging.merge(merging.data, own, "")
    if merging.faults:
        raise DescriptionError(merging.faults)
    return Merged(merging.data, merging.places, title)


@dataclass(slots=True)
class _Merging:
    """One merge in progress; it changes its own copy of the base only."""

    base: Sheet
    variant: Sheet
    data: dict[str, object] = field(init=False)
    places: dict[str, Spot] = field(init=False)
    faults: list[Fault] = field(default_factory=list)

    def __post_init__(self) -> None:
        """Start from the base."""
        start = whole(self.base)
        self.data, self.places = start.data, dict(start.places)

    def fault(self, path: str, read: object, wanted: str, remedy: str) -> None:
        """Note a fault of the variant at one of its own paths."""
        line = line_of(self.variant.lines, path)
        told = shortened(read) if isinstance(read, str) else _kind(read)
        self.faults.append(
            Fault(file=self.variant.file, line=line, path=path, read=told, wanted=wanted, remedy=remedy)
        )

    def remove(self, paths: object) -> None:
        """Take out of the base what the variant leaves out."""
        if not isinstance(paths, list):
            self.fault(REMOVE, paths, "a list of paths", f'write {REMOVE} = ["cables.feed"]')
            return
        for index, path in enumerate(paths):
            place = f"{REMOVE}.{index}"
            if not isinstance(path, str):
                self.fault(place, path, "a path in quotes", 'write it like "cables.feed"')
                continue
            try:
                parts = split(path)
            except RequestError:
                self.fault(place, path, "a path such as cables.feed", "join keys with dots, without blanks")
                continue
            if self._stands_in_base(parts, place, path):
                for known in _everything(self._taken_out(parts), join(*parts)):
                    self.places.pop(known, None)
                self.places[join(*parts)] = Spot(self.variant.file, line_of(self.variant.lines, place))

    def _stands_in_base(self, parts: tuple[str, ...], place: str, path: str) -> bool:
        """Whether the base has the path and it can be left out; a fault where not."""
        at: object = self.base.data
        for part in parts:
            if isinstance(at, list):
                remedy = "write the whole list anew here, without what is not wanted"
                self.fault(place, path, "the path of a key, not of an element of a list", remedy)
                return False
            if not isinstance(at, dict) or part not in at:
                known = self.base.lines if len(self.faults) < MOST_GUESSES else ()
                near = difflib.get_close_matches(path, known, n=1)
                remedy = f"did you mean {shortened(near[0])}?" if near else "delete it from the list"
                self.fault(place, path, f"the path of something in {self.base.file}", remedy)
                return False
            at = at[part]
        if not parts:
            self.fault(place, path, f"the path of something in {self.base.file}", "delete it from the list")
        return bool(parts)

    def _taken_out(self, parts: tuple[str, ...]) -> object:
        """Delete a value and return it; None for one that went with an earlier removal."""
        at: Any = self.data
        for part in parts[:-1]:
            at = at.get(part)
            if at is None:
                return None
        return at.pop(parts[-1], None)

    def merge(self, under: dict[str, Any], over: Mapping[str, object], path: str) -> None:
        """Lay one table over another, in place."""
        for key, value in over.items():
            place = below(path, key)
            present = under.get(key)
            if isinstance(present, dict) and isinstance(value, dict):
                self.merge(present, value, place)
            elif key in under and isinstance(present, dict) is not isinstance(value, dict):
                wanted = f"{_kind(present)}, as in {self.base.file}, line {self.places[place].line}"
                remedy = (
                    f"write it like there, or put {shortened(place)} into {REMOVE} first to write it anew"
                )
                self.fault(place, value, wanted, remedy)
            else:
                under[key] = copy.deepcopy(value)
                for known in _everything(present, place):
                    self.places.pop(known, None)
                for known in _everything(value, place):
                    self.places[known] = Spot(self.variant.file, self.variant.lines[known])


def _kind(value: object) -> str:
    """What sort of value it is, for people."""
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list):
        return "a list"
    return shortened(str(value))


def _everything(value: object, path: str) -> Iterator[str]:
    """The path of a value and of everything inside it."""
    yield path
    if isinstance(value, dict):
        for key, each in value.items():
            yield from _everything(each, below(path, key))
    elif isinstance(value, list):
        for index, each in enumerate(value):
            yield from _everything(each, f"{path}.{index}")
