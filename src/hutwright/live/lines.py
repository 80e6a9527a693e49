"""The lines that board and host exchange, and nothing else: the one place that knows their form.

They are those of ``native/boards/parts/line.h``.  ASCII, each ended by a newline, with a checksum of
everything before the star, four hexadecimal digits of the CRC that the settings have too:

    host -> board   open 17*3A0C                 word, number
    board -> host   A n=17 r=0*91D2              answer: number, what became of the line
                    T t=81 m=0 w=1 ... *....     telemetry: 50 a second in a move, one a second at rest
                    B v=1 ... *....              the board has begun

A word is taken where its number is newer than the last one's; ``hello`` sets the number, and before it a
board that has begun takes nothing but ``stop``, which is taken always.  Whether the controller does what was
taken, the next telemetry says.
"""

from __future__ import annotations

import re
from binascii import crc_hqx
from dataclasses import dataclass
from enum import Enum, IntEnum, IntFlag

from hutwright.native.words import Eye, Fault, Mode, Why

BEGUN = 0xFFFF  # the library's polynomial, x^16 + x^12 + x^5 + 1, is that of door_crc(); so it begins there
LONGEST = 200  # bytes of a line from the board; a longer one is noise
NUMBERS = 65536  # of commands, counted round
_FIELDS = re.compile(rb"[A-Z](?: [a-z]=-?[0-9]{1,5})*")
_FIELD = re.compile(rb"([a-z])=(-?[0-9]+)")
_COMMAND = re.compile(rb"([a-z]{1,5}) ([0-9]{1,5})")
_SUM = re.compile(rb"[0-9A-F]{4}")


class Say(Enum):
    """What a host may say to a board of what the board would take."""

    OPEN = "open"
    CLOSE = "close"
    STOP = "stop"
    HELLO = "hello"
    ALIVE = "alive"


class Bits(IntFlag):
    """What the board reports as yes or no: contacts that are made, and what it knows."""

    LIMIT_SHUT = 0x001
    LIMIT_OPEN = 0x002
    BUTTON = 0x004
    RELAY = 0x008
    SENSOR = 0x010
    BEAM = 0x020  # broken
    EDGE = 0x040  # pressed
    MAY_LEAVE = 0x100  # fully open and at rest
    PLACE_KNOWN = 0x200
    ENABLED = 0x400  # a move is on


class Became(IntEnum):
    """What became of a line: ``line_answer``."""

    TAKEN = 0
    BROKEN = 1
    STALE = 2
    STRANGE = 3
    UNGREETED = 4
    MOVING = 5
    BUSY = 6
    NOT_GOOD = 7


@dataclass(frozen=True, kw_only=True, slots=True)
class Telemetry:
    """What the board tells of itself.

    Attributes
    ----------
    ms : int
        Counted round at 65536. [ms]
    mode : Mode
        What the controller is doing.
    why : Why
        Why it did what it did last.
    fault : Fault
        What is wrong.
    duty : float
        Share of full duty, positive where it opens. [-]
    current : float
        Of the motor, filtered. [A]
    residual : float
        Of that above what is expected. [A]
    expected : float
        What is expected of the current; the board does not say it, it is current less residual. [A]
    supply : float
        Voltage. [V]
    temperature : float
        At the board's sensor. [degC]
    place : float
        Share of the travel, 0 at shut; see `Bits.PLACE_KNOWN`. [-]
    present : Eye
        What the present sensor says.
    bits : Bits
        What is yes.
    """

    ms: int
    mode: Mode
    why: Why
    fault: Fault
    duty: float
    current: float
    residual: float
    expected: float
    supply: float
    temperature: float
    place: float
    present: Eye
    bits: Bits


@dataclass(frozen=True, slots=True)
class Reply:
    """What became of a line that the board heard.

    Attributes
    ----------
    number : int
        Of that line; 0 where it could not be read. [-]
    became : Became
        What became of it.
    """

    number: int
    became: Became


@dataclass(frozen=True, slots=True)
class Begun:
    """The board has begun, or has begun again with other settings: it knows of no host.

    Attributes
    ----------
    refusal : int
        ``door_refusal`` of its settings; 0 where they are good. [-]
    """

    refusal: int


