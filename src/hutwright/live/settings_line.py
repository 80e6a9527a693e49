"""Giving a running board its settings over its serial line, and reading back what it holds.

Each line goes out after the answer to the last. New settings are written into the slot that is not in use,
read back from there, and only where every byte is as it was sent is the board told to take them.
"""

from __future__ import annotations

import os
import select
import time
from collections.abc import Callable
from dataclasses import dataclass
from typing import Self

import numpy as np

from hutwright.errors import RequestError, shortened
from hutwright.live.lines import Became, numbers_in
from hutwright.live.settings_file import parted, whole_settings
from hutwright.native.board_plan import SLOT_BYTES, line_in
from hutwright.native.records import SETTINGS, Record, otherwise
from hutwright.native.words import Refusal

try:
    import termios
    import tty
except ImportError:  # pragma: no cover - where there are no such terminals
    termios = None  # type: ignore[assignment]

BOOT = 8.0  # a loader that a reset has started waits for seconds: a choice of this project [s]
ANSWER = 1.0  # for the answer to a line: a choice of this project [s]
TRIES = 8  # of a line that was busy or broken: a choice of this project
PAUSE = 0.2  # before the next try; a piece of the settings is written in 0.1 s: a choice of this project [s]
STORED = "abcdefghij"  # keys of the words of a line S: boards/parts/board.c
SAID: dict[int, str] = {
    Became.STALE: "stale",
    Became.STRANGE: "strange",
    Became.UNGREETED: "ungreeted",
    Became.MOVING: "the door moves",
    Became.NOT_GOOD: "its checksum does not fit",
}


class BoardLine:
    """A board's serial line, open.

    Parameters
    ----------
    port : str
        The port, as the system calls it.
    doing : str
        What was to be done with the settings: "sent" or "read".
    """

    def __init__(self, port: str, doing: str = "sent") -> None:
        if termios is None:
            raise RequestError(
                f"the settings were not {doing}: this system has no serial line that hutwright can open; "
                "send the lines of settings.lines with a terminal program"
            )
        self.port, self.doing, self.heard, self.sequence = port, doing, b"", 0
        try:
            self.number = os.open(port, os.O_RDWR | os.O_NOCTTY | os.O_NONBLOCK)
        except (OSError, ValueError) as error:
            raise self._lost(str(error)) from error
        try:
            tty.setraw(self.number)
            mode = termios.tcgetattr(self.number)
            mode[2] |= termios.CLOCAL | termios.CREAD
            mode[4] = mode[5] = termios.B57600
            termios.tcsetattr(self.number, termios.TCSANOW, mode)
        except termios.error as error:
            os.close(self.number)
            raise self._lost(str(error)) from error

    def _lost(self, told: str) -> RequestError:
        return RequestError(
            f"the settings were not {self.doing} through {shortened(self.port)}: the system said "
            f"{shortened(told)}; wanted the board's serial port, which nobody else uses; look at its name "
            "and who may use it, or take a programmer and `make store` in the folder"
        )

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        os.close(self.number)

    def send(self, line: bytes) -> None:
        """Send a line, whole."""
        left = line
        try:
            while left:
                if not select.select([], [self.number], [], ANSWER)[1]:
                    raise self._lost("nobody takes what is sent")
                left = left[os.write(self.number, left) :]
        except OSError as error:
            raise self._lost(str(error)) from error

    def ask(self, word: str, rest: str = "") -> int | None:
        """What the board answers to a word; None where nothing comes in time.

        Parameters
        ----------
        word : str
            One of the line's words.
        rest : str
            What follows its number.
        """
        self.sequence += 1
        self.send(line_in(word, self.sequence, rest))
        end = time.monotonic() + ANSWER
        while True:
            found = self.next("A", end - time.monotonic())
            if found is None or found.get("n") == self.sequence:
                return None if found is None else found.get("r")

    def forget(self, letter: str) -> None:
        """Leave out what has come already in lines with that letter."""
        while self.next(letter, 0.0) is not None:
            pass

    def next(self, letter: str, patience: float) -> dict[str, int] | None:
        """The numbers of the next whole line with that letter; None where none comes in time.

        Parameters
        ----------
        letter : str
            The line's first.
        patience : float
            How long to wait. [s]
        """
        end = time.monotonic() + patience
        while True:
            line, feed, rest = self.heard.partition(b"\n")
            if feed:
                self.heard = rest
                found = numbers_in(line)
                if found is not None and found[0] == letter:
                    return found[1]
                continue
            left = end - time.monotonic()
            if left <= 0.0 or not select.select([self.number], [], [], left)[0]:
                return None
            try:
                more = os.read(self.number, 4096)
            except OSError as error:
                raise self._lost(str(error)) from error
            if not more:
                raise self._lost("the line has ended")
            self.heard = (self.heard + more)[-65536:]


@dataclass(frozen=True, slots=True)
class ReadBack:
    """What a board was read to hold.

    Attributes
    ----------
    slot : int
        In which slot of its store; 2 where none holds settings that it accepts. [-]
    raw : bytes
        The settings as they stand there.
    """

    slot: int
    raw: bytes

    def differing(self, wanted: bytes) -> tuple[int, ...]:
        """Offsets of the bytes that are otherwise than wanted.

        Parameters
        ----------
        wanted : bytes
            As many as were read.
        """
        return tuple(at for at, (a, b) in enumerate(zip(self.raw, wanted, strict=True)) if a != b)

    def otherwise(self, wanted: Record) -> tuple[str, ...]:
        """Names of the settings that are otherwise than wanted, but for the checksum.

        Parameters
        ----------
        wanted : record of SETTINGS
            What they are compared with.
        """
        return otherwise(np.frombuffer(self.raw, SETTINGS)[0], wanted, but=("checksum",))


