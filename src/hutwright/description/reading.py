"""From bytes on disk to plain values with the line of each; whatever cannot be read is a `Fault`.

Everything that costs time or memory is limited before the parser sees the text: the size, the length of a
line, the depth of a path and the number of values.
"""

from __future__ import annotations

import errno
import math
import os
import re
import stat
import tomllib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from hutwright.description.lines import DEEPEST as DEEPEST
from hutwright.description.lines import MOST_VALUES as MOST_VALUES
from hutwright.description.lines import Excess, Walk, below, walk
from hutwright.errors import DescriptionError, Fault, shortened

LARGEST_FILE = 512 * 1024  # bytes; ours to choose: a full description has under 20 000
MOST_LINES = 20_000  # ours to choose: a full description has under 500
LONGEST_LINE = 4_000  # characters; ours to choose
MOST_MISTAKES = 10  # mistakes of spelling looked for in one reading; the next reading finds the rest
_LARGEST_READ_AGAIN = 64 * 1024  # characters; longer texts report their first mistake only, to stay quick

_PLACE = re.compile(r"^(.*) \(at (?:line (\d+), column (\d+)|end of document)\)$", re.DOTALL)
_CURLY = re.compile("[“”„‟«»‘’‚‛]")
_NUMBER = r"[+-]?(?:\d[\d_]*(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?"
_COMMA_NUMBER = re.compile(r"[=\[,]\s*([+-]?\d+,\d+(?:[ \t]*[^\W\d_][^,\]}#\"']*)?)")
_QUANTITY = re.compile(rf"{_NUMBER}\s*(?:[^\W\d_]|[%°+.±/]).*")
_TRUTHS = {"true": "true", "yes": "true", "on": "true", "false": "false", "no": "false", "off": "false"}
_ADVICE = {  # by the start of what the parser says: what is wanted, and what to do
    "Expected '='": ("name = value", "write = and a value behind the name, or # before a remark"),
    "Expected newline": (
        "one name = value in a line",
        "begin a new line behind the value, or put the value in quotes",
    ),
    "Expected ']": (
        "a header such as [door] or [cables.feed]",
        "close the header with as many ] as it opens with",
    ),
    "Invalid initial": ("a name between the brackets or dots", "write the name that is missing"),
    "Invalid date": ("a date that exists, in quotes", "write it as a text in quotes"),
    "Unclosed array": (
        "a comma between the elements of a list, ] behind the last",
        "add the comma or the ]",
    ),
    "Unclosed inline table": (
        "a table in braces on one line",
        "add the missing comma or }, and keep { ... } on one line",
    ),
}


@dataclass(frozen=True, slots=True)
class Sheet:
    """One file as it was read.

    Attributes
    ----------
    file : str
        Its name, relative to the project's folder.
    text : str
        Its text, line ends as they were.
    data : dict of str to object
        Its values as plain tables, lists, texts, numbers, truths and (to be refused by their shape) times.
    lines : mapping of str to int
        Dotted path of everything in it to the line, counted from 1.
    """

    file: str
    text: str
    data: dict[str, object]
    lines: Mapping[str, int]


def read_sheet(path: Path, name: str) -> Sheet:
    """Read one file of a project.

    Parameters
    ----------
    path : pathlib.Path
        Where it lies.
    name : str
        What to call it in faults: its name relative to the project's folder.

    Returns
    -------
    Sheet
        Text, values and lines.

    Raises
    ------
    DescriptionError
        With every fault found, whatever the file holds; nothing else is raised.
    """
    try:
        raw = _bytes(path, name)
    except ValueError:  # a name with a NUL character in it
        raise _refusal(name, shortened(str(path)), "the name of a file", "correct the name") from None
    except OSError as error:
        raise _unread(error, path, name) from None
    return parse_sheet(_text(raw, name), name)


def parse_sheet(text: str, name: str) -> Sheet:
    """Read the text of a file, wherever it came from.

    Parameters
    ----------
    text : str
        The text; a byte order mark before it is left out.
    name : str
        What to call it in faults.

    Returns
    -------
    Sheet
        Text, values and lines.

    Raises
    ------
    DescriptionError
        With every fault found; nothing else is raised.
    """
    text = text.removeprefix("\ufeff")
    try:
        size = len(text.encode())
    except UnicodeEncodeError as error:
        line = text.count("\n", 0, error.start) + 1
        read = shortened(text[error.start])
        raise _refusal(name, read, "whole characters", "delete the broken character", line) from None
    if size > LARGEST_FILE:
        raise _too_large(size, name)
    _raise_any(_too_long(text, name))  # before the walk: its memory is bounded by the length of a line
    found = walk(text)
    _raise_any(_too_much(found, name))
    data = _values(found, name)
    _raise_any(_impossible_numbers(data, found, name))
    return Sheet(name, text, data, {path: mark.line for path, mark in found.marks.items()})


