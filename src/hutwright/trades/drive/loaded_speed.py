"""How much of its speed the drive keeps under the hardest load of the worst day."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from hutwright import units
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.lever import Dial, Pick, WhenWanted
from hutwright.checks.step import Number, Step
from hutwright.laws.motor_line import line_current
from hutwright.layout.frame import Floats
from hutwright.model.project import Project
from hutwright.plant.motor import Line
from hutwright.sources import MOTOR_EQUATIONS, Source, Standing
from hutwright.trades.drive import bettering
from hutwright.trades.drive.running import (
    DESCRIBED,
    Way,
    days,
    dead_step,
    force_step,
    ratio,
    speed_step,
    ways,
)

# A drive slower than a third of its listing is near its stall, where small doubts decide; standing: practice.
LEAST = 0.30
SPEED_PRACTICE = Source(
    "common practice of the trade", "a loaded drive keeps a third of its speed", Standing.PRACTICE
)


def ask(project: Project) -> tuple[Check, ...]:
    """Least speed on the way, against what the listing has at full load at the same duty.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One, or none where the travel cannot be worked out.
    """
    both = ways(project)
    if not both:
        return ()
    dead = both[0].dead
    if dead is not None:
        return (_said(math.nan, (dead_step(both[0], dead),), ()),)
    way, index = min((_hardest(project, each) for each in both), key=lambda found: found[2])[:2]
    steps = _working(project, way, index)
    found = WhenWanted(lambda: levers(project, way, index))
    return (_said(steps[-1].result.value, steps, found),)


def _hardest(project: Project, way: Way) -> tuple[Way, int, float]:
    """The place at which least voltage is left for speed, for each volt that the duty there would give."""
    normal = _left(days(project, slow=False).cold, way.force) / way.duties[0]
    last = normal if way.opening else _left(days(project, slow=True).cold, way.force) / way.duties[1]
    left = way.at_duty(normal, last)
    index = int(np.argmin(left))
    return way, index, float(left[index])


def _left(drive: Line, force: Floats) -> Floats:
    """Voltage left for speed, below zero behind the stall [V]."""
    loop = drive.constants.resistance + drive.series_resistance
    return np.asarray(drive.voltage - loop * line_current(force, drive.constants))


def _said(value: float, steps: tuple[Step, ...], found: Sequence[Dial | Pick]) -> Check:
    return Check(
        value=value,
        limit=LEAST,
        dimension=units.RATIO,
        sense=Sense.AT_LEAST,
        method=MOTOR_EQUATIONS,
        limit_from=SPEED_PRACTICE,
        working=steps,
        levers=found,
        meaning="Where hardly any speed is left, a little more ice, dirt or a flat battery stops the door; "
        "at 0 % it stops here.",
    )


def _working(project: Project, way: Way, index: int) -> tuple[Step, ...]:
    assert project.drive is not None
    slow, force = bool(way.slow[index]), float(way.force[index])
    at = days(project, slow=slow)
    speeds = [
        speed_step(
            f"v_{symbol}",
            drive,
            force,
            f"speed of the rod there {day}, with U at the bridge's duty"
            if symbol == "cold"
            else f"the same load {day}, for comparison",
        )
        for symbol, day, drive in reversed(at.named())
    ]
    cold, duty, rated = speeds[-1].result.value, way.duty(index), project.drive.rating.speed
    share = Step(
        symbol="q",
        formula="v_cold / (d * v_rated)",
        numbers={
            "v_cold": Number(cold, units.SPEED),
            "d": ratio(duty),
            "v_rated": Number(rated, units.SPEED),
        },
        result=ratio(cold / (duty * rated)),
        words="what is left of the listing's speed at full load, "
        + ("at the duty of the slow last stretch" if slow else "at the duty of most of the travel"),
    )
    return (force_step(way, index), *speeds, share)


def levers(project: Project, way: Way, index: int) -> tuple[Pick, ...]:
    """What leaves the drive more speed or force at a place.

    Parameters
    ----------
    project : Project
        The project.
    way : Way
        The way of the leaf.
    index : int
        Which of its places. [-]
    """
    found = (
        bettering.quicker_last(project) if way.slow[index] else None,
        bettering.calmer(project) if way.parts["wind"][index] != 0.0 else None,
        bettering.second_channel(project),
        bettering.better_bridge(project),
        bettering.geared(project, bettering.STRONGER),
        bettering.together(project),
    )
    return tuple(each for each in found if each is not None)


QUESTION = Question(
    key="drive.loaded_speed",
    title="Speed left under the hardest load",
    concern=Concern.FUNCTION,
    needs=DESCRIBED,
    ask=ask,
)
