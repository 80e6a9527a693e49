"""What the tests of the bench play with: all demos and variants, and moves of the bare simulated door."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np

from hutwright.bench.plant import sim_door
from hutwright.model.project import Project
from hutwright.native import engine
from hutwright.native.scenario import scenario
from hutwright.plant.conditions import Conditions
from tests.described import DEMOS
from tests.plant.doors import at_speed, lifting

DESCRIBED = [
    (folder.name, variant)
    for folder in sorted(DEMOS.iterdir())
    if folder.is_dir()
    for variant in (None, *sorted(path.stem for path in (folder / "variants").glob("*.toml")))
]


@cache
def lift() -> Project:
    """A lift door with a counterweight behind the orchard's drive, whose rod is long enough for it."""
    project = lifting()
    assert project.drive is not None
    return replace(project, drive=replace(project.drive, length=None))


def full_speed(project: Project) -> Project:
    """The project at full duty all the way, where no duty divides what the supply loses."""
    return at_speed(project, normal=1.0, last=1.0, last_over=0.0)


def bare_time(project: Project, conditions: Conditions, *, opening: bool, share: float) -> float:
    """Time that the simulated door alone takes, at full duty from rest, over a share of its travel [s]."""
    door = sim_door(project, conditions).copy()
    door["inside_switches"] = 0
    door["rod_low"], door["rod_high"] = -1e9, 1e9
    scene = scenario((), duration=60.0, start_open=not opening)
    rows = engine.free(door, scene, duty=1.0 if opening else -1.0).rows
    covered = rows["q"] / float(door["full"]) if opening else 1.0 - rows["q"] / float(door["full"])
    after = int(np.argmax(covered >= share))
    assert after > 0
    return float(np.interp(share, covered[after - 1 : after + 1], rows["time"][after - 1 : after + 1]))
