"""In how much of a day the machine could start with the door shut and the hut as wet as described."""

from __future__ import annotations

from hutwright.checks.check import Check, Concern, Question
from hutwright.model.project import Project
from hutwright.plant.sky.readiness import SHUT
from hutwright.trades.sky.hearing import DEAR, NEEDS, ready_checks


def ask(project: Project) -> tuple[Check, ...]:
    """The share of the day in which the start rule is met, door shut.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One.
    """
    return ready_checks(
        project,
        SHUT,
        "A machine that is to start by itself has to be ready before the door opens.",
    )


QUESTION = Question(
    key="sky.ready_shut",
    title="Share of the day ready to start, door shut",
    concern=Concern.FUNCTION,
    needs=NEEDS,
    ask=ask,
    dear=DEAR,
)
