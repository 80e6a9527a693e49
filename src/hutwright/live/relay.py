"""The relay between board and broker, without port, network or clock: what comes in, and what goes out.

Nothing is kept to move the door later: a command goes to the board in the call that brings it, or is refused
in that call.  Whatever is sent of itself is a sign of life, which moves nothing.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Protocol

from hutwright.errors import shortened
from hutwright.live.asking import Asked, Unread, Wish, read_asking
from hutwright.live.lines import (
    NUMBERS,
    Became,
    Begun,
    Command,
    Reply,
    Say,
    Splitter,
    Telemetry,
    command_line,
    read_spoken,
)
from hutwright.live.message import Message, Starting, Topics, Verdict, moment, state_lost, state_of
from hutwright.live.opening import Opening
from hutwright.live.rules import Known, Moment, board_refusal, too_late
from hutwright.native.words import Mode, Why

SILENCE = 2.5  # of the board, which says something every second at rest: a choice of this project [s]
ANSWER = 2.5  # until the board must have dealt with a command: a choice of this project [s]
LIFE = 0.5  # between signs of life: bench/choices.py counts on it [s]
OFTEN = 0.5  # between states while only the place changes: a choice of this project [s]
SELDOM = 60.0  # a state is told anew after this, changed or not: a choice of this project [s]
CALM = 30.0  # between states while only supply or temperature change: a choice of this project [s]
_PLACE, _SLOW = ("place_percent",), ("supply_V", "temperature_degC")


class Board(Protocol):
    """The way to the board."""

    def send(self, line: bytes) -> bool:
        """Whether the line has gone out whole, now."""

    def drop(self) -> None:
        """Throw away what has not gone out yet."""


class Broker(Protocol):
    """The way to the broker."""

    def publish(self, message: Message) -> bool:
        """Whether the message has gone out, now; it is not kept for later."""


_REACHED = {Wish.CLOSE: {Mode.CLOSING, Mode.SHUT}, Wish.OPEN: {Mode.OPENING, Mode.OPEN}}
_REACHED[Wish.START] = _REACHED[Wish.OPEN]
_NOT_TAKEN = {
    Became.UNGREETED: "the board has just begun again; ask again in a moment",
    Became.STALE: "the board counts the relay's lines otherwise; ask again in a moment",
}
_GARBLED = "the board could not read it; look at the cable, and ask again"


@dataclass(slots=True)
class _Pending:
    """A command that the board has not dealt with yet; `taken`: the line has been, the controller not yet."""

    asked: Asked
    number: int
    since: float
    taken: bool = False


class Relay:
    """What the relay knows, and what it does with what comes.

    Parameters
    ----------
    name : str
        The hut's name.
    wait : float
        Described wait, kept from fully open to the machine's permission. [s]
    oldest : float
        Greatest age of a command that still counts. [s]
    board : Board
        The way to the board.
    broker : Broker
        The way to the broker.
    tell : Callable
        Is told in sentences what happens, for whoever watches.
    """

    def __init__(
        self,
        name: str,
        *,
        wait: float,
        oldest: float,
        board: Board,
        broker: Broker,
        tell: Callable[[str], None],
    ) -> None:
        self.topics = Topics(name)
        self._wait, self._oldest = wait, oldest
        self._board, self._broker, self._tell = board, broker, tell
        self._known = Known()
        self._splitter = Splitter()
        self._port_open = False
        self._broker_since: float | None = None  # wall clock
        self._heard: Telemetry | None = None
        self._greeted = False
        self._latest: Telemetry | None = None  # heard, greeted or not
        self._heard_at = self._life_at = self._replied_at = self._hello_at = float("-inf")
        self._lost_why = "nothing has been heard of the board yet"
        self._number = 0
        self._pending: _Pending | None = None
        self._opening: Opening | None = None
        self._allowed_until = -1.0
        self._state: dict[str, Any] = {}
        self._since: tuple[tuple[object, ...], str] | None = None
        self._told_at = float("-inf")

    # ---- the port ---------------------------------------------------------------------------------------

    def port_came(self, now: Moment) -> None:
        """The port to the board is open; until a whole line comes that says nothing about the board."""
        self._port_open = True
        self._splitter = Splitter()
        self._lose("the port is open, and the board has not answered yet", now)
        self._greet(now)

    def port_went(self, why: str, now: Moment) -> None:
        """The port is gone: nothing is known of the door any more."""
        self._port_open = False
        self._lose(why, now)

    def bytes_came(self, data: bytes, now: Moment) -> None:
        """The board has said something; what is not whole counts as nothing."""
        for line in self._splitter.feed(data):
            match read_spoken(line):
                case Telemetry() as heard:
                    self._hear(heard, now)
                case Reply() as reply:
                    self._hear_reply(reply, now)
                case Begun():
                    self._lose("the board has begun again", now)
                    self._greet(now)
                case None:
                    pass
        self._show(now)

    def _greet(self, now: Moment) -> None:
        """Set the board's count of lines; before that a board takes nothing but a stop."""
        self._hello_at = now.steady
        self._number = (self._number + 1) % NUMBERS
        self._board.send(command_line(Command(self._number, Say.HELLO)))

    def _hear_reply(self, reply: Reply, now: Moment) -> None:
        self._replied_at = now.steady
        pending = self._pending
        if pending is not None and reply.number == pending.number:
            self._settle(pending, reply, now)
        if reply.became in _NOT_TAKEN:
            self._greeted = False
            self._greet(now)
        elif reply.became is Became.TAKEN and not self._greeted and reply.number == self._number:
            self._greeted = True
            if self._latest is not None and now.steady - self._heard_at <= SILENCE:
                self._hear(self._latest, now)

    def _hear(self, heard: Telemetry, now: Moment) -> None:
        self._latest, self._heard_at = heard, now.steady
        if not self._greeted:
            if now.steady - self._hello_at >= LIFE:
                self._greet(now)
            return
        if self._heard is None:
            self._tell("the board is heard, and answers")
        self._heard = heard
        if self._pending is not None and self._pending.taken:
            self._judge(self._pending, heard, now)
        if self._opening is not None:
            why = self._opening.hear(heard, now.steady)
            if why is not None:
                self._break_off(why, now)
            elif self._opening.due(now.steady):
                self._allow(self._opening, now)

    def _lose(self, why: str, now: Moment) -> None:
        """The board is not heard any more."""
        if self._heard is not None or why != self._lost_why:
            self._tell(f"link lost: {why}")
        self._heard, self._latest, self._greeted, self._lost_why = None, None, False, why
        if self._pending is not None:
            self._unanswered("the board was lost", now)
        self._break_off("the board was lost", now)
        self._allowed_until = -1.0
        self._show(now)

    # ---- the broker -------------------------------------------------------------------------------------

    def broker_came(self, now: Moment) -> None:
        """The broker is there: it is told how things are."""
        if self._broker_since is not None:
            self.broker_went(now)
        self._broker_since = now.wall
        self._replied_at = now.steady  # no sign of life has been sent that could have been answered
        self._tell("the broker is there")
        self._show(now, anyway=True)

    def broker_went(self, now: Moment) -> None:
        """The broker is gone; whatever was to be told through it is not told later."""
        if self._broker_since is None:
            return
        self._broker_since = None
        self._tell("the broker is gone; trying again")
        self._break_off("the broker was lost", now)

    def ended(self, now: Moment) -> Message:
        """The relay is about to end: what the broker keeps from then on.

        Parameters
        ----------
        now : Moment
            Now.

        Returns
        -------
        Message
            The state, in which nothing is known of the door.
        """
        self._break_off("the relay was ended", now)
        self._broker_since, self._port_open, self._heard = None, False, None
        told = {"since": moment(now.wall), "at": moment(now.wall)}
        return Message(self.topics.state, state_lost("the relay was ended") | told, True)

    # ---- commands ---------------------------------------------------------------------------------------

    def asked(self, payload: bytes, now: Moment, *, retained: bool) -> None:
        """Somebody has asked for something: it is done now, or refused now.

        Parameters
        ----------
        payload : bytes
            As it came.
        now : Moment
            Now.
        retained : bool
            Whether the sender wanted the broker to keep it for later.
        """
        read = read_asking(payload)
        if isinstance(read, Unread):
            self._answer(read.id, "", Verdict.REFUSED, read.why, now)
            return
        why = self._refusal(read, now, retained=retained)
        if why is not None:
            self._answer(read.id, read.wish.value, Verdict.REFUSED, why, now)
            return
        self._pass_on(read, now)
        self._show(now)

    def _refusal(self, asked: Asked, now: Moment, *, retained: bool) -> str | None:
        if retained:
            return "it was sent to be kept by the broker; wanted a message that is not retained"
        if asked.wish is Wish.STOP:
            self._known.refusal(
                asked.id, now.steady
            )  # a stop may come twice; its id is no other's all the same
            return None if self._port_open else f"link lost: {self._lost_why}; stop the door at the hut"
        if self._broker_since is None:
            return "the relay has no broker"
        return (
            self._known.refusal(asked.id, now.steady)  # first, so that no id counts that was refused once
            or too_late(asked, now, heard_since=self._broker_since, oldest=self._oldest)
            or self._movement_refusal(asked, now)
        )

    def _movement_refusal(self, asked: Asked, now: Moment) -> str | None:
        heard = self._heard
        if heard is None or now.steady - self._heard_at > SILENCE:
            return f"link lost: {self._lost_why}; nothing is kept for later, so ask again when it is back"
        if self._pending is not None:
            return "the board has not dealt with the last command yet; ask again in a moment"
        if asked.wish is Wish.START and self._opening is not None:
            return "opening for a start is under way already"
        if asked.wish is Wish.CLOSE and now.steady < self._allowed_until:
            return "the machine was allowed to start a moment ago; ask again when it is out"
        return board_refusal(asked.wish, heard)

    def _pass_on(self, asked: Asked, now: Moment) -> None:
        """Send a command to the board; nothing may refuse it but a port that takes nothing."""
        say = {Wish.CLOSE: Say.CLOSE, Wish.STOP: Say.STOP}.get(asked.wish, Say.OPEN)
        if say is not Say.OPEN:
            self._break_off(f"a {asked.wish.value} was asked for", now)
        if self._pending is not None:
            self._unanswered("a stop came before the board's answer", now)
        self._number = (self._number + 1) % NUMBERS
        if not self._board.send(command_line(Command(self._number, say))):
            self._board.drop()
            why = "the port took nothing; nothing is kept for later, so ask again"
            self._answer(asked.id, asked.wish.value, Verdict.REFUSED, why, now)
            return
        self._life_at = now.steady
        self._pending = _Pending(asked, self._number, now.steady)

    def _settle(self, pending: _Pending, reply: Reply, now: Moment) -> None:
        """The board has dealt with the line; a stop is taken by that, of the rest the controller decides."""
        if reply.became is not Became.TAKEN:
            self._pending = None
            why = _NOT_TAKEN.get(reply.became, _GARBLED)
            self._answer(pending.asked.id, pending.asked.wish.value, Verdict.REFUSED, why, now)
        elif pending.asked.wish is Wish.STOP:
            self._pending = None
            self._answer(pending.asked.id, Wish.STOP.value, Verdict.TAKEN, "the board has taken it", now)
        else:
            pending.taken = True

    def _judge(self, pending: _Pending, heard: Telemetry, now: Moment) -> None:
        """See by the next telemetry whether the controller does what was asked."""
        asked = pending.asked
        if heard.mode in _REACHED[asked.wish]:
            self._pending = None
            self._answer(asked.id, asked.wish.value, Verdict.TAKEN, "the board has taken it", now)
            if asked.wish is Wish.START:
                self._opening = Opening(asked.id, wait=self._wait, began=now.steady)
        elif heard.why is Why.REFUSED:
            self._pending = None
            why = board_refusal(asked.wish, heard) or "the controller says that it cannot be done now"
            self._answer(asked.id, asked.wish.value, Verdict.REFUSED, why, now)

    def _unanswered(self, why: str, now: Moment) -> None:
        pending, self._pending = self._pending, None
        if pending is not None:
            told = f"{why}; whether the door has taken it is not known: look at the state"
            self._answer(pending.asked.id, pending.asked.wish.value, Verdict.UNANSWERED, told, now)

    # ---- open, wait, start ------------------------------------------------------------------------------

    def _break_off(self, why: str, now: Moment) -> None:
        opening, self._opening = self._opening, None
        if opening is not None:
            told = f"{why}; the machine is not allowed to start"
            self._answer(opening.id, Wish.START.value, Verdict.BROKEN_OFF, told, now)

    def _allow(self, opening: Opening, now: Moment) -> None:
        """Let the machine go: only in the moment in which a line says that the door is fully open."""
        self._opening = None
        values = {"id": opening.id, "at": moment(now.wall), "until": moment(now.wall + self._oldest)}
        if not self._broker.publish(Message(self.topics.start, values, False)):
            self._answer(opening.id, Wish.START.value, Verdict.BROKEN_OFF, "the broker took nothing", now)
            return
        self._allowed_until = now.steady + self._oldest
        told = f"the machine may start within {self._oldest:g} s"
        self._answer(opening.id, Wish.START.value, Verdict.ALLOWED, told, now)

    # ---- time, and what is told -------------------------------------------------------------------------

    def tick(self, now: Moment) -> None:
        """Some time has passed."""
        if self._heard is not None and now.steady - self._heard_at > SILENCE:
            self._board.drop()
            self._lose(f"nothing has come from the board for {SILENCE:g} s", now)
        waits = self._heard is not None and self._broker_since is not None
        if waits and now.steady - self._replied_at > SILENCE + LIFE:
            self._board.drop()
            self._lose("the board is heard, and does not answer", now)
        if self._pending is not None and now.steady - self._pending.since > ANSWER:
            self._board.drop()
            self._unanswered("the board did not answer", now)
        self._live(now)
        self._show(now)

    def _live(self, now: Moment) -> None:
        """A sign of life, while both ends are there; it moves nothing."""
        alive = self._heard is not None and self._broker_since is not None and self._pending is None
        if alive and now.steady - self._life_at >= LIFE:
            self._life_at = now.steady
            self._number = (self._number + 1) % NUMBERS
            self._board.send(command_line(Command(self._number, Say.ALIVE)))

    def _starting(self, now: Moment) -> Starting:
        if self._opening is not None:
            return Starting.WAITING if self._opening.is_open else Starting.OPENING
        return Starting.ALLOWED if now.steady < self._allowed_until else Starting.NONE

    def _show(self, now: Moment, *, anyway: bool = False) -> None:
        """Tell the broker how things are, where that is news."""
        if self._heard is None:
            state = state_lost(self._lost_why)
        else:
            state = state_of(self._heard, self._starting(now))
        key = (state["link"], state["mode"])
        if self._since is None or self._since[0] != key:
            self._since = (key, moment(now.wall))
        if self._broker_since is None or not (anyway or self._news(state, now)):
            return
        told = state | {"since": self._since[1], "at": moment(now.wall)}
        if self._broker.publish(Message(self.topics.state, told, True)):
            self._state, self._told_at = state, now.steady

    def _news(self, state: dict[str, Any], now: Moment) -> bool:
        age = now.steady - self._told_at
        changed = {key for key in state if state[key] != self._state.get(key, self)}
        return (
            bool(changed - {*_PLACE, *_SLOW})
            or (bool(changed & {*_PLACE}) and age >= OFTEN)
            or (bool(changed) and age >= CALM)
            or age >= SELDOM
        )

    def _answer(self, name: str, wish: str, verdict: Verdict, why: str, now: Moment) -> None:
        asked = f"{wish or 'a message'} {shortened(name) if name else ''}".strip()
        self._tell(f"{asked}: {verdict.value}: {why}")
        values = {"id": name, "do": wish, "answer": verdict.value, "why": why, "at": moment(now.wall)}
        if self._broker_since is not None:
            self._broker.publish(Message(self.topics.answer, values, False))
