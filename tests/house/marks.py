"""The marks of checks against the outside, and what each must say."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

# Mark -> what its one argument says.  In the order of the handbook's page.
OUTSIDE_MARKS = {
    "published": "the document, its edition and the place in it",
    "practice": "the practice that is meant",
    "recalled": "why the value is believed",
}


def fault_of_mark(name: str, args: Sequence[object], kwargs: Mapping[str, object]) -> str | None:
    """A sentence where such a mark lacks its one text, None where it is right or another's mark."""
    if name not in OUTSIDE_MARKS:
        return None
    if len(args) == 1 and not kwargs and isinstance(args[0], str) and args[0].strip():
        return None
    read = ", ".join([*map(repr, args), *(f"{key}={value!r}" for key, value in kwargs.items())])
    return f"@pytest.mark.{name}({read}) wants one text: {OUTSIDE_MARKS[name]}"
