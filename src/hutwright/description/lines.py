"""Where every key and every list element of a TOML text stands, and how a dotted path is written.

The walk below never descends by recursion and reads no value: it is safe on hostile text and runs before
any parser does. On text that is not TOML it stops at the first thing it cannot follow, never before the
place where a strict parser would stop.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import Enum
from typing import NoReturn

from hutwright.errors import RequestError, shortened

DEEPEST = 12  # parts of the longest path; ours to choose: the description's own paths have at most six
LONGEST_KEY = 120  # characters of one key; ours to choose: a quoted path of the description has under 60
MOST_VALUES = 20_000  # keys, tables and list elements; ours to choose: a full description has under 2000

_BARE = re.compile(r"[A-Za-z0-9_-]++")
_PATH_PART = re.compile(r"""[^."'\s]++|"(?:[^"\\]++|\\.)*+"|'[^']*+'""")
_KEY_PART = re.compile(r"""[A-Za-z0-9_-]++|"(?:[^"\\\n]++|\\.)*+"|'[^'\n]*+'""")
_BLANK = re.compile(r"[ \t]*+")
_GAP = re.compile(r"(?:[ \t\n]++|#[^\n]*+)*+")
_LINE_END = re.compile(r"[ \t]*+(?:#[^\n]*+)?+(?=\n|\Z)")
_SCALAR = re.compile(
    r'''"""(?:[^"\\]++|\\[\s\S]|"(?!""))*+""""{0,2}'''  # text over several lines
    r"""|'''(?:[^']++|'(?!''))*+''''{0,2}"""
    r"""|"(?!"")(?:[^"\\\n]++|\\.)*+"|'(?!'')[^'\n]*+'"""  # text within a line
    r"""|[0-9]{4}-[0-9]{2}-[0-9]{2} [0-9]{2}:[0-9A-Za-z:.+-]*+"""  # the one value with a blank in it
    r"""|[0-9A-Za-z_:.+-]++"""
)
_ESCAPE = re.compile(r"\\(?:x([0-9A-Fa-f]{2})|u([0-9A-Fa-f]{4})|U([0-9A-Fa-f]{8})|([\s\S]))")
_ESCAPED = {"b": "\b", "t": "\t", "n": "\n", "f": "\f", "r": "\r", "e": "\x1b", '"': '"', "\\": "\\"}


class Kind(Enum):
    """What stands at a path."""

    VALUE = "a text, number, truth or time"
    LIST = "a list in brackets"
    INLINE = "a table in braces"
    HEADER = "a table under its own header"
    IMPLIED = "a table that only the headers below it name"
    DOTTED = "a table that a dotted key names"
    TABLES = "a list of tables under double headers"


class Excess(Enum):
    """Why a walk went no further although the text went on."""

    DEEP = f"more than {DEEPEST} keys and brackets inside each other"
    LONG = f"a key of more than {LONGEST_KEY} characters"
    MANY = f"more than {MOST_VALUES} keys and list elements"


OPENED_BY_VALUE = frozenset({Kind.VALUE, Kind.LIST, Kind.INLINE})


@dataclass(slots=True)
class Mark:
    """One path of a text: what stands there, its line from 1, and both ends of its value or header."""

    kind: Kind
    line: int
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Clash:
    """A key or header at a path where something stands already: its line, and that of the first."""

    path: str
    line: int
    first: int


@dataclass(slots=True)
class Walk:
    """What a walk over a text found.

    Attributes
    ----------
    text : str
        The text as walked: line ends are single line feeds.
    marks : dict of str to Mark
        Every path, in the order of the text; ends that were not reached are equal to the starts.
    sections : dict of str to tuple of int
        Start and end of the last statement under each header; "" for the lines before the first.
    clashes : list of Clash
        What stands twice.
    stop : int or None
        Offset where the text could not be followed any more; None where its end was reached.
    path : str
        Path the walk was at when it stopped.
    opened : int or None
        Offset of the innermost bracket or brace still open at the stop.
    excess : Excess or None
        The limit that stopped it; None where it was no limit.
    """

    text: str
    marks: dict[str, Mark] = field(default_factory=dict)
    sections: dict[str, tuple[int, int]] = field(default_factory=dict)
    clashes: list[Clash] = field(default_factory=list)
    stop: int | None = None
    path: str = ""
    opened: int | None = None
    excess: Excess | None = None

    def line_at(self, offset: int) -> int:
        """Line of an offset, counted from 1."""
        return self.text.count("\n", 0, offset) + 1


def locate(text: str) -> dict[str, int]:
    r"""Line of every table, key and list element of a TOML text.

    Parameters
    ----------
    text : str
        The text; what follows a mistake in it, or a limit that it passes, is left out.

    Returns
    -------
    dict of str to int
        Dotted path (`walls.0` for a list's first element) to its line, counted from 1. A table that has a
        header of its own stands at that header, even where headers below it come earlier.

    Examples
    --------
    >>> locate('[hut]\nwall = [\n  "a",\n]\n')
    {'hut': 1, 'hut.wall': 2, 'hut.wall.0': 3}
    """
    return {path: mark.line for path, mark in walk(text).marks.items()}


def line_of(lines: Mapping[str, int], path: str) -> int:
    """Line of a path, else of the nearest thing above it that stands in the text, else 0.

    Parameters
    ----------
    lines : mapping of str to int
        What `locate` returned.
    path : str
        Dotted path, possibly of something missing.

    Returns
    -------
    int
        The line, counted from 1; 0 for the whole file.
    """
    return next((lines[above] for above in upwards(path) if above in lines), 0)


def upwards(path: str) -> tuple[str, ...]:
    """The path itself, then each path above it, nearest first; the whole file ("") is left out."""
    parts = split(path)
    return tuple(join(*parts[:count]) for count in range(len(parts), 0, -1))


def join(*parts: str) -> str:
    """The dotted path of some keys; a key that a file would have to quote is quoted.

    Parameters
    ----------
    parts : str
        Keys from the outermost to the innermost, as they are without quotes.

    Returns
    -------
    str
        The path; "" without parts.

    Examples
    --------
    >>> join("limits", "door.opening_time")
    'limits."door.opening_time"'
    """
    return ".".join(map(_written, parts))


def below(path: str, *parts: str) -> str:
    """The path of some keys, as they are without quotes, under another path; "" is the whole file."""
    return f"{path}.{join(*parts)}" if path and parts else path or join(*parts)


def split(path: str) -> tuple[str, ...]:
    """The keys of a dotted path, without their quotes.

    Parameters
    ----------
    path : str
        Dotted path as `join` writes it; keys may also stand in single quotes.

    Returns
    -------
    tuple of str
        Keys from the outermost to the innermost; none for "".

    Raises
    ------
    RequestError
        Where the text is no path: an empty key, a blank or an open quote.

    Examples
    --------
    >>> split('limits."door.opening_time"')
    ('limits', 'door.opening_time')
    """
    parts: list[str] = []
    at = 0
    while path:
        found = _PATH_PART.match(path, at)
        part = _plain(found.group()) if found else None
        if found is None or part is None or path[found.end() : found.end() + 1] not in ("", "."):
            raise RequestError(
                f"read {shortened(path)}; wanted keys with dots between them, such as cables.feed.length; "
                "put a key that has a dot or a blank of its own in double quotes"
            )
        parts.append(part)
        at = found.end() + 1
        if at > len(path):
            break
    return tuple(parts)


def walk(text: str) -> Walk:
    """Follow a TOML text from key to key, within the limits of depth, number and length above.

    Parameters
    ----------
    text : str
        Any text at all.
    """
    walker = _Walker(text.replace("\r\n", "\n"))
    walker.run()
    return walker.found


def _written(part: str) -> str:
    """One key as a file would have it."""
    if _BARE.fullmatch(part):
        return part
    plain = part.replace("\\", "\\\\").replace('"', '\\"')
    return '"' + "".join(c if ord(c) >= 32 and ord(c) != 127 else f"\\u{ord(c):04x}" for c in plain) + '"'


def _plain(part: str) -> str | None:
    """One key without its quotes and escapes; None where an escape means nothing."""
    if part[0] == "'":
        return part[1:-1]
    if part[0] != '"':
        return part
    try:
        return _ESCAPE.sub(_meant, part[1:-1])
    except (KeyError, ValueError, OverflowError):
        return None


def _meant(found: re.Match[str]) -> str:
    """The character that an escape stands for."""
    digits = found[1] or found[2] or found[3]
    if not digits:
        return _ESCAPED[found[4]]
    char = chr(int(digits, 16))
    if "\ud800" <= char <= "\udfff":
        raise ValueError(digits)
    return char


class _StoppedError(Exception):
    """The text cannot be followed any more."""


@dataclass(slots=True)
class _Open:
    """A bracket or brace not closed yet: its closing character, its path, and the last index under it."""

    closer: str
    path: str
    depth: int
    start: int
    index: int = -1


class _Walker:
    """One walk over one text; the position only ever grows."""

    def __init__(self, text: str) -> None:
        """Start at the first character, above the first header."""
        self.text = text
        self.found = Walk(text)
        self.at = 0
        self.counted = (0, 1)  # an offset whose line is known, and that line
        self.section = ""
        self.depth = 0
        self.tables: dict[str, int] = {}  # how many tables each list of tables has so far
        self.open: list[_Open] = []

    def run(self) -> None:
        """Statement after statement."""
        found = self.found
        try:
            while self._skip(_GAP) < len(self.text):
                start = self.at
                if self.text[start] == "[":
                    self._header()
                else:
                    self._value(*self._key_and_equals(self.section, self.depth))
                end = _LINE_END.match(self.text, self.at)
                if end is None:
                    raise _StoppedError
                found.sections[self.section] = (start, end.end())
                self.at = end.end()
        except _StoppedError:
            found.stop = self.at
            found.opened = self.open[-1].start if self.open else None

    def _skip(self, what: re.Pattern[str]) -> int:
        """Go behind blanks; where that is."""
        found = what.match(self.text, self.at)
        self.at = found.end() if found else self.at
        return self.at

    def _takes(self, token: str) -> bool:
        """Whether the token stands here; if so, go behind it."""
        here = self.text.startswith(token, self.at)
        self.at += len(token) if here else 0
        return here

    def _line(self, offset: int) -> int:
        """Line of an offset at or behind the last one asked for."""
        known, line = self.counted
        line += self.text.count("\n", known, offset)
        self.counted = (offset, line)
        return line

    def _key(self, depth: int) -> tuple[str, ...]:
        """The parts of a dotted key."""
        parts: list[str] = []
        while True:
            self._skip(_BLANK)
            found = _KEY_PART.match(self.text, self.at)
            part = _plain(found.group()) if found else None
            if found is None or part is None:
                raise _StoppedError
            self._refuse_deeper(depth + len(parts) + 1)
            if len(part) > LONGEST_KEY:
                self._refuse(Excess.LONG)
            parts.append(part)
            self.at = found.end()
            self._skip(_BLANK)
            if not self._takes("."):
                return tuple(parts)

    def _refuse_deeper(self, depth: int) -> None:
        """Stop where a path has too many parts."""
        if depth > DEEPEST:
            self._refuse(Excess.DEEP)

    def _refuse(self, excess: Excess) -> NoReturn:
        """Stop at a limit."""
        self.found.excess = excess
        raise _StoppedError

    def _mark(self, path: str, kind: Kind, start: int) -> None:
        """Remember a path, unless it is known; a table's own header replaces what only implied it."""
        marks = self.found.marks
        known = marks.get(path)
        if known is None or (known.kind is Kind.IMPLIED and kind is Kind.HEADER):
            if len(marks) >= MOST_VALUES:
                self._refuse(Excess.MANY)
            marks[path] = Mark(kind, self._line(start), start, start)

    def _refuse_again(self, path: str, start: int, kinds: frozenset[Kind]) -> None:
        """Note a clash where one of these kinds stands at the path already."""
        known = self.found.marks.get(path)
        if known is not None and known.kind in kinds:
            self.found.clashes.append(Clash(path, self._line(start), known.line))

    def _header(self) -> None:
        """`[table]` or `[[list of tables]]`."""
        start = self.at
        many = self._takes("[[")
        if not many:
            self.at += 1
        parts = self._key(0)
        path, depth = "", len(parts)
        for part in parts[:-1]:
            path = below(path, part)
            self._refuse_again(path, start, OPENED_BY_VALUE)
            self._mark(path, Kind.IMPLIED, start)
            if path in self.tables:
                path, depth = f"{path}.{self.tables[path] - 1}", depth + 1
        path = below(path, parts[-1])
        if many:
            self._refuse_again(path, start, frozenset(Kind) - {Kind.TABLES})
            self._mark(path, Kind.TABLES, start)
            count = self.tables.get(path, 0)
            self.tables[path] = count + 1
            path, depth = f"{path}.{count}", depth + 1
        self._refuse_deeper(depth)
        self._refuse_again(path, start, frozenset(Kind) - {Kind.IMPLIED})
        self._mark(path, Kind.HEADER, start)
        self.section, self.depth, self.found.path = path, depth, path
        if not self._takes("]]" if many else "]"):
            raise _StoppedError

    def _key_and_equals(self, above: str, depth: int) -> tuple[str, int]:
        """`key =`, and the path and depth of the value that follows."""
        start = self._skip(_BLANK)
        parts = self._key(depth)
        path = above
        for part in parts[:-1]:
            path = below(path, part)
            self._refuse_again(path, start, frozenset(Kind) - {Kind.IMPLIED, Kind.DOTTED})
            self._mark(path, Kind.DOTTED, start)
        path = self.found.path = below(path, parts[-1])
        self._refuse_again(path, start, frozenset(Kind))
        self._mark(path, Kind.VALUE, start)
        if not self._takes("="):
            raise _StoppedError
        self._skip(_BLANK)
        return path, depth + len(parts)

    def _value(self, path: str, depth: int) -> None:
        """A value with everything inside it; brackets are kept in a list, not in calls."""
        while True:
            mark = self.found.marks[path]
            start = mark.start = mark.end = self.at
            inner: tuple[str, int] | None = None
            closer = {"[": "]", "{": "}"}.get(self.text[start : start + 1])
            if closer is not None:
                mark.kind = Kind.LIST if closer == "]" else Kind.INLINE
                self.at += 1
                self.open.append(_Open(closer, path, depth, start))
                inner = self._inside()
            else:
                scalar = _SCALAR.match(self.text, start)
                if scalar is None:
                    raise _StoppedError
                mark.end = self.at = scalar.end()
            while inner is None:
                if not self.open:
                    return
                self._skip(_GAP)
                if self._takes(","):
                    inner = self._inside()
                elif not self._closes():
                    raise _StoppedError
            path, depth = inner

    def _closes(self) -> bool:
        """Whether the innermost bracket closes here; if so, go behind it."""
        last = self.open[-1]
        if not self._takes(last.closer):
            return False
        self.open.pop()
        self.found.marks[last.path].end = self.at
        self.found.path = last.path
        return True

    def _inside(self) -> tuple[str, int] | None:
        """The next thing inside the innermost bracket; None where that closes instead."""
        last = self.open[-1]
        self._skip(_GAP)
        if self._closes():
            return None
        if last.closer == "}":
            return self._key_and_equals(last.path, last.depth)
        self._refuse_deeper(last.depth + 1)
        last.index += 1
        path = self.found.path = f"{last.path}.{last.index}"
        self._mark(path, Kind.VALUE, self.at)
        return path, last.depth + 1
