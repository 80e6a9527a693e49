"""What every verb of the command line shares: faults as sentences, exit codes, quiet ends, waiting."""

from __future__ import annotations

import gc
import os
import re
import shutil
import signal
import sys
import threading
import time
import traceback
from collections.abc import Callable, Generator
from contextlib import contextmanager
from enum import IntEnum
from types import TracebackType
from typing import TextIO

import click

from hutwright.errors import HutwrightError, Progress, RequestError, StoppedError, system_words

DEBUG = "HUTWRIGHT_DEBUG"
PATIENCE = 1.0  # how long nothing is said while something is worked out: a choice of this project [s]
_STATUS = re.compile(r"(?<=  )(holds|barely|undecided|misses)(?=  |: )")
_COLOURS = {"holds": "32", "barely": "33", "undecided": "35", "misses": "1;31"}


class ExitCode(IntEnum):
    """What the command line says to the shell."""

    HOLDS = 0
    SHORT = 1
    WRONG = 2
    BROKEN = 3
    INTERRUPTED = 130


def answered(verb: Callable[[], ExitCode], *, lasting: bool = False) -> None:
    """Run a verb and leave with its exit code; whatever goes wrong is said in sentences.

    Parameters
    ----------
    verb : Callable
        Prints the answer and returns the exit code.
    lasting : bool
        Whether it goes on for hours, so that its rubbish has to be cleared away.

    Raises
    ------
    click.exceptions.Exit
        Always, with the exit code.
    """
    collected = gc.isenabled()
    if lasting:
        gc.enable()
    else:
        gc.disable()  # it ends before its rubbish matters; looking for that takes a fifth of the time
    try:
        raise click.exceptions.Exit(int(_code_of(verb)))
    finally:
        if collected:
            gc.enable()
        else:
            gc.disable()


def _code_of(verb: Callable[[], ExitCode]) -> ExitCode:
    try:
        return verb()
    except StoppedError as stopped:
        complain(str(stopped))
        return ExitCode.INTERRUPTED
    except HutwrightError as error:
        complain(str(error))
        return ExitCode.WRONG
    except KeyboardInterrupt:
        return ExitCode.INTERRUPTED
    except Exception as error:  # noqa: BLE001 - the last line of defence: no traceback reaches a builder
        if os.environ.get(DEBUG) == "1":
            complain(traceback.format_exc())
        else:
            complain(
                f"hutwright met a fault of its own ({type(error).__name__}); your files are as they were. "
                "Please report "
                f"it with what you did; set {DEBUG}=1 and run it again to get the details for the report."
            )
        return ExitCode.BROKEN


def say(text: str) -> None:
    """Print an answer; a reader that has gone away is no fault."""
    try:
        sys.stdout.write(painted(text) if colourful(sys.stdout) else text)
        sys.stdout.flush()
    except BrokenPipeError:
        _let_go(sys.stdout)
    except OSError as error:
        _let_go(sys.stdout)
        told = system_words(error)
        raise RequestError(
            f"the answer could not be written whole: the system said {told}; make room, or send it elsewhere"
        ) from error


def _let_go(stream: TextIO) -> None:
    """Send what is still in a stream's buffer nowhere, so that nothing is said when the interpreter ends."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())


def complain(text: str) -> None:
    """Print what is wrong, beside the answer."""
    try:
        print(text, file=sys.stderr, flush=True)
    except BrokenPipeError:
        _let_go(sys.stderr)


def lenient_streams() -> None:
    """Let a terminal that lacks a sign show another in its place."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="replace")


def screen_width() -> int:
    """Columns of the screen; 100 where there is none."""
    return shutil.get_terminal_size((100, 24)).columns


def colourful(stream: TextIO) -> bool:
    """Whether colours are welcome: on a terminal, unless the reader said no."""
    return stream.isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"


def painted(text: str) -> str:
    """The same text with the status words in colour."""
    return _STATUS.sub(lambda found: f"\x1b[{_COLOURS[found[0]]}m{found[0]}\x1b[0m", text)


class _Ticker:
    """Says on a terminal that something is still being worked out, and how much of it is done."""

    def __init__(self, what: str, stream: TextIO) -> None:
        self.what, self.stream = what, stream
        self.count = ""
        self.done = threading.Event()
        self.thread = threading.Thread(target=self._tick, daemon=True)

    def __enter__(self) -> None:
        self.thread.start()

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.done.set()
        self.thread.join()

    def _tick(self) -> None:
        began, told = time.monotonic(), ""
        while not self.done.wait(PATIENCE):
            before = len(told)
            told = f"{self.what} ... {time.monotonic() - began:.0f} s{self.count}"
            self.stream.write(f"\r{told.ljust(before)}")
            self.stream.flush()
        if told:
            self.stream.write(f"\r{' ' * len(told)}\r")
            self.stream.flush()


@contextmanager
def waiting(what: str) -> Generator[Progress]:
    """Show on a terminal that work goes on, once it takes more than a second; yields what to tell it."""
    if not sys.stderr.isatty():
        yield lambda *_: None
        return
    ticker = _Ticker(what, sys.stderr)

    def count(done: int, of: int) -> None:
        ticker.count = f", {done} of {of}"

    with ticker:
        yield count


@contextmanager
def stoppable() -> Generator[threading.Event]:
    """Let the first interruption from the keyboard set a flag, so that what was done can be shown."""
    flag = threading.Event()
    if threading.current_thread() is not threading.main_thread():
        yield flag
        return

    def stop(*_: object) -> None:
        if flag.is_set():
            raise KeyboardInterrupt  # the second one means it
        flag.set()

    before = signal.signal(signal.SIGINT, stop)
    try:
        yield flag
    finally:
        signal.signal(signal.SIGINT, before)
