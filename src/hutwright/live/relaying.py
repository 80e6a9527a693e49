"""The relay at work: one port, one broker, one clock, and the lock that lets one thing happen at a time."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from threading import Event, RLock

from hutwright.description.folder import load
from hutwright.errors import RequestError, shortened
from hutwright.live.broker import Address, BrokerLink, Heard
from hutwright.live.message import Topics
from hutwright.live.relay import Relay
from hutwright.live.rules import Moment
from hutwright.live.serial_port import SerialPort
from hutwright.model.controller import Command

STEP = 0.02  # between two looks at the port: a choice of this project [s]


@dataclass(frozen=True, kw_only=True, slots=True)
class Hut:
    """What the relay takes from the description.

    Attributes
    ----------
    name : str
        The hut's name.
    wait : float
        From fully open to the machine's permission. [s]
    """

    name: str
    wait: float


def relayed_hut(folder: Path, variant: str | None = None) -> Hut:
    """What the relay needs of a description.

    Parameters
    ----------
    folder : pathlib.Path
        The project's folder.
    variant : str or None
        Name of a variant; None for the description as it stands.

    Returns
    -------
    Hut
        Name and wait; of a wait that is a range the longest, as a machine that goes late meets no leaf.

    Raises
    ------
    RequestError
        Where no controller is described, or it takes no command from afar.
    HutwrightError
        Where the description cannot be read.
    """
    described = load(folder, variant)
    controller = described.project.controller
    if controller is None or Command.REMOTE not in controller.commands:
        fitted = () if controller is None else controller.commands
        read = ", ".join(each.value for each in fitted) or "none"
        raise RequestError(
            f"controller.commands: read {shortened(read)}; wanted remote among them, as a board is relayed "
            'to only where commands from afar are described; write "remote" there and flash the board anew'
        )
    longest = described.values[("controller", "wait")].high
    return Hut(name=described.project.name, wait=controller.wait if longest is None else longest)


def relaying(
    hut: Hut,
    where: Address,
    port: SerialPort,
    *,
    oldest: float,
    tell: Callable[[str], None],
    stop: Event,
) -> None:
    """Carry commands and state between a board and a broker until it is told to stop.

    Parameters
    ----------
    hut : Hut
        Whose door it is.
    where : Address
        The broker.
    port : SerialPort
        Where the board is.
    oldest : float
        Greatest age of a command that still counts. [s]
    tell : Callable
        Is told in sentences what happens.
    stop : threading.Event
        Ends it.

    Raises
    ------
    RequestError
        Where the broker refuses the relay, or a certificate cannot be read.
    """
    lock = RLock()

    def asked(payload: bytes, retained: bool) -> None:  # noqa: FBT001 - what a callback is given
        with lock:
            relay.asked(payload, _now(), retained=retained)

    def came() -> None:
        with lock:
            relay.broker_came(_now())

    link = BrokerLink(where, Topics(hut.name), Heard(came=came, asked=asked, failed=_news_only(tell)))
    relay = Relay(hut.name, wait=hut.wait, oldest=oldest, board=port, broker=link, tell=tell)
    link.start()
    try:
        _go_round(relay, link, port, lock, stop)
    finally:
        with lock:
            last = relay.ended(_now())
        port.close()
        link.leave(last)
    if link.refused:
        raise RequestError(f"{link.refused}; look at user and password and what the broker allows the relay")


def _go_round(relay: Relay, link: BrokerLink, port: SerialPort, lock: RLock, stop: Event) -> None:
    was_up = was_open = False
    while not (stop.wait(STEP) or link.refused):
        with lock:
            now = _now()
            if port.try_open(now.steady):
                relay.port_came(now)
            data = port.read()
            if data:
                relay.bytes_came(data, now)
            if not port.is_open and (was_open or port.why):
                relay.port_went(port.why, now)
                port.why = ""
            if was_up and not link.is_up:
                relay.broker_went(now)
            was_up, was_open = link.is_up, port.is_open
            relay.tick(now)


def _now() -> Moment:
    return Moment(time.monotonic(), time.time())


def _news_only(tell: Callable[[str], None]) -> Callable[[str], None]:
    """Say a sentence once, however often it comes in a row."""
    said = [""]

    def once(text: str) -> None:
        if text != said[0]:
            said[0] = text
            tell(text)

    return once
