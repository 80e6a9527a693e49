"""How hard the closing edge presses on the instrument of the force test."""

from __future__ import annotations

from math import isnan, nan

from hutwright import units
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.laws.force_trace import peak_limit
from hutwright.model.door import DoorKind
from hutwright.model.project import Project
from hutwright.sources import CONTACT_STUDY, EN_12453_LIMITS, EN_12453_VERTICAL
from hutwright.trades.guard.meeting import NEEDS, Meeting, gaps_met, hardest, newtons, peak_steps, unknown
from hutwright.trades.guard.softening import slow_stretch, soft_and_slow, soft_edge, soft_mount


def ask(project: Project) -> tuple[Check, ...]:
    """The upper end of the peak force at each of the test's gaps against the limit of the standard.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One for each of the gaps of 50, 300 and 500 mm that the closing travel really has.
    """
    met = [(gap, each) for gap in gaps_met(project) if (each := hardest(project, gap)) is not None]
    if project.door is None or not met:
        return ()
    vertical = project.door.kind is DoorKind.LIFT
    return tuple(_check(project, gap, each, vertical=vertical) for gap, each in met)


def _check(project: Project, gap: float, met: Meeting, *, vertical: bool) -> Check:
    steps = (
        (unknown("F_peak", newtons(nan), f"next to a dead centre the force cannot be told, {met.where}"),)
        if isnan(met.contact.peak.greatest)
        else peak_steps(met)
    )
    return Check(
        subject=f"gap_{round(1e3 * gap)}",
        value=steps[-1].result.value,
        limit=peak_limit(gap, vertical=vertical),
        dimension=units.FORCE,
        sense=Sense.AT_MOST,
        method=CONTACT_STUDY,
        limit_from=EN_12453_VERTICAL if vertical else EN_12453_LIMITS,
        working=steps,
        levers=(slow_stretch(), soft_edge(project), soft_mount(), soft_and_slow(project)),
        meaning="Judged by the upper end of the closed form, for which no hardware was measured. Only a "
        "force test of the finished door tells the force itself.",
    )


QUESTION = Question(
    key="guard.peak_force",
    title="Greatest force of the closing edge in the force test",
    concern=Concern.SAFETY,
    needs=NEEDS,
    ask=ask,
)