def _raise_any(faults: Iterable[Fault]) -> None:
    """Raise the faults together, where there are any."""
    together = tuple(faults)
    if together:
        raise DescriptionError(together)


# --- from the disk -------------------------------------------------------------------------------------


def _bytes(path: Path, name: str) -> bytes:
    """The bytes of a plain file that is not too large; never waits for a pipe or a device."""
    _refuse_unless_plain(path.stat(), path, name)
    with open(path, "rb", opener=_without_waiting) as file:
        _refuse_unless_plain(os.fstat(file.fileno()), path, name)  # it may have been changed in between
        raw = file.read(LARGEST_FILE + 1)
    if len(raw) > LARGEST_FILE:
        raise _too_large(len(raw), name)
    return raw


def _without_waiting(path: str, flags: int) -> int:
    """Open a file; a pipe that has taken its place does not make us wait."""
    return os.open(path, flags | getattr(os, "O_NONBLOCK", 0))


def _refuse_unless_plain(status: os.stat_result, path: Path, name: str) -> None:
    """Refuse folders, devices and pipes, and files over the limit."""
    if stat.S_ISDIR(status.st_mode):
        raise _refusal(name, "a folder", "a text file", f"name the file in it, such as {path / 'hut.toml'}")
    if not stat.S_ISREG(status.st_mode):
        raise _refusal(name, "a device, pipe or socket", "a text file", "put a plain text file there")
    if status.st_size > LARGEST_FILE:
        raise _too_large(status.st_size, name)


def _unread(error: OSError, path: Path, name: str) -> DescriptionError:
    """The fault for a file that the system would not give."""
    if isinstance(error, FileNotFoundError | NotADirectoryError):
        begin = f"begin a description with 'hutwright start {path.parent}', or correct the name"
        begin = f"correct the name, or write the file {path}" if "/" in name else begin
        return _refusal(name, "no such file", "a description", begin)
    if isinstance(error, PermissionError):
        allow = f"allow it with 'chmod u+r {path}', or as the file's owner with 'chmod a+r {path}'"
        return _refusal(name, "a file that you are not allowed to read", "a readable file", allow)
    if error.errno == errno.ELOOP:
        return _refusal(name, "a link that leads back to itself", "a text file", "delete the link")
    told = shortened(error.strerror or type(error).__name__)
    return _refusal(
        name, f"nothing: the system said {told}", "a readable file", "check the disk and the name"
    )


def _too_large(size: int, name: str) -> DescriptionError:
    """The fault for a file over the limit."""
    remedy = "keep only the description here; recorded runs and readings have files of their own"
    return _refusal(name, f"{size} bytes or more", f"at most {LARGEST_FILE} bytes", remedy)


def _refusal(name: str, read: str, wanted: str, remedy: str, line: int = 0) -> DescriptionError:
    """One fault of the file as a whole."""
    return DescriptionError([_fault(name, line, "", read, wanted, remedy)])


def _fault(name: str, line: int, path: str, read: str, wanted: str, remedy: str) -> Fault:
    """A fault, by order of its facts."""
    return Fault(file=name, line=line, path=path, read=read, wanted=wanted, remedy=remedy)


def _text(raw: bytes, name: str) -> str:
    """The bytes as text."""
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        remedy = "choose UTF-8 where the editor saves the file"
        raise _refusal(name, "text in UTF-16", "text in UTF-8", remedy)
    plain = "save it as plain text in UTF-8"
    zero = raw.find(b"\0")
    if zero >= 0:
        raise _refusal(name, f"a zero byte at byte {zero}", "a text file, not a program's own format", plain)
    try:
        return raw.decode("utf-8").removeprefix("\ufeff")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        read = f"byte 0x{raw[error.start]:02x} at byte {error.start}"
        raise _refusal(name, read, "text in UTF-8", f"write that character anew and {plain}", line) from None


# --- limits --------------------------------------------------------------------------------------------


def _too_long(text: str, name: str) -> Iterator[Fault]:
    """Faults of a text with too many lines, or with a line too long."""
    elsewhere = "move readings and recorded runs to files of their own"
    rows = text.split("\n")
    if len(rows) > MOST_LINES + 1:
        yield _fault(name, MOST_LINES + 1, "", f"{len(rows)} lines", f"at most {MOST_LINES}", elsewhere)
    for number, row in enumerate(rows, start=1):
        if len(row) > LONGEST_LINE:
            read, wanted = f"{len(row)} characters in one line", f"at most {LONGEST_LINE}"
            yield _fault(name, number, "", read, wanted, "write a long list over several lines")
            return


