"""How long the closing edge presses with more than 150 N."""

from __future__ import annotations

from math import isnan, nan

from hutwright import units
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.step import Number, Step
from hutwright.laws.force_trace import LASTING_FORCE, LASTING_TIME
from hutwright.model.project import Project
from hutwright.sources import CONTACT_STUDY, EN_12453_LIMITS
from hutwright.trades.guard.meeting import NEEDS, Meeting, gaps_met, hardest, peak_step


def ask(project: Project) -> tuple[Check, ...]:
    """The time above 150 N: none where the peak stays below, the run-time cap where nothing trips, else open.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One for each of the test's gaps that the closing travel really has.
    """
    found = [(gap, met) for gap in gaps_met(project) if (met := hardest(project, gap)) is not None]
    return tuple(_check(project, gap, met) for gap, met in found)


def _check(project: Project, gap: float, met: Meeting) -> Check:
    steps = _working(project, met)
    return Check(
        subject=f"gap_{round(1e3 * gap)}",
        value=steps[-1].result.value,
        limit=LASTING_TIME,
        dimension=units.TIME,
        sense=Sense.AT_MOST,
        method=CONTACT_STUDY,
        limit_from=EN_12453_LIMITS,
        working=steps,
        meaning="Only the bench, simulated or real, tells how quickly the force falls after the reversal; "
        "what lowers the peak to 150 N settles it, and a drive that only stops keeps its force.",
    )


def _working(project: Project, met: Meeting) -> tuple[Step, ...]:
    contact = met.contact
    if isnan(contact.peak.greatest):
        return (_time(nan, f"next to a dead centre the force cannot be told, {met.where}"),)
    if contact.peak.greatest <= LASTING_FORCE:
        words = "the force never gets beyond 150 N"
        return (peak_step(met), _time(0.0, words))
    never = contact.blind_force + contact.threshold / contact.sensitivity >= contact.stall_force
    if never and contact.stall_force > LASTING_FORCE and project.controller is not None:
        words = "the current never reaches the trip, so that the drive presses until the run-time cap"
        return (peak_step(met), _time(project.controller.longest_run.closing, words))
    locked = project.drive is not None and project.drive.screw.self_locking
    words = "open until the bench: it hangs on how the mount unwinds after the reversal"
    if locked:
        words += "; without a reversal this self-locking screw keeps the force for ever"
    return (peak_step(met), _time(nan, words))


def _time(value: float, words: str) -> Step:
    number = Number(value, units.TIME)
    return Step(symbol="T_150", formula="t_above", numbers={"t_above": number}, result=number, words=words)


QUESTION = Question(
    key="guard.duration",
    title="Time that the closing edge presses with more than 150 N",
    concern=Concern.SAFETY,
    needs=NEEDS,
    ask=ask,
)
