"""The most current that the drive draws on its way, against its rating."""

from __future__ import annotations

from hutwright import units
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.model.project import Project
from hutwright.sources import MOTOR_EQUATIONS
from hutwright.trades.drive import bettering
from hutwright.trades.drive.drawing import greatest
from hutwright.trades.drive.running import DESCRIBED, LISTING


def ask(project: Project) -> tuple[Check, ...]:
    """Most current on the way of the worst day against the listing's.

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
    if found is None or project.drive is None:
        return ()
    value, steps = found
    gear = bettering.geared(project, bettering.STRONGER)
    calm = bettering.calmer(project)
    return (
        Check(
            value=value,
            limit=project.drive.rating.current,
            dimension=units.CURRENT,
            sense=Sense.AT_MOST,
            method=MOTOR_EQUATIONS,
            limit_from=LISTING,
            working=steps,
            levers=tuple(each for each in (calm, gear) if each is not None) if len(steps) > 1 else (),
            meaning="The listing promises its duty up to this current. More for a few seconds of a rare day "
            "wears the drive; what it does to the winding stands under drive.warming.",
        ),
    )


QUESTION = Question(
    key="drive.current",
    title="Current of the drive under the hardest load",
    concern=Concern.COMFORT,
    needs=DESCRIBED,
    ask=ask,
)
