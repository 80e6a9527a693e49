"""The force at the closing edge at which the controller turns the leaf back."""

from __future__ import annotations

from math import isnan, nan

from hutwright import units
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.model.project import Project
from hutwright.sources import CONTACT_STUDY, US_WINDOW_OBSTACLES
from hutwright.trades.guard.meeting import (
    NEEDS,
    approach_steps,
    latest_on_hand,
    newtons,
    touch_steps,
    unknown,
)
from hutwright.trades.guard.softening import earlier, slower, soft_edge

LATEST = 100.0  # N; 49 CFR 571.118, S5, obstacles of 4 to 200 mm; standing: read


def ask(project: Project) -> tuple[Check, ...]:
    """The force on a hand when the reversal begins against that of a car's window.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One, or none where the closing travel has no gap for a hand.
    """
    met = latest_on_hand(project)
    if met is None:
        return ()
    steps = (
        (unknown("F_trip", newtons(nan), f"next to a dead centre the force cannot be told, {met.where}"),)
        if isnan(met.contact.trip_force)
        else (*approach_steps(met), *touch_steps(met))
    )
    levers = (earlier(project), slower(met), soft_edge(project))
    return (
        Check(
            value=steps[-1].result.value,
            limit=LATEST,
            dimension=units.FORCE,
            sense=Sense.AT_MOST,
            method=CONTACT_STUDY,
            limit_from=US_WINDOW_OBSTACLES,
            working=steps,
            levers=tuple(each for each in levers if each is not None),
            meaning="A rule for windows and roof panels of cars that close by themselves, as a measure: "
            "it does not bind a hut's door.",
        ),
    )


QUESTION = Question(
    key="guard.reversal_force",
    title="Force at the edge when the controller reverses",
    concern=Concern.SAFETY,
    needs=NEEDS,
    ask=ask,
)
