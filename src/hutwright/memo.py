"""The one memory of slow results: in this process, and for tables of arrays on disk.

A result is kept under the name of its function, the version of the code that makes it and the digest of the
records that it reads. Kept arrays are read-only. What took half a second and is a table of arrays is also
written to the user's cache folder and mapped from there the next time; a file that is damaged is made anew.

`HUTWRIGHT_MEMORY=off` in the environment switches all of it off, `HUTWRIGHT_MEMORY=process` only the disk;
`forgetting()` does the former for a stretch of a program.
"""

from __future__ import annotations

import contextlib
import dataclasses
import functools
import hashlib
import importlib.util
import json
import math
import os
import re
import struct
import tempfile
import threading
import time
from collections import OrderedDict
from collections.abc import Callable, Iterator, Mapping
from contextvars import ContextVar
from enum import Enum
from pathlib import Path
from typing import Any, ParamSpec, TypeVar, cast

import numpy as np
from numpy.typing import NDArray

import hutwright

T = TypeVar("T")
P = ParamSpec("P")
Arrays = Mapping[str, NDArray[Any]]

MOST_BYTES = 512 * 2**20  # kept in one process: a choice of this project [B]
MOST_DISK_BYTES = 2 * 2**30  # kept on disk: a choice of this project [B]
SLOW_SECONDS = 0.5  # what took longer is worth the disk: a choice of this project
SWITCH = "HUTWRIGHT_MEMORY"
FOLDER = "hutwright"
MAGIC = b"hutwright arrays 1\n"
ALIGNED = 64  # arrays start at multiples of this, for the processor's sake [B]
KINDS = "biufc"  # plain numbers only: nothing in a file can run
IMPORTS = re.compile(
    r"^\s*(?:from\s+(hutwright[\w.]*)\s+import\s+([\w, ]*)|import\s+(hutwright[\w.]*))", re.M
)

_off: ContextVar[bool] = ContextVar("off", default=False)


# ---- keys -------------------------------------------------------------------------------------------------


def canonical(thing: object) -> Iterator[bytes]:
    """The parts of a record's one spelling in bytes.

    Parameters
    ----------
    thing : object
        A number, text, Enum, array, dataclass, or tuples, lists and mappings of such.

    Raises
    ------
    TypeError
        For anything else: what has no one spelling cannot be part of a key.
    ValueError
        For a number that is none.
    """
    if thing is None or isinstance(thing, bool):
        yield f"{thing};".encode()
    elif isinstance(thing, Enum):
        yield f"enum {type(thing).__module__}.{type(thing).__qualname__}.{thing.name};".encode()
    elif isinstance(thing, (str, bytes)):
        text = thing.encode() if isinstance(thing, str) else thing
        yield f"{type(thing).__name__} {len(text)};".encode() + text
    elif isinstance(thing, (np.ndarray, np.generic)):
        yield from _canonical_array(np.asarray(thing))
    elif isinstance(thing, int):
        yield f"int {thing};".encode()
    elif isinstance(thing, (float, complex)):
        yield from _canonical_number(complex(thing), type(thing).__name__)
    else:
        yield from _canonical_whole(thing)


def _canonical_number(number: complex, name: str) -> Iterator[bytes]:
    if math.isnan(number.real) or math.isnan(number.imag):
        raise ValueError("a number that is none cannot be part of a key")
    yield name.encode() + struct.pack(">dd", number.real + 0.0, number.imag + 0.0)


def _canonical_array(array: NDArray[Any]) -> Iterator[bytes]:
    if array.dtype.kind not in KINDS:
        raise TypeError(f"an array of {array.dtype} has no one spelling")
    if array.dtype.kind in "fc" and np.isnan(array).any():
        raise ValueError("a number that is none cannot be part of a key")
    little = array.astype(array.dtype.newbyteorder("<"), copy=False)
    yield f"array {little.dtype.str} {array.shape};".encode()
    yield np.ascontiguousarray(little).tobytes()


