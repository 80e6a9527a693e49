"""The file of settings, settings.lines, as `hutwright firmware` and `hutwright calibrate` write it."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from hutwright.errors import RequestError, shortened, system_words
from hutwright.native.engine import refusal
from hutwright.native.records import SETTINGS, Record
from hutwright.native.words import Refusal, spoken

LARGEST = 65536  # bytes of a file of settings: a choice of this project


def settings_of(path: Path) -> Record:
    """The settings in a file.

    Parameters
    ----------
    path : pathlib.Path
        The file.

    Returns
    -------
    record of SETTINGS
        Sealed, and such that the controller takes them.

    Raises
    ------
    RequestError
        Where it cannot be read, or holds no such settings.
    """
    try:
        with path.open("rb") as file:
            raw = file.read(LARGEST + 1)
    except (OSError, ValueError) as error:
        raise RequestError(
            f"--settings: {shortened(str(path))} cannot be read: the system said "
            f"{system_words(error)}; wanted a file such as settings.lines"
        ) from None
    return settings_in(raw[:LARGEST])


def settings_in(lines: bytes) -> Record:
    """The settings that some lines would give a board.

    Parameters
    ----------
    lines : bytes
        As `hutwright firmware` writes them to settings.lines.

    Returns
    -------
    record of SETTINGS
        Sealed, and such that the controller takes them.

    Raises
    ------
    RequestError
        Where they are no such lines, or the controller refuses what they say.
    """
    try:
        wanted = [parted(line) for line in lines.decode("ascii").splitlines()]
        return whole_settings(wanted)
    except ValueError as error:
        raise RequestError(
            f"the settings cannot be read: {shortened(str(error))}; wanted the lines of settings.lines as "
            "hutwright wrote them; write the file again"
        ) from error


def whole_settings(wanted: list[tuple[str, str]]) -> Record:
    """All of the settings that parted lines give; a board that is given bad ones says so to nobody.

    Parameters
    ----------
    wanted : list of tuple
        Word and rest of each line.

    Raises
    ------
    RequestError
        Where bytes are missing, or the controller refuses them.
    """
    raw = b"".join(bytes.fromhex(rest.partition(" ")[2]) for word, rest in wanted if word == "set")
    if len(raw) != SETTINGS.itemsize:
        raise RequestError(
            f"settings to send: read settings of {len(raw)} bytes; wanted {SETTINGS.itemsize}, which is all "
            "of them; write the firmware's folder again"
        )
    found = np.frombuffer(raw, SETTINGS)[0]
    why = refusal(found)
    if why is not Refusal.GOOD:
        raise RequestError(
            f"settings to send: the controller refuses the settings: {spoken(why)}; write the firmware's "
            "folder again"
        )
    return found


def parted(line: str) -> tuple[str, str]:
    """Word and rest of a line; its number is given anew, since a board takes none twice.

    Parameters
    ----------
    line : str
        As it stands in the file.
    """
    word, _, rest = line.partition("*")[0].partition(" ")
    return word, rest.partition(" ")[2]
