"""Whether the run-time caps leave time for the first move after a power cut, which is slow all the way."""

from __future__ import annotations

import math

from hutwright import units
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.lever import Effort, Option, Pick
from hutwright.checks.step import Step
from hutwright.model.project import Project
from hutwright.plant.conditions import nominal
from hutwright.plant.motion import move, shares
from hutwright.sources import Source, Standing
from hutwright.trades.door.moving import BALANCE, obstacle_to_moving, stated, time_steps
from hutwright.trades.door.timing import BEFORE_CAP, longer_cap, quicker_last
from hutwright.trades.door.turning import when_wanted

# Duties of the last stretch [-] and run-time caps [s] that are tried together, the quietest edge first: ours
TOGETHER = ((0.4, 60), (0.5, 60), (0.6, 60), (0.7, 45), (0.8, 30), (1.0, 30))
OPENING, CLOSING = "opening", "closing"
# After power-up the controller does not know where the leaf is, and moves at the duty of the slow last
# stretch until it has arrived at an end: core/door.h, "Starts" and "Run time".
SLOW = Source(
    "the controller's own rules",
    "the run-time caps leave a whole move at the slow duty, and a second",
    Standing.DERIVED,
)


def ask(project: Project) -> tuple[Check, ...]:
    """Time of a whole move at the duty of the slow last stretch, on a mild calm day, against the cap.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One each way, or none where door, linkage, drive or controller is not described.
    """
    if project.door is None or project.linkage is None or project.drive is None or project.controller is None:
        return ()
    return tuple(_check(project, subject) for subject in (OPENING, CLOSING))


def _check(project: Project, subject: str) -> Check:
    opening, controller = subject == OPENING, project.controller
    assert controller is not None  # kept by who calls
    cap = controller.longest_run.opening if opening else controller.longest_run.closing
    conditions, obstacle = nominal(project), obstacle_to_moving(project)
    steps: tuple[Step, ...]
    if obstacle is not None:
        steps = (stated("t", math.nan, units.TIME, obstacle),)
    else:
        slow = move(project, conditions, opening=opening, slow=True)
        steps = time_steps(project, conditions, slow, duty=shares(project).last)
    return Check(
        subject=subject,
        value=steps[-1].result.value,
        limit=cap - BEFORE_CAP,
        dimension=units.TIME,
        sense=Sense.AT_MOST,
        method=BALANCE,
        limit_from=SLOW,
        working=steps,
        levers=when_wanted(
            ask,
            project,
            subject,
            lambda: (longer_cap(project, opening=opening), quicker_last(project), _both(project, subject)),
        ),
        meaning="A first move that the cap cuts is a fault: after every power cut the door stands part open "
        "until somebody clears it at the hut.",
    )


def _both(project: Project, subject: str) -> Pick | None:
    """The choice of a quicker stretch and a longer cap at once; None where no stretch is slower."""
    speed = shares(project)
    options = tuple(
        Option(
            f"let the last stretch before shut run at a duty of {units.write_as(share, units.RATIO, '%')}, "
            f"and a run {'open' if subject == OPENING else 'shut'} last {cap} s",
            {("controller", "speed", "last"): share, ("controller", "longest_run", subject): f"{cap} s"},
        )
        for share, cap in TOGETHER
        if speed.last < share <= speed.normal
    )
    return Pick(words="both at once", options=options, effort=Effort.SETTING) if options else None


QUESTION = Question(
    key="door.first_move",
    title="Time of the first, slow move after a power cut",
    concern=Concern.FUNCTION,
    needs=(("door",), ("linkage",), ("drive",), ("controller",)),
    ask=ask,
)
