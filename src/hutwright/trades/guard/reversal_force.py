"""The force at the closing edge at which the controller turns the leaf back."""

from __future__ import annotations

from collections.abc import Sequence
from math import isnan, nan

from hutwright import units
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.lever import WhenWanted
from hutwright.checks.step import Step
from hutwright.laws.contact_force import contact_peak_range
from hutwright.model.project import Project
from hutwright.model.remembered import once_a_project
from hutwright.sources import CONTACT_BENCH, CONTACT_STUDY, US_WINDOW_OBSTACLES, Source
from hutwright.trades.guard.meeting import (
    NEEDS,
    Meeting,
    approach_steps,
    dead_centre,
    driven_step,
    latest_on_hand,
    newtons,
    touch_steps,
    when_wanted,
)
from hutwright.trades.guard.simulated import HONEST, Told, to_the_trip, told
from hutwright.trades.guard.softening import earlier, slower, soft_edge

LATEST = 100.0  # N; 49 CFR 571.118, S5, obstacles of 4 to 200 mm; standing: read


def ask(project: Project) -> tuple[Check, ...]:
    """The force on a hand that the drive gets to by the closed form against that of a car's window.

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
    return _checks(project, met, met.contact.driven, when_wanted(_by_formula, met), CONTACT_STUDY)


def _by_formula(met: Meeting) -> tuple[Step, ...]:
    if isnan(met.contact.driven):
        return (dead_centre("F_driven", newtons(nan), met),)
    return (*approach_steps(met), *touch_steps(met), driven_step(met))


@once_a_project
def confirm(project: Project, subject: str) -> tuple[Check, ...]:
    """The force when the reversal begins on the bench, in the gap and weather of the closed form's most.

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
    met = latest_on_hand(project)
    if met is None or subject:
        return ()
    force, steps = told(project, met, ("F_back", newtons(nan)), _simulated)
    return _checks(project, met, force, steps, CONTACT_BENCH)


def _checks(
    project: Project, met: Meeting, value: float, steps: Sequence[Step], method: Source
) -> tuple[Check, ...]:
    levers = (earlier(project), slower(met), soft_edge(project))
    return (
        Check(
            value=value,
            limit=LATEST,
            dimension=units.FORCE,
            sense=Sense.AT_MOST,
            method=method,
            limit_from=US_WINDOW_OBSTACLES,
            working=steps,
            levers=tuple(each for each in levers if each is not None),
            meaning="Above this a hand is held hard before the leaf turns back. The rule is made for windows "
            "and roof panels of cars that close by themselves; it stands here as a measure and does not bind "
            "a hut's door.",
        ),
    )


def _beyond(force: float, met: Meeting) -> str:
    """What to say where the force lies outside of what the closed form has; nothing where it lies within.

    As the controller decides, the force is that of the trip or, where the drive stands first, what its rotor
    has made of it; both to within the spread of the greatest force.
    """
    contact = met.contact
    least = contact_peak_range(0.0, min(contact.trip_force, contact.driven)).least
    if least <= force <= contact_peak_range(0.0, contact.driven).greatest:
        return ""
    return "; the closed form does not agree with it, and only a force test can tell"


def _simulated(project: Project, met: Meeting) -> Told:
    contact, force = to_the_trip(project, met)
    words = f"when the controller's own code decides{_beyond(force, met)}"
    if isnan(force):
        force = contact.peak_seen
        words = "the controller never acts there; this is the most that the drive gives"
    step = Step(
        symbol="F_back",
        formula="F_bench",
        numbers={"F_bench": newtons(force)},
        result=newtons(force),
        words=f"{words}; {HONEST}",
    )
    return force, WhenWanted(lambda: (*_by_formula(met), step))


QUESTION = Question(
    key="guard.reversal_force",
    title="Force at the edge when the controller reverses",
    concern=Concern.SAFETY,
    needs=NEEDS,
    ask=ask,
    confirm=confirm,
)