def _canonical_whole(thing: object) -> Iterator[bytes]:
    if dataclasses.is_dataclass(thing) and not isinstance(thing, type):
        fields = dataclasses.fields(thing)
        yield f"record {type(thing).__module__}.{type(thing).__qualname__} {len(fields)};".encode()
        for each in fields:
            yield f"{each.name}=".encode()
            yield from canonical(getattr(thing, each.name))
    elif isinstance(thing, Mapping):
        yield f"mapping {len(thing)};".encode()
        for name, value in thing.items():
            yield from canonical(name)
            yield from canonical(value)
    elif isinstance(thing, (tuple, list)):
        yield f"row {len(thing)};".encode()
        for value in thing:
            yield from canonical(value)
    elif isinstance(thing, slice):
        yield f"slice {thing.start} {thing.stop} {thing.step};".encode()
    else:
        raise TypeError(f"a {type(thing).__qualname__} has no one spelling and cannot be part of a key")


def digest(*records: object) -> str:
    """Digest of records, the same in every process [hexadecimal].

    Parameters
    ----------
    *records : object
        What `canonical` can spell.
    """
    found = hashlib.blake2b(digest_size=20)
    for part in canonical(records):
        found.update(part)
    return found.hexdigest()


@functools.cache
def code_version(module: str) -> str:
    """Digest of a module's code and of all of hutwright's that it imports, and of the library's version.

    Parameters
    ----------
    module : str
        Full name of the module.
    """
    found = hashlib.blake2b(f"{hutwright.__version__} {np.__version__};".encode(), digest_size=20)
    seen: dict[str, bytes] = {}
    waiting = [module]
    while waiting:
        name = waiting.pop()
        if name in seen:
            continue
        seen[name] = code = _source(name)
        for origin, names, plain in IMPORTS.findall(code.decode("utf-8", "replace")):
            waiting.append(origin or plain)
            waiting += [f"{origin}.{each}" for each in re.findall(r"\w+", names)]
    for name in sorted(seen):
        found.update(f"{name} {len(seen[name])};".encode() + seen[name])
    return found.hexdigest()


def _source(module: str) -> bytes:
    try:
        spec = importlib.util.find_spec(module)
        return b"" if spec is None or spec.origin is None else Path(spec.origin).read_bytes()
    except (ImportError, OSError, ValueError):
        return b""


# ---- the disk ---------------------------------------------------------------------------------------------


def cache_folder() -> Path | None:
    """The user's cache folder for hutwright; None where there is none."""
    given = os.environ.get("XDG_CACHE_HOME", "")
    if given and Path(given).is_absolute():
        return Path(given) / FOLDER
    try:
        return Path.home() / ".cache" / FOLDER
    except RuntimeError:
        return None


