"""What somebody asks for from afar: bytes that anybody may have sent, read into a wish or refused."""

from __future__ import annotations

import json
import math
from dataclasses import dataclass
from datetime import datetime
from enum import Enum
from typing import Any

from hutwright.errors import shortened

LONGEST = 1024  # bytes of a command: a choice of this project
LONGEST_ID = 64  # letters of its id: a choice of this project
_KEYS = ("id", "do", "at")
_LIKE = '{"id": "a new one each time", "do": "open", "at": seconds since 1970}'


class Wish(Enum):
    """What can be asked for."""

    OPEN = "open"
    CLOSE = "close"
    STOP = "stop"
    START = "start"


@dataclass(frozen=True, kw_only=True, slots=True)
class Asked:
    """A command that could be read.

    Attributes
    ----------
    wish : Wish
        What is wanted.
    id : str
        Its sender's name for it; "" where a stop carries none.
    at : float
        When it was asked, seconds since 1970; NaN where a stop does not say. [s]
    """

    wish: Wish
    id: str
    at: float


@dataclass(frozen=True, kw_only=True, slots=True)
class Unread:
    """A command that could not be read.

    Attributes
    ----------
    id : str
        Its sender's name for it; "" where that could not be read either.
    why : str
        A sentence for the sender.
    """

    id: str
    why: str


class _WrongError(Exception):
    """What a payload is refused for; never leaves this module."""


def read_asking(payload: bytes) -> Asked | Unread:
    """The command in a message.

    Parameters
    ----------
    payload : bytes
        As it came; nothing about it is trusted.

    Returns
    -------
    Asked or Unread
        The command, or why it is none.
    """
    if len(payload) > LONGEST:
        return Unread(id="", why=f"it has {len(payload)} bytes; wanted at most {LONGEST}")
    if payload.strip() == Wish.STOP.value.encode():
        return Asked(wish=Wish.STOP, id="", at=math.nan)
    name = ""
    try:
        values = _values(payload)
        name = _id(values)
        return _asked(values, name)
    except _WrongError as wrong:
        return Unread(id=name, why=str(wrong))


def _values(payload: bytes) -> dict[str, Any]:
    try:
        text = payload.decode("utf-8")
    except UnicodeDecodeError:
        raise _WrongError(f"it is not UTF-8 text; wanted JSON such as {_LIKE}") from None
    try:
        values = json.loads(text, object_pairs_hook=_once, parse_constant=_no_constant)
    except (ValueError, RecursionError):
        raise _WrongError(f"read {shortened(text)}; wanted JSON such as {_LIKE}") from None
    if not isinstance(values, dict):
        raise _WrongError(f"read {shortened(text)}; wanted an object such as {_LIKE}")
    return values


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    values = dict(pairs)
    if len(values) < len(pairs):
        raise _WrongError("a key stands there twice; wanted each once")
    return values


def _no_constant(text: str) -> float:
    raise _WrongError(f"read {shortened(text)}; wanted a finite number")


def _id(values: dict[str, Any]) -> str:
    name = values.get("id", "")
    if not isinstance(name, str) or len(name) > LONGEST_ID or not name.isprintable():
        raise _WrongError(f"id: wanted a text of 1 to {LONGEST_ID} printable letters, new for each command")
    return name


def _asked(values: dict[str, Any], name: str) -> Asked:
    unknown = [key for key in values if key not in _KEYS]
    if unknown:
        raise _WrongError(f"read the key {shortened(unknown[0])}; wanted none but {', '.join(_KEYS)}")
    wish = _wish(values.get("do"))
    if wish is Wish.STOP:
        return Asked(wish=wish, id=name, at=math.nan)  # nothing about a stop may keep it from being heard
    if not name:
        raise _WrongError("id: there is none; wanted a new one for each command, so that none counts twice")
    if "at" not in values:
        raise _WrongError("at: there is none; wanted when it was asked, so that an old one moves nothing")
    return Asked(wish=wish, id=name, at=_time(values["at"]))


def _wish(value: Any) -> Wish:
    if isinstance(value, str):
        for wish in Wish:
            if wish.value == value:
                return wish
    wanted = ", ".join(wish.value for wish in Wish)
    raise _WrongError(f"do: read {shortened(_plainly(value))}; wanted one of: {wanted}")


def _time(value: Any) -> float:
    seconds = math.nan
    try:
        if isinstance(value, int | float) and not isinstance(value, bool):
            seconds = float(value)
        elif isinstance(value, str):
            moment = datetime.fromisoformat(value)
            seconds = math.nan if moment.tzinfo is None else moment.timestamp()
    except (ValueError, OverflowError):
        pass
    if not math.isfinite(seconds):
        raise _WrongError(
            f"at: read {shortened(_plainly(value))}; wanted seconds since 1970, or a date and time with its "
            "zone such as 2030-05-01T07:00:00+02:00"
        )
    return seconds


def _plainly(value: Any) -> str:
    """What was read, on one line; a shape with something in it is told by its kind only."""
    if isinstance(value, str | int | float | None):
        return str(value)
    return "a list" if isinstance(value, list) else "an object"
