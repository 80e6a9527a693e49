"""A board that does as it is told, for the tests of the relay: it keeps the rules of numbers and no time."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from hutwright.live.lines import Command, Flags, Say, Splitter, Telemetry, read_command, telemetry_line
from hutwright.native.words import Fault, Mode

WATCHED = Flags.WATCHED | Flags.WATCH_WELL | Flags.PLACE_KNOWN
MOVING = {Say.OPEN, Say.CLOSE}


def report(**values) -> Telemetry:
    """A line of a board at rest, shut, with a healthy sensor in the doorway."""
    at_rest = Telemetry(
        ms=1000,
        mode=Mode.SHUT,
        place=0.0,
        current=0.0,
        supply=12.4,
        temperature=8.0,
        duty=0.0,
        flags=WATCHED,
        fault=Fault.WELL,
        answered=41,
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
        The commands that were new to it, in order.
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

    def hear(self, data: bytes) -> None:
        """Commands, as a host sends them."""
        for line in self.splitter.feed(data):
            command = read_command(line)
            if command is None:
                continue
            if command.say is Say.NOTHING or command.number == self.said.answered:
                self.lives += 1
                continue
            self.taken.append(command)
            self.obey(command)

    def obey(self, command: Command) -> None:
        """Do what was said, or refuse it where that is the core's way."""
        flags = self.said.flags & ~(Flags.REFUSED | Flags.MAY_LEAVE)
        mode = self.said.mode
        watched = Flags.WATCHED | Flags.WATCH_WELL
        if mode is Mode.FAULT or (
            command.say is Say.CLOSE and (flags & watched != watched or Flags.SEEN in flags)
        ):
            flags |= Flags.REFUSED | (self.said.flags & Flags.MAY_LEAVE)
        elif command.say is Say.OPEN and mode is not Mode.OPEN:
            mode, self.left = Mode.OPENING, self.slow
        elif command.say is Say.CLOSE and mode is not Mode.SHUT:
            mode, self.left = Mode.CLOSING, self.slow
        elif command.say is Say.STOP and mode in {Mode.OPENING, Mode.CLOSING}:
            mode = Mode.STOPPED
        if mode is Mode.OPEN:
            flags |= Flags.MAY_LEAVE
        self.said = replace(self.said, mode=mode, flags=flags, answered=command.number)

    def line(self) -> bytes:
        """What it says next; a move goes on by one."""
        self.said = replace(self.said, ms=self.said.ms + 20)
        if self.said.mode in {Mode.OPENING, Mode.CLOSING}:
            self.left -= 1
            opens = self.said.mode is Mode.OPENING
            if self.left <= 0:
                flags = self.said.flags | (Flags.MAY_LEAVE if opens else Flags(0))
                mode = Mode.OPEN if opens else Mode.SHUT
                self.said = replace(self.said, mode=mode, place=float(opens), flags=flags)
        return telemetry_line(self.said)

    @property
    def moved(self) -> list[Say]:
        """The words of movement that it has heard."""
        return [each.say for each in self.taken if each.say in MOVING]