def _too_much(found: Walk, name: str) -> Iterator[Fault]:
    """The fault of a text at which the walk met one of its limits."""
    remedies = {
        Excess.DEEP: "check for brackets that are never closed, or flatten the tables",
        Excess.LONG: "shorten the name; a long text belongs behind the equals sign, in quotes",
        Excess.MANY: "move readings and recorded runs to files of their own",
    }
    if found.excess is not None:
        line = found.line_at(found.stop or 0)
        read, remedy = found.excess.value, remedies[found.excess]
        yield _fault(name, line, found.path, read, "no more than that", remedy)


def _impossible_numbers(data: dict[str, object], found: Walk, name: str) -> Iterator[Fault]:
    """Faults of numbers that are none, are endless or have no room in 64 bits."""
    for path, value in _leaves(data, ""):
        if isinstance(value, float) and not math.isfinite(value):
            wanted, remedy = "a finite number", "write the number; leave the key out where it is not known"
        elif isinstance(value, int) and not -(2**63) <= value < 2**63:
            wanted, remedy = "a whole number within 64 bits", "check the number of digits"
        else:
            continue
        mark = found.marks[path]
        read = shortened(found.text[mark.start : mark.end])
        yield _fault(name, mark.line, path, read, wanted, remedy)


def _leaves(value: object, path: str) -> Iterator[tuple[str, object]]:
    """Every value that is neither table nor list, with its path; the depth is limited before."""
    inner: Iterable[tuple[str, object]]
    if isinstance(value, dict):
        inner = ((below(path, key), each) for key, each in value.items())
    elif isinstance(value, list):
        inner = ((f"{path}.{index}", each) for index, each in enumerate(value))
    else:
        yield path, value
        return
    for place, each in inner:
        yield from _leaves(each, place)


# --- spelling ------------------------------------------------------------------------------------------


def _values(found: Walk, name: str) -> dict[str, object]:
    """The values of a text within the limits, or a fault for each mistake of spelling in it."""
    faults: list[Fault] = []
    text, known, whole_line = found.text, found, True
    data: dict[str, object] = {}
    while whole_line and len(faults) < MOST_MISTAKES:
        try:
            data = tomllib.loads(text)
            break
        except tomllib.TOMLDecodeError as error:
            fault, whole_line = _misspelt(str(error), known, name)
        except (ValueError, RecursionError, MemoryError) as error:
            read, wanted = f"what ends in {type(error).__name__}", "numbers and texts of ordinary size"
            fault, whole_line = _fault(name, 0, "", read, wanted, "shorten the longest values"), False
        faults.append(fault)
        if whole_line and len(text) <= _LARGEST_READ_AGAIN:
            rows = text.split("\n")
            rows[fault.line - 1] = ""  # read on as if the line were not there, to find the next mistake
            text = "\n".join(rows)
            known = walk(text)
        else:
            whole_line = False
    _raise_any(faults)
    return data


def _misspelt(told: str, found: Walk, name: str) -> tuple[Fault, bool]:
    """The fault for what the parser told, and whether the rest can be judged without that line."""
    place = _PLACE.match(told)
    message = place[1] if place else told
    rows = found.text.split("\n")
    if message.startswith(("Cannot", "Duplicate")) and found.clashes:
        clash = found.clashes[0]
        row = rows[clash.line - 1].strip()
        remedy = f"it stands already in line {clash.first}: keep one of the two, or rename one"
        fault = _fault(name, clash.line, clash.path, shortened(row), f"{clash.path} only once", remedy)
        return fault, not row.startswith("[") and _is_closed(row)
    at_end = not (place and place[2])
    if place and place[2]:
        line, column = int(place[2]), int(place[3])
    else:
        offset = found.opened if found.opened is not None else found.stop
        offset = len(found.text.rstrip()) if offset is None else offset
        line, column = found.line_at(offset), offset - found.text.rfind("\n", 0, offset)
    row = rows[line - 1]
    slip = _slip(row, column, message, at_end=at_end)
    wanted, remedy = slip or ('name = "value", [table] or # remark', "correct or delete what stands there")
    read = f"{shortened(row.strip())} (column {column})"
    column = row.index(comma) + 1 if (comma := _comma(row, column)) else column
    offset = sum(len(each) + 1 for each in rows[: line - 1]) + column - 1
    near = (
        path for path, mark in reversed(found.marks.items()) if mark.line == line and mark.start <= offset
    )
    fault = _fault(name, line, next(near, ""), read, wanted, remedy)
    return fault, slip is not None and not row.lstrip().startswith("[") and _is_closed(row)


