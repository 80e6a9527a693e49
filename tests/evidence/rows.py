"""Recorded moves with fewer rows."""

from __future__ import annotations

from dataclasses import replace

from hutwright.evidence.trace import Trace

COLUMNS = ("time", "current", "supply", "duty", "place")


def thinned(trace: Trace, every: int) -> Trace:
    """The move with only one row in so many."""
    columns = {name: getattr(trace, name) for name in COLUMNS}
    return replace(trace, **{name: each[::every] for name, each in columns.items() if each is not None})