def read_settings(port: str) -> ReadBack:
    """Read the settings that a board uses out of its store; nothing is written, and the door may move.

    Parameters
    ----------
    port : str
        The board's serial port.

    Returns
    -------
    ReadBack
        Slot 2, and the first slot's bytes, where the board has none that it accepts.

    Raises
    ------
    RequestError
        Where nobody answers, or its program has no word for it.
    """
    with BoardLine(port, "read") as board:
        _greet(board)
        slot, _ = _told(board, 0)
        return ReadBack(slot, _read_slot(board, 1 if slot == 1 else 0))


def send_settings(
    port: str, lines: bytes, progress: Callable[[int, int], None] = lambda *_: None
) -> ReadBack:
    """Send settings, read them back, and only where they are equal let the board take them.

    Parameters
    ----------
    port : str
        The board's serial port.
    lines : bytes
        A greeting, the pieces, and the word to keep them.
    progress : Callable
        Is told how many lines of how many are taken or read back.

    Returns
    -------
    ReadBack
        What was read back before they were taken, and from where: equal to what was sent.

    Raises
    ------
    RequestError
        Where nobody answers, what was read back is otherwise than what was sent, or the board does not take
        them; then it goes on with those that it had.
    """
    wanted = [parted(line) for line in lines.decode("ascii").splitlines()]
    raw = whole_settings(wanted).tobytes()
    pieces = [rest for word, rest in wanted if word == "set"]
    steps = len(pieces) + -(-len(raw) // _PIECE) + 1
    with BoardLine(port) as board:
        _greet(board)
        for number, rest in enumerate(pieces, 1):
            progress(number, steps)
            _say(board, "set", rest)
        in_use, _ = _told(board, 0)
        idle = 1 if in_use == 0 else 0
        found = ReadBack(idle, _read_slot(board, idle, lambda done: progress(len(pieces) + done, steps)))
        _refuse_otherwise(found, raw)
        _say(board, "keep", "")
        begun = board.next("B", ANSWER + 1.0)
    if begun is None or begun.get("d") != int(Refusal.GOOD):
        read = "nothing" if begun is None else f"refusal {begun.get('d')}"
        raise RequestError(
            f"the board took the settings but did not begin with them: read {read}; wanted a line B with "
            "d=0; reset the board, look at that line, and send them again"
        )
    if begun.get("s") != idle:
        raise RequestError(
            f"the board has begun with other settings than those that were sent: read slot {begun.get('s')} "
            f"in use; wanted slot {idle}, which they were written to; reset the board, and send them again"
        )
    progress(steps, steps)
    return found


_PIECE = 2 * len(STORED)  # bytes of the store in a line S


def _told(board: BoardLine, address: int) -> tuple[int, bytes]:
    """Which slot the board uses, and what its store holds from an address on."""
    answer: int | None = None
    for _ in range(TRIES):
        board.forget("S")
        answer = board.ask("tell", str(address))
        if answer == Became.STRANGE:
            raise RequestError(
                f"the board at {shortened(board.port)} was not read: it does not know the word that reads "
                "its store out; wanted the program of this version of hutwright; load it with `hutwright "
                "firmware --load`, which sends the settings too"
            )
        found = board.next("S", ANSWER) if answer == Became.TAKEN else None
        if found is not None and found.get("o") == address and found.keys() >= {"s", *STORED}:
            return found["s"], b"".join((found[key] % 65536).to_bytes(2, "little") for key in STORED)
        time.sleep(PAUSE)
    why = "nothing" if answer is None else SAID.get(answer, "not what its store holds there")
    raise RequestError(
        f"the board did not tell what it holds at {address}: its answer was {why}; it goes on with the "
        "settings it had; look at the two wires of the line, and try again"
    )


def _read_slot(board: BoardLine, slot: int, read: Callable[[int], None] = lambda _: None) -> bytes:
    """The settings in a slot, a line at a time."""
    raw = b""
    while len(raw) < SETTINGS.itemsize:
        raw += _told(board, slot * SLOT_BYTES + len(raw))[1]
        read(len(raw) // _PIECE)
    return raw[: SETTINGS.itemsize]


def _refuse_otherwise(found: ReadBack, wanted: bytes) -> None:
    differing = found.differing(wanted)
    if differing:
        at = differing[0]
        raise RequestError(
            f"the settings were sent, but read back otherwise: {len(differing)} of {len(wanted)} bytes "
            f"differ, the first at offset {at}: read {found.raw[at]:02X}, wanted {wanted[at]:02X}; the board "
            "was not told to take them, and goes on with those that it had; send them again, and where the "
            "same byte differs again its store is worn: take another board"
        )


def _greet(board: BoardLine) -> None:
    """Until the board answers: opening its port may have reset it."""
    end = time.monotonic() + BOOT
    while time.monotonic() < end:
        if board.ask("hello") == Became.TAKEN:
            board.forget("B")
            return
    raise RequestError(
        f"the settings were not {board.doing} through {shortened(board.port)}: no board answered; wanted "
        "one that runs this firmware, at 57600 bits a second; load the program first, and look at the two "
        "wires of the line"
    )


def _say(board: BoardLine, word: str, rest: str) -> None:
    answer: int | None = None
    for _ in range(TRIES):
        answer = board.ask(word, rest)
        if answer == Became.TAKEN:
            return
        if answer not in (None, Became.BROKEN, Became.BUSY):
            break
        time.sleep(PAUSE)
    why = "nothing" if answer is None else SAID.get(answer, f"r={answer}")
    raise RequestError(
        f"the board did not take {shortened(f'{word} {rest}')}: its answer was {why}; it goes on with the "
        "settings it had; let the door rest, and send them again"
    )
