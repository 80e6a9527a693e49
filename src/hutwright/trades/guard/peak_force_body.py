"""How hard the closing edge presses on a hand."""

from __future__ import annotations

from math import isnan, nan

from hutwright import units
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.model.project import Project
from hutwright.model.site import Reach
from hutwright.sources import CONTACT_STUDY
from hutwright.trades.guard.meeting import HAND, NEEDS, hardest_on_hand, newtons, peak_steps, unknown
from hutwright.trades.guard.softening import slower, soft_and_slow, soft_edge


def ask(project: Project) -> tuple[Check, ...]:
    """The upper end of the peak force on a hand against the passing contact that a robot may have with one.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One, or none where the closing travel has no gap for a hand.
    """
    met, limit = hardest_on_hand(project), HAND.transient_force
    if met is None or limit is None:
        return ()
    steps = (
        (unknown("F_peak", newtons(nan), f"next to a dead centre the force cannot be told, {met.where}"),)
        if isnan(met.contact.peak.greatest)
        else peak_steps(met)
    )
    slow = slower(met)
    meaning = "A passing contact begins to hurt healthy adults there; a face or skull may not be hit at all"
    children = Reach.CHILDREN in project.site.reach
    return (
        Check(
            value=steps[-1].result.value,
            limit=limit,
            dimension=units.FORCE,
            sense=Sense.AT_MOST,
            method=CONTACT_STUDY,
            limit_from=HAND.source,
            working=steps,
            levers=(
                *((slow,) if slow is not None else ()),
                soft_edge(project),
                soft_and_slow(project),
            ),
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
)
