"""Share of the busiest hour that the drive runs, against its listing."""

from __future__ import annotations

import math

from hutwright import units
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.lever import Effort, Option, Pick
from hutwright.checks.step import Number, Step
from hutwright.model.project import Project
from hutwright.sources import MOTOR_EQUATIONS
from hutwright.trades.drive.running import DESCRIBED, LISTING, WAYS, moves, ratio
from hutwright.units import NUMBER

HOUR = 3600.0  # [s]
BUSIEST = 0.25  # of a day's cycles fall into one hour, but at least one: a choice of this project [-]
CYCLES = (200, 100, 50, 24, 12)  # a day, offered: a choice of this project
DUTIES = (0.25, 0.5, 1.0)  # that drives are sold with; standing: practice


def ask(project: Project) -> tuple[Check, ...]:
    """Running time in the busiest hour of the worst day against the rated duty.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One, or none where the travel cannot be worked out.
    """
    run = moves(project)
    if not run or project.drive is None or project.controller is None:
        return ()
    cycles, duty = project.controller.cycles_a_day, project.drive.rating.duty
    steps = [_move_step(WAYS[each.opening], each.total) for each in run]
    share = max(1.0, BUSIEST * cycles) * sum(each.total for each in run) / HOUR
    last = Step(
        symbol="d",
        formula="max(1, k * n) * (t_opening + t_closing) / t_hour",
        numbers={
            "k": ratio(BUSIEST),
            "n": Number(float(cycles), NUMBER),
            **{each.symbol: each.result for each in steps},
            "t_hour": Number(HOUR, units.TIME),
        },
        result=ratio(share),
        words="share of the busiest hour, into which a quarter of the day's cycles is taken to fall",
    )
    return (
        Check(
            value=share,
            limit=duty,
            dimension=units.RATIO,
            sense=Sense.AT_MOST,
            method=MOTOR_EQUATIONS,
            limit_from=LISTING,
            working=(*steps, last),
            levers=_levers(cycles, duty),
            meaning="A drive that runs longer than its duty gets hotter from move to move; let it rest after "
            "many moves in a row, such as while training.",
        ),
    )


def _move_step(way: str, total: float) -> Step:
    """How long a move takes, or that it never ends."""
    stalls = "" if math.isfinite(total) else ": it stalls, so see drive.loaded_speed first"
    return Step(
        symbol=f"t_{way}",
        formula="t_move",
        numbers={"t_move": Number(total, units.TIME)},
        result=Number(total, units.TIME),
        words=f"{way} on the coldest day with gust, ice and snow against it{stalls}",
    )


def _levers(cycles: int, duty: float) -> tuple[Pick, ...]:
    fewer = tuple(
        Option(f"send the door through {number} cycles a day", {("controller", "cycles_a_day"): number})
        for number in CYCLES
        if number < cycles
    )
    rated = tuple(
        Option(f"take a drive rated for a duty of {100.0 * each:g} %", {("drive", "rating", "duty"): each})
        for each in DUTIES
        if each > duty
    )
    picks = (
        Pick(words="fewer cycles", options=fewer, effort=Effort.SETTING),
        Pick(words="a drive that may run longer", options=rated, effort=Effort.BUY_LARGE),
    )
    return tuple(each for each in picks if each.options)


QUESTION = Question(
    key="drive.duty",
    title="Share of the busiest hour that the drive runs",
    concern=Concern.FUNCTION,
    needs=(*DESCRIBED, ("controller",)),
    ask=ask,
)
