"""The most current of an ordinary move, against the current that means an obstacle."""

from __future__ import annotations

from hutwright import units
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.lever import Dial, Effort
from hutwright.model.project import Project
from hutwright.sources import MOTOR_EQUATIONS, Source, Standing
from hutwright.trades.drive.drawing import greatest
from hutwright.trades.drive.running import DESCRIBED

SETTING = Source("the controller as described", "detection.trip", Standing.READ)
HIGHEST = 3.0  # times the rated current; a trip above that is none: a choice of this project [-]


def ask(project: Project) -> tuple[Check, ...]:
    """Most current on the way of the worst day against the trip.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One, or none where the travel cannot be worked out.
    """
    found = greatest(project)
    if found is None or project.drive is None or project.controller is None:
        return ()
    value, steps = found
    trip = project.controller.detection.trip
    dial = Dial(
        path=("controller", "detection", "trip"),
        dimension=units.CURRENT,
        lowest=trip,
        highest=max(trip, HIGHEST * project.drive.rating.current),
        words="set the current that means an obstacle to",
        effort=Effort.SETTING,
        step=0.1,
    )
    return (
        Check(
            value=value,
            limit=trip,
            dimension=units.CURRENT,
            sense=Sense.AT_MOST,
            method=MOTOR_EQUATIONS,
            limit_from=SETTING,
            working=steps,
            levers=(dial,) if len(steps) > 1 else (),
            meaning="Above this the door turns back with nothing in its way. A higher trip presses harder on "
            "whoever is in the way: judge guard.peak_force again, or leave the door alone in such weather.",
        ),
    )


QUESTION = Question(
    key="drive.trip_room",
    title="Running current against the current that means an obstacle",
    concern=Concern.FUNCTION,
    needs=(*DESCRIBED, ("controller",)),
    ask=ask,
)
