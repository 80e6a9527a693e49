"""The force that closing takes at its hardest place on the worst day."""

from __future__ import annotations

from hutwright.checks.check import Check, Concern, Question
from hutwright.model.project import Project
from hutwright.trades.door.exerting import hardest


def ask(project: Project) -> tuple[Check, ...]:
    """Greatest force on the coldest day with the working gust against the leaf, against the drive's rating.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One, or none where door, linkage or drive is not described.
    """
    return hardest(project, ask, opening=False, meaning=MEANING)


MEANING = "Above its rating the drive slows down, gets hot or stands still before the leaf is shut."

QUESTION = Question(
    key="door.closing_force",
    title="Force that closing takes on the coldest day",
    concern=Concern.FUNCTION,
    needs=(("door",), ("linkage",), ("drive",)),
    ask=ask,
)
