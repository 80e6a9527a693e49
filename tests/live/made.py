"""A board that does as it is told, for the tests of the relay: it keeps the rule of numbers, and no time."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from hutwright.live.lines import (
    NUMBERS,
    Became,
    Begun,
    Bits,
    Command,
    Reply,
    Say,
    Splitter,
    Telemetry,
    read_command,
    spoken,
)
from hutwright.native.words import Eye, Fault, Mode, Why

KNOWN = Bits.PLACE_KNOWN
OUT = KNOWN | Bits.MAY_LEAVE
MOVING = {Say.OPEN, Say.CLOSE}


def report(**values) -> Telemetry:
    """A line of a board at rest, shut, with a healthy sensor in the doorway."""
    at_rest = Telemetry(
        ms=1000,
        mode=Mode.SHUT,
        why=Why.LIMIT,
        fault=Fault.WELL,
        duty=0.0,
        current=0.0,
        residual=0.0,
        expected=0.0,
        supply=12.4,
        temperature=8.0,
        place=0.0,
        present=Eye.CLEAR,
        bits=KNOWN,
    )
    return replace(at_rest, **values)


@dataclass
class MadeBoard:
    """A door without mass: it is where it is told to be after so many lines.

    Attributes
    ----------
    said : Telemetry
        What it says of itself.
    taken : list
        The commands that it has taken, in order.
    lives : int
        Signs of life that it has heard.
    slow : int
        Lines that a move takes.
    """

    said: Telemetry = field(default_factory=report)
    taken: list[Command] = field(default_factory=list)
    lives: int = 0
    slow: int = 2
    left: int = 0
    splitter: Splitter = field(default_factory=Splitter)
    greeted: bool = False
    number: int = 0

    def hear(self, data: bytes) -> bytes:
        """Commands, as a host sends them; gives the answers."""
        return b"".join(map(self._heard, self.splitter.feed(data)))

    def _heard(self, line: bytes) -> bytes:
        command = read_command(line)
        if command is None:
            return spoken(Reply(0, Became.BROKEN))
        became = self._became(command)
        if became is Became.TAKEN:
            if command.say in {*MOVING, Say.STOP}:
                self.taken.append(command)
                self.obey(command)
            self.lives += command.say is Say.ALIVE
        return spoken(Reply(command.number, became))

    def _became(self, command: Command) -> Became:
        """The rule of numbers, as line.h has it."""
        if command.say is Say.STOP:
            return Became.TAKEN
        if command.say is Say.HELLO:
            self.greeted = True
        elif not self.greeted:
            return Became.UNGREETED
        elif (command.number - self.number - 1) % NUMBERS >= 32767:
            return Became.STALE
        self.number = command.number
        return Became.TAKEN

    def begin(self) -> bytes:
        """Power has come back."""
        self.greeted, self.number = False, 0
        self.said = report(mode=Mode.STOPPED, why=Why.POWER_UP, bits=Bits(0))
        return spoken(Begun(0))

    def obey(self, command: Command) -> None:
        """Do what was said, or refuse it where that is the core's way."""
        mode, why = self.said.mode, Why.LINE
        if mode is Mode.FAULT or (command.say is Say.CLOSE and self.said.present is not Eye.CLEAR):
            why = Why.REFUSED
        elif command.say is Say.OPEN and mode is not Mode.OPEN:
            mode, self.left = Mode.OPENING, self.slow
        elif command.say is Say.CLOSE and mode is not Mode.SHUT:
            mode, self.left = Mode.CLOSING, self.slow
        elif command.say is Say.STOP and mode in {Mode.OPENING, Mode.CLOSING}:
            mode = Mode.STOPPED
        bits = self.said.bits if mode is self.said.mode else self.said.bits & ~Bits.MAY_LEAVE
        self.said = replace(self.said, mode=mode, why=why, bits=bits)

    def line(self) -> bytes:
        """What it says next; a move goes on by one."""
        self.said = replace(self.said, ms=(self.said.ms + 20) % 65536)
        if self.said.mode in {Mode.OPENING, Mode.CLOSING}:
            self.left -= 1
            opens = self.said.mode is Mode.OPENING
            if self.left <= 0:
                bits = self.said.bits | (Bits.MAY_LEAVE if opens else Bits(0))
                mode = Mode.OPEN if opens else Mode.SHUT
                self.said = replace(self.said, mode=mode, why=Why.LIMIT, place=float(opens), bits=bits)
        return spoken(self.said)

    @property
    def moved(self) -> list[Say]:
        """The words of movement that it has heard."""
        return [each.say for each in self.taken if each.say in MOVING]
