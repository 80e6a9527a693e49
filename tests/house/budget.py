"""How long the everyday tests may take, and how that is reckoned."""

from __future__ import annotations

import os
from dataclasses import dataclass

# Practice: what one still waits for before every commit.  Meant for two cores.
EVERYDAY_SECONDS = 300.0
# For trying the watch itself out: a smaller limit, never a larger one.
LIMIT_VARIABLE = "HUTWRIGHT_EVERYDAY_SECONDS"


@dataclass
class Spent:
    """Time spent by one session of pytest.

    Attributes
    ----------
    began : float
        Reading of the monotonic clock at the start. [s]
    workers : int
        Number of processes that ran tests side by side.
    everyday : float
        Sum over the phases of all everyday tests. [s]
    any_slow : bool
        Whether a slow test ran too.
    """

    began: float
    workers: int
    everyday: float = 0.0
    any_slow: bool = False

    def add(self, seconds: float, *, slow: bool) -> None:
        """Count one phase of one test."""
        if slow:
            self.any_slow = True
        else:
            self.everyday += seconds

    def everyday_seconds(self, now: float) -> float:
        """What the everyday tests took on the clock at the wall.

        Without slow tests that is the whole session, collection and start of the workers included.  With
        some, only their share is known: the sum over the everyday tests, spread over the workers.
        """
        if self.any_slow:
            return self.everyday / self.workers
        return now - self.began


def limit() -> float:
    """The limit in force: five minutes, or the smaller one of the environment."""
    return min(EVERYDAY_SECONDS, float(os.environ.get(LIMIT_VARIABLE, EVERYDAY_SECONDS)))


def fault_of(seconds: float, allowed: float | None = None) -> str | None:
    """A sentence where the everyday tests took too long, None where they did not."""
    allowed = limit() if allowed is None else allowed
    if seconds <= allowed:
        return None
    return (
        f"The everyday tests took {seconds:.1f} s; at most {allowed:.1f} s is wanted on two cores. "
        "Find the longest with `--durations 20`; make them quicker, or mark them `slow`."
    )
