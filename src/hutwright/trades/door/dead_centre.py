"""How far the linkage stays from the place where no force moves the leaf."""

from __future__ import annotations

from math import pi

import numpy as np

from hutwright import units
from hutwright.checks.check import Check, Concern, Question, Sense
from hutwright.checks.lever import Dial, Effort
from hutwright.checks.step import Number, Step
from hutwright.layout.linkage import is_direct
from hutwright.model.project import Project
from hutwright.plant.travel import travel
from hutwright.sources import SLIDER_CRANK
from hutwright.trades.door.moving import metres, practice, where
from hutwright.trades.door.turning import pins, when_wanted

LEAST = 0.05  # of the edge's way; the drive then gives twenty times the force at the edge [-]
LEVERAGE = practice("the rod moves at least 5 % of what the closing edge moves")
LEAST_ANGLE = pi / 18  # a leaf that turns less lets nothing through: a choice of this project [rad]


def ask(project: Project) -> tuple[Check, ...]:
    """The rod's least way per way of the edge; below zero where it turns back within the travel.

    Parameters
    ----------
    project : Project
        The project.

    Returns
    -------
    tuple of Check
        One, or none for a direct drive.
    """
    if project.door is None or project.linkage is None or is_direct(project):
        return ()
    over = travel(project)
    way = 1.0 if over.arm[int(np.argmax(np.abs(over.arm)))] >= 0.0 else -1.0
    index = int(np.argmin(way * over.arm))
    arm, radius = way * float(over.arm[index]), over.edge_radius
    step = Step(
        symbol="a",
        formula="r_rod / r_edge",
        numbers={
            "r_rod": metres(arm) if over.hinged else Number(arm, units.RATIO),
            "r_edge": metres(radius) if over.hinged else Number(radius, units.RATIO),
        },
        result=Number(arm / radius, units.RATIO),
        words=f"rod's way per way of the edge where it is least, {where(project, float(over.places[index]))}",
    )
    return (
        Check(
            value=arm / radius,
            limit=LEAST,
            dimension=units.RATIO,
            sense=Sense.AT_LEAST,
            method=SLIDER_CRANK,
            limit_from=LEVERAGE,
            working=(step,),
            levers=when_wanted(
                ask,
                project,
                "",
                lambda: (
                    *pins(project, lambda _, arms: np.abs(arms).min(axis=1) / radius - LEAST),
                    less_far(project),
                ),
            ),
            meaning="At zero the rod points at the hinge and cannot move the leaf; below zero the "
            "leaf jams or falls over that place.",
        ),
    )


def less_far(project: Project) -> Dial | None:
    """The lever of a leaf that opens less far."""
    door = project.door
    if door is None or door.open_angle is None:
        return None
    return Dial(
        path=("door", "open_angle"),
        dimension=units.ANGLE,
        lowest=min(LEAST_ANGLE, door.open_angle),
        highest=door.open_angle,
        words="open the leaf no farther than",
        effort=Effort.SETTING,
    )


QUESTION = Question(
    key="door.dead_centre",
    title="Leverage of the rod where it is least",
    concern=Concern.FUNCTION,
    needs=(("door",), ("linkage",)),
    ask=ask,
)
