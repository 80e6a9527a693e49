"""How many satellites the machine hears inside the hut with the door shut in the bad hours of a day."""

from __future__ import annotations

from hutwright.checks.check import Check, Concern, Question
from hutwright.model.project import Project
from hutwright.plant.sky.readiness import LOW_SHARE, SHUT, accuracy, at_share, doubt_db, heard
from hutwright.trades.sky.bettering import better
from hutwright.trades.sky.hearing import (
    DEAR,
    NEEDS,
    ONE,
    START_RULE,
    Held,
    Working,
    difference,
    held_to,
    left_open,
    level_steps,
    mean_count,
    wanted,
)
from hutwright.units import NUMBER


def ask(project: Project) -> tuple[Check, ...]:
    """The number of satellites that is fallen short of in one twentieth of the day.

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
        meaning="A twentieth of the day, 72 minutes, has fewer; they come 4 minutes earlier every day.",
    )
    return (held_to(held, lambda: _working(project), lambda: better(project, SHUT, shared=False)),)


def _working(project: Project) -> Working:
    least, most = doubt_db(project, SHUT)
    known = accuracy(project, SHUT).words

    def low(louder_db: float) -> float:
        return at_share(heard(project, SHUT, louder_db).counts, LOW_SHARE)

    mean = mean_count(heard(project, SHUT).flags)
    steps = (
        *level_steps(project, SHUT),
        difference(
            "n_most", {"n_mean": mean, "n_dip": mean - low(most)}, NUMBER, f"the most that is likely; {known}"
        ),
        difference(
            "n_least",
            {"n_mean": mean, "n_dip": mean - low(least)},
            NUMBER,
            f"the least that is likely; {known}",
        ),
        difference("n", {"n_mean": mean, "n_dip": mean - low(0.0)}, NUMBER, "in the bad hours of a day"),
    )
    return left_open(steps, least_width=ONE)


QUESTION = Question(
    key="sky.satellites_low",
    title="Satellites heard inside in the bad hours",
    concern=Concern.FUNCTION,
    needs=NEEDS,
    ask=ask,
    dear=DEAR,
)
