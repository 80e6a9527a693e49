"""How fast the closing edge moves, over the whole travel and just before it is shut."""

from __future__ import annotations

import math

import numpy as np

from hutwright import units
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.lever import Dial, Effort, Option, Pick
from hutwright.checks.step import Number, Step
from hutwright.model.project import Project
from hutwright.plant.conditions import Conditions, working_pressure
from hutwright.plant.motion import move, shares
from hutwright.plant.travel import travel
from hutwright.trades.door.moving import BALANCE, practice, speed, stated, where
from hutwright.trades.door.turning import when_wanted
from hutwright.units import NUMBER

WHOLE, LAST = "whole", "last"
LAST_OVER = 0.05  # where fingers are caught: a choice of this project [m]
MOST = {WHOLE: 0.25, LAST: 0.10}  # a choice of this project [m/s]
LIMITS = {
    WHOLE: practice("a leaf that people can reach closes with at most 250 mm/s"),
    LAST: practice("its last 50 mm take at least half a second, 100 mm/s"),
}
SLOWEST = 0.1  # share of full duty below which small motors do not start: a choice of this project [-]
SLOW_OVER = "80 mm"
SLOW_SHARES = (0.7, 0.5, 0.4, 0.3, 0.2, 0.1)


def ask(project: Project) -> tuple[Check, ...]:
    """Greatest speed of the closing edge, warm and with the working gust behind the leaf.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One for the whole travel and one for its end.
    """
    if project.door is None or project.linkage is None or project.drive is None:
        return ()
    over = travel(project)
    if over.dead.any():
        words = (
            "the linkage passes a dead centre, so that the edge's speed has no bound; see door.dead_centre"
        )
        none = (stated("v", math.nan, units.SPEED, words),)
        return tuple(_check(project, subject, none) for subject in (WHOLE, LAST))
    behind = Conditions(project.site.air.warmest, working_pressure(project))
    motion = move(project, behind, opening=False)
    found = []
    for subject in (WHOLE, LAST):
        speeds = motion.edge_speed if subject == WHOLE else motion.edge_speed[over.edge_way <= LAST_OVER]
        index = int(np.argmax(speeds))
        rod, gain = float(motion.rod_speed[index]), over.edge_radius / abs(float(over.arm[index]))
        step = Step(
            symbol="v_edge",
            formula="v_rod * n",
            numbers={"v_rod": speed(rod), "n": Number(gain, NUMBER)},
            result=speed(rod * gain),
            words=f"warm and with the gust behind the leaf, {where(project, float(over.places[index]))}; "
            "n is the edge's way per way of the rod",
        )
        found.append(_check(project, subject, (step,)))
    return tuple(found)


def _check(project: Project, subject: str, steps: tuple[Step, ...]) -> Check:
    return Check(
        subject=subject,
        value=steps[-1].result.value,
        limit=MOST[subject],
        dimension=units.SPEED,
        sense=Sense.AT_MOST,
        method=BALANCE,
        limit_from=LIMITS[subject],
        working=steps,
        levers=when_wanted(
            ask,
            project,
            subject,
            lambda: (
                _slower(project, subject),
                _slow_end(project) if subject == LAST else None,
            ),
        ),
        meaning="A quick edge strikes before any controller can stop it."
        if subject == WHOLE
        else "The last stretch is where fingers are caught.",
    )


def _slower(project: Project, subject: str) -> Dial | None:
    """The lever of a lower duty; None where no controller is described, or no slow end for the end."""
    controller = project.controller
    if controller is None or (subject == LAST and controller.speed.last_over < LAST_OVER):
        return None
    key = "normal" if subject == WHOLE else "last"
    now = shares(project).normal if subject == WHOLE else shares(project).last
    lowest = max(SLOWEST, controller.speed.last) if subject == WHOLE else SLOWEST
    return Dial(
        path=("controller", "speed", key),
        dimension=units.RATIO,
        lowest=min(lowest, now),
        highest=now,
        words="let the door run at a duty of"
        if subject == WHOLE
        else "let the last stretch run at a duty of",
        effort=Effort.SETTING,
        step=0.05,
    )


def _slow_end(project: Project) -> Pick | None:
    """The choice of a slow last stretch; None where there is a controller without one no more."""
    controller = project.controller
    if controller is None:
        return None
    options = tuple(
        Option(
            f"close the last {SLOW_OVER} at a duty of {units.write_as(share, units.RATIO, '%')}",
            {("controller", "speed", "last"): share, ("controller", "speed", "last_over"): SLOW_OVER},
        )
        for share in SLOW_SHARES
        if share < controller.speed.normal
    )
    return Pick(words="a slow last stretch", options=options, effort=Effort.SETTING)


QUESTION = Question(
    key="door.edge_speed",
    title="Speed of the closing edge",
    concern=Concern.SAFETY,
    needs=(("door",), ("linkage",), ("drive",)),
    ask=ask,
)
