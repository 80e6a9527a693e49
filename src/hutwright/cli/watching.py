"""The verb ``watch`` of the command line: where the board is, what it is compared with, what is shown."""

from __future__ import annotations

import json
import shutil
import sys
import tempfile
import time
from collections.abc import Callable, Generator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from threading import Event
from typing import NamedTuple

from hutwright.bench.settings import core_settings
from hutwright.cli.answering import ExitCode, complain, say, stoppable, waiting
from hutwright.description.described import Described
from hutwright.description.folder import load
from hutwright.errors import RequestError
from hutwright.evidence.logbook import Logbook
from hutwright.live.drift import LEAST_MOVES, SPEAKS
from hutwright.live.ring import RingFetch
from hutwright.live.serial_port import SerialPort, the_one_port
from hutwright.live.settings_file import settings_of
from hutwright.live.settings_line import ReadBack, read_settings, send_settings
from hutwright.live.simulated_board import SimulatedBoard
from hutwright.live.simulated_door import SPRING, simulated_door, stroke_of
from hutwright.live.watch_screen import frame
from hutwright.live.watching import BOOK, Compared, Kind, News, Watcher, trained_words, watching
from hutwright.native.records import Record
from hutwright.native.words import LinkLost

EACH = 0.2  # between two pictures on the screen: a choice of this project [s]
NAMED = 6  # settings that are otherwise and are named; a choice of this project
HOME, CLEAR_LINE, CLEAR_BELOW, ENTER, LEAVE = "\x1b[H", "\x1b[K", "\x1b[J", "\x1b[?1049h", "\x1b[?1049l"
CAUTION = (
    "Recording needs a door that moves: keep people and animals out of its way, and keep a way to stop it at "
    "hand. What is said of drift is no test of the door; measure its force after whatever changes it."
)


@dataclass(frozen=True, kw_only=True, slots=True)
class Asked:
    """What was asked for.

    Attributes
    ----------
    folder : pathlib.Path
        The project's folder.
    variant : str or None
        Name of a variant.
    port : str or None
        Path of the serial port.
    settings : pathlib.Path or None
        File with the board's settings; the described ones where none is named.
    moves : int or None
        After how many it ends. [-]
    pace : float
        How much quicker than the clock a simulated board lives. [-]
    air : tuple of float
        Lowest and highest temperature that a simulated door's moves are made at. [degC]
    simulated : bool
        Whether the board is simulated.
    send : bool
        Whether the board is given the settings first.
    read : bool
        Whether the board is asked first what it is set to.
    ring : bool
        Whether the board's ring is fetched.
    as_json : bool
        Whether lines of JSON are printed.
    """

    folder: Path
    variant: str | None
    port: str | None
    settings: Path | None
    moves: int | None
    pace: float
    air: tuple[float, float]
    simulated: bool
    send: bool
    read: bool
    ring: bool
    as_json: bool


class Where(NamedTuple):
    """Where the board is.

    Attributes
    ----------
    path : str
        Of the port.
    ready : Callable
        Lets a simulated door's moves begin; does nothing at a real one.
    """

    path: str
    ready: Callable[[], None]


def watch_board(asked: Asked) -> ExitCode:
    """Watch until somebody ends it, or enough moves were seen."""
    if asked.simulated and asked.port is not None:
        raise RequestError("--port and --simulated: read both; wanted one of them; leave one out")
    if asked.pace != 1.0 and not asked.simulated:
        raise RequestError("--pace: a real board lives as the clock does; leave it out, or add --simulated")
    if asked.air != SPRING and not asked.simulated:
        raise RequestError("--air: a real board has its own weather; leave it out, or add --simulated")
    if not asked.air[0] <= asked.air[1]:
        raise RequestError(
            f"--air: read {asked.air[0]:g} and {asked.air[1]:g} degC; wanted the lower one first; swap them"
        )
    described = load(asked.folder, asked.variant)
    settings = core_settings(described.project) if asked.settings is None else settings_of(asked.settings)
    greets = "--ring" if asked.ring else "--read" if asked.read else ""
    if greets and settings["link_lost"] == LinkLost.CLOSE and settings["link_lost_ms"]:
        raise RequestError(
            f"{greets}: with these settings a board that was greeted closes the door once the line falls "
            "silent, which it does when the watch ends; wanted settings whose lost link does nothing; "
            f"watch without {greets}"
        )
    compared = Compared(settings=settings, stroke=stroke_of(described.project))
    with (
        _board(asked, described, settings) as board,  # first: where there is none, no log book is begun
        Logbook(asked.folder / BOOK) as book,
        stoppable() as stop,
    ):
        first = []
        if asked.send:
            with waiting("sending, and reading back") as count:
                first.append(_sent(send_settings(board.path, _lines(settings), count), settings))
        if asked.read:
            with waiting("reading"):
                first.append(_held(read_settings(board.path), settings))
        return _watched(asked, described.project.name, compared, book, board, stop, first)


