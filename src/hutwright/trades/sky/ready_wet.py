"""In how much of a day the machine could start with the walls soaked and a film of water on the panes."""

from __future__ import annotations

from hutwright.checks.check import Check, Concern, Question
from hutwright.model.project import Project
from hutwright.plant.sky.readiness import RAIN
from hutwright.trades.sky.hearing import DEAR, NEEDS, ready_checks


def ask(project: Project) -> tuple[Check, ...]:
    """The share of the day in which the start rule is met, door shut in rain.

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
        RAIN,
        "Soaked boards and half a millimetre of water on a pane take more than dry ones; what soaked timber "
        "does to a wave is an assumption of low confidence.",
    )


QUESTION = Question(
    key="sky.ready_wet",
    title="Share of the day ready to start, in rain",
    concern=Concern.FUNCTION,
    needs=NEEDS,
    ask=ask,
    dear=DEAR,
)
