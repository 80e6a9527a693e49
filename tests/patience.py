"""How long something may take, as a multiple of what reading and building the orchard demo takes here.

Processor time of this process against processor time of this process, so that neither the machine nor its
other work decides a test; the times themselves are printed by `make bench`.
"""

from __future__ import annotations

import time
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path

from hutwright.description.build import build
from hutwright.description.overlay import whole
from hutwright.description.reading import read_sheet

ORCHARD = Path(__file__).parents[1] / "demos" / "orchard" / "hut.toml"
TRIES = 5


@cache
def yardstick() -> float:
    """Least processor time of several readings of the orchard demo. [s]"""
    times = []
    for _ in range(TRIES):
        start = time.process_time()
        build(whole(read_sheet(ORCHARD, "hut.toml")))
        times.append(time.process_time() - start)
    return min(times)


@contextmanager
def patience(readings: float) -> Iterator[None]:
    """Fail where the block takes longer than so many readings of the orchard demo."""
    allowed = readings * yardstick()
    start = time.process_time()
    yield
    spent = time.process_time() - start
    assert spent < allowed, f"took {spent:.3f} s; at most {readings:g} readings of the demo, {allowed:.3f} s"
