"""The verb ``relay`` of the command line: who may ask, where the board is, and what is said meanwhile."""

from __future__ import annotations

import os
import time
from dataclasses import dataclass
from pathlib import Path

from hutwright.cli.answering import ExitCode, complain, say, stoppable
from hutwright.live.broker import Address, address
from hutwright.live.relaying import relayed_hut, relaying
from hutwright.live.serial_port import SerialPort, ports, the_one_port

PASSWORD = "HUTWRIGHT_BROKER_PASSWORD"
CAUTIONS = (
    "Whoever may write to this broker can ask for a heavy door to move. Only the board judges the doorway: "
    "test its sensor and its reversal before anything asks from afar, and keep a way to stop at the hut.",
)
PLAIN = (
    "The broker is another computer and --tls is not given: whoever is on the way can read and change what "
    "is said, password too."
)
NOBODY = "No --user: the broker lets in whoever comes, unless it asks for something else."


@dataclass(frozen=True, kw_only=True, slots=True)
class Asked:
    """What was asked for.

    Attributes
    ----------
    folder : pathlib.Path
        The project's folder.
    variant : str or None
        Name of a variant.
    broker : str
        Host and port as given.
    port : str or None
        Path of the serial port.
    baud : int
        Its speed. [Bd]
    user : str or None
        Who the relay is for the broker.
    authority : pathlib.Path or None
        Certificates that are trusted.
    oldest : float
        Greatest age of a command. [s]
    tls : bool
        Whether the connection is encrypted.
    """

    folder: Path
    variant: str | None
    broker: str
    port: str | None
    baud: int
    user: str | None
    authority: Path | None
    oldest: float
    tls: bool


def list_ports() -> ExitCode:
    """Print the serial ports that a board may be at."""
    found = ports()
    say("".join(f"{each.path}  {each.told}\n" for each in found) or "no serial port is there\n")
    return ExitCode.HOLDS


def carry(asked: Asked) -> ExitCode:
    """Relay until somebody ends it."""
    where = _where(asked)
    hut = relayed_hut(asked.folder, asked.variant)
    port = SerialPort(asked.port or the_one_port("--serial PATH"), asked.baud)
    for caution in _cautions(where):
        complain(caution)
    with stoppable() as stop:
        _tell(f"{hut.name}: board at {port.path}, broker at {where!r}; Ctrl-C ends it")
        relaying(hut, where, port, oldest=asked.oldest, tell=_tell, stop=stop)
    return ExitCode.INTERRUPTED


def _where(asked: Asked) -> Address:
    tls = asked.tls or asked.authority is not None
    host, port = address(asked.broker, tls=tls)
    return Address(
        host=host,
        port=port,
        tls=tls,
        authority=asked.authority,
        user=asked.user,
        password=os.environ.get(PASSWORD) if asked.user else None,
    )


def _cautions(where: Address) -> tuple[str, ...]:
    plain = () if where.tls or where.is_here else (PLAIN,)
    return (*CAUTIONS, *plain, *(() if where.user else (NOBODY,)))


def _tell(text: str) -> None:
    say(f"{time.strftime('%H:%M:%S')}  {text}\n")
