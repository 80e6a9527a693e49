"""How long closing takes on the worst day."""

from __future__ import annotations

from hutwright.checks.check import Check, Concern, Question
from hutwright.model.project import Project
from hutwright.trades.door.timing import slowest

MEANING = "A move that takes longer is cut off by the controller and leaves the hut open to the weather."


def ask(project: Project) -> tuple[Check, ...]:
    """Time on the coldest day with the working gust against the leaf, against the controller's cap.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One, or none where door, linkage, drive or controller is not described.
    """
    return slowest(project, ask, opening=False, meaning=MEANING)


QUESTION = Question(
    key="door.closing_time",
    title="Time that closing takes on the coldest day",
    concern=Concern.FUNCTION,
    needs=(("door",), ("linkage",), ("drive",), ("controller",)),
    ask=ask,
)
