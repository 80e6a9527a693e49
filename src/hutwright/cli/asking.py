"""Asking somebody at the terminal, until the answer is understood."""

from __future__ import annotations

import sys
from collections.abc import Callable

from hutwright.cli.answering import complain, say
from hutwright.errors import RequestError

Ask = Callable[[str], str]


def on_a_terminal() -> bool:
    """Whether somebody is there to be asked."""
    return sys.stdin.isatty() and sys.stdout.isatty()


def asked_until_understood(
    prompt: str, ask: Ask, understood: Callable[[str], str], unknown: Callable[[str], bool]
) -> tuple[str, str] | None:
    """What was answered, read back where it was typed otherwise than understood; None where it is not known.

    Parameters
    ----------
    prompt : str
        What is asked.
    ask : Callable
        From a prompt to what was typed.
    understood : Callable
        From what was typed to its plain form; raises RequestError.
    unknown : Callable
        Whether an answer says that nobody knows.

    Returns
    -------
    tuple or None
        As it was typed, and how it was understood; None also where the input has ended.
    """
    while True:
        try:
            said = ask(prompt).strip()
        except EOFError:
            return None
        if unknown(said):
            return None
        try:
            plain = understood(said)
        except RequestError as error:
            complain(f"  {error}")
            continue
        if plain != said:
            say(f"  read as {plain}\n")
        return said, plain