def write_arrays(path: Path, key: str, arrays: Arrays) -> None:
    """Write a table of arrays, so that a reader sees all of it or nothing.

    Parameters
    ----------
    path : Path
        The file.
    key : str
        What it is kept under.
    arrays : Mapping
        The arrays by name.

    Raises
    ------
    OSError
        Where the folder cannot be written.
    """
    payload = bytearray()
    rows = []
    for name, array in arrays.items():
        payload += bytes(-len(payload) % ALIGNED)
        rows.append([name, array.dtype.newbyteorder("<").str, list(array.shape), len(payload)])
        payload += np.ascontiguousarray(array, dtype=array.dtype.newbyteorder("<")).tobytes()
    head = {"key": key, "arrays": rows, "bytes": len(payload), "digest": _table_digest(rows, payload)}
    text = json.dumps(head).encode()
    start = len(MAGIC) + 8 + len(text)
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=".", suffix=".part")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(MAGIC + struct.pack("<Q", len(text)) + text + bytes(-start % ALIGNED))
            file.write(payload)
            file.flush()
            os.fsync(file.fileno())
        Path(name).replace(path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise


def read_arrays(path: Path, key: str) -> dict[str, NDArray[Any]] | None:
    """The arrays of a file, mapped and read-only; None where it is missing or anything about it is wrong.

    Parameters
    ----------
    path : Path
        The file.
    key : str
        What it must be kept under.
    """
    try:
        whole = np.memmap(path, dtype=np.uint8, mode="r").view(np.ndarray)
        found = _arrays_in(whole, key)
    except (OSError, ValueError, TypeError, KeyError, struct.error):
        return None
    with contextlib.suppress(OSError):
        os.utime(path)
    return found


def _arrays_in(whole: NDArray[np.uint8], key: str) -> dict[str, NDArray[Any]]:
    size = len(MAGIC) + 8
    if whole[: len(MAGIC)].tobytes() != MAGIC:
        raise ValueError("not a file of arrays")
    (length,) = struct.unpack("<Q", whole[len(MAGIC) : size].tobytes())
    if length > len(whole) - size:
        raise ValueError("a head that is cut off")
    head = json.loads(whole[size : size + length].tobytes())
    start = size + length
    payload = whole[start + -start % ALIGNED :]
    if (
        head["key"] != key
        or head["bytes"] != len(payload)
        or head["digest"] != _table_digest(head["arrays"], payload)
    ):
        raise ValueError("not what was written")
    found = {}
    for name, spelled, shape, offset in head["arrays"]:
        dtype = np.dtype(spelled)
        if dtype.kind not in KINDS:
            raise ValueError("an array of other things than numbers")
        end = offset + dtype.itemsize * math.prod(shape)
        if not 0 <= offset <= end <= len(payload):
            raise ValueError("an array outside the file")
        found[str(name)] = payload[offset:end].view(dtype).reshape(shape)
    return found


def _table_digest(rows: object, payload: Any) -> str:
    """Of the numbers, and of where they lie and what they are: one without the other is worth nothing."""
    found = hashlib.blake2b(json.dumps(rows).encode(), digest_size=20)
    found.update(memoryview(payload))
    return found.hexdigest()


# ---- the memory -------------------------------------------------------------------------------------------


def sealed(thing: T) -> T:
    """The same thing with every array in it read-only.

    Parameters
    ----------
    thing : object
        An array, or dataclasses, tuples, lists and mappings that hold arrays.
    """
    for array in _arrays(thing):
        inner: object = array
        while isinstance(inner, np.ndarray):
            inner.setflags(write=False)
            inner = inner.base
    return thing


def _arrays(thing: object) -> Iterator[NDArray[Any]]:
    if isinstance(thing, np.ndarray):
        yield thing
    elif dataclasses.is_dataclass(thing) and not isinstance(thing, type):
        for each in dataclasses.fields(thing):
            yield from _arrays(getattr(thing, each.name))
    elif isinstance(thing, Mapping):
        for value in thing.values():
            yield from _arrays(value)
    elif isinstance(thing, (tuple, list)):
        for value in thing:
            yield from _arrays(value)


@dataclasses.dataclass(slots=True)
class _Turn:
    """Who works on a key: one at a time, and how many hold a place in the row."""

    lock: threading.RLock = dataclasses.field(default_factory=threading.RLock)
    waiting: int = 0


class Memory:
    """Slow results by key: bounded by bytes, computed once at a time per key, tables also on disk."""

    def __init__(
        self,
        *,
        most_bytes: int = MOST_BYTES,
        folder: Path | None = None,
        most_disk_bytes: int = MOST_DISK_BYTES,
        clock: Callable[[], float] = time.perf_counter,
    ) -> None:
        """Start with nothing; without a folder nothing goes to disk."""
        self.most_bytes, self.folder, self.most_disk_bytes = most_bytes, folder, most_disk_bytes
        self._clock = clock
        self._guard = threading.Lock()
        self._turns: dict[str, _Turn] = {}
        self._kept: OrderedDict[str, tuple[object, int]] = OrderedDict()
        self._bytes = 0

    @property
    def bytes(self) -> int:
        """What the kept arrays take [B]."""
        return self._bytes

    def recall(self, key: str, work: Callable[[], T], *, seconds: float = SLOW_SECONDS) -> T:
        """The result under a key, worked out now where it is not kept.

        Parameters
        ----------
        key : str
            What names the result.
        work : Callable
            Works it out; what it raises is not kept.
        seconds : float
            From how long a work on a table is worth the disk. [s]
        """
        with self._guard:
            if key in self._kept:
                return cast(T, self._again(key))
            turn = self._turns.setdefault(key, _Turn())
            turn.waiting += 1
        try:
            with turn.lock:
                with self._guard:
                    if key in self._kept:
                        return cast(T, self._again(key))
                found = self._from_disk_or_anew(key, work, seconds)
                self._keep(key, found)
                return found
        finally:
            with self._guard:
                turn.waiting -= 1
                if not turn.waiting:
                    self._turns.pop(key, None)

    def clear(self) -> None:
        """Forget what this process holds; the disk keeps its files."""
        with self._guard:
            self._kept.clear()
            self._bytes = 0

    def _again(self, key: str) -> object:
        self._kept.move_to_end(key)
        return self._kept[key][0]

    def _from_disk_or_anew(self, key: str, work: Callable[[], T], seconds: float) -> T:
        path = None if self.folder is None else self.folder / key[:2] / f"{key}.arrays"
        if path is not None:
            read = read_arrays(path, key)
            if read is not None:
                return cast(T, read)
        began = self._clock()
        found = sealed(work())
        if path is not None and self._clock() - began >= seconds and _is_table(found):
            with contextlib.suppress(OSError):  # a full or read-only disk only costs time
                write_arrays(path, key, cast(Arrays, found))
                self._prune(path)
        return found

    def _keep(self, key: str, found: object) -> None:
        size = sum(array.nbytes for array in _arrays(found))
        if size > self.most_bytes:
            return
        with self._guard:
            self._kept[key] = (found, size)
            self._bytes += size
            while self._bytes > self.most_bytes:
                _, (_, freed) = self._kept.popitem(last=False)
                self._bytes -= freed

    def _prune(self, newest: Path) -> None:
        """Take the files away that were not read for longest, down to the bound."""
        if self.folder is None:
            return
        files = [(each, each.stat()) for each in self.folder.glob("*/*.arrays")]
        total = sum(stat.st_size for _, stat in files)
        for path, stat in sorted(files, key=lambda each: each[1].st_mtime):
            if total <= self.most_disk_bytes or path == newest:
                break
            path.unlink(missing_ok=True)
            total -= stat.st_size


def _is_table(thing: object) -> bool:
    return (
        isinstance(thing, Mapping)
        and bool(thing)
        and all(
            isinstance(name, str) and isinstance(array, np.ndarray) and array.dtype.kind in KINDS
            for name, array in thing.items()
        )
    )


# ---- for everyone -----------------------------------------------------------------------------------------


@functools.cache
def memory() -> Memory:
    """The memory of this process."""
    return Memory(folder=None if os.environ.get(SWITCH) == "process" else cache_folder())


@contextlib.contextmanager
def forgetting() -> Iterator[None]:
    """A stretch in which nothing is remembered and nothing kept is used."""
    before = _off.set(True)
    try:
        yield
    finally:
        _off.reset(before)


def slow(
    *, aside: tuple[str, ...] = (), seconds: float = SLOW_SECONDS
) -> Callable[[Callable[P, T]], Callable[P, T]]:
    """A function whose results are remembered.

    Parameters
    ----------
    aside : tuple
        Names of keyword arguments that do not change the result, such as where to work.
    seconds : float
        From how long a work on a table is worth the disk; less where many of them are asked for. [s]

    Returns
    -------
    Callable
        Decorates a function of records that `canonical` can spell. Tables, which are mappings of names to
        arrays, also go to disk where they took long.
    """

    def around(function: Callable[P, T]) -> Callable[P, T]:
        name = f"{function.__module__}.{function.__qualname__}"

        @functools.wraps(function)
        def asked(*arguments: P.args, **named: P.kwargs) -> T:
            work = functools.partial(function, *arguments, **named)
            if _off.get() or os.environ.get(SWITCH) == "off":
                return work()
            read = {each: named[each] for each in sorted(named) if each not in aside}
            key = digest(name, code_version(function.__module__), arguments, read)
            return memory().recall(key, work, seconds=seconds)

        return asked

    return around
