"""Numbers as people write them: a decimal comma, no unit, "ca. 250", "don't know"."""

from __future__ import annotations

import re

# Whoever writes one of these does not know.
UNKNOWN = frozenset({"", "?", "don't know", "dont know", "do not know", "unknown", "no idea"})
_COMMA = re.compile(r"(?<=[0-9]),(?=[0-9])")
_BARE = re.compile(r"[+-]?[0-9]+(?:\.[0-9]+)?(?:\.\.[+-]?[0-9]+(?:\.[0-9]+)?)?")
_ABOUT = re.compile(r"^(?:ca\.?|circa|about|approx(?:\.|imately)?|roughly|around|~|≈)\s*", re.IGNORECASE)


def pointed(text: str) -> str:
    """The text with a point for every decimal comma.

    Parameters
    ----------
    text : str
        What somebody wrote.
    """
    return _COMMA.sub(".", text)


def is_bare(text: str) -> bool:
    """Whether a text is a number, or a range of numbers, with a decimal point and without a unit.

    Parameters
    ----------
    text : str
        What somebody wrote.
    """
    return _BARE.fullmatch(text) is not None


def without_about(text: str) -> tuple[str, bool]:
    """The text without a word that says that a number is no more than near, and whether there was one.

    Parameters
    ----------
    text : str
        What somebody wrote, such as "ca. 250 N".
    """
    bare, count = _ABOUT.subn("", text)
    return bare, count > 0


def is_unknown(text: str) -> bool:
    """Whether an answer says that nobody knows.

    Parameters
    ----------
    text : str
        What somebody wrote.
    """
    return text.strip().casefold() in UNKNOWN
