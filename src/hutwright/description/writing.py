"""Changing a description without losing its comments, and writing it so that no half file is ever seen."""

from __future__ import annotations

import contextlib
import copy
import errno
import math
import os
import re
import secrets
import stat
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError

from hutwright.description.lines import DEEPEST, Kind, Walk, below, join, split, upwards, walk
from hutwright.description.reading import parse_sheet
from hutwright.errors import DescriptionError, RequestError, shortened, system_words

WIDEST_LIST = 100  # characters; a longer list is written with one element in a line
_TABLES = frozenset({Kind.HEADER, Kind.IMPLIED, Kind.DOTTED})
_FIRST_REMARK = re.compile(r"(?:#[^\n]*\n)+\n+")


def write_atomic(path: Path, text: str) -> None:
    """Write a file in one step: whoever reads it sees the old text or the new one, whole.

    Links are followed, and the file keeps its mode. Where anything fails, the old file stands as it was
    and nothing is left beside it.

    Parameters
    ----------
    path : pathlib.Path
        The file; its folder exists.
    text : str
        What it is to hold, line ends as they are.

    Raises
    ------
    RequestError
        Where it cannot be written.
    """
    try:
        raw = text.encode("utf-8")
    except UnicodeEncodeError as error:
        raise RequestError(
            f"{path} was not written: read {shortened(text[error.start])}; wanted whole characters; "
            "delete the broken character"
        ) from None
    write_atomic_bytes(path, raw)


def write_atomic_bytes(path: Path, raw: bytes) -> None:
    """The same for bytes.

    Parameters
    ----------
    path : pathlib.Path
        The file; its folder exists.
    raw : bytes
        What it is to hold.

    Raises
    ------
    RequestError
        Where it cannot be written.
    """
    try:
        _replace(Path(os.path.realpath(path)), raw)
    except (OSError, ValueError) as error:
        raise RequestError(
            f"{path} was not written and is as it was before: the system said {system_words(error)}; "
            "wanted a plain file in a folder where you may write; check both, and the room on the disk"
        ) from error


def edit(text: str, changes: Mapping[str, object | None]) -> str:
    r"""A TOML text with some values changed; comments, order and everything else stay as they are.

    Parameters
    ----------
    text : str
        The text of a description.
    changes : mapping of str to object or None
        Dotted path to its new value (text, number, truth, list or table); None deletes what stands there.
        They are made in order. Tables on the way are made where they are missing.

    Returns
    -------
    str
        The new text, read again: exactly these paths differ.

    Raises
    ------
    DescriptionError
        Where the text itself cannot be read.
    RequestError
        Where a change cannot be made: nothing stands at a path to delete, a value stands where a table is
        needed, or the value is none that a file can hold.

    Examples
    --------
    >>> edit('length = "6 m"  # measured\n', {"length": "7 m"})
    'length = "7 m"  # measured\n'
    """
    mark = "\ufeff" if text.startswith("\ufeff") else ""
    windows = "\r\n" in text and not re.search(r"(?<!\r)\n", text)
    wanted = parse_sheet(text, "the text to change").data
    plain = text.removeprefix("\ufeff").replace("\r\n", "\n")
    for path, value in changes.items():
        parts = split(path)
        if value is None:
            _expect_deleted(wanted, parts)
            plain = _deleted(plain, parts)
        else:
            kept = _writable(value, path, 0)
            _expect_set(wanted, parts, copy.deepcopy(kept))
            plain = _set(plain, parts, kept)
    try:
        got: object = parse_sheet(plain, "the changed text").data
    except DescriptionError as error:
        raise RequestError(f"the change would leave a text that cannot be read: {error}") from error
    if not _same(got, wanted):
        raise RequestError(
            f"{', '.join(changes)} cannot be changed without touching something else; "
            "wanted a change of these alone; make it by hand in the file"
        )
    return mark + (plain.replace("\n", "\r\n") if windows else plain)


# --- the file ------------------------------------------------------------------------------------------


def _replace(path: Path, raw: bytes) -> None:
    """Write beside the file, make sure it is on the disk, and put it in the file's place."""
    try:
        old = path.stat()
    except FileNotFoundError:
        old = None
    if old is not None and not stat.S_ISREG(old.st_mode):
        raise ValueError("not a plain file")
    if old is not None and not os.access(path, os.W_OK):
        raise PermissionError(errno.EACCES, "the file is protected against writing", str(path))
    beside = path.with_name(f".{path.name[:100]}.{secrets.token_hex(6)}.part")
    number = os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o666)
    try:
        with open(number, "wb") as file:  # noqa: PTH123 - a file that is open already
            if old is not None:
                _keep_owner_and_mode(number, beside, old)
            file.write(raw)
            file.flush()
            os.fsync(number)
        os.replace(beside, path)  # noqa: PTH105 - the call that the tests break
    except BaseException:
        with contextlib.suppress(OSError):
            beside.unlink()
        raise
    _settle_folder(path.parent)


