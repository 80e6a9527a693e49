"""How many satellites the machine hears inside the hut with the door shut, on average over a day."""

from __future__ import annotations

from hutwright.checks.check import Check, Concern, Question
from hutwright.model.project import Project
from hutwright.plant.sky.readiness import SHUT
from hutwright.trades.sky.bettering import better
from hutwright.trades.sky.hearing import (
    DEAR,
    NEEDS,
    ONE,
    START_RULE,
    Held,
    Working,
    count_steps,
    held_to,
    left_open,
    wanted,
)


def ask(project: Project) -> tuple[Check, ...]:
    """The mean number of satellites heard, against those that the machine wants for a start.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One, or none without a start rule.
    """
    rule = wanted(project)
    if rule is None:
        return ()
    held = Held(
        limit=float(rule.satellites),
        limit_from=START_RULE,
        meaning="With fewer on average the machine does not start at most hours. Its own display counts "
        "satellites that it only follows; what counts here is over the threshold.",
    )
    return (held_to(held, lambda: _working(project), lambda: better(project, SHUT, shared=False)),)


def _working(project: Project) -> Working:
    return left_open(count_steps(project, SHUT), least_width=ONE)


QUESTION = Question(
    key="sky.satellites",
    title="Satellites heard inside with the door shut",
    concern=Concern.FUNCTION,
    needs=NEEDS,
    ask=ask,
    dear=DEAR,
)
