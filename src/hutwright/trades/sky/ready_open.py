"""In how much of a day the machine could start with the door open and the hut as wet as described."""

from __future__ import annotations

from hutwright.checks.check import Check, Concern, Question
from hutwright.model.project import Project
from hutwright.plant.sky.readiness import OPEN
from hutwright.trades.sky.hearing import DEAR, NEEDS, ready_checks


def ask(project: Project) -> tuple[Check, ...]:
    """The share of the day in which the start rule is met, door open.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One, or none without a door.
    """
    if project.door is None:
        return ()
    return ready_checks(
        project,
        OPEN,
        "An open door lets in only what stands on its side of the sky; where it is enough, open first and "
        "give the machine a minute or two.",
    )


QUESTION = Question(
    key="sky.ready_open",
    title="Share of the day ready to start, door open",
    concern=Concern.FUNCTION,
    needs=(*NEEDS, ("door",)),
    ask=ask,
    dear=DEAR,
)
