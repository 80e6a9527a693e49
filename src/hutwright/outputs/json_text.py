"""Plain values as the JSON that every verb prints."""

from __future__ import annotations

import json
from typing import Any


def json_text(values: Any) -> str:
    """Values as indented JSON with a newline at its end.

    Parameters
    ----------
    values : Any
        Texts, finite numbers, truths, None, lists and dicts only.

    Raises
    ------
    ValueError
        Where a number is not finite.
    """
    return json.dumps(values, indent=2, ensure_ascii=False, allow_nan=False) + "\n"
