"""What one opening and closing warms the winding, against what it stands."""

from __future__ import annotations

import math

from hutwright import units
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.lever import Effort, Option, Pick
from hutwright.checks.step import Number, Step
from hutwright.model.project import Project
from hutwright.plant.motion import Motion
from hutwright.sources import MOTOR_EQUATIONS, Source, Standing
from hutwright.trades.drive import bettering
from hutwright.trades.drive.running import DESCRIBED, WAYS, amperes, moves, ratio

MOST = (
    0.5  # half is kept for a stall at the end of the move, until the controller ends it; standing: practice
)
HALF_PRACTICE = Source(
    "common practice of the trade", "half of a winding's heat kept in reserve", Standing.PRACTICE
)
ENDURANCES = (10.0, 20.0, 40.0)  # of windings that are offered: a choice of this project [s]


def ask(project: Project) -> tuple[Check, ...]:
    """Heat of both moves on the worst day as a share of what a stall may bring.

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
    if not run or project.drive is None:
        return ()
    stall, heat = project.drive.stall, sum(each.heat for each in run)
    value = heat / (stall.current**2 * stall.endurance)
    steps = [_heat_step(each) for each in run]
    last = Step(
        symbol="h",
        formula="(Q_opening + Q_closing) / (I_stall**2 * t_stall)",
        numbers={
            **{each.symbol: each.result for each in steps},
            "I_stall": amperes(stall.current),
            "t_stall": Number(stall.endurance, units.TIME),
        },
        result=ratio(value),
        words="share of the heat of a stall for as long as the winding stands it; no heat leaves "
        "meanwhile, which is cautious",
    )
    tougher = Pick(
        words="a drive with a tougher winding",
        options=tuple(
            Option(
                f"take a drive that stands being held fast for {each:g} s",
                {("drive", "stall", "endurance"): f"{each:g} s"},
            )
            for each in ENDURANCES
            if each > stall.endurance
        ),
        effort=Effort.BUY_LARGE,
    )
    gear = bettering.geared(project, bettering.QUICKER)
    return (
        Check(
            value=value,
            limit=MOST,
            dimension=units.RATIO,
            sense=Sense.AT_MOST,
            method=MOTOR_EQUATIONS,
            limit_from=HALF_PRACTICE,
            working=(*steps, last),
            levers=tuple(each for each in (tougher, gear) if each is not None and each.options),
            meaning="Beyond this a door that meets an obstacle right after a move may burn its motor before "
            "the controller ends the run.",
        ),
    )


def _heat_step(run: Motion) -> Step:
    """What one move warms, or that it never ends."""
    stalls = "" if math.isfinite(run.heat) else ": it stalls, so see drive.loaded_speed first"
    return Step(
        symbol=f"Q_{WAYS[run.opening]}",
        formula="Q_move",
        numbers={"Q_move": Number(run.heat, units.MELTING_INTEGRAL)},
        result=Number(run.heat, units.MELTING_INTEGRAL),
        words=f"square of the current over the time of {WAYS[run.opening]} on the worst day{stalls}",
    )


QUESTION = Question(
    key="drive.warming",
    title="Heat of one opening and closing in the motor",
    concern=Concern.FUNCTION,
    needs=DESCRIBED,
    ask=ask,
)
