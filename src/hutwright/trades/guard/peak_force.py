"""How hard the closing edge presses on the instrument of the force test."""

from __future__ import annotations

from collections.abc import Sequence
from math import nan

from hutwright import units
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.step import Step
from hutwright.laws.force_trace import peak_limit
from hutwright.model.door import DoorKind
from hutwright.model.project import Project
from hutwright.model.remembered import once_a_project
from hutwright.sources import CONTACT_BENCH, CONTACT_STUDY, EN_12453_LIMITS, EN_12453_VERTICAL, Source
from hutwright.trades.guard.meeting import (
    NEEDS,
    by_formula,
    gap_name,
    gaps_met,
    hardest,
    newtons,
    when_wanted,
)
from hutwright.trades.guard.simulated import peak_of, told
from hutwright.trades.guard.softening import earlier, slow_stretch, soft_and_slow, soft_edge, soft_mount


def ask(project: Project) -> tuple[Check, ...]:
    """The closed form's upper end at each of the test's gaps against the limit of the standard.

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
    return tuple(
        _check(project, gap, each.contact.peak.greatest, when_wanted(by_formula, each), CONTACT_STUDY)
        for gap, each in met
    )


@once_a_project
def confirm(project: Project, subject: str) -> tuple[Check, ...]:
    """The simulated peak at one of the test's gaps, in the weather in which the closed form is greatest.

    Parameters
    ----------
    project : Project
        The project.
    subject : str
        Which gap.

    Returns
    -------
    tuple of Check
        One, or none where the closing travel has no such gap.
    """
    gap = next((each for each in gaps_met(project) if gap_name(each) == subject), None)
    met = None if gap is None else hardest(project, gap)
    if gap is None or met is None:
        return ()
    force, steps = told(project, met, ("F_peak", newtons(nan)), peak_of)
    return (_check(project, gap, force, steps, CONTACT_BENCH),)


def _check(project: Project, gap: float, value: float, steps: Sequence[Step], method: Source) -> Check:
    levers = (earlier(project), slow_stretch(), soft_edge(project), soft_mount(), soft_and_slow(project))
    vertical = project.door is not None and project.door.kind is DoorKind.LIFT
    return Check(
        subject=gap_name(gap),
        value=value,
        limit=peak_limit(gap, vertical=vertical),
        dimension=units.FORCE,
        sense=Sense.AT_MOST,
        method=method,
        limit_from=EN_12453_VERTICAL if vertical else EN_12453_LIMITS,
        working=steps,
        levers=tuple(each for each in levers if each is not None),
        meaning="Above this the edge hurts whom it meets. Simulated with the controller's own code; no "
        "hardware measured: only a force test of the finished door tells the force itself.",
    )


QUESTION = Question(
    key="guard.peak_force",
    title="Greatest force of the closing edge in the force test",
    concern=Concern.SAFETY,
    needs=NEEDS,
    ask=ask,
    confirm=confirm,
)
