"""What the drive presses before it stalls, against the hardest load of the worst day."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from hutwright import units
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.lever import Dial, Pick, WhenWanted
from hutwright.checks.step import Number, Step
from hutwright.model.project import Project
from hutwright.plant.motor import Line
from hutwright.sources import MOTOR_EQUATIONS, Source, Standing
from hutwright.trades.drive.loaded_speed import levers
from hutwright.trades.drive.running import (
    DESCRIBED,
    HUNDRED_NEWTONS,
    Way,
    amperes,
    days,
    dead_step,
    force_step,
    newtons,
    ways,
)
from hutwright.units import NUMBER

RESERVE = 1.5  # a drive is chosen half as strong again as its hardest load; standing: practice
RESERVE_PRACTICE = Source(
    "common practice of the trade", "force in reserve, half as much again", Standing.PRACTICE
)


def ask(project: Project) -> tuple[Check, ...]:
    """Stall force through the real circuit against what the door asks, with a reserve.

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
        return (_said(math.nan, math.nan, (dead_step(both[0], dead),), ()),)
    way, index = min((_tightest(project, each) for each in both), key=lambda found: found[2])[:2]
    wanted = RESERVE * max(0.0, float(way.force[index]))
    limit = Step(
        symbol="F_wanted",
        formula="k * max(0, F_rod)",
        numbers={"k": Number(RESERVE, NUMBER), "F_rod": newtons(float(way.force[index]))},
        result=newtons(wanted),
        words="with a reserve for what nobody thought of: the limit",
    )
    duty = f"at a duty of {100.0 * way.duty(index):.3g} %"
    lines = days(project, slow=bool(way.slow[index])).named()
    stalls = tuple(_stall_step(symbol, f"{day} {duty}", drive) for symbol, day, drive in lines)
    value = min(each.result.value for each in stalls)
    last = Step(
        symbol="F_stall",
        formula="min(F_cold, F_20, F_warm)",
        numbers={each.symbol: each.result for each in stalls},
        result=newtons(value),
        words="what the drive presses on the day on which it is weakest",
    )
    steps = (force_step(way, index), limit, *stalls, last)
    return (_said(value, wanted, steps, WhenWanted(lambda: levers(project, way, index))),)


def _tightest(project: Project, way: Way) -> tuple[Way, int, float]:
    """The place at which the drive has least to spare."""
    normal, last = (
        min(_stall(drive) for _, _, drive in days(project, slow=slow).named()) for slow in (False, True)
    )
    spare = way.at_duty(normal, last) - RESERVE * np.maximum(way.force, 0.0)
    index = int(np.argmin(spare))
    return way, index, float(spare[index])


def _stall(drive: Line) -> float:
    """Force at which the drive comes to rest [N]."""
    loop = drive.constants.resistance + drive.series_resistance
    return drive.constants.force_constant * max(0.0, drive.voltage / loop - drive.constants.friction_current)


def _stall_step(symbol: str, words: str, drive: Line) -> Step:
    own = drive.constants.friction_current
    more = HUNDRED_NEWTONS / drive.constants.force_constant
    loop = drive.constants.resistance + drive.series_resistance
    return Step(
        symbol=f"F_{symbol}",
        formula="F_100 / i_100 * max(0, U / R - i_0)",
        numbers={
            "F_100": newtons(HUNDRED_NEWTONS),
            "i_100": amperes(more),
            "U": Number(drive.voltage, units.VOLTAGE),
            "R": Number(loop, units.RESISTANCE),
            "i_0": amperes(own),
        },
        result=newtons(HUNDRED_NEWTONS / more * max(0.0, drive.voltage / loop - own)),
        words=f"what the drive presses held fast {words}, behind supply, cables and bridge",
    )


def _said(value: float, limit: float, steps: tuple[Step, ...], found: Sequence[Dial | Pick]) -> Check:
    return Check(
        value=value,
        limit=limit,
        dimension=units.FORCE,
        sense=Sense.AT_LEAST,
        method=MOTOR_EQUATIONS,
        limit_from=RESERVE_PRACTICE,
        working=steps,
        levers=found,
        meaning="A listing's stall force holds at its own voltage and 20 degC; what reaches the rod through "
        "these cables and this bridge is less.",
    )


QUESTION = Question(
    key="drive.stall_force",
    title="Force of the drive held fast against what the door asks",
    concern=Concern.FUNCTION,
    needs=DESCRIBED,
    ask=ask,
)