def _keep_owner_and_mode(number: int, beside: Path, old: os.stat_result) -> None:
    """Give the new file the owner, where that is allowed, and the mode of the old one."""
    if hasattr(os, "fchown"):
        with contextlib.suppress(PermissionError):
            os.fchown(number, old.st_uid, old.st_gid)
    beside.chmod(stat.S_IMODE(old.st_mode))


def _settle_folder(folder: Path) -> None:
    """Ask for the new name to be on the disk too; not every system lets a folder be opened."""
    with contextlib.suppress(OSError):
        number = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(number)
        finally:
            os.close(number)


# --- what the values should be afterwards --------------------------------------------------------------


def _writable(value: object, path: str, depth: int) -> object:
    """A copy of a value in the plain types that a file holds; refuses what it cannot hold."""
    if isinstance(value, dict | list) and depth >= DEEPEST:
        raise RequestError(f"{path}: read a value of more than {DEEPEST} levels; wanted fewer; flatten it")
    if isinstance(value, dict) and all(isinstance(key, str) for key in value):
        return {str(key): _writable(each, below(path, key), depth + 1) for key, each in value.items()}
    if isinstance(value, list):
        return [_writable(each, f"{path}.{index}", depth + 1) for index, each in enumerate(value)]
    for plain in (bool, int, float, str):
        if isinstance(value, plain) and not (isinstance(value, float) and not math.isfinite(value)):
            return plain(value)
    wanted = "a text, a finite number, true or false, a list, or a table with texts as keys"
    raise RequestError(f"{path}: read {shortened(repr(value))}; wanted {wanted}; write one of these")


def _expect_set(data: dict[str, Any], parts: tuple[str, ...], value: object) -> None:
    """Make the change in plain values."""
    at: Any = data
    for count, part in enumerate(parts[:-1], start=1):
        at = at.setdefault(part, {}) if isinstance(at, dict) else at[_index(at, part, parts[:count])]
    if isinstance(at, dict) and parts:
        at[parts[-1]] = value
    else:
        at[_index(at, parts[-1] if parts else "", parts)] = value


def _expect_deleted(data: dict[str, Any], parts: tuple[str, ...]) -> None:
    """Delete from plain values."""
    at: Any = data
    for count, part in enumerate(parts):
        key: Any = part
        if not isinstance(at, dict) or part not in at:
            key = _index(at, part, parts[: count + 1])
        if count == len(parts) - 1:
            del at[key]
        else:
            at = at[key]
    if not parts:
        raise RequestError("read ''; wanted the path of something in the file; name what to delete")


def _index(value: object, part: str, parts: tuple[str, ...]) -> int:
    """The index that a part of a path means in a list."""
    if isinstance(value, list) and part.isdecimal() and int(part) < len(value):
        return int(part)
    raise RequestError(
        f"{join(*parts)}: nothing stands there that could be changed; "
        "wanted a path of the file; compare it with the file, and give a list as a whole"
    )


def _same(one: object, other: object) -> bool:
    """Whether two values are equal down to their types; 1 is neither 1.0 nor true."""
    if isinstance(one, dict) and isinstance(other, dict):
        return one.keys() == other.keys() and all(_same(each, other[key]) for key, each in one.items())
    if isinstance(one, list) and isinstance(other, list):
        return len(one) == len(other) and all(map(_same, one, other))
    return type(one) is type(other) and one == other


# --- the text ------------------------------------------------------------------------------------------


def _deleted(text: str, parts: tuple[str, ...]) -> str:
    """The text without what stands at a path."""
    try:
        document = tomlkit.parse(text)
        at: Any = document
        for part in parts[:-1]:
            at = at[int(part) if isinstance(at, list) else part]
        del at[int(parts[-1]) if isinstance(at, list) else parts[-1]]
        text = tomlkit.dumps(document)
    except (TOMLKitError, KeyError, IndexError, TypeError, ValueError, AttributeError) as error:
        raise RequestError(f"{join(*parts)} cannot be deleted here; delete it by hand in the file") from error
    found = walk(text)
    above = join(*parts[:-1])
    if above and above not in found.marks:  # only what was deleted had named it; it stays, empty
        return _inserted(found, parts[:-1], {})
    return _tidied(found, above)


