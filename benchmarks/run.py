"""Print how long what a user waits for takes on this machine: `make bench`.

Times are printed, never asserted: they depend on the machine. Tests hold ratios only.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

TOP = Path(__file__).resolve().parent.parent
DEMOS = TOP / "demos"
TRIES = 7


@dataclass(frozen=True, slots=True)
class Aim:
    """What is timed and how long it may take by the design.

    Attributes
    ----------
    words : str
        What is timed.
    longest : float
        The aim. [s]
    run : Callable
        Does it once.
    """

    words: str
    longest: float
    run: Callable[[], None]


def command(*words: str) -> Callable[[], None]:
    """One cold process of the command line."""

    def run() -> None:
        done = subprocess.run(
            [sys.executable, "-m", "hutwright", *words], capture_output=True, check=False, cwd=TOP
        )
        if done.returncode > 1:
            raise SystemExit(
                f"hutwright {' '.join(words)} ended with {done.returncode}: {done.stderr.decode()}"
            )

    return run


def warm_assessment(folder: Path) -> Callable[[], None]:
    """One assessment inside a running process."""
    from hutwright.assessment import assess
    from hutwright.description.folder import load

    described = load(folder)

    def run() -> None:
        assess(described)

    return run


AIMS = (
    Aim("hutwright --help, cold", 0.3, command("--help")),
    Aim("hutwright check demos/orchard, cold", 1.5, command("check", "demos/orchard")),
    Aim("hutwright check demos/sports_field, cold", 1.5, command("check", "demos/sports_field")),
    Aim("hutwright compare demos/orchard, cold", 3.0, command("compare", "demos/orchard")),
    Aim("assessment of demos/orchard, warm", 0.2, warm_assessment(DEMOS / "orchard")),
)


def timed(run: Callable[[], None]) -> list[float]:
    """Seconds of several tries, after one that warms the disk."""
    run()
    times = []
    for _ in range(TRIES):
        start = time.perf_counter()
        run()
        times.append(time.perf_counter() - start)
    return times


def main() -> None:
    """Print a line for each aim: median, least and greatest time, and the aim."""
    print(f"median of {TRIES} tries, least and greatest behind it; wall clock on this machine")
    for aim in AIMS:
        times = timed(aim.run)
        middle = statistics.median(times)
        word = "within" if middle <= aim.longest else "OVER"
        print(
            f"{aim.words:45s} {middle:7.3f} s  ({min(times):.3f}..{max(times):.3f} s)"
            f"  {word} the aim of {aim.longest:g} s"
        )


if __name__ == "__main__":
    main()
