"""The force that a move takes at its hardest place on the worst day, asked for both ways alike."""

from __future__ import annotations

import math

from hutwright import units
from hutwright.checks.check import Check, Sense
from hutwright.checks.lever import Dial, Pick
from hutwright.checks.step import Step
from hutwright.model.project import Project
from hutwright.plant.conditions import coldest_worst, nominal
from hutwright.plant.loads import loads
from hutwright.plant.mechanism import greatest
from hutwright.plant.travel import travel
from hutwright.sources import Source, Standing
from hutwright.trades.door.moving import BALANCE, force_steps, stated, where
from hutwright.trades.door.turning import (
    Ask,
    calmer,
    counterweight,
    force_worth,
    less_ice,
    lighter,
    pins,
    stronger,
    when_wanted,
)

LISTING = Source("the drive as described", "drive.rating.force", Standing.READ)


def hardest(project: Project, ask: Ask, *, opening: bool, meaning: str) -> tuple[Check, ...]:
    """The greatest force that the drive must give on the coldest day, against what it is rated for.

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
    drive = project.drive
    if project.door is None or project.linkage is None or drive is None:
        return ()
    conditions = coldest_worst(project, opening=opening)
    over = travel(project)
    if over.dead.any():
        words = "the linkage passes a dead centre, where no force is enough; see door.dead_centre"
        steps: tuple[Step, ...] = (stated("F", math.nan, units.FORCE, words),)
    else:
        worst = greatest(project, conditions, opening=opening)
        mild = greatest(project, nominal(project), opening=opening)
        words = f"on a calm day of 20 degC it takes no more than this, {where(project, mild.travel)}"
        steps = (
            stated("F_calm", mild.force, units.FORCE, words),
            *force_steps(project, conditions, opening=opening, index=worst.index),
        )
    return (
        Check(
            value=steps[-1].result.value,
            limit=drive.rating.force,
            dimension=units.FORCE,
            sense=Sense.AT_MOST,
            method=BALANCE,
            limit_from=LISTING,
            working=steps,
            levers=when_wanted(ask, project, "", lambda: _levers(project, opening=opening)),
            meaning=meaning,
        ),
    )


def _levers(project: Project, *, opening: bool) -> tuple[Dial | Pick | None, ...]:
    drive = project.drive
    assert drive is not None
    load = loads(project, coldest_worst(project, opening=opening), opening=opening).total
    return (
        calmer(project),
        less_ice(project) if opening else None,
        stronger(project),
        counterweight(project) if opening else None,
        lighter(project) if opening else None,
        *pins(project, force_worth(load if opening else -load, drive.rating.force)),
    )
