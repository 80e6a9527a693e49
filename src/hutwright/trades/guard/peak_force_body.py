"""How hard the closing edge presses on a hand."""

from __future__ import annotations

from collections.abc import Sequence
from math import nan

from hutwright import units
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.step import Step
from hutwright.model.project import Project
from hutwright.model.remembered import once_a_project
from hutwright.model.site import Reach
from hutwright.sources import CONTACT_BENCH, CONTACT_STUDY, Source
from hutwright.trades.guard.meeting import (
    HAND,
    NEEDS,
    Meeting,
    by_formula,
    hardest_on_hand,
    newtons,
    when_wanted,
)
from hutwright.trades.guard.simulated import peak_of, told
from hutwright.trades.guard.softening import earlier, slower, soft_and_slow, soft_edge


def ask(project: Project) -> tuple[Check, ...]:
    """The closed form's upper end on a hand against the passing contact that a robot may have with one.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One, or none where the closing travel has no gap for a hand.
    """
    met = hardest_on_hand(project)
    if met is None:
        return ()
    return _checks(project, met, met.contact.peak.greatest, when_wanted(by_formula, met), CONTACT_STUDY)


@once_a_project
def confirm(project: Project, subject: str) -> tuple[Check, ...]:
    """The simulated peak, in the gap and weather in which the closed form is greatest.

    Parameters
    ----------
    project : Project
        The project.
    subject : str
        There is only one, without a name.

    Returns
    -------
    tuple of Check
        As of `ask`.
    """
    met = hardest_on_hand(project)
    if met is None or subject:
        return ()
    force, steps = told(project, met, ("F_peak", newtons(nan)), peak_of)
    return _checks(project, met, force, steps, CONTACT_BENCH)


def _checks(
    project: Project, met: Meeting, value: float, steps: Sequence[Step], method: Source
) -> tuple[Check, ...]:
    limit = HAND.transient_force
    if limit is None:
        return ()
    levers = (earlier(project), slower(met), soft_edge(project), soft_and_slow(project))
    meaning = "A passing contact begins to hurt healthy adults there; a face or skull may not be hit at all"
    children = Reach.CHILDREN in project.site.reach
    return (
        Check(
            value=value,
            limit=limit,
            dimension=units.FORCE,
            sense=Sense.AT_MOST,
            method=method,
            limit_from=HAND.source,
            working=steps,
            levers=tuple(each for each in levers if each is not None),
            meaning=f"{meaning}, and for the children who can come near no figures are known."
            if children
            else f"{meaning}.",
        ),
    )


QUESTION = Question(
    key="guard.peak_force_body",
    title="Greatest force of the closing edge on a hand",
    concern=Concern.SAFETY,
    needs=NEEDS,
    ask=ask,
    confirm=confirm,
)