def _sent(back: ReadBack, settings: Record) -> News:
    checksum = f"{int(settings['checksum']):04X}"
    text = (
        f"settings {checksum}: {len(back.raw)} bytes sent, read back from slot {back.slot} of the board's "
        "store: equal; the board has begun with them"
    )
    return News(Kind.NOTE, text, {"settings": checksum, "slot": back.slot, "read_back": "equal"})


def _held(back: ReadBack, settings: Record) -> News:
    checksum = f"{int(settings['checksum']):04X}"
    differ = back.otherwise(settings)
    told = f"settings {checksum}: the board uses slot {back.slot} of its store, read: equal"
    if back.slot > 1:
        told = "the board has no settings that it accepts, and moves nothing; send it some with --send"
    elif differ:
        told = (
            f"the board is set otherwise than what its moves are compared with (settings {checksum}): "
            f"{', '.join(differ[:NAMED])}{' and more' if len(differ) > NAMED else ''}; name its own with "
            "--settings, or give it these with --send"
        )
    equal = back.slot <= 1 and not differ
    values = {"settings": checksum, "slot": back.slot, "read_back": "equal" if equal else "otherwise"}
    return News(Kind.NOTE, told, values)


def _lines(settings: Record) -> bytes:
    from hutwright.outputs.firmware import settings_lines

    return settings_lines(settings.tobytes())


@contextmanager
def _board(asked: Asked, described: Described, settings: Record) -> Generator[Where]:
    """Where to watch; a simulated board lives for as long as the context."""
    if not asked.simulated:
        yield Where(asked.port or the_one_port("--port PORT"), lambda: None)
        return
    compiler = shutil.which("cc")
    if compiler is None:
        raise RequestError(
            "--simulated: there is no C compiler on this computer, and the simulated board is the firmware's "
            "own C; install one (Debian's gcc)"
        )
    with tempfile.TemporaryDirectory() as folder:
        with waiting("building the simulated board"):
            # One that is given its settings has others before: those of the description.
            holds = core_settings(described.project) if asked.send else settings
            door = simulated_door(described, holds, Path(folder), Path(compiler), asked.air)

        def ready() -> None:
            door.waits = False

        with SimulatedBoard(door, pace=asked.pace) as board:
            yield Where(board.path, ready)


def _watched(
    asked: Asked,
    name: str,
    compared: Compared,
    book: Logbook,
    board: Where,
    stop: Event,
    first: list[News],
) -> ExitCode:
    screen = sys.stdout.isatty() and not asked.as_json
    tell = _json_line if asked.as_json else _no_more if screen else _line
    for text in () if asked.as_json else (CAUTION, f"{name}: {trained_words(compared.settings)}"):
        complain(text)
    complain(f"Drift is judged after {LEAST_MOVES} moves each way; {SPEAKS}.")
    watcher = Watcher(compared, asked.folder, book, tell, RingFetch() if asked.ring else None)
    for news in first:
        watcher.tell(news)

    def over() -> bool:
        return asked.moves is not None and watcher.moves >= asked.moves

    with _pictured(watcher, name, shown=screen) as show:

        def looked(now: float) -> None:
            if watcher.last is not None:  # heard: the door's moves may begin
                board.ready()
            show(now)

        watching(watcher, SerialPort(board.path), show=looked, over=over, stop=stop)
    if watcher.is_trained and screen:
        say(f"{watcher.since.claim.words}\n")
    if screen:
        say("".join(f"{text}\n" for text in watcher.news))
    if not asked.as_json:
        say(f"{watcher.moves} moves recorded; log book {asked.folder / BOOK}\n")
    return ExitCode.HOLDS if over() else ExitCode.INTERRUPTED


@contextmanager
def _pictured(watcher: Watcher, name: str, *, shown: bool) -> Generator[Callable[[float], None]]:
    """What draws the screen; the terminal is as it was when it is over."""
    if not shown:
        yield lambda _: None
        return
    due = [0.0]

    def show(now: float) -> None:
        if now < due[0]:
            return
        due[0] = now + EACH
        size = shutil.get_terminal_size()
        text = frame(watcher, now, name=name, columns=size.columns, lines=size.lines)
        say(HOME + "".join(f"{line}{CLEAR_LINE}\n" for line in text.split("\n")) + CLEAR_BELOW)

    say(ENTER)
    try:
        yield show
    finally:
        say(LEAVE)


def _line(news: News) -> None:
    say(f"{time.strftime('%H:%M:%S')}  {news.text}\n")


def _no_more(news: News) -> None:
    """Nothing: the screen shows the news itself."""
    del news


def _json_line(news: News) -> None:
    moment = time.strftime("%Y-%m-%dT%H:%M:%SZ", time.gmtime())
    values = {"at": moment, "event": news.kind.value, "text": news.text, **news.values}
    say(json.dumps(values, ensure_ascii=False, allow_nan=False) + "\n")
