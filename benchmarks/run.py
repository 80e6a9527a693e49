"""Print how long what a user waits for takes on this machine: `make bench`.

Times are printed, never asserted: they depend on the machine. Tests hold ratios only.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

TOP = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(TOP))  # the doors and the references of the tests
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


def door_cycle(cycles: int = 1, threads: int = 1) -> Callable[[], None]:
    """Ten seconds of the hatch of the tests with the real controller: open, shut, and wait."""
    import numpy as np

    from hutwright.native import engine
    from hutwright.native.scenario import Event, scenario
    from hutwright.native.words import EventKind, Word
    from tests.native.doors import hinged, settings_for

    door, settings = hinged(), settings_for(hinged())
    events = [Event(EventKind.WORD, 0.3, Word.OPEN), Event(EventKind.WORD, 5.3, Word.CLOSE)]
    scenes = np.repeat(scenario(events, duration=10.0), cycles)

    def run() -> None:
        with ThreadPoolExecutor(threads) as executor:
            engine.batch(door, settings, scenes, executor=executor, pieces=4 * threads)

    return run


def plant_alone() -> Callable[[], None]:
    """Ten seconds of the hatch driven shut against an obstacle, without controller."""
    from hutwright.native import engine
    from hutwright.native.scenario import obstacle, scenario
    from tests.native.doors import hinged

    scene = scenario([obstacle(0.0, face=0.2, stiffness=5e5, damping=50.0)], duration=10.0, start_q=0.5)
    return lambda: void(engine.free(hinged(), scene, duty=-1.0, rows=False))


def integrator() -> Callable[[], None]:
    """The same by a stiff integrator."""
    from tests.native.doors import hinged
    from tests.native.sim.reference import Obstacle, follow

    return lambda: void(
        follow("hinged", hinged(), Obstacle(0.2, 5e5, 50.0), start_q=0.5, duty=-1.0, duration=10.0)
    )


def rigid_bodies() -> Callable[[], None]:
    """The same door in a rigid-body engine in steps of 0.1 ms: its mechanics alone."""
    from tests.native.doors import hinged
    from tests.native.sim.rigid import peak_force

    case = {"start": 0.42, "rate": -0.25, "arm": 0.1, "face": 0.2, "stiffness": 5e5, "duration": 10.0}
    return lambda: void(peak_force("hinged", hinged(), **case, step=1e-4))


def void(_result: object) -> None:
    """Nothing of it."""


AIMS = (
    Aim("hutwright --help, cold", 0.3, command("--help")),
    Aim("hutwright check demos/orchard, cold", 1.5, command("check", "demos/orchard")),
    Aim(
        "... of its door, drive and guard",
        1.5,
        command("check", "demos/orchard", "--trade", "door", "--trade", "drive", "--trade", "guard"),
    ),
    Aim("hutwright check demos/sports_field, cold", 1.5, command("check", "demos/sports_field")),
    Aim("hutwright compare demos/orchard, cold", 3.0, command("compare", "demos/orchard")),
    Aim("assessment of demos/orchard, warm", 0.2, warm_assessment(DEMOS / "orchard")),
    Aim("10 s door cycle, the real controller", 0.005, door_cycle()),
)


def timed(run: Callable[[], None], tries: int = TRIES) -> list[float]:
    """Seconds of several tries, after one that warms the disk."""
    run()
    times = []
    for _ in range(tries):
        start = time.perf_counter()
        run()
        times.append(time.perf_counter() - start)
    return times


# A door cycle has to be quick because there are thousands; what else could work out the same, for comparison.
SAME_CASE = (
    ("10 s of a hatch shut against an obstacle, native", plant_alone),
    ("the same, LSODA", integrator),
    ("the same, MuJoCo, mechanics alone", rigid_bodies),
)
CYCLES = 400


def door_lines() -> None:
    """Print what the simulated door does in a second, on one thread and on two, and what others need."""
    rates = [CYCLES / min(timed(door_cycle(CYCLES, threads))) for threads in (1, 2)]
    ratio = rates[1] / rates[0]
    word = "within" if ratio >= 1.7 else "UNDER"
    print(f"{'10 s door cycles, one thread':50s} {rates[0]:7.0f} /s")
    print(
        f"{'10 s door cycles, two threads':50s} {rates[1]:7.0f} /s  {ratio:.2f} times, {word} the aim of 1.7"
    )
    for words, make in SAME_CASE:
        print(f"{words:50s} {1e3 * min(timed(make(), 3)):7.1f} ms")


def main() -> None:
    """Print a line for each aim: median, least and greatest time, and the aim."""
    print(f"median of {TRIES} tries, least and greatest behind it; wall clock on this machine")
    for aim in AIMS:
        times = timed(aim.run)
        middle = statistics.median(times)
        word = "within" if middle <= aim.longest else "OVER"
        print(
            f"{aim.words:45s} {middle:7.4f} s  ({min(times):.4f}..{max(times):.4f} s)"
            f"  {word} the aim of {aim.longest:g} s"
        )
    door_lines()


if __name__ == "__main__":
    main()
