"""The serial port to a board: opened, lost, opened again; for whatever listens to a board or talks to it.

pyserial is loaded when a port is first wanted: it comes with the extra ``relay``.
"""

from __future__ import annotations

import os
import sys
from contextlib import suppress
from dataclasses import dataclass
from types import ModuleType
from typing import TYPE_CHECKING

from hutwright.errors import RequestError, shortened

if TYPE_CHECKING:
    import serial

try:
    from termios import error as _TerminalError  # noqa: N812 - an exception by any name
except ImportError:  # pragma: no cover - where there are no terminals of that kind
    _TerminalError = OSError  # type: ignore[misc, assignment]

_FAILS = (
    OSError,
    ValueError,
    TypeError,
    _TerminalError,
)  # all that a port does that goes away under one's hands

BAUD = 57600  # within 0.8 % on an 8-bit board at 16 MHz, and 5.7 kB a second; the board's own [Bd]
AGAIN = 1.0  # between two tries to open a port: a choice of this project [s]
PATIENCE = 0.2  # for a line to go out: a choice of this project [s]
MOST = 4096  # bytes read at once: a choice of this project
EXTRA = (
    "{what} is not installed; the verbs relay and watch need it; install hutwright's extra beside it: "
    f"{sys.executable or 'python3'} -m pip install 'hutwright[relay]'"
)


@dataclass(frozen=True, slots=True)
class PortFound:
    """A serial port of this computer.

    Attributes
    ----------
    path : str
        What to open.
    told : str
        What the system says of it.
    """

    path: str
    told: str


def ports() -> tuple[PortFound, ...]:
    """The serial ports of this computer that a board may be at, by path.

    Returns
    -------
    tuple of PortFound
        Those on a bus only: a built-in port has nothing to be told by.

    Raises
    ------
    RequestError
        Where pyserial is missing.
    """
    _pyserial()
    from serial.tools import list_ports

    found = [PortFound(each.device, each.description) for each in list_ports.comports() if each.vid]
    return tuple(sorted(found, key=lambda each: each.path))


def the_one_port(flag: str) -> str:
    """The path of the only port that a board may be at.

    Parameters
    ----------
    flag : str
        With what a port is named where there is another number of them.

    Returns
    -------
    str
        Its path.

    Raises
    ------
    RequestError
        Where there is none, or more than one.
    """
    found = ports()
    if len(found) == 1:
        return found[0].path
    there = ", ".join(f"{each.path} ({each.told})" for each in found) or "none"
    raise RequestError(f"serial ports here: {there}; wanted one; say which with {flag}")


class SerialPort:
    """A port that is opened again whenever it can be.

    Parameters
    ----------
    path : str
        What to open.
    baud : int
        The board's speed. [Bd]
    """

    def __init__(self, path: str, baud: int = BAUD) -> None:
        self.path, self.baud = path, baud
        self.why = ""
        self._serial = _pyserial()
        self._port: serial.Serial | None = None
        self._next_try = float("-inf")

    @property
    def is_open(self) -> bool:
        """Whether the port is open, as far as is known."""
        return self._port is not None

    def try_open(self, now: float) -> bool:
        """Open the port where it is shut and the last try is long enough ago.

        Parameters
        ----------
        now : float
            By a steady clock. [s]

        Returns
        -------
        bool
            Whether it has been opened in this call; else `why` says what is wrong.
        """
        if self._port is not None or now < self._next_try:
            return False
        self._next_try = now + AGAIN
        try:
            self._port = self._serial.Serial(
                self.path, self.baud, timeout=0, write_timeout=PATIENCE, exclusive=True
            )
            self.drop()
        except _FAILS as error:
            self._lost(error)
        return self._port is not None

    def read(self) -> bytes:
        """What has come since; nothing where the port is shut or is lost in this call."""
        if self._port is None:
            return b""
        try:
            waiting = self._port.in_waiting
            return bytes(self._port.read(min(waiting, MOST))) if waiting else self._probe()
        except _FAILS as error:
            self._lost(error)
            return b""

    def _probe(self) -> bytes:
        """Read where nothing waits: a port that has been pulled out fails in this, and not before."""
        return b"" if self._port is None else bytes(self._port.read(1))

    def send(self, line: bytes) -> bool:
        """Send a line now.

        Parameters
        ----------
        line : bytes
            With its newline.

        Returns
        -------
        bool
            Whether it has gone out whole.
        """
        if self._port is None:
            return False
        try:
            return self._port.write(line) == len(line)
        except _FAILS as error:
            self._lost(error)
            return False

    def drop(self) -> None:
        """Throw away what has not gone out yet."""
        if self._port is None:
            return
        try:
            self._port.reset_output_buffer()
        except _FAILS as error:
            self._lost(error)

    def close(self) -> None:
        """Let the port go, with nothing left to go out."""
        port, self._port = self._port, None
        if port is None:
            return
        with suppress(*_FAILS):  # where it is gone, so is its buffer
            port.reset_output_buffer()
        with suppress(*_FAILS):
            port.close()

    def _lost(self, error: Exception) -> None:
        number = getattr(error, "errno", None)
        told = os.strerror(number) if number else str(error.args[-1] if error.args else error)
        self.why = f"the port {shortened(self.path)} is not there: the system said {shortened(told)}"
        self.close()


def _pyserial() -> ModuleType:
    try:
        import serial
    except ImportError:
        raise RequestError(EXTRA.format(what="pyserial")) from None
    return serial