def _is_closed(row: str) -> bool:
    """Whether a line opens no bracket or text that a later line closes."""
    bare = re.sub(r"\"[^\"]*\"|'[^']*'|#.*", "", row)
    pairs = all(bare.count(first) == bare.count(last) for first, last in ("[]", "{}"))
    return pairs and '"""' not in row and "'''" not in row


def _slip(row: str, column: int, message: str, *, at_end: bool) -> tuple[str, str] | None:
    """What was wanted and what to do, where the mistake is one of the common ones."""
    char = row[column - 1 : column]
    curly = _CURLY.search(row)
    if curly and (_CURLY.match(char) or char in ("", '"', "'")):
        return 'straight quotes: "', f'write " in place of {curly.group()}'
    if char and char != "\t" and not char.isprintable():
        code = f"U+{ord(char):04X}"
        return "visible characters", f"delete the invisible character {code}, or type a blank for it"
    if message.startswith(("Unescaped", "Invalid hex", "Escaped")):
        return "\\\\ for a backslash", "write \\\\ for each backslash, or put the text in single quotes ' '"
    if comma := _comma(row, column):
        number = comma.replace(",", ".", 1)
        written = number if number.replace(".", "").lstrip("+-").isdigit() else f'"{number}"'
        return "a decimal point", f"write {written} in place of {comma}"
    bare = re.sub(r"\"(?:[^\"\\]|\\.)*\"|'[^']*'", "", row)
    bare = bare.split("#", 1)[0]
    if at_end and char in ("[", "{"):
        return f"a closing {']' if char == '[' else '}'}", f"close the {char} of this line"
    if bare.count('"') % 2 or bare.count("'") % 2 or '"""' in row or "'''" in row:
        return "a text with a quote before and behind it", "add the missing quote"
    return _slip_of_value(row, column, message) or _slip_of_statement(row, char, message)


def _comma(row: str, column: int) -> str:
    """The number with a decimal comma at a column, with its unit; "" where there is none."""
    for found in _COMMA_NUMBER.finditer(row):
        number = found[1].strip()
        in_list = found[0][0] != "=" and number[-1].isdigit()  # then they are two numbers
        if found.start(1) < column <= found.end(1) + 2 and not in_list:
            return number
    return ""


def _slip_of_value(row: str, column: int, message: str) -> tuple[str, str] | None:
    """The same, for what stands behind an equals sign or in a list."""
    first = max(row.rfind(char, 0, max(column - 1, 0)) for char in "=,[{")
    if first < 0 or message.startswith(("Invalid statement", "Invalid initial", "Expected ']")):
        return None
    value = re.split(r"[,\]}#]", row[first + 1 :], maxsplit=1)[0].strip()
    key = re.split(r"[,{\[]", row[:first])[-1].strip() if row[first] == "=" else ""
    if not value and row[first] == "=":
        return "a value", f'write a value behind {key} =, such as "6 m", or delete the key'
    if value.lower() in _TRUTHS:
        return "true or false, in small letters", f"write {_TRUTHS[value.lower()]}"
    if '"' in value or "'" in value or "=" in value:
        return None
    quoted = f'{key} = "{value}"' if key else f'"{value}"'
    if re.fullmatch(r"[+-]?0\d+(\.\d*)?", value) or re.fullmatch(r"[+-]?(\.\d+|\d+\.)", value):
        return "a number such as 0.5 or 5", "write digits on both sides of the point, and no zero in front"
    if _QUANTITY.fullmatch(value):
        return "a quantity in quotes", f"write {quoted}"
    if re.fullmatch(r"[^\W\d_][\w .-]*", value):
        return "a text in quotes", f"write {quoted}"
    return None


def _slip_of_statement(row: str, char: str, message: str) -> tuple[str, str] | None:
    """The same, for names, signs and brackets."""
    start = row.strip()
    if start.startswith(("//", ";", "--", "/*")):
        return "# before a remark", "write # in place of the sign before the remark"
    if start.startswith("="):
        return "name = value", "write the name in front of ="
    if message.startswith("Expected '='") and char == ":":
        return "= behind the name", "write = in place of :"
    if char > "\x7f" and message.startswith(("Expected '='", "Invalid statement", "Invalid initial")):
        return "a name of a-z, 0-9, _ and -", "write the name in plain letters, or put it in double quotes"
    if not char and "{" in row:
        message = "Unclosed inline table"
    return next((advice for told, advice in _ADVICE.items() if message.startswith(told)), None)
