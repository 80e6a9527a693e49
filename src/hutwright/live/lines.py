"""The lines that board and host exchange, and nothing else: the one place that knows their form.

ASCII, each ended by a newline, with a checksum of everything before the star:

    board -> host   T <ms> <mode> <place_permille> <current_mA> <supply_mV> <temperature_dC> <duty_permille>
                    <flags hex> <fault> <answered>*<checksum hex>          (one line; blanks between)
    host -> board   C <number> <word>*<checksum hex>

Numbers are decimal but for flags and checksum.  ``mode`` and ``fault`` are those of ``door.h``; duty is
positive where it opens; ``place_permille`` is 65535 where the place is not known.  ``answered`` is the number
of the last command that the board dealt with: it takes a command once, and whatever comes again with that
number is a sign of life and no command.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import Enum, IntFlag

from hutwright.native.words import Fault, Mode

POLYNOMIAL = 0x07  # x^8 + x^2 + x + 1, begun with 0, highest bit first
LONGEST = 120  # bytes of a line; a longer one is noise
NUMBERS = 256  # of commands, counted round
NO_PLACE = 65535
_TELEMETRY = re.compile(
    rb"T (\d{1,10}) (\d) (\d{1,5}) (-?\d{1,5}) (\d{1,5}) (-?\d{1,5}) (-?\d{1,4}) ([0-9A-Fa-f]{1,4}) "
    rb"(\d{1,3}) (\d{1,3})"
)
_COMMAND = re.compile(rb"C (\d{1,3}) ([A-Z_]{1,8})")
_SUM = re.compile(rb"[0-9A-Fa-f]{2}")


class Say(Enum):
    """What a host may say to the board; the words of ``door_word``."""

    NOTHING = "NOTHING"
    OPEN = "OPEN"
    CLOSE = "CLOSE"
    STOP = "STOP"


class Flags(IntFlag):
    """What the board reports as yes or no."""

    MAY_LEAVE = 0x01  # fully open and at rest
    ENABLED = 0x02  # the bridge's enable is on
    PLACE_KNOWN = 0x04
    WATCHED = 0x08  # a present sensor or a beam is fitted
    WATCH_WELL = 0x10  # ... and all that are fitted are healthy
    SEEN = 0x20  # ... and one sees something, or has within its hold
    REFUSED = 0x40  # the command with the answered number was refused


@dataclass(frozen=True, kw_only=True, slots=True)
class Telemetry:
    """One line of the board.

    Attributes
    ----------
    ms : int
        Since power-up, counted round. [ms]
    mode : Mode
        What the controller is doing.
    place : float or None
        Share of the travel, 0 at shut; None where it is not known. [-]
    current : float
        Of the motor. [A]
    supply : float
        Voltage. [V]
    temperature : float
        At the board's sensor. [degC]
    duty : float
        Share of full duty, positive where it opens. [-]
    flags : Flags
        What is yes.
    fault : Fault
        What is wrong.
    answered : int
        Number of the last command that was dealt with. [-]
    """

    ms: int
    mode: Mode
    place: float | None
    current: float
    supply: float
    temperature: float
    duty: float
    flags: Flags
    fault: Fault
    answered: int


@dataclass(frozen=True, slots=True)
class Command:
    """A command with its number.

    Attributes
    ----------
    number : int
        0 to 255. [-]
    say : Say
        What is wanted.
    """

    number: int
    say: Say


def checksum(data: bytes) -> int:
    """CRC-8 of some bytes.

    Parameters
    ----------
    data : bytes
        What is summed.

    Returns
    -------
    int
        0 to 255. [-]
    """
    crc = 0
    for byte in data:
        crc ^= byte
        for _ in range(8):
            crc = ((crc << 1) ^ POLYNOMIAL) & 0xFF if crc & 0x80 else crc << 1
    return crc


def sealed(body: bytes) -> bytes:
    """A line's body with star, checksum and newline behind it.

    Parameters
    ----------
    body : bytes
        Everything before the star.

    Returns
    -------
    bytes
        The line.
    """
    return b"%b*%02X\n" % (body, checksum(body))


def opened(line: bytes) -> bytes | None:
    """The body of a line whose checksum is right, without its newline; None of any other.

    Parameters
    ----------
    line : bytes
        As it came, with or without newline.

    Returns
    -------
    bytes or None
        Everything before the star.
    """
    body, star, told = line.rstrip(b"\r\n").rpartition(b"*")
    whole = star and _SUM.fullmatch(told) and int(told, 16) == checksum(body)
    return body if whole else None


def command_line(command: Command) -> bytes:
    """What is sent for a command.

    Parameters
    ----------
    command : Command
        The command.

    Returns
    -------
    bytes
        The line with its newline.
    """
    return sealed(b"C %d %b" % (command.number % NUMBERS, command.say.value.encode("ascii")))


def read_command(line: bytes) -> Command | None:
    """The command in a line, as the board would read it.

    Parameters
    ----------
    line : bytes
        As it came.

    Returns
    -------
    Command or None
        None where it is not a whole command that a host may send.
    """
    found = _COMMAND.fullmatch(opened(line) or b"")
    if found is None or int(found[1]) >= NUMBERS:
        return None
    try:
        return Command(int(found[1]), Say(found[2].decode("ascii")))
    except ValueError:
        return None


def telemetry_line(said: Telemetry) -> bytes:
    """What a board sends of itself.

    Parameters
    ----------
    said : Telemetry
        What it reports.

    Returns
    -------
    bytes
        The line with its newline.
    """
    place = NO_PLACE if said.place is None else round(said.place * 1000)
    return sealed(
        b"T %d %d %d %d %d %d %d %X %d %d"
        % (
            said.ms,
            said.mode,
            place,
            round(said.current * 1000),
            round(said.supply * 1000),
            round(said.temperature * 10),
            round(said.duty * 1000),
            said.flags,
            said.fault,
            said.answered,
        )
    )


def read_telemetry(line: bytes) -> Telemetry | None:
    """What the board reports in a line.

    Parameters
    ----------
    line : bytes
        As it came.

    Returns
    -------
    Telemetry or None
        None where it is not a whole line of telemetry, or says what cannot be.
    """
    found = _TELEMETRY.fullmatch(opened(line) or b"")
    if found is None:
        return None
    ms, mode, place, current, supply, temperature, duty = (int(found[each]) for each in range(1, 8))
    fault, answered = int(found[9]), int(found[10])
    if answered >= NUMBERS or not (place <= 1000 or place == NO_PLACE) or abs(duty) > 1000:
        return None
    try:
        return Telemetry(
            ms=ms,
            mode=Mode(mode),
            place=None if place == NO_PLACE else place / 1000,
            current=current / 1000,
            supply=supply / 1000,
            temperature=temperature / 10,
            duty=duty / 1000,
            flags=Flags(int(found[8], 16)),
            fault=Fault(fault),
            answered=answered,
        )
    except ValueError:
        return None


class Splitter:
    """Cuts what comes from a port into lines; what is too long to be one is dropped."""

    def __init__(self) -> None:
        self._rest = b""
        self._noise = False

    def feed(self, data: bytes) -> list[bytes]:
        """The lines that are whole now.

        Parameters
        ----------
        data : bytes
            What came.

        Returns
        -------
        list of bytes
            Lines without their newlines, in the order they came.
        """
        *ended, rest = (self._rest + data).split(b"\n")
        if ended and self._noise:
            del ended[0]
            self._noise = False
        if len(rest) > LONGEST:
            rest, self._noise = b"", True
        self._rest = rest
        return [line for line in ended if len(line) <= LONGEST]
