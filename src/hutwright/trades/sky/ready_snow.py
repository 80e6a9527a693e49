"""In how much of a day the machine could start with wet snow on roof and windows."""

from __future__ import annotations

from hutwright.checks.check import Check, Concern, Question
from hutwright.model.project import Project
from hutwright.plant.sky.readiness import THAW
from hutwright.trades.sky.hearing import DEAR, NEEDS, ready_checks


def ask(project: Project) -> tuple[Check, ...]:
    """The share of the day in which the start rule is met, door shut with snow on the roof.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One, or none where no snow falls.
    """
    if not project.site.snow.ground > 0.0:
        return ()
    return ready_checks(
        project,
        THAW,
        "Snow that thaws, here 100 mm with three parts of water in a hundred, takes a decibel or two; dry "
        "snow hardly matters.",
    )


QUESTION = Question(
    key="sky.ready_snow",
    title="Share of the day ready to start, in a thaw",
    concern=Concern.FUNCTION,
    needs=NEEDS,
    ask=ask,
    dear=DEAR,
)
