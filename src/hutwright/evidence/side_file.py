"""Text of a file beside the description, within bounds, and the faults found in it."""

from __future__ import annotations

import errno
import os
import stat
from pathlib import Path

from hutwright.errors import DescriptionError, Fault, shortened

MOST_FAULTS = 20  # faults told at once; the next reading finds the rest; ours to choose
# What a file begins with that somebody forgot to unpack; formats of common packers; standing: recalled
_PACKED = {b"\x1f\x8b": "gzip", b"\x1f\x9d": "compress", b"PK\x03\x04": "zip", b"BZh": "bzip2"}


class EvidenceError(DescriptionError):
    """All the faults of a file beside the description at once."""


class Findings:
    """The faults of one file, up to a limit."""

    def __init__(self, file: str) -> None:
        """Begin with none."""
        self.file = file
        self.faults: list[Fault] = []

    @property
    def full(self) -> bool:
        """Whether further reading is idle."""
        return len(self.faults) >= MOST_FAULTS

    def add(self, line: int, path: str, read: str, wanted: str, remedy: str) -> None:
        """Keep one fault; beyond the limit it is dropped."""
        if not self.full:
            self.faults.append(
                Fault(file=self.file, line=line, path=path, read=read, wanted=wanted, remedy=remedy)
            )

    def raise_any(self) -> None:
        """Raise where there is any.

        Raises
        ------
        EvidenceError
            With all of them.
        """
        if self.faults:
            raise EvidenceError(self.faults)


def refusal(file: str, read: str, wanted: str, remedy: str) -> EvidenceError:
    """The fault of a whole file, to be raised."""
    return EvidenceError([Fault(file=file, line=0, path="", read=read, wanted=wanted, remedy=remedy)])


def read_text(path: Path, name: str, largest: int) -> str:
    """The text of a file, line ends as single newlines.

    Parameters
    ----------
    path : pathlib.Path
        Where it lies.
    name : str
        What to call it in faults.
    largest : int
        Bytes from which on it is refused unread.

    Raises
    ------
    EvidenceError
        Where it cannot be read, is no ordinary file, is too large, packed or no text; nothing else is raised.
    """
    try:
        raw = _bytes(path, name, largest)
    except ValueError:  # a name with a NUL character in it
        raise refusal(name, shortened(str(path)), "the name of a file", "correct the name") from None
    except OSError as error:
        raise _unread(error, name) from None
    for start, packer in _PACKED.items():
        if raw.startswith(start):
            raise refusal(name, f"a file packed by {packer}", "plain text", "unpack it first")
    if b"\0" in raw:
        line = raw[: raw.index(b"\0")].count(b"\n") + 1
        raise EvidenceError(
            [
                Fault(
                    file=name,
                    line=line,
                    path="",
                    read="a NUL byte",
                    wanted="plain text",
                    remedy="fetch the file again; this one is damaged or of another kind",
                )
            ]
        )
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = raw.decode("latin-1")  # remarks may hold names with accents; numbers do not
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _bytes(path: Path, name: str, largest: int) -> bytes:
    """The bytes of an ordinary file, never more than allowed, without waiting for anybody to write them."""
    handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
    with os.fdopen(handle, "rb") as file:
        if not stat.S_ISREG(os.fstat(file.fileno()).st_mode):
            raise refusal(name, "a folder, pipe or device", "an ordinary file", "name the file itself")
        raw = file.read(largest + 1)
    if len(raw) > largest:
        wanted = f"at most {largest / 1e6:g} MB"
        raise refusal(name, "more than that", wanted, "cut the file down to the days that are needed")
    return raw


def _unread(error: OSError, name: str) -> EvidenceError:
    """The fault of a file that the system does not give."""
    if error.errno == errno.ENOENT:
        return refusal(name, "no such file", "a file of that name", "check the name and the folder")
    if error.errno == errno.EISDIR:
        return refusal(name, "a folder", "an ordinary file", "name the file itself")
    told = (error.strerror or type(error).__name__).lower()
    return refusal(name, f"nothing ({told})", "a file that may be read", "check its rights and the disk")