@dataclass(frozen=True, slots=True)
class Command:
    """A word with its number.

    Attributes
    ----------
    number : int
        0 to 65535. [-]
    say : Say
        What is wanted.
    """

    number: int
    say: Say


def checksum(data: bytes) -> int:
    """CRC-16 of some bytes.

    Parameters
    ----------
    data : bytes
        What is summed.

    Returns
    -------
    int
        0 to 65535. [-]
    """
    return crc_hqx(data, BEGUN)


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
    return b"%b*%04X\n" % (body, checksum(body))


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
    return sealed(b"%b %d" % (command.say.value.encode("ascii"), command.number % NUMBERS))


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
    if found is None or int(found[2]) >= NUMBERS:
        return None
    try:
        return Command(int(found[2]), Say(found[1].decode("ascii")))
    except ValueError:
        return None


def spoken(said: Telemetry | Reply | Begun) -> bytes:
    """What a board sends.

    Parameters
    ----------
    said : Telemetry or Reply or Begun
        What it has to say.

    Returns
    -------
    bytes
        The line with its newline.
    """
    if isinstance(said, Reply):
        return _line(b"A", n=said.number, r=said.became)
    if isinstance(said, Begun):
        return _line(b"B", v=1, s=0, g=1, d=said.refusal, b=0)
    return _line(
        b"T",
        t=said.ms,
        m=said.mode,
        w=said.why,
        f=said.fault,
        d=round(said.duty * 1000),
        i=round(said.current * 1000),
        r=round(said.residual * 1000),
        x=round(said.expected * 1000),
        u=round(said.supply * 1000),
        k=round(said.temperature * 10),
        g=round(said.place * 1000),
        p=said.present,
        b=said.bits,
    )


def _line(letter: bytes, **numbers: int) -> bytes:
    return sealed(letter + b"".join(b" %b=%d" % (key.encode(), value) for key, value in numbers.items()))


def numbers_in(line: bytes) -> tuple[str, dict[str, int]] | None:
    """What a line of the board says, of whatever kind it is.

    Parameters
    ----------
    line : bytes
        As it came.

    Returns
    -------
    tuple or None
        Its letter, and its numbers by their keys; None where the line is not whole.
    """
    body = opened(line) or b""
    if not _FIELDS.fullmatch(body):
        return None
    return body[:1].decode(), {key.decode(): int(value) for key, value in _FIELD.findall(body)}


def read_spoken(line: bytes) -> Telemetry | Reply | Begun | None:
    """What the board says in a line.

    Parameters
    ----------
    line : bytes
        As it came.

    Returns
    -------
    Telemetry or Reply or Begun or None
        None where the line is not whole, says what cannot be, or is of a kind that nobody asked for here.
    """
    found = numbers_in(line)
    if found is None:
        return None
    letter, numbers = found
    try:
        match letter:
            case "T":
                return _telemetry(numbers)
            case "A":
                return _reply(numbers)
            case "B":
                return _begun(numbers)
            case _:
                return None
    except (KeyError, ValueError):
        return None


def _reply(numbers: dict[str, int]) -> Reply:
    return Reply(_within(numbers["n"], 0, NUMBERS - 1), Became(numbers["r"]))


def _begun(numbers: dict[str, int]) -> Begun:
    return Begun(numbers["d"])


def _telemetry(numbers: dict[str, int]) -> Telemetry:
    return Telemetry(
        ms=_within(numbers["t"], 0, 65535),
        mode=Mode(numbers["m"]),
        why=Why(numbers["w"]),
        fault=Fault(numbers["f"]),
        duty=_within(numbers["d"], -1000, 1000) / 1000,
        current=_within(numbers["i"], 0, 65535) / 1000,
        residual=_within(numbers["r"], -32768, 32767) / 1000,
        expected=_within(numbers.get("x", max(numbers["i"] - numbers["r"], 0)), 0, 98303) / 1000,
        supply=_within(numbers["u"], 0, 65535) / 1000,
        temperature=_within(numbers["k"], -32768, 32767) / 10,
        place=_within(numbers["g"], 0, 1000) / 1000,
        present=Eye(numbers["p"]),
        bits=Bits(_within(numbers["b"], 0, 65535)),
    )


def _within(number: int, least: int, most: int) -> int:
    if not least <= number <= most:
        raise ValueError(number)
    return number


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