def _tidied(found: Walk, path: str) -> str:
    """The text with one blank at both ends inside a table in braces that lost a key."""
    text = found.text
    mark = found.marks.get(path)
    if mark is None or mark.kind is not Kind.INLINE:
        return text
    inner = text[mark.start + 1 : mark.end - 1].strip(" \t")
    return f"{text[: mark.start]}{{ {inner} }}{text[mark.end :]}" if inner else text


def _set(text: str, parts: tuple[str, ...], value: object) -> str:
    """The text with a value at a path: in place of the old one, else behind its neighbours."""
    found = walk(text)
    path = join(*parts)
    mark = found.marks.get(path)
    if mark is None:
        return _inserted(found, parts, value)
    if mark.kind in (Kind.VALUE, Kind.LIST, Kind.INLINE):
        return text[: mark.start] + _written(value) + text[mark.end :]
    if isinstance(value, dict) and mark.kind in _TABLES:
        for key in _keys_of(found, parts):
            if key not in value:
                text = _deleted(text, (*parts, key))
        for key, each in value.items():
            text = _set(text, (*parts, key), each)
        return text
    return _set(_deleted(text, parts), parts, value)


def _keys_of(found: Walk, parts: tuple[str, ...]) -> list[str]:
    """The keys of a table in the text."""
    keys = (split(path) for path in found.marks)
    return [each[-1] for each in keys if len(each) == len(parts) + 1 and each[:-1] == parts]


def _inserted(found: Walk, parts: tuple[str, ...], value: object) -> str:
    """The text with something new: in the nearest table that is there already."""
    above = next((each for each in upwards(join(*parts[:-1])) if each in found.marks), "")
    held = len(split(above))
    for part in reversed(parts[held + 1 :]):
        value = {part: value}
    key = parts[held]
    kind = found.marks[above].kind if above else None
    if kind is Kind.INLINE:
        return _in_braces(found, above, join(key), value)
    if kind is Kind.DOTTED:
        owner = next((each for each in upwards(above) if found.marks[each].kind is not Kind.DOTTED), "")
        dotted = join(*split(above)[len(split(owner)) :], key)
        if owner and found.marks[owner].kind is Kind.INLINE:
            return _in_braces(found, owner, dotted, value)
        return _in_section(found, owner, f"{dotted} = {_written(value)}")
    in_section = above in found.sections if above else not isinstance(value, dict)
    if in_section:
        return _in_section(found, above, f"{join(key)} = {_written(value)}")
    if not above and isinstance(value, dict):
        return _at_end(found.text, [f"[{join(key)}]", *_rows(value)])
    return _at_end(found.text, [f"[{above}]", f"{join(key)} = {_written(value)}"])


def _in_braces(found: Walk, path: str, key: str, value: object) -> str:
    """The text with a key more in a table in braces."""
    mark = found.marks[path]
    inner = found.text[mark.start + 1 : mark.end - 1]
    held = inner.rstrip()
    new = f"{held}, {key} = {_written(value)}" if held else f" {key} = {_written(value)}"
    return f"{found.text[: mark.start + 1]}{new}{inner[len(held) :] or ' '}{found.text[mark.end - 1 :]}"


def _in_section(found: Walk, section: str, row: str) -> str:
    """The text with a line more behind the last statement of a section."""
    text = found.text
    if section in found.sections:
        start, end = found.sections[section]
        indent = text[text.rfind("\n", 0, start) + 1 : start]
        return f"{text[:end]}\n{indent}{row}{text[end:]}"
    first = _FIRST_REMARK.match(text)
    at = first.end() if first else 0
    gap = "\n" if text[at:].strip() else ""
    return f"{text[:at]}{row}\n{gap}{text[at:]}"


def _at_end(text: str, rows: list[str]) -> str:
    """The text with a new section behind all others."""
    gap = "" if not text else "\n" if text.endswith("\n") else "\n\n"
    return f"{text}{gap}{chr(10).join(rows)}\n"


def _rows(table: Mapping[str, object]) -> list[str]:
    """A table, a line for each key."""
    return [f"{join(key)} = {_written(value)}" for key, value in table.items()]


def _written(value: object) -> str:
    """A value as the file would have it."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return tomlkit.string(value).as_string()
    if isinstance(value, dict):
        return f"{{ {', '.join(_rows(value))} }}" if value else "{}"
    if isinstance(value, list):
        row = f"[{', '.join(map(_written, value))}]"
        return (
            row
            if len(row) <= WIDEST_LIST
            else "[\n" + "".join(f"    {_written(each)},\n" for each in value) + "]"
        )
    return repr(value)
