"""How long a whole move takes on the worst day, asked for both ways alike."""

from __future__ import annotations

import math

import numpy as np

from hutwright import units
from hutwright.checks.check import Check, Sense
from hutwright.checks.lever import Dial, Effort, Option, Pick
from hutwright.checks.step import Step
from hutwright.model.paths import Keys
from hutwright.model.project import Project
from hutwright.plant.conditions import coldest_worst
from hutwright.plant.loads import loads
from hutwright.plant.motion import Motion
from hutwright.plant.motor import stall_force
from hutwright.trades.door.moving import BALANCE, obstacle_to_moving, practice, stated, time_steps, worst_move
from hutwright.trades.door.turning import (
    Ask,
    calmer,
    force_worth,
    lighter,
    pins,
    quicker,
    stronger,
    when_wanted,
)

BEFORE_CAP = 1.0  # the cap must not cut a move that is a little late: a choice of this project [s]
CAP = practice("the controller's run-time cap leaves the slowest move a second")
# Gusts [m/s], run-time caps [s] and duties of the last stretch [-] that are tried together: a choice of this
# project, the least change first.
TOGETHER = ((8, 30, 0.7), (6, 40, 0.8), (4, 60, 1.0))
SLOWEST = 0.05  # share of full duty: a choice of this project [-]
LONGEST_CAP = 60.0  # that the controller can be set to: core/door.h, opening_cap_ms [s]


def slowest(project: Project, ask: Ask, *, opening: bool, meaning: str) -> tuple[Check, ...]:
    """The time of a whole move on the coldest day, against what the controller allows.

    Parameters
    ----------
    project : Project
        The project.
    ask : Callable
        The question that asks.
    opening : bool
        Whether the leaf opens; else it closes.
    meaning : str
        One sentence for the builder.
    """
    controller = project.controller
    if project.door is None or project.linkage is None or project.drive is None or controller is None:
        return ()
    cap = controller.longest_run.opening if opening else controller.longest_run.closing
    conditions = coldest_worst(project, opening=opening)
    motion = worst_move(project, opening=opening)
    steps: tuple[Step, ...]
    if motion is None:
        steps = (stated("t", math.nan, units.TIME, obstacle_to_moving(project) or ""),)
    else:
        steps = time_steps(project, conditions, motion)
    return (
        Check(
            value=steps[-1].result.value,
            limit=cap - BEFORE_CAP,
            dimension=units.TIME,
            sense=Sense.AT_MOST,
            method=BALANCE,
            limit_from=CAP,
            working=steps,
            levers=when_wanted(ask, project, "", lambda: _levers(project, motion, opening=opening)),
            meaning=meaning,
        ),
    )


def _levers(project: Project, motion: Motion | None, *, opening: bool) -> tuple[Dial | Pick | None, ...]:
    controller, drive = project.controller, project.drive
    assert controller is not None
    assert drive is not None
    conditions = coldest_worst(project, opening=opening)
    load = loads(project, conditions, opening=opening).total * (1.0 if opening else -1.0)
    stalls = motion is not None and np.isinf(motion.total)
    reserve = stall_force(project, conditions) if stalls else drive.rating.force
    return (
        longer_cap(project, opening=opening),
        calmer(project),
        None if opening else quicker_last(project),
        _together(project, opening=opening),
        stronger(project) if stalls else quicker(project),
        lighter(project),
        *pins(project, force_worth(load, reserve))[:1],
    )


def _together(project: Project, *, opening: bool) -> Pick:
    """The choice of several settings at once, where no single one is enough."""
    way = "opening" if opening else "closing"
    options = []
    for gust, cap, last in TOGETHER:
        changes: dict[Keys, object] = {
            ("site", "wind", "working"): f"{gust} m/s",
            ("controller", "longest_run", way): f"{cap} s",
        }
        words = f"leave the door as it is in gusts above {gust} m/s, and let a run last {cap} s"
        if not opening and project.controller is not None and last > project.controller.speed.last:
            changes["controller", "speed", "last"] = min(last, project.controller.speed.normal)
            words += f", its last stretch at a duty of {units.write_as(last, units.RATIO, '%')}"
        options.append(Option(words, changes))
    return Pick(words="several settings at once", options=tuple(options), effort=Effort.SETTING)


def longer_cap(project: Project, *, opening: bool) -> Dial | None:
    """The lever of a longer run-time cap; None where no controller is described.

    Parameters
    ----------
    project : Project
        The project.
    opening : bool
        Whether that of opening; else of closing.
    """
    if project.controller is None:
        return None
    caps = project.controller.longest_run
    return Dial(
        path=("controller", "longest_run", "opening" if opening else "closing"),
        dimension=units.TIME,
        lowest=BEFORE_CAP,
        highest=max(caps.opening if opening else caps.closing, LONGEST_CAP),
        words=f"let a run {'open' if opening else 'shut'} for at most",
        effort=Effort.SETTING,
        step=1.0,
    )


def quicker_last(project: Project) -> Dial | None:
    """The lever of a last stretch that is less slow; None where there is none.

    Parameters
    ----------
    project : Project
        The project.
    """
    if project.controller is None or not project.controller.speed.last < project.controller.speed.normal:
        return None
    speed = project.controller.speed
    return Dial(
        path=("controller", "speed", "last"),
        dimension=units.RATIO,
        lowest=SLOWEST,
        highest=speed.normal,
        words="let the last stretch before shut run at a duty of",
        effort=Effort.SETTING,
        step=0.05,
    )
