"""Putting a firmware on a board: the program by `avrdude`, then the settings over the board's own line."""

from __future__ import annotations

import shutil
import subprocess
from dataclasses import dataclass
from pathlib import Path

from hutwright.errors import RequestError, shortened
from hutwright.native.avr_build import CHIP

LOADER = "avrdude"
# What most boards' loaders speak, and how fast; both may be named otherwise. Standing: practice
PROGRAMMER = "stk500v1"
SPEED = 115200  # [Bd]
PATIENCE = 120.0  # 32 kB at the slowest usual speed take half of it: a choice of this project [s]


@dataclass(frozen=True, kw_only=True, slots=True)
class Port:
    """Where a board is, and how its loader is spoken to.

    Attributes
    ----------
    name : str
        The serial port, as the system calls it.
    programmer : str
        What the loader speaks, as `avrdude` calls it.
    speed : int
        How fast. [Bd]
    """

    name: str
    programmer: str = PROGRAMMER
    speed: int = SPEED


def loader() -> Path:
    """Where `avrdude` is.

    Raises
    ------
    RequestError
        Where it is not on this computer.
    """
    found = shutil.which(LOADER)
    if found is None:
        raise RequestError(
            f"nothing was loaded: {LOADER} is not on this computer; install Debian's {LOADER}, or load "
            "firmware.hex with another program"
        )
    return Path(found)


def load_program(image: Path, port: Port) -> None:
    """Put a program on a board.

    Parameters
    ----------
    image : pathlib.Path
        In Intel hex.
    port : Port
        Where the board is.

    Raises
    ------
    RequestError
        Where there is no loader, or it could not.
    """
    # The usual loader erases page by page; whatever else is named must erase the chip first.
    erasing = ["-D"] if port.programmer == PROGRAMMER else []
    command = [
        str(loader()), "-p", CHIP, "-c", port.programmer, "-P", port.name, "-b", str(port.speed), *erasing,
        "-U", f"flash:w:{image.name}:i",
    ]  # fmt: skip
    try:
        # In the image's own folder: a colon in a path would be read as the end of it.
        done = subprocess.run(
            command,
            cwd=image.parent,
            capture_output=True,
            text=True,
            errors="replace",
            timeout=PATIENCE,
            check=False,
        )
    except (OSError, subprocess.TimeoutExpired) as error:
        raise RequestError(_not_loaded(port, str(error))) from error
    if done.returncode != 0:
        told = " ".join(done.stderr.split()) or f"exit code {done.returncode}"
        raise RequestError(_not_loaded(port, told))


def _not_loaded(port: Port, told: str) -> str:
    return (
        f"the program was not loaded through {shortened(port.name)}: {LOADER} said {shortened(told, 300)}; "
        f"wanted a board whose loader speaks {shortened(port.programmer)} at {port.speed} bits a second; "
        "look at the port's name and who may use it, press the board's reset just before, or name "
        "--programmer and --speed as the board's maker does"
    )
