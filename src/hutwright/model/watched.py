"""Projects that know which of their values are read, so that an answer is worked out once for the same ones.

A question is asked at a hundred points, and most of them move values that it never reads. A watched project
notes every value that is read while something is worked out; the answer is kept by just those values, and the
next project that has the same ones gets it without any work, whatever else has moved in it, and whichever
change of the file it comes from.

An answer that is kept must not hold a record of the project, whose values could be read later on without
being noted: `apart` makes a copy that nobody watches.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import fields, is_dataclass
from operator import itemgetter
from typing import Any, TypeVar, cast

from hutwright.errors import ModelError, RequestError
from hutwright.model.paths import Keys, key_name, replaced, value_at
from hutwright.model.project import Project

T = TypeVar("T")
MOST_KEPT = 4096  # answers to one question from one set of values, and tables moved: a choice of this project
PLAIN = (float, int, str, type(None))  # what stands for itself among the values
Values = list[object]
Known = dict[object, tuple[frozenset[int], Any]]  # answers about one project, and what each was read from
Reader = Callable[[object], object]


NOTHING = object()  # stands where no value is described


class _Shelf:
    """Answers that were worked out from the same addresses, by what stood at those of them that vary."""

    __slots__ = ("answers", "edition", "key", "reads")

    def __init__(self, reads: frozenset[int]) -> None:
        self.reads = reads
        self.answers: dict[object, tuple[Values, Any]] = {}
        self.edition = -1
        self.key: Callable[[Values], object] = _no_key

    def renew(self, varying: Collection[int], edition: int, length: int) -> None:
        """Tell the answers apart by all that varies by now."""
        told = self.reads.intersection(varying)
        self.key = itemgetter(*told) if told else _no_key
        self.edition = edition
        kept = list(self.answers.values())
        for values, _ in kept:
            _fill(values, length)
        self.answers = {self.key(values): (values, answer) for values, answer in kept}


def _no_key(_: Values) -> None:
    """The same for all values."""


def _fill(values: Values, length: int) -> None:
    """Make room for addresses that came up later."""
    values.extend([NOTHING] * (length - len(values)))


class Book:
    """What is known of a project and of others like it: its addresses, what is being read, what was answered.

    One book serves one search at a time, in one thread.
    """

    def __init__(self) -> None:
        """Begin an empty book."""
        self._read: list[int] = []  # always this very list: the readers add to it
        self._rested: list[frozenset[int]] = []  # what answers were read from that were made use of
        self._depth = 0
        self._numbers: dict[Keys, int] = {}
        self._first: Values | None = None  # of the first project
        self._varying: set[int] = set()  # where another project differed from the first
        self._edition = 0  # goes up with every address that begins to vary
        self._kinds: dict[tuple[Keys, type], Any] = {}
        self._tokens: dict[object, object] = {}
        self._tables: dict[tuple[str, int], tuple[object, object, dict[int, object]]] = {}
        self._moved: dict[tuple[int, frozenset[tuple[Keys, object]]], _Moved] = {}
        self._shelves: dict[object, list[_Shelf]] = {}
        self._known: list[Known] = []  # of all its projects

    # ---- answers ------------------------------------------------------------------------------------------

    def recall(self, work: Callable[..., T], project: Project, arguments: tuple[object, ...] = ()) -> T:
        """The answer of a pure function, kept by the values that it read of the project.

        Parameters
        ----------
        work : Callable
            The function, of the project and the arguments and of nothing else.
        project : Project
            A project of this book.
        arguments : tuple
            What else it depends on; hashable.
        """
        known: Known | None = getattr(project, "_known", None)
        if known is None:  # a copy made by hand
            return work(project, *arguments)
        asked = (work, arguments)
        found = known.get(asked)
        if found is None:
            found = known[asked] = self._found(asked, project, work, arguments)
        if self._depth:
            self._rested.append(found[0])
        return cast(T, found[1])

    def rests_on(self, work: Callable[..., T], project: Project, paths: Iterable[Keys]) -> list[Keys]:
        """As of `rests_on`, for a project of this book."""
        self.recall(work, project)
        known: Known | None = getattr(project, "_known", None)
        if known is None:  # a copy made by hand
            return list(paths)
        reads = known[work, ()][0]
        return [path for path in paths if self._numbers[self._held(path)] in reads]

    def forget(self) -> None:
        """Let go of all answers, at the end of a search; the projects of the book can still be asked."""
        for known in self._known:  # a project may live on in what others remember
            known.clear()
        self._known.clear()
        self._shelves.clear()
        self._moved.clear()
        self._tables.clear()

    def _found(
        self, asked: object, project: Project, work: Callable[..., T], arguments: tuple[object, ...]
    ) -> tuple[frozenset[int], T]:
        """An answer of another project with the same values, or a new one; and what it was read from."""
        values: Values = getattr(project, "_values")  # noqa: B009 - a slot that only the watched kind has
        if len(values) < len(self._numbers):
            _fill(values, len(self._numbers))
        shelves = self._shelves.setdefault(asked, [])
        for shelf in shelves:
            if shelf.edition != self._edition:
                shelf.renew(self._varying, self._edition, len(self._numbers))
            kept = shelf.answers.get(shelf.key(values))
            if kept is not None:
                return shelf.reads, kept[1]
        answer, reads = self._worked_out(work, project, arguments)
        self._keep(shelves, reads, values, answer)
        return reads, answer

    def _worked_out(
        self, work: Callable[..., T], project: Project, arguments: tuple[object, ...]
    ) -> tuple[T, frozenset[int]]:
        """The answer, and the addresses that it was read from."""
        read, rested = self._read, self._rested
        if not self._depth:  # what was read while nothing was worked out
            read.clear()
        before, behind = len(read), len(rested)
        self._depth += 1
        try:
            answer = work(project, *arguments)
        finally:
            self._depth -= 1
            reads = frozenset(read[before:]).union(*set(rested[behind:]))
            del read[before:], rested[behind:]
            if self._depth:  # whoever asked rests on it too, also where it ended in a refusal
                rested.append(reads)
        return answer, reads

    def _keep(self, shelves: list[_Shelf], reads: frozenset[int], values: Values, answer: object) -> None:
        shelf = next((each for each in shelves if each.reads == reads), None)
        if shelf is None:
            shelf = _Shelf(reads)
            shelves.append(shelf)
        elif len(shelf.answers) >= MOST_KEPT:
            shelf.answers.clear()
        if shelf.edition != self._edition:
            shelf.renew(self._varying, self._edition, len(self._numbers))
        _fill(values, len(self._numbers))
        shelf.answers[shelf.key(values)] = values, answer

    def _vary(self, numbers: Iterable[int]) -> None:
        """Note addresses at which another value stands than in the first project."""
        more = self._varying.union(numbers)
        if len(more) > len(self._varying):
            self._varying = more
            self._edition += 1

    # ---- projects -----------------------------------------------------------------------------------------

    def watch(self, project: Project) -> Project:
        """The same project, watched; tables that were watched before are not gone through again.

        Parameters
        ----------
        project : Project
            A project that nobody watches.
        """
        tables: dict[str, object] = {}
        values: dict[int, object] = {}
        for field in fields(Project):
            table = getattr(project, field.name)
            known = self._tables.get((field.name, id(table)))
            if known is None:
                noted: dict[int, object] = {}
                known = (table, self._watched(table, (key_name(field.name),), noted), noted)
                self._tables[field.name, id(table)] = known
            tables[field.name] = known[1]
            values.update(known[2])
        kind = self._kind((), Project)
        listed: Values = [NOTHING] * len(self._numbers)
        for number, value in values.items():
            listed[number] = value
        if self._first is None:
            self._first = listed
        else:
            _fill(self._first, len(listed))
            first = self._first
            self._vary(number for number, value in enumerate(listed) if value != first[number])
        watched = object.__new__(kind)
        for name, (_, put) in kind._slots.items():
            put(watched, tables[name])
        return self._with(watched, listed)

    def _watched(self, value: object, path: Keys, noted: dict[int, object]) -> object:
        """A record or table of records with a watch on every value; the values are noted by number."""
        number = self._number(path)
        if is_dataclass(value) and not isinstance(value, type):
            noted[number] = type(value)
            kind = self._kind(path, type(value))
            record = object.__new__(kind)
            for name, (get, put) in kind._slots.items():
                put(record, self._watched(get(value), (*path, key_name(name)), noted))
            return record
        if isinstance(value, Mapping) and any(is_dataclass(each) for each in value.values()):
            noted[number] = tuple(value)
            return {name: self._watched(each, (*path, name), noted) for name, each in value.items()}
        noted[number] = self._token(value)
        return value

    def _number(self, path: Keys) -> int:
        return self._numbers.setdefault(path, len(self._numbers))

    def _token(self, value: object) -> object:
        """What stands for a value among the values: quick to compare, and equal where the value is."""
        if isinstance(value, PLAIN):
            return value
        plain = tuple(value.items()) if isinstance(value, Mapping) else value
        return self._tokens.setdefault(plain, object())

    def _kind(self, path: Keys, base: type) -> Any:
        """The class of the records at an address: every field tells the book that it is read."""
        kind = self._kinds.get((path, base))
        if kind is None:
            slots = {each.name: base.__dict__[each.name] for each in fields(base)}
            below = {
                name: property(self._reader(slot.__get__, (*path, key_name(name))), slot.__set__)
                for name, slot in slots.items()
            }
            more = {
                "__module__": base.__module__,
                "__qualname__": base.__qualname__,
                "__slots__": ("_values", "_known") if base is Project else (),
                "_book": self,
                "_base": base,
                "_slots": {name: (slot.__get__, slot.__set__) for name, slot in slots.items()},
            }
            kind = type(base.__name__, (base,), {**below, **more})
            self._kinds[path, base] = kind
        return kind

    def _reader(self, get: Reader, path: Keys) -> Reader:
        note, number = self._read.append, self._number(path)

        def read(record: object) -> object:
            note(number)
            return get(record)

        return read

    # ---- moving -------------------------------------------------------------------------------------------

    def moved(self, project: Project, changes: Mapping[Keys, object]) -> Project:
        """As of `hutwright.model.paths.replaced`, for a project of this book; the copy is of it too."""
        values: Values | None = getattr(project, "_values", None)
        kind: Any = type(project)
        slots = kind._slots
        by_table: dict[str, dict[Keys, object]] = {}
        for path, value in changes.items():
            if len(path) < 2 or path[0] not in slots:
                return replaced(project, changes)
            below = by_table.get(path[0])
            if below is None:
                below = by_table[path[0]] = {}
            below[path[1:]] = value
        if values is None:
            return replaced(project, changes)
        copy = object.__new__(kind)
        for get, put in slots.values():
            put(copy, get(project))
        values = values.copy()
        for table, below in by_table.items():
            get, put = slots[table]
            try:
                found = self._table(table, get(project), below)
            except RequestError:
                return replaced(project, changes)  # which says what is wrong with the whole address
            put(copy, found.table)
            for number, noted in found.values:
                values[number] = noted
        return self._with(copy, values)

    def _with(self, project: Any, values: Values) -> Project:
        """A project of this book, with what stands in it and an empty list of what is known of it."""
        known: Known = {}
        kind: Any = type(project)
        kind._values.__set__(project, values)
        kind._known.__set__(project, known)
        self._known.append(known)
        return cast(Project, project)

    def _table(self, name: str, table: object, below: Mapping[Keys, object]) -> _Moved:
        mark = (id(table), frozenset(below.items()))
        found = self._moved.get(mark)
        if found is None:
            if len(self._moved) >= MOST_KEPT:
                self._moved.clear()
            found = _Moved(table)
            try:
                found.table = replaced(table, below)
                found.values = [self._noted((name, *path), found.table, path) for path in below]
                self._vary(number for number, _ in found.values)
            except ModelError as error:
                found.refused = error
            self._moved[mark] = found
        refused = found.refused
        if refused is not None:
            field = f"{name}.{refused.field}" if refused.field else name
            raise ModelError(field, refused.read, refused.wanted, refused.remedy)
        return found

    def _held(self, path: Keys) -> Keys:
        """The address of a value, or of the list that holds it."""
        while path not in self._numbers:
            path = path[:-1]
        return path

    def _noted(self, path: Keys, table: object, below: Keys) -> tuple[int, object]:
        """The number of the value at an address, or of the list that holds it, and what stands there."""
        held = self._held(path)
        return self._numbers[held], self._token(value_at(table, below[: len(below) - len(path) + len(held)]))


class _Moved:
    """A table with some values moved, or why it refuses them."""

    __slots__ = ("before", "refused", "table", "values")

    def __init__(self, before: object) -> None:
        self.before = before  # kept, so that its id stays its own
        self.table: object = None
        self.values: list[tuple[int, object]] = []
        self.refused: ModelError | None = None


def book_of(project: Project) -> Book | None:
    """The book of a watched project; None for one that nobody watches."""
    return getattr(type(project), "_book", None)


def answered(work: Callable[[Project], T], project: Project) -> T:
    """The answer of a pure function of a project, from the project's book where that has it.

    Parameters
    ----------
    work : Callable
        The function.
    project : Project
        The project.
    """
    book = book_of(project)
    return work(project) if book is None else book.recall(work, project)


def rests_on(work: Callable[[Project], T], project: Project, paths: Iterable[Keys]) -> list[Keys]:
    """Those of some addresses whose values the answer of a pure function was worked out from.

    The others can be moved, each alone or all at once, and the answer stays what it is. All of them where
    nobody watches the project.

    Parameters
    ----------
    work : Callable
        The function.
    project : Project
        The project.
    paths : iterable of tuple
        The addresses.
    """
    book = book_of(project)
    return list(paths) if book is None else book.rests_on(work, project, paths)


def moved(project: Project, changes: Mapping[Keys, object]) -> Project:
    """A copy of a project with the values at some addresses replaced, watched where the project is.

    Parameters
    ----------
    project : Project
        The project.
    changes : Mapping
        Value by address. [SI]

    Raises
    ------
    RequestError
        Where an address leads nowhere.
    ModelError
        Where a record refuses the new value; its field is the address from here.
    """
    book = book_of(project)
    return replaced(project, changes) if book is None else book.moved(project, changes)


def apart(record: T) -> T:
    """A copy of a record that nobody watches; all its values count as read."""
    kind = type(record)
    base = getattr(kind, "_base", None)
    if base is None:
        return record
    copy = object.__new__(base)
    for name in base.__dataclass_fields__:
        object.__setattr__(copy, name, apart(getattr(record, name)))
    return cast(T, copy)


def watched_in(answer: object) -> Iterator[object]:
    """The watched records that an answer holds, and what cannot be looked into; there should be none."""
    if hasattr(type(answer), "_book") or callable(answer):
        yield answer
    elif is_dataclass(answer) and not isinstance(answer, type):
        for each in fields(answer):
            yield from watched_in(getattr(answer, each.name))
    elif isinstance(answer, Mapping):
        yield from watched_in(tuple(answer.values()))
    elif isinstance(answer, tuple | list | set | frozenset):
        for each in answer:
            yield from watched_in(each)
